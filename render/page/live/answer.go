package live

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"slices"
	"strings"
	"time"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/page"
	"spillway/render/page/trial"
	"spillway/render/schematic"
	"spillway/solver/state"
)

// Bounds of a question.
const (
	mostBody     = 64 << 10
	mostSettings = 100
	longestText  = 1000
)

// question is what the page asks.
type question struct {
	Alternative string    `json:"alternative"`
	State       string    `json:"state"`
	Set         []setting `json:"set"`
	Colour      string    `json:"colour"` // velocity, static or temperature
	// All asks for the other call states too.
	All bool `json:"all"`
	// Moving says that a hand moves a setting: the answer need only be what the eye follows, and may be a quick solution.
	Moving bool `json:"moving"`
}

// setting is one setting that was moved.
type setting struct {
	Path  string `json:"path"`
	Value string `json:"value"`
}

// answer is what it gets.
type answer struct {
	Revision     int              `json:"revision"`
	Problem      string           `json:"problem,omitempty"` // of the question; nothing else is given then
	Note         string           `json:"note,omitempty"`    // where the answer is not quite what was asked for
	Title        string           `json:"title"`
	State        string           `json:"state"`
	Parts        string           `json:"parts"`
	Moving       bool             `json:"moving,omitempty"` // parts are those that the eye follows; the others are to come
	Overview     string           `json:"overview,omitempty"`
	States       []page.StateLine `json:"states"`
	Alternatives []alternative    `json:"alternatives"`
	Knobs        []knob           `json:"knobs"`
	TOML         string           `json:"toml"`
	Milliseconds float64          `json:"ms"` // that reading, solving and drawing took
}

type alternative struct {
	Name string `json:"name"`
	Note string `json:"note"`
}

// knob is a setting that can be moved, as it stands.
type knob struct {
	Path    string   `json:"path"`
	Name    string   `json:"name"`
	Help    string   `json:"help"`
	Value   float64  `json:"value"`
	From    float64  `json:"from"`
	To      float64  `json:"to"`
	Step    float64  `json:"step"`
	Unit    string   `json:"unit"`
	Text    string   `json:"text"`
	Choices []string `json:"choices,omitempty"`
	Damper  string   `json:"damper,omitempty"`
	Active  bool     `json:"active"` // it matters in this call state
	Group   string   `json:"group"`
}

func (d *Desk) routes() {
	d.mux = http.NewServeMux()
	d.mux.HandleFunc("GET /{$}", d.page)
	d.mux.HandleFunc("GET /live.js", d.script)
	d.mux.HandleFunc("GET /events", d.events)
	d.mux.HandleFunc("POST /solve", d.solve)
	d.mux.HandleFunc("POST /explain", d.explain)
}

// ServeHTTP answers the page's requests.
func (d *Desk) ServeHTTP(w http.ResponseWriter, r *http.Request) { d.guard(d.mux).ServeHTTP(w, r) }

func (d *Desk) page(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	if err := page.WriteLive(w, d.now().title, d.opt.Name); err != nil {
		d.logf("page: %v", err)
	}
}

func (d *Desk) script(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	if _, err := w.Write(page.LiveScript()); err != nil {
		d.logf("script: %v", err)
	}
}

// solve answers a question.
func (d *Desk) solve(w http.ResponseWriter, r *http.Request) {
	var q question
	leave, ok := d.take(w, r, &q, q.check)
	if !ok {
		return
	}
	defer leave()
	begin := time.Now()
	a, err := d.answer(r.Context(), &q)
	if r.Context().Err() != nil {
		return // nobody waits
	}
	if err != nil {
		a = &answer{Revision: d.now().revision, Problem: trial.Problems(d.opt.Name, err).Error()}
	}
	a.Milliseconds = float64(time.Since(begin).Microseconds()) / 1000
	d.reply(w, a)
}

// take reads a question and waits for its turn. When that fails it has answered already.
func (d *Desk) take(w http.ResponseWriter, r *http.Request, q any, check func() error) (leave func(), ok bool) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		http.Error(w, "a question is JSON", http.StatusUnsupportedMediaType)
		return nil, false
	}
	dec := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	dec.DisallowUnknownFields()
	if err := dec.Decode(q); err != nil {
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			http.Error(w, "the question is too long", http.StatusRequestEntityTooLarge)
			return nil, false
		}
		http.Error(w, "the question cannot be read", http.StatusBadRequest)
		return nil, false
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		http.Error(w, "one question at a time", http.StatusBadRequest)
		return nil, false
	}
	if err := check(); err != nil {
		http.Error(w, err.Error(), http.StatusBadRequest)
		return nil, false
	}
	select {
	case d.slots <- struct{}{}:
		return func() { <-d.slots }, true
	case <-r.Context().Done():
		return nil, false
	}
}

