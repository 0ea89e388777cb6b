package sheet

import (
	"math"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/verdict"
)

// Limits is the table of limits: the steps of each check, when it is made, the key that overrides it and its source; then figures
// to compare with, if there are any.
//
// JSON: units, limits (check, of, bounds, caution, fault, unit, given, when, key, source), usual (name, what, low, high, unit, source).
func Limits(units quantity.System, limits []verdict.Limit, usual []verdict.UsualFigure) *Document {
	list := &doc.Facts{Step: 4}
	rows := &doc.Table{Key: "limits", For: doc.Data, Columns: keyed("check", "of", "bounds", "caution", "fault", "unit", "given", "when", "key", "source")}
	for i := range limits {
		l := &limits[i]
		head := l.Check
		if l.Of != "" {
			head += ", " + l.Of
		}
		it := doc.Item{Head: doc.Name(head).Toned(doc.Heading), Text: limitSteps(l), Drop: true}
		if len(it.Text) > 0 {
			it.Head.Words += ": "
		}
		key := ""
		if l.Key != "" {
			key = "limits." + l.Key
		}
		for _, part := range []struct{ head, text string }{{"made: ", l.When()}, {"key: ", key}, {"source: ", l.Source}} {
			if part.text != "" {
				it.Under = append(it.Under, doc.Item{Head: doc.Cell{Words: part.head, Tone: doc.Faint}, Text: doc.Sayf("{}", doc.Name(part.text))})
			}
		}
		list.Items = append(list.Items, it)
		rows.Add(doc.Cell{Words: l.Check}, doc.Cell{Words: l.Of}, doc.Cell{Words: l.Bounds.String()}, doc.Of(l.Quantity, l.Caution), doc.Of(l.Quantity, l.Fault),
			doc.Cell{Words: l.Quantity.Symbol(units)}, doc.Truth(l.Given, "given"), doc.Cell{Words: l.When()}, doc.Cell{Words: key}, doc.Cell{Words: l.Source})
	}
	compare := &doc.Facts{Title: "Usual figures, to compare with; no check uses them", Step: 4}
	figures := &doc.Table{Key: "usual", For: doc.Data, Columns: keyed("name", "what", "low", "high", "unit", "source")}
	for _, u := range usual {
		text := doc.Sayf("{}", doc.With(u.Quantity, u.Low))
		if u.High != u.Low {
			text = doc.Sayf("{} to {}", doc.Of(u.Quantity, u.Low), doc.With(u.Quantity, u.High))
		}
		compare.Items = append(compare.Items, doc.Item{Head: doc.Cell{Words: u.Name + ": "}, Text: text, Under: []doc.Item{{Text: doc.Say(u.What + "; " + u.Source)}}})
		figures.Add(doc.Cell{Words: u.Name}, doc.Cell{Words: u.What}, doc.Of(u.Quantity, u.Low), doc.Of(u.Quantity, u.High),
			doc.Cell{Words: u.Quantity.Symbol(units)}, doc.Cell{Words: u.Source})
	}
	return &Document{Title: "", Units: units, Members: []doc.Member{{Key: "units", Cell: doc.Cell{Words: unitsName(units)}}}, Blocks: []doc.Block{list, rows, compare, figures}}
}

// keyed are columns of JSON and CSV whose cells bring their own kinds.
func keyed(keys ...string) (columns []doc.Column) {
	for _, k := range keys {
		columns = append(columns, doc.Column{Key: k})
	}
	return columns
}

// limitSteps says from where on a check is a caution and a fault.
func limitSteps(l *verdict.Limit) (text []doc.Span) {
	word := "above"
	if l.Bounds == verdict.AtLeast {
		word = "below"
	}
	var steps [][]doc.Span
	for _, step := range []struct {
		name string
		tone doc.Tone
		at   float64
	}{{"caution", doc.Caution, l.Caution}, {"fault", doc.Fault, l.Fault}} {
		if !math.IsNaN(step.at) {
			steps = append(steps, doc.Sayf("{} "+word+" {}", doc.Name(step.name).Toned(step.tone), doc.With(l.Quantity, step.at)))
		}
	}
	if text = doc.Join(steps, ", "); l.Given && len(text) > 0 {
		text = append(text, doc.Say(" (given)")...)
	}
	return text
}
