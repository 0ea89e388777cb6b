package page

import (
	"io"

	"spillway/network/quantity"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// WriteLive writes the live page into which the panels are put.
func WriteLive(w io.Writer, title, file string) error {
	if title == "" {
		title = file
	}
	title, file = sheet.Clean(title), sheet.Clean(file)
	var m markup
	m.put(asset("live.html"), title, styleOf(), title, file, sheet.Caution)
	_, err := io.WriteString(w, m.String())
	return err
}

// LiveScript is the live page's script.
func LiveScript() []byte {
	return []byte(asset("explain.js") + asset("turn.js") + asset("live.js"))
}

// Parts are the parts of a panel.
func Parts(in *trial.Installation, c *trial.Case, opt PanelOptions) (string, error) {
	panel, err := NewPanel(in, c, opt)
	if err != nil {
		return "", err
	}
	var m markup
	if opt.Moving {
		m.followed(panel)
	} else {
		m.parts(panel)
	}
	return m.String(), nil
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
func Overview(cases []*trial.Case, sys quantity.System) (string, []StateLine, error) {
	var lines []StateLine
	d := &Dossier{Units: sys}
	v := variantView{ID: "all", Groups: overview(cases, "all", d), Unit: sheet.NewPrinter(sys).Units()}
	var err error
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
	var m markup
	m.overview(&v)
	return m.String(), lines, nil
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
