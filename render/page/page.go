// Package page makes the pages that people open in a browser: the report, one self-contained file, and the pieces that the live page is
// put together from. Everything is in the file itself; nothing is fetched.
//
// A page is made of panels, one for each solved call state: its head, its picture, its ledger and findings, its charts, its tables. The
// report holds the panels of all states and, for every step of a damper's slider, a panel that was solved for that step; the live page asks
// its server for panels.
//
// The package knows HTML and words on paper. It must not know how air behaves, what a limit is, or where files are; cases come solved
// from render/page/trial.
package page

import (
	"embed"
	"errors"
	"io"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/page/trial"
	"spillway/render/sheet"
)

//go:embed web
var web embed.FS

// Dossier is all that a report shows.
type Dossier struct {
	Version string // of the program
	File    string // name of the job file
	Units   quantity.System
	Set     []string // the settings with which it was read, PATH=VALUE
	// Variants are the job as it stands and the alternatives that are shown with it, at least one.
	Variants []*Variant
	// Decision is the page to decide and sign, which comes first; nil for none. Chosen is the
	// variant whose settings it lists: its sheet for the installer comes next.
	Decision *sheet.Document
	Chosen   int
}

// Variant is the job with one of its alternatives, or as it stands.
type Variant struct {
	Name    string // "" as the file stands
	Note    string
	In      *trial.Installation
	Cases   []*trial.Case
	Sliders [][]Slider // parallel to Cases; may be nil
}

// Slider is one damper of one call state moved through its range, every step solved.
type Slider struct {
	Setting network.Setting
	Steps   []Step
	Now     int // the step at which it stands in the file
}

// Step is one position of a slider. The step at which the damper stands in the file has neither Case nor Problem: it is the state itself.
type Step struct {
	Value   float64             // SI
	In      *trial.Installation // with the damper there
	Case    *trial.Case
	Problem string // why it could not be solved
}

// ErrNothing is returned for a dossier without a solved state.
var ErrNothing = errors.New("page: nothing to report")

// asset is an embedded file.
func asset(name string) string {
	data, err := web.ReadFile("web/" + name)
	if err != nil {
		return "" // the tests would show it
	}
	return string(data)
}

// Report writes the report. The same dossier gives the same bytes.
func Report(w io.Writer, d *Dossier) error {
	if len(d.Variants) == 0 || len(d.Variants[0].Cases) == 0 {
		return ErrNothing
	}
	v, err := newReportView(d)
	if err != nil {
		return err
	}
	var m markup
	m.report(v)
	_, err = io.WriteString(w, m.String())
	return err
}
