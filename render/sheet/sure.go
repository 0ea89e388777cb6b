package sheet

import (
	"fmt"
	"slices"
	"strings"

	"spillway/render/internal/doc"
	"spillway/solver/digest"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// sureSpans says how sure a cause is, where draws of what is not known exactly leave it open or a
// due filter makes the difference; nothing where all draws agree.
func sureSpans(s *Sheet, c *digest.Cause, at int) []doc.Span {
	w := s.Sure
	if w == nil || at >= len(w.Causes) || !w.Causes[at].Known {
		return nil
	}
	sure := &w.Causes[at]
	is := study.VerdictOf(c.Class, sure.Faults, w.Draws)
	text := ""
	switch {
	case is == study.CannotTell:
		text = "; cannot tell: "
		if c.Level != verdict.Fault {
			text = "; a fault in "
		}
		text += fmt.Sprintf("%d of %d draws", sure.Faults, w.Draws)
		if sure.Decides >= 0 {
			text += ", most by " + clean(w.Inputs[sure.Decides])
		}
	case is == study.Fails && c.Level == verdict.Fault:
		text = fmt.Sprintf("; sure, %d of %d draws", sure.Faults, w.Draws)
	}
	if w.Due > 0 && study.VerdictOf(c.Class, sure.DueFaults, w.Due) != is {
		if text == "" {
			text = fmt.Sprintf("; at fault in %d of %d draws", sure.Faults, w.Draws)
		}
		text += fmt.Sprintf(", due filter %d", sure.DueFaults)
	}
	return doc.Say(text)
}

// mostSettling is how many readings are named.
const mostSettling = 2

// surenessLine is how sure it is that nothing is at fault.
func surenessLine(s *Sheet) *doc.Paragraph {
	w := s.Sure
	if w == nil {
		return &doc.Paragraph{}
	}
	text := fmt.Sprintf("nothing is at fault in %d of %d draws of what is not known exactly",
		w.Clear,
		w.Draws)
	if w.Assumed {
		text += " (usual tolerances)"
	}
	if w.Due > 0 {
		text += fmt.Sprintf(", with a due filter in %d", w.DueClear)
	}
	if w.Some {
		text += "; the call states of the causes above only"
	}
	var first []string
	for i := range w.Causes {
		if at := w.Causes[i].Decides; at >= 0 && w.Measure[at] != "" {
			if say := clean(w.Inputs[at]) + " (" + w.Measure[at] + ")"; !slices.Contains(first,
				say) {
				first = append(first, say)
			}
		}
	}
	if len(first) > 0 {
		text += ". What settles most: " + strings.Join(first[:min(len(first), mostSettling)], ", ")
	}
	return &doc.Paragraph{Head: "Sure: ", Close: true, Text: doc.Say(text + ".")}
}