// reply writes an answer.
func (d *Desk) reply(w http.ResponseWriter, a any) {
	var data bytes.Buffer
	enc := json.NewEncoder(&data)
	enc.SetEscapeHTML(false) // most of it is markup, and no browser takes JSON for a page
	if err := enc.Encode(a); err != nil {
		d.logf("answer: %v", err)
		http.Error(w, "the answer cannot be written", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	if _, err := w.Write(data.Bytes()); err != nil {
		d.logf("answer: %v", err)
	}
}

func (q *question) check() error {
	if len(q.Set) > mostSettings {
		return fmt.Errorf("more than %d settings", mostSettings)
	}
	texts := []string{q.Alternative, q.State}
	for _, s := range q.Set {
		if strings.ContainsRune(s.Path, '=') || strings.TrimSpace(s.Path) == "" {
			return errors.New("a setting has a path and a value")
		}
		texts = append(texts, s.Path, s.Value)
	}
	for _, t := range texts {
		if len(t) > longestText {
			return errors.New("a text is too long")
		}
	}
	return nil
}

// overrides are the settings as the reader of job files takes them.
func (d *Desk) overrides(q *question) []string {
	return append(slices.Clone(d.opt.Set), q.settings()...)
}

// settings are those of the question alone.
func (q *question) settings() []string {
	var set []string
	for _, s := range q.Set {
		set = append(set, s.Path+"="+s.Value)
	}
	return set
}

// units are those of the answers: the command line's, else the job's.
func (d *Desk) units(in *trial.Installation) quantity.System {
	if d.opt.Units != nil {
		return *d.opt.Units
	}
	return in.Graph().Job.Units
}

func (d *Desk) answer(ctx context.Context, q *question) (*answer, error) {
	f := d.now()
	base, err := d.open(f, q.Alternative, d.opt.Set) // where things stand in the file
	if err != nil {
		return nil, err
	}
	in, err := d.installation(ctx, f, base, q)
	if err != nil {
		return nil, err
	}
	job := in.Graph().Job
	sys := d.units(in)
	a := &answer{Revision: f.revision, Title: job.Title, States: page.Lines(in.States()), Moving: q.Moving}
	for _, alt := range job.Alternatives {
		a.Alternatives = append(a.Alternatives, alternative{alt.Name, alt.Note})
	}
	at := stateOf(in.States(), q.State)
	if q.State != "" && in.States()[at].Name != q.State {
		a.Note = fmt.Sprintf("There is no call state %q here; this is the first of %d.", q.State, len(in.States()))
	}
	a.State = in.States()[at].Name
	c, err := d.panel(ctx, in, at, q, sys, a)
	if err != nil {
		return nil, err
	}
	for _, s := range in.Graph().Settings("") {
		a.Knobs = append(a.Knobs, shown(&s, c.Outcome))
	}
	if !q.Moving {
		a.TOML = changeText(d.opt.Name, base.Graph().Job, q)
	}
	return a, nil
}

// installation is the one that a question is about: while a hand moves, the file's own with its settings changed, where they can be changed so.
func (d *Desk) installation(
	ctx context.Context, f file, base *opened, q *question,
) (*trial.Installation, error) {
	if q.Moving && !q.All {
		if at := stateOf(base.States(), q.State); len(q.Set) > 0 {
			if in, err := base.Moved(q.settings(), base.at(ctx, base.States()[at])); err == nil {
				return in, nil
			}
		}
	}
	in, err := d.open(f, q.Alternative, d.overrides(q))
	if err != nil {
		return nil, err
	}
	return in.Installation, nil
}

// stateOf is the index of a call state by name, the first without one.
func stateOf(states []state.CallState, name string) int {
	return max(0, slices.IndexFunc(states, func(s state.CallState) bool { return s.Name == name }))
}

// panel solves the state, and the others when they are asked for.
func (d *Desk) panel(
	ctx context.Context, in *trial.Installation, at int, q *question, sys quantity.System, a *answer,
) (*trial.Case, error) {
	opt := page.PanelOptions{ID: "p", Units: sys, Quantity: colours[q.Colour]}
	var c *trial.Case
	if q.All {
		solved, err := in.Session.All(ctx)
		if err != nil {
			return nil, err
		}
		cases := make([]*trial.Case, len(solved))
		for i := range solved {
			cases[i] = &trial.Case{Case: solved[i]}
		}
		for i := range cases {
			opt.Others = append(opt.Others, cases[i].Outcome)
		}
		opt.Index = at
		c = cases[at]
		c.System = in.System(ctx, c.Outcome)
		if a.Overview, a.States, err = page.Overview(cases, sys); err != nil {
			return nil, err
		}
	} else {
		var err error
		if c, err = in.Solve(ctx, in.States()[at]); err != nil {
			return nil, err
		}
	}
	opt.Moving = q.Moving
	var err error
	a.Parts, err = page.Parts(in, c, opt)
	return c, err
}

// colours are the quantities that the colour of the ducts can show.
var colours = map[string]schematic.Quantity{"velocity": schematic.Velocity, "static": schematic.Static, "temperature": schematic.Temperature}

// shown is a setting for the page.
func shown(s *network.Setting, o *state.Outcome) knob {
	out := knob{Path: s.Path, Name: s.Name, Help: s.Help, Value: s.Number(s.Value), From: s.Number(s.Low), To: s.Number(s.High), Step: s.Number(s.Step), Unit: s.Unit(),
		Text: s.Text(s.Value), Choices: s.Choices, Active: true, Group: "the machine"}
	if s.Element != network.None {
		out.Damper = schematic.DamperName(&o.Graph.Elements[s.Element])
	}
	switch {
	case s.Choices != nil:
		out.Text = s.Word
		out.Active = strings.HasSuffix(s.Name, string(o.State.Mode))
	case s.Blade && trial.Balances(o.Graph, s):
		out.Group = "hand balances"
	case s.Blade:
		out.Group, out.Active = "dampers", trial.Moves(s, o)
	case s.Key() != "loading":
		out.Group = "ways out of the surplus"
	}
	return out
}
