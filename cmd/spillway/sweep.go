package main

import (
	"bytes"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/chart"
	"spillway/render/sheet"
	"spillway/solver/study"
)

// sweepFlags are the flags of sweep.
type sweepFlags struct {
	studyFlags
	move  []string
	steps int
	chart string
	of    string
}

func newSweep(c console) *cobra.Command {
	f := &sweepFlags{}
	cmd := &cobra.Command{
		Use:   "sweep JOB",
		Short: "Move one setting, or two, through a range and say where limits are passed",
		Long: "Solves a job at every step of a range: a damper stop, a bypass weight, a duct size, a blower\n" +
			"tap, a filter's loading, or any other value of the job file. For one setting it names the\n" +
			"places where limits begin to be passed, found by bisection; for two it prints one table for\n" +
			"each of the main results.\n\n" +
			"A range is PATH=FROM..TO, with its unit, and has --steps values; PATH=A, B, C is a list.\n" +
			"CSV and JSON hold every result of every call state.",
		Example: "  spillway sweep house.toml --move \"damper.main.stop=0..100 %\"\n" +
			"  spillway sweep house.toml --move \"bypass.relief.opens-at=0.10..0.30 inwc\" --alternative bypass\n" +
			"  spillway sweep house.toml --move \"supply.loft.size=7 in, 8 in, 9 in\" --state loft\n" +
			"  spillway sweep house.toml --move \"damper.main.stop=0..60 %\" --move \"equipment.filter.loading=1..3\" --steps 5",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.sweep(args[0], f) },
	}
	f.add(cmd)
	cmd.Flags().StringArrayVar(&f.move, "move", nil, "the setting to move: `PATH=FROM..TO` or PATH=A, B, C (once or twice)")
	cmd.Flags().IntVar(&f.steps, "steps", 11, "how many `VALUES` a range has, its ends among them")
	cmd.Flags().StringVar(&f.chart, "chart", "", "also draw one result over the range into this SVG `FILE`, limits shaded")
	cmd.Flags().StringVar(&f.of, "of", "external static", "the `RESULT` that --chart draws: a check or measure by its name")
	complete(cmd, "move", completeSet)
	return cmd
}

func (c console) sweep(name string, f *sweepFlags) error {
	if len(f.move) < 1 || len(f.move) > 2 {
		return fail(wrongCall, "sweep moves one setting or two: --move \"damper.NAME.stop=0..100 %%\"")
	}
	var spans []study.Span
	for _, text := range f.move {
		span, err := study.ParseSpan(text, f.steps)
		if err != nil {
			return fail(wrongCall, "--move: %w", err)
		}
		spans = append(spans, span)
	}
	switch {
	case len(spans) == 2 && spans[0].Path == spans[1].Path:
		return fail(wrongCall, "--move: both move %s; a table of two settings needs two", diag.Visible(spans[0].Path))
	case sameFile(f.chart, f.output):
		return fail(wrongCall, "--chart and --output would both write %s; give one of them another name", diag.Visible(f.chart))
	}
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	found, err := s.Sweep(v, spans...)
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	if f.chart != "" {
		if err := c.drawSweep(head, found, f); err != nil {
			return err
		}
	}
	return f.print(c, sheet.Sweep(head, found), func(w io.Writer) error { return sheet.SweepJSON(w, head, found) },
		func(w io.Writer) error { return sheet.SweepCSV(w, head, found) })
}

// drawSweep writes the chart of one result.
func (c console) drawSweep(head *sheet.Sheet, found *study.Sweep, f *sweepFlags) error {
	figure, ok := sheet.SweepFigure(head, found, f.of)
	if !ok {
		names := make([]string, 0, len(found.Checks)+len(found.Series))
		for _, l := range slices.Concat(found.Checks, found.Series) {
			names = append(names, l.Name)
		}
		slices.Sort(names)
		return fail(wrongCall, "--chart draws one result of a sweep of one setting, and there is no %q; %s", diag.Visible(f.of), diag.DidYouMean(f.of, slices.Compact(names)))
	}
	var b bytes.Buffer
	if err := chart.Write(&b, figure, chart.Options{}); err != nil {
		return fail(unsolvable, "cannot draw: %w", err)
	}
	return writeFile(f.chart, b.Bytes())
}
