package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
)

// checkFlags are the flags of check.
type checkFlags struct {
	common
	fix bool
}

func newCheck(c console) *cobra.Command {
	f := &checkFlags{}
	cmd := &cobra.Command{
		Use:   "check JOB...",
		Short: "Read a job file and say what is wrong with it, without solving",
		Long: "Reads and validates job files, each as it stands and with every alternative in it, and\n" +
			"lists all that is wrong at once: file, line, the line itself and the likely fix. Nothing is\n" +
			"solved. Of a file in order it says what is in it, its call states and alternatives, and every\n" +
			"figure that stands in for what the file does not say.\n\n" +
			"--fix first sets right in the file what is badly written and has one reading only: " +
			"commas\n" +
			"and blanks in rows, units of bare numbers, the way to count fittings, names of " +
			"fittings and\n" +
			"keys, quotes. No number, order, name or comment is altered, and nothing is chosen " +
			"between\n" +
			"two readings: that stays an error.",
		Example: "  spillway check house.toml\n" +
			"  spillway check house.toml --set \"damper.main.stop=30 %\"\n" +
			"  spillway check house.toml --fix",
		Args:              jobs(0),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.check(args, f) },
	}
	f.add(cmd, false)
	cmd.Flags().BoolVar(&f.fix, "fix", false,
		"set right in the file what is badly written and has one reading")
	return cmd
}

// check reads job after job; one that is wrong does not hide the others.
func (c console) check(names []string, f *checkFlags) error {
	code := solved
	for _, name := range names {
		if f.fix {
			if err := c.fixJob(name); err != nil {
				code = worse(code, c.complain(err))
				continue
			}
		}
		text, err := c.checkJob(name, &f.common)
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

// fixJob sets a job file right, whole or not at all, and says on standard error what it changed.
func (c console) fixJob(name string) error {
	if name == "-" {
		return fail(wrongCall, "standard input cannot be written to; name the job file")
	}
	was, err := readJobFile(name, c.in)
	if err != nil {
		return err
	}
	is, made := network.Fix(name, was)
	if len(made) == 0 {
		fmt.Fprintf(c.err, "%s: nothing to set right\n", diag.Visible(name))
		return nil
	}
	if err := writeFile(name, is); err != nil {
		return err
	}
	for _, m := range made {
		fmt.Fprintf(c.err, "%s:%d: %s\n", diag.Visible(name), m.Line, repairWords(m))
	}
	return nil
}

// repairWords says what a repair changed.
func repairWords(m network.Repair) string {
	switch was, is := diag.Visible(m.Was), diag.Visible(m.Is); {
	case strings.TrimSpace(m.Is) == "" && m.Was == "":
		return "a blank put in"
	case m.Is == "":
		return fmt.Sprintf("%q taken out", was)
	default:
		return was + " is now " + is
	}
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
