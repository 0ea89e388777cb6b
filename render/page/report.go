package page

import (
	"fmt"
	"html/template"

	"spillway/network"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// reportView is what the report's template shows.
type reportView struct {
	Title, File, Version string
	Style                template.CSS
	Script               template.JS
	Variants             []variantView
	Many                 bool // variants
	Assumptions          []network.Assumption
	Frames               []frameScript
	Derivations          []frameScript // of the numbers of each state and of its frames
}

// variantView is one variant in a report.
type variantView struct {
	ID, Name, Note string
	Groups         []groupView
	States         []stateView
	Sheet          *InstallerSheet
	Unit           sheet.Units
}

// groupView is the states of one weather and stage, side by side.
type groupView struct {
	Name string
	Rows []rowView
}

// rowView is one state in the overview.
type rowView struct {
	ID, Calls, Level, Verdict                               string
	Blower, Surplus, Static, Leaving, Drift, Most, Recycled string
	Bars                                                    []LedgerLine
	WhyDrift, WhyMost                                       string // the names under which these can be explained
}

// stateView is one state with its sliders.
type stateView struct {
	*Panel
	Sliders []sliderView
}

// sliderView is a slider on paper.
type sliderView struct {
	ID, Name, Help string
	Key            string // into the frames
	Values         string // positions, separated by blanks, for the script
	Last, Now      int
	Text           string
}

func newReportView(d *Dossier) (*reportView, error) {
	first := d.Variants[0]
	v := &reportView{Title: sheet.Clean(first.In.Graph.Job.Title), File: sheet.Clean(d.File), Version: d.Version, Many: len(d.Variants) > 1}
	if v.Title == "" {
		v.Title = v.File
	}
	v.Assumptions = state.Assumptions(first.In.Graph)
	for i, variant := range d.Variants {
		view, frames, why, err := newVariantView(variant, fmt.Sprintf("v%d", i), d)
		if err != nil {
			return nil, err
		}
		v.Variants = append(v.Variants, *view)
		v.Frames = append(v.Frames, frames...)
		v.Derivations = append(v.Derivations, why...)
	}
	v.Style = styleOf()
	v.Script = template.JS(asset("explain.js") + asset("turn.js") + asset("report.js"))
	return v, nil
}

func newVariantView(variant *Variant, id string, d *Dossier) (v *variantView, frames, why []frameScript, err error) {
	v = &variantView{ID: id, Name: sheet.Clean(variant.Name), Note: sheet.Clean(variant.Note), Unit: sheet.NewPrinter(d.Units).Units()}
	if v.Name == "" {
		v.Name = "as it stands"
	}
	outcomes := make([]*state.Outcome, len(variant.Cases))
	for i, c := range variant.Cases {
		outcomes[i] = c.Outcome
	}
	done := make([]reportState, len(variant.Cases))
	trial.Each(len(done), func(i int) {
		done[i] = newReportState(variant, i, PanelOptions{ID: fmt.Sprintf("%ss%d", id, i), Units: d.Units, Others: outcomes, Index: i})
	})
	for i := range done {
		s := &done[i]
		if s.err != nil {
			return nil, nil, nil, s.err
		}
		v.States = append(v.States, s.view)
		why = append(why, s.why)
		if s.frames.ID != "" {
			frames = append(frames, s.frames)
		}
	}
	v.Groups = overview(variant.Cases, id, d)
	v.Sheet = newInstallerSheet(variant, id, d.Units)
	return v, frames, why, nil
}

// reportState is all that a report holds of one state.
type reportState struct {
	view        stateView
	frames, why frameScript
	err         error
}

func newReportState(variant *Variant, i int, opt PanelOptions) (s reportState) {
	if s.view.Panel, s.err = NewPanel(variant.In, variant.Cases[i], opt); s.err != nil {
		return s
	}
	all := sheet.NewDerivations(opt.Units)
	all.Add("", s.view.Panel.why)
	if i < len(variant.Sliders) && len(variant.Sliders[i]) > 0 {
		if s.frames, s.view.Sliders, s.err = framesOf(variant, i, opt, all); s.err != nil {
			return s
		}
	}
	s.why.ID = opt.ID
	s.why.Data, s.err = zipped(all.JSON())
	return s
}
