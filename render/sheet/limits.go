package sheet

import (
	"io"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/solver/verdict"
)

// LimitList is the table of limits, to print.
type LimitList struct {
	Units  quantity.System
	Limits []verdict.Limit
	Usual  []verdict.UsualFigure
	Style  Style // of the text
}

// Text writes the list for people: a line with the steps of each check, then when it is made, the key that overrides it and its source.
func (l *LimitList) Text(w io.Writer) error {
	var b strings.Builder
	m := tradeOf(l.Units)
	for _, row := range l.Limits {
		unit := m.forQuantity(row.Quantity)
		head := row.Check
		if row.Of != "" {
			head += ", " + row.Of
		}
		b.WriteString(l.Style.paint(clean(head), heading))
		if steps := limitSteps(row, unit, Style{}); steps != "" {
			between := ": "
			if displayWidth(clean(head)+between+steps) > l.Style.page() {
				between = ":\n    "
			}
			b.WriteString(between + limitSteps(row, unit, l.Style))
		}
		b.WriteByte('\n')
		for _, part := range []struct{ head, text string }{{"made: ", row.When()}, {"key: ", limitKey(row.Key)}, {"source: ", row.Source}} {
			if part.text != "" {
				paragraph(&b, 4, part.head, clean(part.text), l.Style, faint)
			}
		}
	}
	if len(l.Usual) > 0 {
		b.WriteString("\nUsual figures, to compare with; no check uses them\n")
	}
	for _, u := range l.Usual {
		unit := m.forQuantity(u.Quantity)
		text := unit.with(u.Low)
		if u.High != u.Low {
			text = unit.text(u.Low) + " to " + unit.with(u.High)
		}
		b.WriteString(u.Name + ": " + text + "\n")
		paragraph(&b, 4, "", u.What+"; "+u.Source, l.Style, plainTone)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func limitKey(key string) string {
	if key == "" {
		return ""
	}
	return "limits." + key
}

// limitSteps says from where on a check is a caution and a fault.
func limitSteps(row verdict.Limit, unit measure, style Style) string {
	word := "above "
	if row.Bounds == verdict.AtLeast {
		word = "below "
	}
	var steps []string
	if !math.IsNaN(row.Caution) {
		steps = append(steps, style.paint("caution", cautionTone)+" "+word+unit.with(row.Caution))
	}
	if !math.IsNaN(row.Fault) {
		steps = append(steps, style.paint("fault", faultTone)+" "+word+unit.with(row.Fault))
	}
	text := strings.Join(steps, ", ")
	if row.Given && text != "" {
		text += " (given)"
	}
	return text
}

// JSON writes the list as one document: units, limits (check, of, bounds, caution, fault, unit, given, when, key, source) and usual
// (name, what, low, high, unit, source).
func (l *LimitList) JSON(w io.Writer) error {
	m := tradeOf(l.Units)
	name := "ip"
	if l.Units == quantity.SI {
		name = "si"
	}
	limits := make(list, len(l.Limits))
	for i, row := range l.Limits {
		unit := m.forQuantity(row.Quantity)
		limits[i] = object{{"check", row.Check}, {"of", row.Of}, {"bounds", row.Bounds.String()}, {"caution", unit.of(row.Caution)}, {"fault", unit.of(row.Fault)},
			{"unit", unit.plain}, {"given", row.Given}, {"when", row.When()}, {"key", limitKey(row.Key)}, {"source", row.Source}}
	}
	usual := make(list, len(l.Usual))
	for i, u := range l.Usual {
		unit := m.forQuantity(u.Quantity)
		usual[i] = object{{"name", u.Name}, {"what", u.What}, {"low", unit.of(u.Low)}, {"high", unit.of(u.High)}, {"unit", unit.plain}, {"source", u.Source}}
	}
	document := object{{"units", name}, {"limits", limits}, {"usual", usual}}
	_, err := w.Write(append(appendObject(nil, document, layout{}), '\n'))
	return err
}
