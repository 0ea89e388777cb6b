package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime/debug"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/state"
	"spillway/solver/study"
)

// studyFlags are the flags that every command of many solutions takes.
type studyFlags struct {
	common
	format choice
	output string
}

func (f *studyFlags) add(cmd *cobra.Command) {
	f.common.add(cmd, true)
	f.format = choice{value: "text", allowed: sheet.Formats}
	f.format.add(cmd, "format", "how results are written")
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
}

// openStudy reads a job file for a study and its first variant. Problems of the job go to standard error.
func (c console) openStudy(name string, f *studyFlags, opt study.Options) (*study.Study, study.Variant, *network.Graph, error) {
	debug.SetGCPercent(studyGarbage)
	var v study.Variant
	data, err := readJobFile(name, c.in)
	if err != nil {
		return nil, v, nil, err
	}
	shown := name
	if name == "-" {
		shown = "standard input"
	}
	opt.Choose = func(g *network.Graph) ([]state.CallState, error) { return chooseStates(g, f.states) }
	s := study.New(shown, data, opt)
	v = study.Variant{Set: f.set}
	if f.alternative != everyAlternative {
		v.Alternative = f.alternative
	}
	_, cautions := network.Read(shown, data, network.Options{Alternative: v.Alternative, Set: v.Set})
	if cautions = cautions.Cautions().Sorted(); len(cautions) > 0 {
		fmt.Fprintln(c.err, cautions.Error())
	}
	g, err := s.Read(v)
	if err != nil {
		return nil, v, nil, c.studyError(name, v.Alternative, err)
	}
	return s, v, g, nil
}

// studyGarbage lets thousands of short-lived solutions pile up further before they are cleared away, which takes a tenth off the time.
const studyGarbage = 400

// studyError tells a wrong job or call from one that cannot be solved.
func (c console) studyError(name, alternative string, err error) error {
	var f *failure
	if errors.As(err, &f) {
		return err
	}
	if list, ok := diag.As(err); ok {
		return c.tell(name, list)
	}
	var wrong *study.QuestionError
	if errors.As(err, &wrong) {
		return fail(wrongCall, "%s: %w", diag.Visible(name), err)
	}
	if alternative != "" {
		return fail(unsolvable, "%s, alternative %q: %w", diag.Visible(name), diag.Visible(alternative), err)
	}
	return fail(unsolvable, "%s: %w", diag.Visible(name), err)
}

// headOf is the sheet that says which job a study is about.
func headOf(name string, g *network.Graph, f *studyFlags) *sheet.Sheet {
	s := &sheet.Sheet{Version: version, File: name, Units: f.system(g.Job.Units), Job: g.Job}
	s.Assumptions = state.Assumptions(g)
	return s
}

// print sends a document to standard output or into the file that was asked for. json and csv write
// what these two formats have of their own; nil where the document has it.
func (f *studyFlags) print(c console, d *sheet.Document, json, csv func(w io.Writer) error) error {
	write := func(w io.Writer) error { return sheet.Write(w, d, f.format.value, c.style(f.output)) }
	switch {
	case f.format.value == "json" && json != nil:
		write = json
	case f.format.value == "csv" && csv != nil:
		write = csv
	}
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return c.deliver(b.Bytes(), f.output)
}
