package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// solveFlags are the flags of solve.
type solveFlags struct {
	common
	format           choice
	strict           bool
	verbose, summary bool
	output           string
}

func newSolve(c console) *cobra.Command {
	f := &solveFlags{format: choice{value: "text", allowed: []string{"text", "json", "csv"}}}
	cmd := &cobra.Command{
		Use:   "solve JOB...",
		Short: "Solve every call state: airflows, pressures, the surplus ledger, findings",
		Long: "Balances the air in every call state of a job file and prints on one screen what is wrong, by\n" +
			"its cause and gravest first, with the changes that help (each solved in every call state), then\n" +
			"a line for each call state.\n\n" +
			"--state shows a call state whole, --verbose all of them: the blower's operating point, where all\n" +
			"of its air goes, what registers, zones and dampers get, and the findings, worst first.\n\n" +
			"\"--alternative all --summary\" sets the alternatives of a job side by side, call state by call\n" +
			"state: where the surplus goes, what it does to the air in furnace or coil, and how fast a\n" +
			"satisfied zone drifts.\n\n" +
			"Several job files may be given, and \"-\" reads one from standard input. JSON is one document\n" +
			"for one job and one line per job for several; CSV is one long table, one number in a row.",
		Example: "  spillway solve house.toml\n" +
			"  spillway solve house.toml --state loft --set \"damper.main.stop=30 %\" --verbose\n" +
			"  spillway solve house.toml --alternative all --summary\n" +
			"  spillway solve jobs/*.toml --format json -o results.jsonl",
		Args:              jobs(0),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.solve(args, f) },
	}
	f.common.add(cmd, true)
	f.format.add(cmd, "format", "how results are written")
	cmd.Flags().BoolVar(&f.strict, "strict", false, "exit with code 3 when a finding is at fault")
	cmd.Flags().BoolVarP(&f.verbose, "verbose", "v", false, "text: also ducts, parts, time course, checks in order, assumptions")
	cmd.Flags().BoolVar(&f.summary, "summary", false, "text: only the table of call states, or of alternatives")
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	return cmd
}

// solve solves job after job and writes each one's results as soon as they are there; into a file only when all went well. A job
// that fails does not keep the others from being solved.
func (c console) solve(names []string, f *solveFlags) error {
	switch {
	case f.verbose && f.summary:
		return fail(wrongCall, "--verbose and --summary cannot both be")
	case f.format.value != "text" && (f.verbose || f.summary):
		return fail(wrongCall, "--verbose and --summary are for text; --format %s always has everything", f.format.value)
	}
	var file bytes.Buffer
	out := writerFunc(c.emit)
	style := sheet.Style{Color: c.color, Width: c.width, Verbose: f.verbose, Summary: f.summary,
		Continued: true,
		Digest:    f.digest()}
	if f.output != "" {
		out, style.Color = func(data []byte) error { file.Write(data); return nil }, false
	}
	p := &printer{out: out, format: f.format.value, style: style, lines: len(names) > 1 || f.alternative == everyAlternative}

	code, fault := solved, false
	for _, name := range names {
		sheets, err := c.solveJob(name, f)
		if err != nil {
			if code = worse(code, c.complain(err)); len(names) == 1 {
				return told(code)
			}
			continue
		}
		for _, s := range sheets {
			fault = fault || hasFault(s)
		}
		if err := p.printJob(sheets); err != nil {
			return err
		}
	}
	if err := p.close(); err != nil {
		return err
	}
	if f.output != "" {
		if code != solved {
			return fail(code, "nothing is written to %s, because not every job was solved", diag.Visible(f.output))
		}
		if err := writeFile(f.output, file.Bytes()); err != nil {
			return err
		}
	}
	if f.strict && fault {
		code = worse(code, atFault)
	}
	if code != solved {
		return told(code)
	}
	return nil
}

// complain prints an error that does not end the run, and returns its exit code.
func (c console) complain(err error) int {
	code := unsolvable
	var f *failure
	if errors.As(err, &f) {
		code = f.code
	}
	if list, ok := diag.As(err); ok { // says itself which file and line it is about
		fmt.Fprint(c.err, list.Error())
		return wrongCall
	}
	if text := err.Error(); text != "" {
		fmt.Fprintf(c.err, "spillway: %s\n", text)
	}
	return code
}

