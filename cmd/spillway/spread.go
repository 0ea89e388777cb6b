package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"spillway/render/sheet"
	"spillway/solver/study"
)

// spreadFlags are the flags of spread.
type spreadFlags struct {
	studyFlags
	samples int
	seed    uint64
}

func newSpread(c console) *cobra.Command {
	f := &spreadFlags{}
	cmd := &cobra.Command{
		Use:   "spread JOB",
		Short: "Say how sure the results are when the inputs are not",
		Long: "Draws the uncertain inputs of a job, solves every call state for each draw, and gives for every\n" +
			"result the range in which nine of ten lie, the inputs that most of it comes from, and how\n" +
			"likely each limit holds. The same seed gives the same answer on any machine.\n\n" +
			"What varies is every value that the job file does not know exactly, each by itself:\n\n" +
			"  length = \"about 20 ft\"    \"20 ft +- 2 ft\"    \"10 to 30 ft\"\n" +
			"           \"20 ft (10 to 30 ft)\"    \"unknown\"\n\n" +
			"and the tolerances of its table ([spread] is read as [doubt]):\n\n" +
			"  [doubt]\n" +
			"  \"supply.*.length\" = \"x 0.8 to 1.3\"    a common factor\n" +
			"  \"damper.main.stop\" = \"+- 5 deg\"\n" +
			"  flex    = { of = \"supply.*.compression\", from = \"4 %\", to = \"15 %\", each = true }\n" +
			"  stops   = { of = \"damper.*.stop\", by = \"5 deg\" }\n" +
			"  filter  = { of = \"equipment.filter.loading\", from = \"1\", to = \"2.5\" }\n" +
			"  dampers = { of = \"coefficients.dampers\", share = \"30 %\", shape = \"bell\" }\n\n" +
			"* stands for every part that has such a value; with each they vary one by one, else together.\n" +
			"Without a table, usual tolerances are taken. --set PATH=RANGE states a doubt for one\n" +
			"run.",
		Example: "  spillway spread house.toml\n" +
			"  spillway spread house.toml --set \"supply.kitchen.length=10 to 30 ft\"\n" +
			"  spillway spread house.toml --state loft --samples 5000 --seed 7\n" +
			"  spillway spread house.toml --format csv -o spread.csv",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.spread(args[0], f) },
	}
	f.add(cmd)
	cmd.Flags().IntVar(&f.samples, "samples", 1000, "how many `SAMPLES` are drawn")
	cmd.Flags().Uint64Var(&f.seed, "seed", 1, "`NUMBER` that the draws follow from")
	return cmd
}

func (c console) spread(name string, f *spreadFlags) error {
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	progress, end := c.progress("samples")
	var step func(int)
	if progress != nil {
		step = func(done int) { progress(done, f.samples) }
	}
	found, err := s.Spread(v, study.Sampling{Samples: f.samples, Seed: f.seed, Progress: step})
	end()
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	return f.print(c, sheet.Spread(head, found), func(w io.Writer) error { return sheet.SpreadJSON(w, head, found) },
		func(w io.Writer) error { return sheet.SpreadCSV(w, head, found) })
}

// counter shows on standard error how many variants are solved, when that is a terminal; end wipes it out.
func (c console) counter() (step func(solved int), end func()) {
	file, ok := c.err.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return nil, func() {}
	}
	step = func(solved int) {
		if solved%10 == 0 {
			fmt.Fprintf(c.err, "\r%d variants solved", solved)
		}
	}
	return step, func() { fmt.Fprint(c.err, "\r\x1b[K") }
}

// progress shows on standard error how far a long run is, when that is a terminal; end wipes it out. Without a terminal step is nil.
func (c console) progress(what string) (step func(done, total int), end func()) {
	file, ok := c.err.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return nil, func() {}
	}
	last := ""
	step = func(done, total int) {
		if line := progressLine(done, total, what); line != last {
			last = line
			fmt.Fprint(c.err, "\r\x1b[K"+line)
		}
	}
	return step, func() { fmt.Fprint(c.err, "\r\x1b[K") }
}

// progressLine is how far a run is, in whole per cent.
func progressLine(done, total int, what string) string {
	return fmt.Sprintf("%3d %% of %d %s", 100*done/max(total, 1), total, what)
}
