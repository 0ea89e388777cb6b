package sheet

import (
	"strconv"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
)

// Fittings is the list of names that a job file may write for a fitting, by the place where it
// belongs: other names of the trade, the coefficient in a usual case, and its source with its mark.
// The page also draws those whose names alone mislead.
//
// JSON: fittings (group, write, name, also, coefficient, at, source, mark). A coefficient is a
// share of
// the velocity pressure; "straight on" has none.
func Fittings(words []catalog.FittingWord) *Document {
	d := &Document{Title: "Fittings"}
	rows := &doc.Table{Key: "fittings", For: doc.Data,
		Columns: keyed("group", "write", "name", "also", "coefficient", "at", "source", "mark")}
	var list *doc.Facts
	group := catalog.FittingGroup(255)
	for i, w := range words {
		if w.Group != group {
			group = w.Group
			list = &doc.Facts{Title: groupTitle(group), Step: 4}
			d.Blocks = append(d.Blocks, list)
			if svg := fittingPictures(words[i:], group); svg != "" {
				d.Blocks = append(d.Blocks, &doc.Figure{Alt: "fittings " + group.String(),
					SVG: func() (string, error) { return svg, nil }})
			}
		}
		loss := w.Usual()
		it := doc.Item{Head: doc.Name(w.Write).Toned(doc.Heading), Drop: true}
		number, mark := doc.None(), ""
		text := loss.At
		if loss.Source.Text != "" {
			number = doc.Cell{Kind: quantity.KindRatio, Value: loss.C, Form: doc.Number}
			mark = loss.Source.Mark.String()
			text = "C = " + strconv.FormatFloat(loss.C, 'f', 2, 64) + " " + loss.At
		}
		it.Head.Words += ": "
		it.Text = doc.Say(text)
		also := strings.Join(w.Also, ", ")
		for _, part := range []struct{ head, text string }{
			{"also read: ", also}, {"source: ", sourceWithMark(loss.Source)},
		} {
			if part.text != "" {
				it.Under = append(it.Under, doc.Item{Text: doc.Sayf("{}", doc.Name(part.text)),
					Head: doc.Cell{Words: part.head, Tone: doc.Faint}})
			}
		}
		list.Items = append(list.Items, it)
		rows.Add(doc.Cell{Words: group.String()}, doc.Cell{Words: w.Write}, doc.Cell{Words: w.Name},
			doc.Cell{Words: also}, number, doc.Cell{Words: loss.At},
			doc.Cell{Words: loss.Source.Text}, doc.Cell{Words: mark})
	}
	d.Blocks = append(d.Blocks, rows, &doc.Paragraph{Text: doc.Say(
		`An elbow takes an angle, a make and a radius in any order: "elbow 60 gored r1.0", ` +
			`"elbow 90 hard way". "2x elbow" counts; "C = 0.35" and "15 ft equivalent" stand ` +
			`for any other part. Not written, a branch leaves by a tee.`)})
	return d
}

// groupTitle heads a group, with how many of it a run has.
func groupTitle(g catalog.FittingGroup) string {
	title := strings.ToUpper(g.String()[:1]) + g.String()[1:]
	if g == catalog.OnTheWay {
		return title + " (any number)"
	}
	return title + " (one)"
}

// sourceWithMark is a source with its mark, also when it is published; "" for none.
func sourceWithMark(s catalog.Source) string {
	if s.Text == "" {
		return ""
	}
	return s.Text + " (" + s.Mark.String() + ")"
}
