package main

import (
	"bytes"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/render/sheet"
)

func newFittings(c console) *cobra.Command {
	var output string
	format := choice{value: "text", allowed: sheet.Formats}
	cmd := &cobra.Command{
		Use:   "fittings [WORD]",
		Short: "List the fittings a job file may name, with coefficients and sources",
		Long: "Lists the names of fittings by where they belong on a run: leaving a trunk,\n" +
			"leaving a plenum or box, on the way, at the end. Beside each: the trade's other\n" +
			"names that are read too, its coefficient in a usual case, and the source. With\n" +
			"words, only fittings whose names have them. As HTML, those whose names alone\n" +
			"mislead are drawn.",
		Example: "  spillway fittings elbow\n" +
			"  spillway fittings --format html -o fittings.html",
		Args: cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			words := catalog.FittingWords()
			if len(args) > 0 {
				text := strings.Join(args, " ")
				if words = catalog.FindFittingWords(text); words == nil {
					return unknownFitting(text)
				}
			}
			var b bytes.Buffer
			err := sheet.Write(&b, sheet.Fittings(words), format.value, c.style(output))
			if err != nil {
				return err
			}
			return c.deliver(b.Bytes(), output)
		},
	}
	format.add(cmd, "format", "how the list is written")
	cmd.Flags().StringVarP(&output, "output", "o", "", "write to this `FILE`, whole or not at all")
	return cmd
}

// unknownFitting says which fitting was probably meant.
func unknownFitting(text string) error {
	var known []string
	for _, w := range catalog.FittingWords() {
		known = append(append(known, w.Write, w.Name), w.Also...)
	}
	hint := diag.DidYouMean(text, known)
	if hint == "" {
		hint = `"spillway fittings" lists them`
	}
	return fail(wrongCall, "no fitting is called %q; %s", diag.Visible(text), hint)
}
