package main

import (
	"bytes"
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/page"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
	"spillway/solver/study"
)

// reportFlags are the flags of report.
type reportFlags struct {
	common
	output string
	steps  int
}

func newReport(c console) *cobra.Command {
	f := &reportFlags{}
	cmd := &cobra.Command{
		Use:   "report JOB",
		Short: "Write one HTML file with every call state, pictures, charts, and a sheet for the van",
		Long: "Writes one self-contained HTML file: all call states side by side, for each its picture,\n" +
			"ledger, findings, charts and tables, and a sheet for the installer with what to set, what\n" +
			"should be read and room for what was. It opens by double click, fetches nothing, and prints\n" +
			"to clean pages. Each zone damper has a slider in each state; every position of it is solved\n" +
			"when the file is written.",
		Example: "  spillway report house.toml -o house.html\n" +
			"  spillway report house.toml --alternative all --steps 5 -o house.html",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.report(args[0], f) },
	}
	f.common.add(cmd, true)
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	cmd.Flags().IntVar(&f.steps, "steps", -1, "positions of each damper's slider, 0 for none; without it 11, or fewer in a large job")
	return cmd
}

// decision puts the page to decide and sign first. It chooses between the variants that the report
// shows, so that its settings are those of a sheet for the installer in it; the options are the
// file as it stands and all alternatives.
func (c console) decision(d *page.Dossier, shown string, data []byte, g *network.Graph,
	f *reportFlags) error {
	s := study.New(shown, data, study.Options{Choose: func(g *network.Graph) ([]state.CallState,
		error) {
		return chooseStates(g, f.states)
	}})
	found, err := s.Decide(study.Variant{Set: f.set}, g.Job.Alternatives, 0)
	if err != nil {
		return c.studyError(shown, "", err)
	}
	var first *study.Choice // of the variants that are shown, the one that ranks first
	at := 0
	for i, v := range d.Variants {
		for k := range found.Choices {
			if choice := &found.Choices[k]; choice.Name == v.Name && (first == nil ||
				k == found.Best) {
				first, at, d.Chosen = choice, k, i
			}
		}
	}
	d.Decision = sheet.Decide(&sheet.Sheet{Version: version, File: shown, Units: d.Units,
		Job: g.Job}, deciding(found, at, data))
	return nil
}

// mostFrames is how many moved dampers a report solves and carries without being asked.
const mostFrames = 900

func (c console) report(name string, f *reportFlags) error {
	if f.steps != -1 && f.steps != 0 && (f.steps < 2 || f.steps > 101) {
		return fail(wrongCall, "--steps is 0, or 2 to 101")
	}
	data, err := readJobFile(name, c.in)
	if err != nil {
		return err
	}
	shown := name
	if name == "-" {
		shown = "standard input"
		c.in = bytes.NewReader(data)
	}
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return err
	}
	d := &page.Dossier{Version: version, File: shown, Units: f.system(graphs[0].Job.Units), Set: f.set}
	for _, g := range graphs {
		of := ""
		if len(graphs) > 1 && g.Job.Alternative != "" {
			of = ", " + diag.Visible(g.Job.Alternative)
		}
		in, err := trial.New(g)
		if err != nil {
			return c.buildError(shown, g.Job.Alternative, err)
		}
		states, err := chooseStates(g, f.states)
		if err != nil {
			return fmt.Errorf("%s: %w", diag.Visible(shown), err)
		}
		progress, end := c.progress("call states" + of)
		var solved func(int)
		if progress != nil {
			solved = func(done int) { progress(done, len(states)) }
		}
		cases, err := in.All(context.Background(), states, solved)
		end()
		if err != nil {
			return fail(unsolvable, "%s: %w", diag.Visible(shown), err)
		}
		for _, made := range cases {
			c.untried(shown, made.Case)
		}
		v := &page.Variant{Name: g.Job.Alternative, In: in, Cases: cases}
		for _, a := range g.Job.Alternatives {
			if a.Name == v.Name {
				v.Note = a.Note
			}
		}
		d.Variants = append(d.Variants, v)
	}
	if err := c.decision(d, shown, data, graphs[0], f); err != nil {
		return err
	}
	steps := f.steps
	if steps < 0 {
		steps = page.StepsFor(d, mostFrames)
	}
	for _, v := range d.Variants {
		what := "damper positions"
		if len(d.Variants) > 1 && v.Name != "" {
			what += ", " + diag.Visible(v.Name)
		}
		progress, end := c.progress(what)
		page.Slide(v, shown, data, f.set, steps, progress)
		end()
	}
	var b bytes.Buffer
	if err := page.Report(&b, d); err != nil {
		return fail(unsolvable, "cannot write the report: %w", err)
	}
	if f.output == "" {
		return c.emit(b.Bytes())
	}
	return writeFile(f.output, b.Bytes())
}
