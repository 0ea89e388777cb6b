package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// codeFlags are the flags of code.
type codeFlags struct {
	common
	edition choice
	format  choice
	output  string
}

func newCode(c console) *cobra.Command {
	f := &codeFlags{format: choice{value: "text", allowed: sheet.Formats}}
	for _, e := range verdict.Editions() {
		f.edition.allowed = append(f.edition.allowed, e.Name)
		f.edition.value = e.Name
	}
	cmd := &cobra.Command{
		Use:   "code JOB",
		Short: "Hold every zonal mode against a building code: air to the coil, fan power",
		Long: "California's Title 24 Part 6 is the code with a number for every way in which\n" +
			"zones can call: air to and from the dwelling for each ton, with what a bypass\n" +
			"moves left out, and watts of the blower for its air. Solves every call state\n" +
			"that cools and says which meet an edition's figures, which fall short, which\n" +
			"combinations of zones the job does not solve, and which figures are from\n" +
			"memory. To have them among the findings, see limits.rules.",
		Example: "  spillway code house.toml\n" +
			"  spillway code house.toml --edition 2013 --alternative bypass",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			return c.code(args[0], f)
		},
	}
	f.add(cmd, false)
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the sheet, if not the job file's")
	f.edition.add(cmd, "edition", "edition of the code")
	f.format.add(cmd, "format", "how the sheet is written")
	cmd.Flags().StringVarP(&f.output, "output", "o", "",
		"write to this `FILE`, whole or not at all")
	return cmd
}

func (c console) code(name string, f *codeFlags) error {
	if f.alternative == everyAlternative {
		return fail(wrongCall, "code takes one alternative")
	}
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return err
	}
	g := graphs[0]
	cases, err := c.cases(name, g, session.Options{})
	if err != nil {
		return err
	}
	head := &sheet.Sheet{Version: version, File: name, Units: f.system(g.Job.Units), Job: g.Job}
	var outcomes []*state.Outcome
	for _, made := range cases {
		outcomes = append(outcomes, made.Outcome)
		head.Reports = append(head.Reports, &sheet.Report{Outcome: made.Outcome})
	}
	var d *sheet.Document
	for _, e := range verdict.Editions() {
		if e.Name == f.edition.value {
			d = sheet.CodeSheet(head, e.Judge(outcomes))
		}
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, d, f.format.value, c.style(f.output)); err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}
