package sheet

import (
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/reference"
	"spillway/render/internal/doc"
	"spillway/solver/verdict"
)

// Reference describes keys of the job file by their tables: what each is, what it takes, within
// which bounds, what is assumed without it and why, and a line to copy. Of limits the table of
// limits knows what they hold for.
//
// JSON: keys (table, key, words, takes, unit, least, most, default, why, row, example).
func Reference(units quantity.System, sections []reference.Section) *Document {
	d := &Document{Title: "Keys of the job file", Units: units}
	rows := &doc.Table{Key: "keys", For: doc.Data, Columns: keyed("table", "key", "words", "takes",
		"unit", "least", "most", "default", "why", "row", "example")}
	limits := map[string]verdict.Limit{}
	for _, l := range verdict.Limits(nil) {
		limits[l.Key] = l
	}
	for i := range sections {
		s := &sections[i]
		part := &doc.Section{Title: tableHeads(s)}
		if s.Words != "" {
			part.Blocks = append(part.Blocks, &doc.Paragraph{Text: doc.Say(s.Words)})
			if s.Row != "" {
				part.Blocks = append(part.Blocks, &doc.Paragraph{Head: "As a row: ",
					Text: doc.Say(`"` + s.Row + `"`), Close: true})
			}
		}
		list := &doc.Facts{Step: 4}
		for k := range s.Entries {
			e := &s.Entries[k]
			facts := factsOf(e, units)
			if l, ok := limits[e.Key]; ok && s.Type == "limits" {
				facts.limit(&l, units)
			}
			list.Items = append(list.Items, facts.item(e))
			cells := []doc.Cell{{Words: strings.Join(s.Paths, ", ")}, {Words: e.Key},
				{Words: facts.words}, {Words: facts.form}, {Words: unitOf(e, units)}, doc.None(),
				doc.None(),
				{Words: facts.value}, {Words: facts.why}, {Words: e.Item}, {Words: e.Example}}
			if e.Bounds != (network.KeyBounds{}) {
				cells[5] = doc.Of(e.Kind, e.Bounds.Least)
				cells[6] = doc.Of(e.Kind, e.Bounds.Most)
			}
			rows.Add(cells...)
		}
		part.Blocks = append(part.Blocks, list)
		d.Blocks = append(d.Blocks, part)
	}
	d.Blocks = append(d.Blocks, rows)
	if len(sections) > 1 {
		d.Closing = doc.Say("Every number may carry its doubt: about 20 ft, 20 ft +- 2 ft, 10 to " +
			"30 ft, unknown. A line as it stands here also works as --set \"PATH=VALUE\".")
	}
	return d
}

// tableHeads is where a section stands, as the file writes it: "[supply.NAME], [return.NAME]".
func tableHeads(s *reference.Section) string {
	const most = 4
	var heads []string
	for i, p := range s.Paths {
		switch {
		case p == "":
			heads = append(heads, "At the top of the file")
		case i == most && len(s.Paths) > most+1:
			return strings.Join(heads, ", ") + " and others"
		default:
			heads = append(heads, "["+p+"]")
		}
	}
	return strings.Join(heads, ", ")
}

// unitOf is the unit of a key's bare number, "" where it has none.
func unitOf(e *reference.Entry, units quantity.System) string {
	if e.Kind == quantity.Unknown {
		return ""
	}
	return e.Kind.Symbol(units)
}

// keyFacts is what is said of a key, in words.
type keyFacts struct {
	words, form, bounds, value, why, missing string
}

func factsOf(e *reference.Entry, units quantity.System) keyFacts {
	f := keyFacts{words: e.Words, form: e.Form}
	if f.words == f.form+"." {
		f.form = ""
	}
	f.value, f.why, f.missing = e.Without()
	b := e.Bounds
	if b != (network.KeyBounds{}) && e.Kind != quantity.KindFraction &&
		e.Kind != quantity.KindAngle &&
		e.Kind != quantity.Unknown {
		f.bounds = e.Kind.Written(b.Least, units) + " to " + e.Kind.Written(b.Most, units) +
			"; usually " + e.Kind.Written(b.Low, units) + " to " + e.Kind.Written(b.High, units)
	}
	return f
}

// limit adds what the table of limits knows of a key of [limits].
func (f *keyFacts) limit(l *verdict.Limit, units quantity.System) {
	check := l.Check
	if l.Of != "" {
		check += ", " + l.Of
	}
	f.words = strings.TrimSuffix(strings.ToUpper(check[:1])+check[1:]+": "+f.words, ": ")
	f.value, f.why = doc.Plainly(limitSteps(l), units), l.Source
}

// item is a key with its facts under it.
func (f *keyFacts) item(e *reference.Entry) doc.Item {
	it := doc.Item{Head: doc.Cell{Words: e.Key + ": ", Tone: doc.Heading}, Drop: true,
		Text: doc.Say(strings.TrimSpace(f.words))}
	if f.words == "" {
		it.Text, f.form = doc.Say(f.form+"."), ""
	}
	without := f.value
	if f.why != "" {
		without += " (" + f.why + ")"
	}
	if without == "" && f.missing != "" {
		without = "an error: " + f.missing
	}
	row := ""
	if e.Item != "" {
		row = `"` + e.Item + `"`
	}
	inner := ""
	if e.Inner != "" && e.Example == "" {
		inner = "a table of its own"
	}
	for _, part := range []struct{ head, text string }{
		{"takes: ", f.form}, {"bounds: ", f.bounds}, {"without it: ", without}, {"holds: ", inner},
		{"in a row: ", row}, {"example: ", e.Example},
	} {
		if part.text != "" {
			it.Under = append(it.Under, doc.Item{Head: doc.Cell{Words: part.head, Tone: doc.Faint},
				Text: doc.Sayf("{}", doc.Name(part.text))})
		}
	}
	return it
}
