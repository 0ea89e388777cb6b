package page

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html/template"
	"strings"

	"spillway/render/sheet"
	"spillway/solver/derive"
)

// Frames are the panels of all steps of a state's sliders, packed for the page: a list of distinct lines and, for each frame, which
// lines it is made of. Lines at the same place of different frames stand together, where they differ by a few digits, so that the whole
// packs into a fraction of its size.

// frameScript is the packed frames of one state.
type frameScript struct {
	ID   string // of the state's panel
	Data string // JSON, gzip, base64url without padding
}

type packed struct {
	Lines  []string         `json:"lines"`
	Frames map[string][]int `json:"frames"`
}

// frame is one panel as a template writes it.
type frame struct {
	key   string
	lines []string
}

// framesOf makes the frames of a state, and puts the derivations of their numbers to its own. The keys are "SLIDER STEP".
func framesOf(v *Variant, i int, opt PanelOptions, why *sheet.Derivations) (frameScript, []sliderView, error) {
	t, err := parsed()
	if err != nil {
		return frameScript{}, nil, err
	}
	var frames []frame
	var views []sliderView
	for k, s := range v.Sliders[i] {
		view := sliderView{ID: fmt.Sprintf("%s-k%d", opt.ID, k), Name: s.Knob.Name, Help: s.Knob.Help, Key: fmt.Sprint(k), Last: len(s.Steps) - 1, Now: s.Now, Text: s.Knob.Text(s.Knob.Value)}
		var values []string
		for n, step := range s.Steps {
			values = append(values, s.Knob.Text(step.Value))
			if step.Case == nil && step.Problem == "" {
				continue
			}
			text, x, err := stepHTML(t, step, opt)
			if err != nil {
				return frameScript{}, nil, err
			}
			if x != nil {
				why.Add(fmt.Sprintf("%d %d", k, n), x)
			}
			frames = append(frames, frame{key: fmt.Sprintf("%d %d", k, n), lines: strings.SplitAfter(text, "\n")})
		}
		view.Values = strings.Join(values, "|")
		views = append(views, view)
	}
	data, err := pack(frames)
	return frameScript{ID: opt.ID, Data: data}, views, err
}

func stepHTML(t *template.Template, step Step, opt PanelOptions) (string, *derive.Explainer, error) {
	var b bytes.Buffer
	if step.Case == nil {
		return `<div data-part="problem" role="alert"><p>This position cannot be solved: ` + template.HTMLEscapeString(step.Problem) + "</p></div>\n", nil, nil
	}
	panel, err := NewPanel(step.In, step.Case, opt)
	if err != nil {
		return "", nil, err
	}
	if err := t.ExecuteTemplate(&b, "parts", panel); err != nil {
		return "", nil, err
	}
	return b.String(), panel.why, nil
}

// pack packs frames.
func pack(frames []frame) (string, error) {
	p := packed{Frames: map[string][]int{}}
	index := map[string]int{}
	longest := 0
	for _, f := range frames {
		longest = max(longest, len(f.lines))
	}
	for n := range longest {
		for _, f := range frames {
			if n >= len(f.lines) {
				continue
			}
			line := f.lines[n]
			at, ok := index[line]
			if !ok {
				at = len(p.Lines)
				index[line] = at
				p.Lines = append(p.Lines, line)
			}
			p.Frames[f.key] = append(p.Frames[f.key], at)
		}
	}
	plain, err := json.Marshal(p)
	if err != nil {
		return "", err
	}
	return zipped(plain)
}

// zipped is data as a page carries it: gzip, base64url without padding.
func zipped(plain []byte) (string, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := z.Write(plain); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b.Bytes()), nil
}
