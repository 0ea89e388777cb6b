package page

import (
	"errors"
	"fmt"
	"html"
	"strings"

	"spillway/render/page/trial"
)

// Frames are the panels of all steps of sliders, packed for the page a few states together.

// script is packed data of a page.
type script struct {
	IDs  string // of the states that it is about, separated by blanks
	Data string // JSON, gzip, base64url without padding
}

// mostPacked is about how many frames are packed together: more take fewer bytes each, and longer until the first of them can be shown.
const mostPacked = 160

// framesOf makes the frames of a variant's states, and their sliders on paper. The keys are "STATE SLIDER STEP".
func framesOf(v *Variant, opt func(i int) PanelOptions) ([]script, [][]sliderView, error) {
	var groups [][]int
	views := make([][]sliderView, len(v.Sliders))
	size := mostPacked
	for i, sliders := range v.Sliders {
		n := 0
		for k := range sliders {
			views[i] = append(views[i], newSliderView(&sliders[k], opt(i).ID, k))
			n += len(sliders[k].Steps)
		}
		if n == 0 {
			continue
		}
		if size+n > mostPacked {
			groups, size = append(groups, nil), 0
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], i)
		size += n
	}
	scripts, errs := make([]script, len(groups)), make([]error, len(groups))
	trial.Each(len(groups), func(g int) {
		// Panels are made on all cores and put in by turns.
		made, failed := make([][]frame, len(groups[g])), make([]error, len(groups[g]))
		trial.Each(len(made), func(n int) {
			i := groups[g][n]
			made[n], failed[n] = stateFrames(v.Sliders[i], opt(i))
		})
		all := newPages()
		var ids []string
		for n, frames := range made {
			ids = append(ids, opt(groups[g][n]).ID)
			for _, f := range frames {
				all.add(f.key, f.text)
			}
		}
		scripts[g].IDs = strings.Join(ids, " ")
		if errs[g] = errors.Join(failed...); errs[g] == nil {
			scripts[g].Data, errs[g] = all.packed()
		}
	})
	return scripts, views, errors.Join(errs...)
}

// frame is one panel as a page shows it.
type frame struct{ key, text string }

// stateFrames makes the frames of a state.
func stateFrames(sliders []Slider, opt PanelOptions) (frames []frame, err error) {
	for k := range sliders {
		for n, step := range sliders[k].Steps {
			if step.Case == nil && step.Problem == "" {
				continue
			}
			text, err := stepHTML(step, opt)
			if err != nil {
				return nil, err
			}
			frames = append(frames, frame{fmt.Sprintf("%s %d %d", opt.ID, k, n), text})
		}
	}
	return frames, nil
}

func newSliderView(s *Slider, id string, k int) sliderView {
	view := sliderView{ID: fmt.Sprintf("%s-k%d", id, k), Name: s.Setting.Name, Help: s.Setting.Help, Path: s.Setting.Path, Key: fmt.Sprint(k), Last: len(s.Steps) - 1, Now: s.Now, Text: s.Setting.Text(s.Setting.Value)}
	values := make([]string, len(s.Steps))
	for n := range s.Steps {
		values[n] = s.Setting.Text(s.Steps[n].Value)
	}
	view.Values = strings.Join(values, "|")
	return view
}

func stepHTML(step Step, opt PanelOptions) (string, error) {
	if step.Case == nil {
		return `<div data-part="problem" role="alert"><p>This position cannot be solved: ` +
			html.EscapeString(step.Problem) + "</p></div>\n", nil
	}
	panel, err := NewPanel(step.In, step.Case, opt)
	if err != nil {
		return "", err
	}
	var m markup
	m.parts(panel)
	return m.String(), nil
}
