package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"spillway/network/takeoff"
	"spillway/render/sheet"
)

// partsFlags are the flags of parts.
type partsFlags struct {
	common
	format choice
	output string
}

func newParts(c console) *cobra.Command {
	f := &partsFlags{format: choice{value: "text", allowed: sheet.Formats}}
	cmd := &cobra.Command{
		Use:   "parts JOB",
		Short: "List what the job is built from: duct, fittings, registers, dampers, steel",
		Long: "Counts what the job file describes: duct by size and material, as it lies and as\n" +
			"it is bought; takeoffs, elbows and boots by size; registers and grilles; dampers,\n" +
			"actuators and panel; insulation, joints to seal, supports; sheet steel by gauge.\n" +
			"With an alternative it also says what that adds and what falls away. Nothing is\n" +
			"solved, and no price is known.",
		Example: "  spillway parts house.toml\n" +
			"  spillway parts house.toml --alternative bypass --format csv -o bypass.csv",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			return c.parts(args[0],
				f)
		},
	}
	f.add(cmd, false)
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the list, if not the job file's")
	f.format.add(cmd, "format", "how the list is written")
	cmd.Flags().StringVarP(&f.output, "output", "o", "",
		"write to this `FILE`, whole or not at all")
	return cmd
}

func (c console) parts(name string, f *partsFlags) error {
	if f.alternative == everyAlternative {
		return fail(wrongCall, "parts takes one alternative")
	}
	data, err := readJobFile(name, c.in)
	if err != nil {
		return err
	}
	c.in = bytes.NewReader(data) // standard input is read once
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return err
	}
	job := graphs[0].Job
	list := takeoff.Of(job)
	var base *takeoff.List
	if f.alternative != "" {
		plain := f.common
		plain.alternative = ""
		before, _, err := variants(name, data, &plain)
		if err != nil {
			return err
		}
		if len(before) > 0 {
			base = takeoff.Of(before[0].Job)
		}
	}
	head := &sheet.Sheet{Version: version, File: name, Units: f.system(job.Units), Job: job}
	var b bytes.Buffer
	d := sheet.Parts(head, list, base)
	if err := sheet.Write(&b, d, f.format.value, c.style(f.output)); err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}
