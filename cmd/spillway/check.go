package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
)

func newCheck(c console) *cobra.Command {
	f := &common{}
	cmd := &cobra.Command{
		Use:   "check JOB...",
		Short: "Read a job file and say what is wrong with it, without solving",
		Long: "Reads and validates job files, each as it stands and with every alternative in it, and\n" +
			"lists all that is wrong at once: file, line, the line itself and the likely fix. Nothing is\n" +
			"solved. Of a file in order it says what is in it, its call states and alternatives, and every\n" +
			"figure that stands in for what the file does not say.",
		Example: "  spillway check house.toml\n" +
			"  spillway check house.toml --set \"damper.main.stop=30 %\"",
		Args:              jobs(0),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.check(args, f) },
	}
	f.add(cmd, false)
	return cmd
}

// check reads job after job; one that is wrong does not hide the others.
func (c console) check(names []string, f *common) error {
	code := solved
	for _, name := range names {
		text, err := c.checkJob(name, f)
		if err != nil {
			code = worse(code, c.complain(err))
			continue
		}
		if err := c.emit(text); err != nil {
			return err
		}
	}
	if code != solved {
		return told(code)
	}
	return nil
}

func (c console) checkJob(name string, f *common) ([]byte, error) {
	every := *f
	if every.alternative == "" {
		every.alternative = everyAlternative
	}
	graphs, err := c.load(name, &every)
	if err != nil {
		return nil, err
	}
	var states []state.CallState // of the job as it stands
	for i, g := range graphs {
		// The solver's own look at the network finds what nothing feeds.
		if _, err := state.New(g); err != nil {
			return nil, c.buildError(name, g.Job.Alternative, err)
		}
		if i > 0 {
			continue
		}
		if states = state.States(g); len(states) == 0 {
			return nil, fmt.Errorf("%s: %w", diag.Visible(name), session.ErrNoStates)
		}
	}
	var b bytes.Buffer
	err = sheet.Write(&b, sheet.Inventory(name, graphs, states), "text", c.style(""))
	return b.Bytes(), err
}
