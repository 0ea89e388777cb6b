package main

import (
	"github.com/spf13/cobra"

	"spillway/render/sheet"
	"spillway/solver/study"
)

// mendFlags are the flags of mend.
type mendFlags struct {
	studyFlags
	keep keepFlags
	most int
}

func newMend(c console) *cobra.Command {
	f := &mendFlags{}
	cmd := &cobra.Command{
		Use:   "mend JOB",
		Short: "Find the fewest changes that clear every fault, each solved",
		Long: "Tries what a designer may change (damper stops, taps, the filter, a weighted bypass, shared\n" +
			"ducts and runs one size larger) alone, in pairs and in threes, in every call state, and\n" +
			"prints the smallest sets after which nothing is at fault, the cheapest first, with what they\n" +
			"do to static and to the air that reaches the zones that call. When no set does it, it says how\n" +
			"far they go and what stays.\n\n" +
			"That a set is the smallest is proven for this list of changes: every smaller one was solved.",
		Example: "  spillway mend house.toml\n" +
			"  spillway mend house.toml --alternative bypass --format json\n" +
			"  spillway mend house.toml --write-as mended",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			return c.mend(args[0],
				f)
		},
	}
	f.add(cmd)
	f.keep.add(cmd, "the first set")
	cmd.Flags().IntVar(&f.most, "most", 0,
		"stop before more than so many `CALL-STATES` are solved (0: 40,000)")
	return cmd
}

func (c console) mend(name string, f *mendFlags) error {
	if f.most < 0 {
		return fail(wrongCall, "--most cannot be %d; it takes 0 or more", f.most)
	}
	if err := f.keep.check(name); err != nil {
		return err
	}
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{})
	if err != nil {
		return err
	}
	found, err := s.Mend(v, f.most)
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	err = f.print(c, sheet.Mend(headOf(name, g, &f.studyFlags), found), nil, nil)
	if err != nil {
		return err
	}
	var set []string
	nothing := "no set clears every fault"
	switch {
	case len(found.Sets) > 0:
		set = append(v.Set, found.Sets[0].Set...)
	case found.Before.Faults == 0:
		nothing = "nothing is at fault"
	}
	return c.keep(name, &f.keep, v.Alternative, "", set, nothing)
}
