package main

import (
	"os"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/state"
)

// Completion reads the user's own job file, so that a shell can complete the names of its states, alternatives and dampers.
// Whatever goes wrong there gives no suggestions and no message.

// complete registers a completion. It can only fail for a flag that does not exist, and the tests would show that.
func complete(cmd *cobra.Command, flag string, f cobra.CompletionFunc) {
	_ = cmd.RegisterFlagCompletionFunc(flag, f)
}

// completeJob offers job files.
func completeJob(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
}

// jobOf quietly reads the job file among the arguments, with the alternative given so far.
func jobOf(cmd *cobra.Command, args []string) *network.Job {
	if len(args) == 0 {
		return nil
	}
	data, err := os.ReadFile(args[0])
	if err != nil {
		return nil
	}
	var opt network.Options
	if f := cmd.Flag("alternative"); f != nil && f.Value.String() != everyAlternative {
		opt.Alternative = f.Value.String()
	}
	job, _ := network.Read(args[0], data, opt)
	return job
}

func completeStates(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	job := jobOf(cmd, args)
	if job == nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	g, err := network.Build(job)
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for _, s := range state.States(g) {
		names = append(names, s.Name)
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

func completeAlternatives(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	var names []string
	if len(args) > 0 {
		if data, err := os.ReadFile(args[0]); err == nil {
			if job, _ := network.Read(args[0], data, network.Options{}); job != nil {
				for _, a := range job.Alternatives {
					names = append(names, diag.Visible(a.Name)+"\t"+diag.Visible(a.Note))
				}
				names = append(names, everyAlternative+"\tthe file as it stands and then each alternative")
			}
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// completeSet offers what people turn: the stop of every damper.
func completeSet(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	var paths []string
	if job := jobOf(cmd, args); job != nil {
		for _, d := range job.Dampers {
			paths = append(paths, "damper."+d.Name+".stop=")
		}
	}
	return paths, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
}
