package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/study"
)

// compareFlags are the flags of compare.
type compareFlags struct {
	studyFlags
	with    []string
	summary bool
}

func newCompare(c console) *cobra.Command {
	f := &compareFlags{}
	cmd := &cobra.Command{
		Use:   "compare JOB",
		Short: "Set the alternatives of a job side by side, with a reading in plain words",
		Long: "Solves a job as it stands and with each of its alternatives, and sets side by side the worst\n" +
			"of everything, with the call state that each number comes from, then every call state, the\n" +
			"worst first. A paragraph says in plain words what the tables show.\n\n" +
			"An alternative may take parts away (remove = [\"zone.loft\", ...]), so that a zone that is\n" +
			"served in another way is compared like any other.",
		Example: "  spillway compare house.toml\n" +
			"  spillway compare house.toml --with bypass --with dump --state loft\n" +
			"  spillway compare house.toml --format csv -o compare.csv",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.compare(args[0], f) },
	}
	f.add(cmd)
	cmd.Flags().StringArrayVar(&f.with, "with", nil, "compare the job as it stands with only this alternative `NAME` (repeatable)")
	complete(cmd, "with", completeAlternatives)
	cmd.Flags().BoolVar(&f.summary, "summary", false, "text: only the reading and the table of the worst")
	return cmd
}

func (c console) compare(name string, f *compareFlags) error {
	if f.alternative != "" && f.alternative != everyAlternative {
		f.with = append(f.with, f.alternative)
	}
	f.alternative = ""
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{Courses: true, Stops: true})
	if err != nil {
		return err
	}
	variants := []study.Variant{v}
	for _, a := range g.Job.Alternatives {
		if len(f.with) == 0 {
			variants = append(variants, study.Variant{Alternative: a.Name, Set: v.Set})
		}
	}
	for _, a := range f.with {
		variants = append(variants, study.Variant{Alternative: a, Set: v.Set})
	}
	found, err := s.Compare(variants)
	if err != nil {
		return c.studyError(name, "", err)
	}
	sheets := make([]*sheet.Sheet, len(found.Results))
	for k, r := range found.Results {
		for _, untried := range r.Untried {
			fmt.Fprintf(c.err, "%s: %v\n", diag.Visible(name), untried)
		}
		sheets[k] = headOf(name, r.Graph, &f.studyFlags)
		for i, o := range r.Outcomes {
			sheets[k].Reports = append(sheets[k].Reports, &sheet.Report{Outcome: o, Findings: r.Findings[i]})
		}
	}
	return f.print(c, sheet.Comparison(sheets, found, f.summary), func(w io.Writer) error { return sheet.CompareJSON(w, sheets, found) },
		func(w io.Writer) error { return sheet.CompareCSV(w, sheets, found) })
}
