package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"spillway/network/diag"
	"spillway/network/quantity"
)

// choice is a flag that takes one of a few words.
type choice struct {
	value   string
	allowed []string
}

var _ pflag.Value = (*choice)(nil)

func (c *choice) String() string { return c.value }
func (c *choice) Type() string   { return strings.Join(c.allowed, "|") }

func (c *choice) Set(word string) error {
	for _, a := range c.allowed {
		if strings.EqualFold(word, a) {
			c.value = a
			return nil
		}
	}
	return fmt.Errorf("it takes one of %s", strings.Join(c.allowed, ", "))
}

// add defines the flag with its completion.
func (c *choice) add(cmd *cobra.Command, name, usage string) {
	cmd.Flags().Var(c, name, usage)
	complete(cmd, name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return c.allowed, cobra.ShellCompDirectiveNoFileComp
	})
}

// common are the flags that every command with a job takes.
type common struct {
	states      []string
	set         []string
	alternative string
	units       choice
}

func (f *common) add(cmd *cobra.Command, withStates bool) {
	flags := cmd.Flags()
	if withStates {
		flags.StringArrayVar(&f.states, "state", nil, "only the call state of this `NAME`, or of a part of it (repeatable)")
		complete(cmd, "state", completeStates)
		f.units.allowed = []string{"ip", "si"}
		f.units.add(cmd, "units", "units of the results, if not the job file's")
	}
	flags.StringArrayVar(&f.set, "set", nil, "put `PATH=VALUE` into the job: \"damper.main.stop=30 %\" (repeatable)")
	flags.StringVar(&f.alternative, "alternative", "", "apply this alternative `NAME`; \"all\": the file as it is, then each")
	complete(cmd, "set", completeSet)
	complete(cmd, "alternative", completeAlternatives)
}

// system is the system of units that the results are printed in.
func (f *common) system(job quantity.System) quantity.System {
	switch f.units.value {
	case "ip":
		return quantity.IP
	case "si":
		return quantity.SI
	}
	return job
}

// jobs checks the arguments of a command that takes job files; most = 0 means any number.
func jobs(most int) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return fail(wrongCall, "%s needs a job file, for example: %s house.toml", cmd.Name(), cmd.CommandPath())
		}
		if most > 0 && len(args) > most {
			return fail(wrongCall, "%s takes one job file, and %q is one too many", cmd.Name(), diag.Visible(args[most]))
		}
		return nil
	}
}
