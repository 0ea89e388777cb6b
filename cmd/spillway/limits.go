package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/sheet"
	"spillway/solver/verdict"
)

// limitsFlags are the flags of limits.
type limitsFlags struct {
	common
	format choice
	usual  bool
}

func newLimits(c console) *cobra.Command {
	f := &limitsFlags{format: choice{value: "text", allowed: sheet.Formats}}
	cmd := &cobra.Command{
		Use:   "limits [JOB]",
		Short: "List every check with the limit in force and where it comes from",
		Long: "Lists every check that solve makes: the value from which it is a caution and from which a\n" +
			"fault, the source of the limit, and the key of [limits] that overrides it. With a job file\n" +
			"the limits are those in force for that job, rating plate, own limits and rule sets included;\n" +
			"without one they are the defaults.\n\n" +
			"--usual adds figures that are common in the trade and that no check uses.",
		Example: "  spillway limits\n" +
			"  spillway limits house.toml --alternative bleed --format json",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fail(wrongCall, "limits takes one job file at most")
			}
			return nil
		},
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.limits(args, f) },
	}
	f.add(cmd, false)
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the list, if not the job file's")
	f.format.add(cmd, "format", "how the list is written")
	cmd.Flags().BoolVar(&f.usual, "usual", false, "also figures that are common in the trade, to compare with")
	return cmd
}

// limits prints the table of limits of a job, or the defaults.
func (c console) limits(args []string, f *limitsFlags) error {
	var job *network.Job
	system := quantity.IP
	if len(args) == 1 {
		if f.alternative == everyAlternative {
			return fail(wrongCall, "limits takes one alternative")
		}
		graphs, err := c.load(args[0], &f.common)
		if err != nil {
			return err
		}
		job = graphs[0].Job
		system = job.Units
	}
	var usual []verdict.UsualFigure
	if f.usual {
		usual = verdict.Usual()
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, sheet.Limits(f.system(system), verdict.Limits(job), usual), f.format.value, c.style("")); err != nil {
		return err
	}
	return c.emit(b.Bytes())
}