// solveJob solves a job as the flags ask: one sheet, or one for each alternative.
func (c console) solveJob(name string, f *solveFlags) ([]*sheet.Sheet, error) {
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return nil, err
	}
	sheets := make([]*sheet.Sheet, len(graphs))
	for i, g := range graphs {
		cases, err := c.cases(name, g, session.Options{Choose: choosing(f.states)})
		if err != nil {
			return nil, err
		}
		s := &sheet.Sheet{Version: version, File: name, Units: f.system(g.Job.Units), Job: g.Job}
		s.Assumptions = state.Assumptions(g)
		for _, made := range cases {
			s.Reports = append(s.Reports, &sheet.Report{Outcome: made.Outcome, Findings: made.Findings})
		}
		if s.Houses, err = session.Houses(cases); err != nil {
			return nil, fail(unsolvable, "%s: %w", jobName(name, g), err)
		}
		if f.digest() {
			if s.Sure, err = study.SureOf(g, sheet.DigestOf(s), stateNames(s)); err != nil {
				return nil, fail(unsolvable, "%s: %w", jobName(name, g), err)
			}
		}
		if f.digest() && hasFault(s) {
			if s.Cures, err = study.Cures(g); err != nil {
				return nil, fail(unsolvable, "%s: %w", jobName(name, g), err)
			}
		}
		sheets[i] = s
	}
	return sheets, nil
}

// stateNames are the names of the call states of a sheet.
func stateNames(s *sheet.Sheet) (names []string) {
	for _, r := range s.Reports {
		names = append(names, r.Outcome.State.Name)
	}
	return names
}

// digest reports whether one screen is asked for.
func (f *solveFlags) digest() bool {
	return f.format.value == "text" && !f.verbose && !f.summary && len(f.states) == 0
}

func hasFault(s *sheet.Sheet) bool {
	for i := range s.Houses {
		for _, f := range s.Houses[i].Findings {
			if f.Level == verdict.Fault {
				return true
			}
		}
	}
	for _, r := range s.Reports {
		for _, f := range r.Findings {
			if f.Level == verdict.Fault {
				return true
			}
		}
	}
	return false
}

// writerFunc is a function as an io.Writer.
type writerFunc func(data []byte) error

func (f writerFunc) Write(data []byte) (int, error) {
	if err := f(data); err != nil {
		return 0, err
	}
	return len(data), nil
}

// printer writes sheet after sheet in one format.
type printer struct {
	out    writerFunc
	format string
	style  sheet.Style
	lines  bool // JSON: one line per sheet
	table  *sheet.CSV
	begun  bool
}

// printJob writes the sheets of one job; the summary of several alternatives is one table for each call state.
func (p *printer) printJob(sheets []*sheet.Sheet) error {
	if p.format == "text" && p.style.Summary && len(sheets) > 1 {
		return p.text(func(w io.Writer) error { return sheet.Write(w, sheet.Compare(sheets), "text", p.style) })
	}
	for _, s := range sheets {
		if err := p.print(s); err != nil {
			return err
		}
	}
	return nil
}

func (p *printer) print(s *sheet.Sheet) error {
	switch p.format {
	case "json":
		return sheet.JSON(p.out, s, p.lines)
	case "csv":
		if p.table == nil {
			p.table = sheet.NewCSV(p.out)
		}
		return p.table.Add(s)
	}
	return p.text(func(w io.Writer) error { return sheet.Text(w, s, p.style) })
}

// text writes one piece of a text report, behind an empty line when another stands before it.
func (p *printer) text(write func(io.Writer) error) error {
	var b bytes.Buffer
	if p.begun {
		b.WriteByte('\n')
	}
	p.begun = true
	if err := write(&b); err != nil {
		return err
	}
	return p.out(b.Bytes())
}

// close ends a text report with the caution. A run that printed nothing has nothing to end.
func (p *printer) close() error {
	if p.format != "text" || !p.begun {
		return nil
	}
	return p.out([]byte(sheet.Closing(p.style)))
}
