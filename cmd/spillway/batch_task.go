package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
)

// request is one line of a batch's input.
type request struct {
	ID          json.RawMessage `json:"id"`
	File        string          `json:"file"`
	Job         *string         `json:"job"`
	Set         []string        `json:"set"`
	States      []string        `json:"states"`
	Alternative *string         `json:"alternative"`
	Units       string          `json:"units"`
}

// parse reads a line: JSON when it begins with a brace, else the name of a file.
func (r *request) parse(line []byte) error {
	if line[0] != '{' {
		r.File = string(line)
		return nil
	}
	decoder := json.NewDecoder(bytes.NewReader(line))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(r); err != nil {
		return fmt.Errorf("is no request: %w", err)
	}
	switch _, err := decoder.Token(); {
	case !errors.Is(err, io.EOF):
		return errors.New("has something behind the request")
	case r.File == "" && r.Job == nil:
		return errors.New(`has neither "file" nor "job"`)
	case r.Units != "" && r.Units != "ip" && r.Units != "si":
		return fmt.Errorf("there is no system of units %q", r.Units)
	}
	return nil
}

// flags are the flags of the call with what the request has in their place.
func (r *request) flags(call *common) *common {
	f := *call
	if r.Set != nil {
		f.set = r.Set
	}
	if r.States != nil {
		f.states = r.States
	}
	if r.Alternative != nil {
		f.alternative = *r.Alternative
	}
	if r.Units != "" {
		f.units.value = r.Units
	}
	return &f
}

// task is one job on its way through a batch.
type task struct {
	number  int
	request request
	wrong   error // of the line itself
	done    chan answer
}

// answer is what becomes of a task.
type answer struct {
	task     *task
	code     int
	messages []message
	results  [][]byte // JSON, one for each alternative
}

// message is an error or a caution of a job.
type message struct {
	Severity string `json:"severity"`
	Summary  string `json:"summary"`
	Fix      string `json:"fix,omitempty"`
	File     string `json:"file,omitempty"`
	Line     int    `json:"line,omitempty"`
	Column   int    `json:"column,omitempty"`
	Text     string `json:"text,omitempty"`
}

// solve never panics and never fails: whatever goes wrong is in the answer.
func (t *task) solve(call *common, most jobLimits) (a answer) {
	defer func() {
		if r := recover(); r != nil {
			a = answer{task: t, code: unsolvable, messages: []message{{Severity: "error", Summary: fmt.Sprintf("a mistake of the program: %v", r)}}}
		}
	}()
	a.task = t
	if t.wrong != nil {
		a.fail(fail(wrongCall, "%w", t.wrong))
		return a
	}
	name, f := t.request.File, t.request.flags(call)
	var data []byte
	if t.request.Job != nil {
		data = []byte(*t.request.Job)
		if name == "" {
			name = fmt.Sprintf("line %d", t.number)
		}
	} else {
		var err error
		if data, err = readJobFile(name, strings.NewReader("")); err != nil {
			a.fail(err)
			return a
		}
	}
	graphs, found, err := variants(name, data, f)
	a.tell(found)
	if found.HasErrors() {
		a.code = wrongCall
		return a
	}
	if err != nil {
		a.fail(err)
		return a
	}
	if err := a.solveGraphs(name, graphs, f, most); err != nil {
		a.results = nil
		a.fail(err)
	}
	return a
}

// solveGraphs solves the variants of a job within the limits of one.
func (a *answer) solveGraphs(name string, graphs []*network.Graph, f *common, most jobLimits) error {
	ctx, cancel := context.WithTimeout(context.Background(), most.time)
	defer cancel()
	left := most.states
	for _, g := range graphs {
		choose := func(g *network.Graph) ([]state.CallState, error) {
			chosen, err := chooseStates(g, f.states)
			if left -= len(chosen); left < 0 {
				return nil, fail(wrongCall, "%s: the job has more than %d call states; choose with states, or give --most-states",
					diag.Visible(name), most.states)
			}
			return chosen, err
		}
		if err := a.solveGraph(ctx, name, g, f, choose); err != nil {
			if ctx.Err() != nil {
				return fail(unsolvable, "%s: the job took longer than %s; choose call states with states, or give --most-time",
					diag.Visible(name), most.time)
			}
			return err
		}
	}
	return nil
}

