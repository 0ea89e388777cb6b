package page

import (
	"bytes"
	"html/template"
	"io"

	"spillway/network/quantity"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// Live is what the live page is put together from, its templates read once. It may be used by several goroutines at once.
type Live struct{ t *template.Template }

// NewLive reads the templates.
func NewLive() (*Live, error) {
	t, err := parsed()
	if err != nil {
		return nil, err
	}
	return &Live{t}, nil
}

// Shell is the frame of the live page.
type Shell struct {
	Title, File, Version string
	Style                template.CSS
}

// Write writes the page into which the panels are put.
func (l *Live) Write(w io.Writer, title, file, version string) error {
	if title == "" {
		title = file
	}
	return l.t.ExecuteTemplate(w, "live.html", Shell{Title: sheet.Clean(title), File: sheet.Clean(file), Version: version, Style: styleOf()})
}

// Script is the live page's script.
func (l *Live) Script() []byte {
	return []byte(asset("explain.js") + asset("turn.js") + asset("live.js"))
}

// Parts writes the parts of a panel.
func (l *Live) Parts(in *trial.Installation, c *trial.Case, opt PanelOptions) (string, error) {
	panel, err := NewPanel(in, c, opt)
	if err != nil {
		return "", err
	}
	var b bytes.Buffer
	name := "parts"
	if opt.Moving {
		name = "followed"
	}
	err = l.t.ExecuteTemplate(&b, name, panel)
	return b.String(), err
}

// StateLine is one call state in the list of the live page.
type StateLine struct {
	Name    string `json:"name"`
	Group   string `json:"group"`
	Calls   string `json:"calls"`
	Level   string `json:"level"`
	Verdict string `json:"verdict"`
}

// Overview writes all states side by side, and lists them.
func (l *Live) Overview(cases []*trial.Case, sys quantity.System) (html string, lines []StateLine, err error) {
	d := &Dossier{Units: sys}
	v := variantView{ID: "all", Groups: overview(cases, "all", d), Unit: sheet.NewPrinter(sys).Units()}
	if v.Digest, err = digestOf(cases, nil, sys); err != nil {
		return "", nil, err
	}
	i := 0
	for _, g := range v.Groups {
		for _, r := range g.Rows {
			lines = append(lines, StateLine{Name: cases[i].Outcome.State.Name, Group: g.Name, Calls: r.Calls, Level: r.Level, Verdict: r.Verdict})
			i++
		}
	}
	var b bytes.Buffer
	err = l.t.ExecuteTemplate(&b, "overview", v)
	return b.String(), lines, err
}

// Lines lists call states that are not solved yet.
func Lines(states []state.CallState) []StateLine {
	var lines []StateLine
	for _, s := range states {
		group, calls := splitName(s)
		lines = append(lines, StateLine{Name: s.Name, Group: group, Calls: calls})
	}
	return lines
}
