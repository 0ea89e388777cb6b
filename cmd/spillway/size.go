package main

import (
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network/quantity"
	"spillway/render/sheet"
	"spillway/solver/study"
)

// sizeFlags are the flags of size.
type sizeFlags struct {
	studyFlags
	keep             keepFlags
	friction, static string
}

func newSize(c console) *cobra.Command {
	f := &sizeFlags{}
	cmd := &cobra.Command{
		Use:   "size JOB",
		Short: "Size ducts, registers and grilles for their worst call",
		Long: "Sizes every part for the most air that it carries in any call state, a zone\n" +
			"that calls alone among them, and for no less than is wanted: by a friction\n" +
			"rate, or by the greatest static that any call state may have, rounded up to\n" +
			"sizes that are sold. Then solves every call state with them. A bypass is sized\n" +
			"for what the smallest call leaves over. Rectangular ducts keep their height\n" +
			"and get at most four times as wide. The sizes come as lines to paste.\n\n" +
			"Where more findings would be at fault than before, no part is made smaller\n" +
			"than it was; where that does not help, the first line says so. Where no duct\n" +
			"brings the static down, the text says what filter and coil take of it, and\n" +
			"there is nothing to paste.",
		Example: "  spillway size house.toml --friction \"0.08\"\n" +
			"  spillway size house.toml --static \"0.45 inwc\"\n" +
			"  spillway size house-si.toml --friction \"0.8 Pa/m\"",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.size(args[0], f) },
	}
	f.add(cmd)
	f.keep.add(cmd, "the sizes")
	cmd.Flags().StringVar(&f.friction, "friction", "", "size by this `RATE`: in. of water per 100 ft, or Pa/m")
	cmd.Flags().StringVar(&f.static, "static", "", "size so that no call state goes above this external static `PRESSURE`")
	return cmd
}

func (c console) size(name string, f *sizeFlags) error {
	if err := f.keep.check(name); err != nil {
		return err
	}
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	var goal study.SizeGoal
	if f.friction != "" {
		var ok bool
		if goal.Friction, ok = frictionRate(f.friction, g.Job.Units); !ok {
			return fail(wrongCall, "--friction: write a rate such as \"0.08 inwc/100ft\" or \"0.8 Pa/m\"")
		}
	}
	if f.static != "" {
		if goal.Static, err = quantity.KindPressure.Parse(f.static, g.Job.Units); err != nil || goal.Static <= 0 {
			return fail(wrongCall, "--static: write a pressure such as \"0.45 inwc\"")
		}
	}
	if (goal.Friction > 0) == (goal.Static > 0) {
		return fail(wrongCall, "size takes --friction or --static, one of the two")
	}
	found, err := s.Size(v, goal)
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	err = f.print(c, sheet.Size(head, found),
		func(w io.Writer) error { return sheet.SizeJSON(w, head, found) },
		func(w io.Writer) error { return sheet.SizeCSV(w, head, found) })
	if err != nil {
		return err
	}
	set := found.Variant.Set
	if !found.Meets {
		set = nil
	}
	return c.keep(name, &f.keep, v.Alternative, "", set, "no duct brings the static down to it")
}

// frictionRate reads "0.08", "0.08 inwc/100ft" or "0.8 Pa/m" as Pa/m; a bare number is in the job's units.
func frictionRate(text string, system quantity.System) (float64, bool) {
	text = strings.ToLower(strings.ReplaceAll(text, " ", ""))
	factor := quantity.InchWater / (100 * quantity.Foot)
	if system == quantity.SI {
		factor = 1
	}
	switch {
	case strings.HasSuffix(text, "pa/m"):
		text, factor = strings.TrimSuffix(text, "pa/m"), 1
	case strings.HasSuffix(text, "inwc/100ft"):
		text, factor = strings.TrimSuffix(text, "inwc/100ft"), quantity.InchWater/(100*quantity.Foot)
	}
	x, err := strconv.ParseFloat(text, 64)
	return x * factor, err == nil && x > 0 && x < 1000
}
