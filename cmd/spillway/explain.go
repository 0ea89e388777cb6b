package main

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/render/glossary"
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/session"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// explainFlags are the flags of explain.
type explainFlags struct {
	common
	format choice
	output string
	depth  int
}

func newExplain(c console) *cobra.Command {
	f := &explainFlags{}
	cmd := &cobra.Command{
		Use:   "explain JOB [WHAT] | explain WORD",
		Short: "Say where one number comes from, or what a word of the trade means",
		Long: "Prints the derivation of one number of a solved call state as a tree: its equation in words\n" +
			"and symbols, the values that went in, and where each of them comes from: a line of the job\n" +
			"file, a row of the catalogue with its source, a stated assumption, another derived number,\n" +
			"or the solution with its certificate.\n\n" +
			"WHAT is the name of a number as solve prints it: a part and a quantity. Without WHAT all\n" +
			"names are listed. Without --state, the call state with the greatest surplus is " +
			"taken.\n\n" +
			"With a word in place of a job file it says what the word means: a term of the trade, " +
			"the\n" +
			"head of a table, a check. \"spillway explain words\" lists all of them.",
		Example: "  spillway explain house.toml\n" +
			"  spillway explain house.toml \"external static\" --state loft\n" +
			"  spillway explain house.toml loft-bed register airflow --depth 0\n" +
			"  spillway explain house.toml surplus --format json\n" +
			"  spillway explain \"external static\"\n" +
			"  spillway explain words --format html -o words.html",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return fail(wrongCall, "explain needs a job file, for example: spillway explain "+
					"house.toml \"external static\"; or a word: spillway explain drift")
			}
			return nil
		},
		ValidArgsFunction: completeExplain,
		RunE: func(_ *cobra.Command, args []string) error {
			if isWord(args[0]) {
				return c.explainWord(strings.Join(args, " "), f)
			}
			return c.explain(args[0], strings.Join(args[1:], " "), f)
		},
	}
	f.add(cmd, true)
	f.format = choice{value: "text", allowed: sheet.Formats}
	f.format.add(cmd, "format", "how it is written; a derivation as text or json")
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	cmd.Flags().IntVar(&f.depth, "depth", 2, "how many `LEVELS` of the tree are printed as text; 0: all")
	return cmd
}

func (c console) explain(name, what string, f *explainFlags) error {
	if f.alternative == everyAlternative {
		return fail(wrongCall, "explain takes one alternative at a time")
	}
	if f.format.value != "text" && f.format.value != "json" {
		return fail(wrongCall, "a derivation is written as text or json, not as %s", f.format.value)
	}
	if f.depth < 0 {
		return fail(wrongCall, "--depth counts levels, from 1; 0 means all")
	}
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return err
	}
	g := graphs[0]
	cases, err := c.cases(name, g, session.Options{Choose: choosing(f.states)})
	if err != nil {
		return err
	}
	chosen := mostSurplus(cases)
	x := derive.New(chosen.Outcome, chosen.Findings)
	head := &sheet.Sheet{Version: version, File: name, Units: f.system(g.Job.Units), Job: g.Job}
	if strings.TrimSpace(what) == "" {
		return f.print(c, sheet.Names(x.Names()))
	}
	step, err := x.Explain(what)
	if err != nil {
		return notFound(err, name)
	}
	e := &sheet.Explanation{State: chosen.Outcome.State.Name, Step: step, Depth: f.depth}
	for _, made := range cases {
		if made == chosen {
			continue
		}
		other := sheet.Elsewhere{State: made.Outcome.State.Name, Value: math.NaN()}
		if s, err := derive.New(made.Outcome, made.Findings).Explain(step.Name); err == nil {
			other.Value = s.Value
		}
		e.Elsewhere = append(e.Elsewhere, other)
	}
	if f.format.value == "json" {
		var b bytes.Buffer
		if err := sheet.ExplainJSON(&b, head, e); err != nil {
			return err
		}
		return c.deliver(b.Bytes(), f.output)
	}
	return f.print(c, sheet.Explain(head, e))
}