// solveGraph solves the states of one variant one after the other: the cores are busy with other jobs.
func (a *answer) solveGraph(ctx context.Context, name string, g *network.Graph, f *common,
	choose func(*network.Graph) ([]state.CallState, error)) error {
	opened, err := session.New(g, session.Options{Choose: choose})
	var unbuilt *session.BuildError
	if errors.As(err, &unbuilt) {
		return refused(name, g.Job.Alternative, unbuilt.Err)
	}
	if err != nil {
		return err
	}
	s := &sheet.Sheet{Version: version, File: name, Units: f.system(g.Job.Units), Job: g.Job}
	s.Assumptions = state.Assumptions(g)
	var said bytes.Buffer
	for _, cs := range opened.States() {
		made, err := opened.Solve(ctx, cs)
		if err != nil {
			return fail(unsolvable, "%s: %w", diag.Visible(name), err)
		}
		console{err: &said}.untried(name, made)
		s.Reports = append(s.Reports, &sheet.Report{Outcome: made.Outcome, Findings: made.Findings})
	}
	if text := strings.TrimSpace(said.String()); text != "" {
		a.messages = append(a.messages, message{Severity: diag.Caution.String(), Summary: text})
	}
	var b bytes.Buffer
	if err := sheet.JSON(&b, s, true); err != nil {
		return err
	}
	a.results = append(a.results, bytes.TrimSpace(b.Bytes()))
	return nil
}

func (a *answer) tell(found diag.List) {
	for _, d := range found {
		a.messages = append(a.messages, message{d.Severity.String(), d.Summary, d.Fix, d.File, d.Line, d.Column, d.LineText})
	}
}

func (a *answer) fail(err error) {
	if list, ok := diag.As(err); ok {
		a.code = wrongCall
		a.tell(list)
		return
	}
	a.code = unsolvable
	var f *failure
	if errors.As(err, &f) {
		a.code = f.code
	}
	a.messages = append(a.messages, message{Severity: diag.Error.String(), Summary: err.Error()})
}

// line is the answer as one line of JSON.
func (a *answer) line() []byte {
	r := &a.task.request
	out := fmt.Appendf(nil, `{"line":%d,"id":`, a.task.number)
	if r.ID != nil {
		out = append(out, r.ID...)
	} else {
		out = append(out, "null"...)
	}
	out = append(out, `,"file":`...)
	out = appendJSON(out, nullable(r.File))
	out = fmt.Appendf(out, `,"code":%d,"messages":`, a.code)
	if a.messages == nil {
		a.messages = []message{}
	}
	out = appendJSON(out, a.messages)
	out = append(out, `,"results":[`...)
	for i, result := range a.results {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(out, result...)
	}
	return append(out, "]}\n"...)
}

func nullable(s string) any {
	if s == "" {
		return nil
	}
	return s
}

// appendJSON appends a value of ours, which encoding/json always takes.
func appendJSON(out []byte, v any) []byte {
	var b bytes.Buffer
	encoder := json.NewEncoder(&b)
	encoder.SetEscapeHTML(false)
	_ = encoder.Encode(v)
	return append(out, bytes.TrimSpace(b.Bytes())...)
}

// mostRequest bounds one line of input; a job file has at most a megabyte, in JSON at most six times as much.
const mostRequest = 8 << 20

var (
	errEnd      = errors.New("end of input")
	errLongLine = fmt.Errorf("has more than %d MiB", mostRequest>>20)
)

// lineReader takes a text apart into lines of bounded length.
type lineReader struct {
	in    *bufio.Reader
	begun bool
}

func newLineReader(in io.Reader) *lineReader {
	return &lineReader{in: bufio.NewReaderSize(in, 64<<10)}
}

// next is the next line without the blanks around it; errEnd behind the last one. A line that is too long is skipped whole, and
// errLongLine stands for it.
func (l *lineReader) next() ([]byte, error) {
	var line []byte
	long := false
	for {
		piece, err := l.in.ReadSlice('\n')
		if !l.begun { // some programs begin a text with a byte order mark
			piece, l.begun = bytes.TrimPrefix(piece, []byte("\xef\xbb\xbf")), true
		}
		if long = long || len(line)+len(piece) > mostRequest; !long {
			line = append(line, piece...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		switch line = bytes.TrimSpace(line); {
		case long:
			return nil, errLongLine
		case err != nil && len(line) == 0:
			return nil, errEnd
		}
		return line, nil
	}
}
