package main

import (
	"bytes"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/reference"
	"spillway/render/sheet"
)

func newReference(c console) *cobra.Command {
	var output string
	format := choice{value: "text", allowed: sheet.Formats}
	units := choice{value: "ip", allowed: []string{"ip", "si"}}
	cmd := &cobra.Command{
		Use:   "reference [TABLE | KEY]",
		Short: "Describe the keys of the job file, with units, defaults and examples",
		Long: "Describes every key of the job file: what it is, what it takes, its bounds, what " +
			"is\n" +
			"assumed without it and where that comes from, how a row writes it, and a line to " +
			"copy.\n" +
			"With a table (supply, equipment.cooling) its keys; with a key (damper.stop) that " +
			"one,\n" +
			"and with a key's name alone the key wherever it stands.",
		Example: "  spillway reference damper\n" +
			"  spillway reference supply.length\n" +
			"  spillway reference --format html -o reference.html",
		Args:              cobra.ArbitraryArgs,
		ValidArgsFunction: completeReference,
		RunE: func(_ *cobra.Command, args []string) error {
			sections := reference.Sections()
			if len(args) > 0 {
				text := strings.Join(args, " ")
				if sections = reference.Find(text); sections == nil {
					return unknownKey(text)
				}
			}
			system := quantity.IP
			if units.value == "si" {
				system = quantity.SI
			}
			var b bytes.Buffer
			d := sheet.Reference(system, sections)
			if err := sheet.Write(&b, d, format.value, c.style(output)); err != nil {
				return err
			}
			return c.deliver(b.Bytes(), output)
		},
	}
	format.add(cmd, "format", "how the reference is written")
	units.add(cmd, "units", "units of bounds and defaults")
	cmd.Flags().StringVarP(&output, "output", "o", "", "write to this `FILE`, whole or not at all")
	return cmd
}

// unknownKey says which table or key was probably meant.
func unknownKey(text string) error {
	hint := reference.Suggest(text)
	if hint == "" {
		hint = `"spillway reference" lists all`
	}
	return fail(wrongCall, "the job file has no table or key %q; %s", diag.Visible(text), hint)
}

// completeReference offers the tables of the job file.
func completeReference(_ *cobra.Command, args []string, _ string) ([]string,
	cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return reference.Tables(), cobra.ShellCompDirectiveNoFileComp
}
