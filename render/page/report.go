package page

import (
	"errors"
	"fmt"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/html"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
	"spillway/solver/study"
)

// reportView is what a report shows.
type reportView struct {
	Title, File, Version string
	Decision             HTML // the page to decide and sign; "" for none
	Variants             []variantView
	Many                 bool // variants
	Assumptions          []network.Assumption
	States               []script // what is in the states' places, where a report has more than mostPlain
	Frames               []script
	Derivations          []script // of the numbers of a variant's states
}

// mostPlain is how many states stand in a report as markup. More are packed and put in their places when they are shown or printed: a page of
// a hundred states would be some ten megabytes.
const mostPlain = 40

// asItStands is the name of a variant without one.
const asItStands = "as it stands"

// variantView is one variant in a report.
type variantView struct {
	ID, Name, Note string
	Command        commandView
	Digest         HTML // what to put right, gravest first
	Groups         []groupView
	States         []stateView
	Sheet          *InstallerSheet
	SheetFirst     bool // it comes right after the page to decide and sign
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
	Bars                                                    []sheet.LedgerLine
	WhyDrift, WhyMost                                       string // the names under which these can be explained
}

// stateView is one state with its sliders.
type stateView struct {
	*Panel
	Variant string
	Sliders []sliderView
	Command commandView
	Packed  bool
}

// commandView is the call that explains a number of a variant, without what differs: the number's name belongs between its parts, what is
// set and the state's name behind.
type commandView struct{ Job, Options string }

// sliderView is a slider on paper.
type sliderView struct {
	ID, Name, Help string
	Path           string // of the setting in the job file
	Key            string // into the frames
	Values         string // positions, separated by bars, for the script
	Last, Now      int
	Text           string
}

func newReportView(d *Dossier) (*reportView, error) {
	first := d.Variants[0]
	v := &reportView{Title: sheet.Clean(first.In.Graph().Job.Title), File: sheet.Clean(d.File), Version: d.Version, Many: len(d.Variants) > 1}
	if v.Title == "" {
		v.Title = v.File
	}
	v.Assumptions = state.Assumptions(first.In.Graph())
	if d.Decision != nil {
		var b strings.Builder
		if err := html.Blocks(&b, d.Decision.Blocks, d.Units, 3, html.Style{}); err != nil {
			return nil, err
		}
		v.Decision = HTML(b.String()) // the writer escapes every name
	}
	states := 0
	for _, variant := range d.Variants {
		states += len(variant.Cases)
	}
	for i, variant := range d.Variants {
		view, frames, why, err := newVariantView(variant, fmt.Sprintf("v%d", i), d)
		if err != nil {
			return nil, err
		}
		if states > mostPlain {
			packed, err := packStates(view)
			if err != nil {
				return nil, err
			}
			v.States = append(v.States, packed)
		}
		view.SheetFirst = d.Decision != nil && i == d.Chosen
		v.Variants = append(v.Variants, *view)
		v.Frames = append(v.Frames, frames...)
		v.Derivations = append(v.Derivations, why)
	}
	return v, nil
}

func newVariantView(variant *Variant, id string, d *Dossier) (v *variantView, frames []script, why script, err error) {
	v = &variantView{ID: id, Name: sheet.Clean(variant.Name), Note: sheet.Clean(variant.Note), Unit: sheet.NewPrinter(d.Units).Units()}
	if v.Name == "" {
		v.Name = asItStands
	}
	outcomes := make([]*state.Outcome, len(variant.Cases))
	for i, c := range variant.Cases {
		outcomes[i] = c.Outcome
	}
	options := func(i int) PanelOptions {
		return PanelOptions{ID: fmt.Sprintf("%ss%d", id, i), Units: d.Units, Others: outcomes, Index: i}
	}
	frames, sliders, err := framesOf(variant, options)
	if err != nil {
		return nil, nil, why, err
	}
	panels, errs := make([]*Panel, len(variant.Cases)), make([]error, len(variant.Cases))
	trial.Each(len(panels), func(i int) { panels[i], errs[i] = NewPanel(variant.In, variant.Cases[i], options(i)) })
	if err := errors.Join(errs...); err != nil {
		return nil, nil, why, err
	}
	command := commandOf(d, variant)
	all := sheet.NewDerivations(d.Units)
	for i, panel := range panels {
		s := stateView{Panel: panel, Command: command}
		if len(d.Variants) > 1 {
			s.Variant = v.Name
		}
		if i < len(sliders) {
			s.Sliders = sliders[i]
		}
		v.States = append(v.States, s)
		all.Add(panel.ID, panel.why)
	}
	why.IDs = id
	if why.Data, err = zipped(all.JSON()); err != nil {
		return nil, nil, why, err
	}
	v.Groups = overview(variant.Cases, id, d)
	cures, err := study.Cures(variant.In.Graph())
	if err != nil {
		return nil, nil, why, err
	}
	if v.Digest, err = digestOf(variant.Cases, cures, d.Units); err != nil {
		return nil, nil, why, err
	}
	v.Sheet = newInstallerSheet(variant, id, d.Units)
	return v, frames, why, nil
}

// packStates packs what is in the places of a variant's states.
func packStates(v *variantView) (script, error) {
	texts := make([]string, len(v.States))
	trial.Each(len(texts), func(i int) {
		var m markup
		m.state(&v.States[i])
		texts[i] = m.String()
	})
	all := newPages()
	for i := range texts {
		all.add(v.States[i].ID, texts[i])
		v.States[i].Packed = true
	}
	data, err := all.packed()
	return script{IDs: v.ID, Data: data}, err
}

// commandOf is how a number of a variant can be asked for on the command line.
func commandOf(d *Dossier, v *Variant) commandView {
	c := commandView{Job: "spillway explain " + quoteWord(d.File)}
	if v.Name != "" {
		c.Options = " --alternative " + quoteWord(v.Name)
	}
	for _, s := range d.Set {
		c.Options += " --set " + quoteWord(s)
	}
	if sys := v.In.Graph().Job.Units; d.Units != sys {
		c.Options += " --units " + map[quantity.System]string{quantity.IP: "ip", quantity.SI: "si"}[d.Units]
	}
	return c
}

// quoteWord is a word as a shell takes it for one: in double quotes where it has nothing that they leave alive, else in single ones.
func quoteWord(word string) string {
	word = sheet.Clean(word)
	switch {
	case word != "" && strings.Trim(word, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./:=+,@") == "" && word[0] != '-':
		return word
	case !strings.ContainsAny(word, "\"$`\\!"):
		return `"` + word + `"`
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}