// isWord reports whether the first argument of explain is no job file but a word: there is no such
// file, and it does not look like the name of one.
func isWord(arg string) bool {
	if arg == "-" || strings.ContainsAny(arg, `/\`) && !glossaryHas(arg) ||
		strings.HasSuffix(arg, ".toml") {
		return false
	}
	info, err := os.Stat(arg)
	return err != nil || info.IsDir()
}

func glossaryHas(word string) bool {
	_, ok := glossary.Find(word)
	return ok
}

// explainWord says what a word means.
func (c console) explainWord(word string, f *explainFlags) error {
	var d *sheet.Document
	switch e, ok := glossary.Find(word); {
	case word == "words":
		d = sheet.Glossary(glossary.Entries())
	case ok:
		d = sheet.Glossary([]glossary.Entry{e})
	default:
		limits, names := checksNamed(word)
		if limits == nil {
			return unknownWord(word, names)
		}
		d = sheet.Limits(quantity.IP, limits, nil)
	}
	var b bytes.Buffer
	if err := sheet.Write(&b, d, f.format.value, c.style(f.output)); err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}

// checksNamed returns the limits of the check of a name, and the names of all checks.
func checksNamed(word string) (of []verdict.Limit, names []string) {
	for _, l := range verdict.Limits(nil) {
		names = append(names, l.Check)
		if strings.EqualFold(l.Check, word) {
			of = append(of, l)
		}
	}
	return of, names
}

// unknownWord says which word was probably meant.
func unknownWord(word string, checks []string) error {
	hint := glossary.Suggest(word)
	if hint == "" {
		hint = diag.DidYouMean(word, checks)
	}
	if hint == "" {
		hint = `"spillway explain words" lists the words`
	}
	return fail(wrongCall, "%q is neither a job file nor a word of the glossary; %s",
		diag.Visible(word), hint)
}

// print writes a derivation or the list of names as text.
func (f *explainFlags) print(c console, d *sheet.Document) error {
	var b bytes.Buffer
	if err := sheet.Write(&b, d, "text", c.style(f.output)); err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}

// mostSurplus is the case with the greatest surplus, the first of equals.
func mostSurplus(cases []*session.Case) *session.Case {
	best := cases[0]
	for _, made := range cases {
		if made.Outcome.Ledger.Surplus > best.Outcome.Ledger.Surplus {
			best = made
		}
	}
	return best
}

// notFound says what a text may have meant.
func notFound(err error, job string) error {
	var wrong *derive.NotFoundError
	if !errors.As(err, &wrong) {
		return err
	}
	text := err.Error()
	if len(wrong.Fits) > 0 {
		const most = 20
		shown := wrong.Fits
		if len(shown) > most {
			shown = append(append([]string{}, shown[:most]...), fmt.Sprintf("and %d more", len(wrong.Fits)-most))
		}
		for i := range shown {
			shown[i] = diag.Visible(shown[i])
		}
		text += ":\n  " + strings.Join(shown, "\n  ")
	}
	return fail(wrongCall, "%s\nall names: spillway explain %s", text, diag.Visible(job))
}

// completeExplain offers the job file first and then the names of numbers.
func completeExplain(cmd *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return completeJob(cmd, args, "")
	}
	job := jobOf(cmd, args)
	if job == nil || len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return explainable(job), cobra.ShellCompDirectiveNoFileComp
}

// explainable lists the names of the numbers of a job's first call state that solves.
func explainable(job *network.Job) []string {
	g, err := network.Build(job)
	if err != nil {
		return nil
	}
	s, err := state.New(g)
	if err != nil {
		return nil
	}
	for _, cs := range state.States(g) {
		o, err := s.Solve(cs)
		if err != nil {
			continue
		}
		var names []string
		for _, n := range derive.New(o, nil).Names() {
			names = append(names, n.Name)
		}
		return names
	}
	return nil
}
