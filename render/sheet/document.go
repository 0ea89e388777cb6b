package sheet

import (
	"io"
	"math"
	"slices"

	"spillway/network/quantity"
	"spillway/render/internal/csvout"
	"spillway/render/internal/doc"
	"spillway/render/internal/html"
	"spillway/render/internal/jsonout"
	"spillway/render/internal/markdown"
	"spillway/render/internal/text"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Document is what a command has to say; Write writes it in any format.
type Document = doc.Doc

// Formats are the formats that Write knows.
var Formats = []string{"text", "json", "csv", "markdown", "html"}

// Write writes a document in one of the Formats. JSON and CSV hold what has a key in it.
func Write(w io.Writer, d *Document, format string, style Style) error {
	switch format {
	case "json":
		return jsonout.Write(w, d)
	case "csv":
		return csvout.Write(w, d)
	case "markdown":
		return markdown.Write(w, d)
	case "html":
		return html.Page(w, d, html.Style{Means: Means})
	}
	return text.Write(w, d, text.Style{Color: style.Color, Width: style.Width, Continued: style.Continued})
}

// document begins the document of a study of a job.
func (s *Sheet) document() *Document {
	d := &Document{Title: clean(s.title()), Units: s.Units, Closing: doc.Say(CautionLine)}
	for _, m := range []struct{ key, text string }{{"spillway", s.Version}, {"job", s.title()}, {"file", s.File},
		{"alternative", s.Job.Alternative}, {"units", unitsName(s.Units)}} {
		d.Members = append(d.Members, doc.Member{Key: m.key, Cell: doc.Cell{Words: m.text}})
	}
	return d
}

// alternative says with which alternative the job is solved, if any.
func (s *Sheet) alternative() *doc.Paragraph {
	if s.Job.Alternative == "" {
		return &doc.Paragraph{}
	}
	return &doc.Paragraph{Head: "Alternative: ", Text: doc.Sayf("{}", doc.Name(s.Job.Alternative)), Close: true}
}

// alternativeNote is alternative with the alternative's own note.
func (s *Sheet) alternativeNote() *doc.Paragraph {
	p := s.alternative()
	for _, a := range s.Job.Alternatives {
		if a.Name == s.Job.Alternative && a.Note != "" {
			p.Text = doc.Sayf("{}", doc.Name(a.Name+": "+a.Note))
		}
	}
	return p
}

// toPaste is the lines that go into the job file.
func toPaste(lines string) *doc.Section {
	return &doc.Section{Title: "To paste into the job file", Blocks: []doc.Block{&doc.Code{Key: "override", Text: lines}}}
}

// The numbers of a document by their kinds, without units.
func airflowCell(si float64) doc.Cell     { return doc.Of(quantity.KindAirflow, si) }
func staticCell(si float64) doc.Cell      { return doc.Of(quantity.KindStatic, si) }
func velocityCell(si float64) doc.Cell    { return doc.Of(quantity.KindVelocity, si) }
func dropCell(si float64) doc.Cell        { return doc.Of(quantity.KindPressure, si) }
func temperatureCell(si float64) doc.Cell { return doc.Of(quantity.KindTemperature, si) }
func percentCell(si float64) doc.Cell     { return doc.Of(quantity.KindFraction, si) }

// showCell is a number of any kind; a noise beyond the curves in words.
func showCell(k quantity.Kind, si float64) doc.Cell {
	if k == quantity.KindNoise {
		return doc.Of(k, si).As(doc.Noise)
	}
	return doc.Of(k, si)
}

// withUnit is the cell with its unit.
func withUnit(c doc.Cell) doc.Cell { c.Unit = true; return c }

// placeCell is a check with its place: "register face velocity of loft-bed".
func placeCell(name, where string) doc.Cell { return doc.Cell{Words: checkName(name, where)} }

// againstSpans says how far a finding is from its limit: "external static 0.612 against 0.500 in. w.c.".
func againstSpans(f *verdict.Finding) []doc.Span {
	name := placeCell(f.Check, f.Where)
	if math.IsNaN(f.Limit) {
		return doc.Sayf("{} at {}", name, doc.With(f.Quantity, f.Value))
	}
	return doc.Sayf("{} {} against {}", name, doc.Of(f.Quantity, f.Value), doc.With(f.Quantity, f.Limit))
}

// nevers lists what no setting in the range puts right.
func nevers(title string, list []study.Fault) *doc.Section {
	facts := &doc.Facts{}
	for i := range list {
		f := &list[i]
		facts.Add(doc.Cell{}, slices.Concat(doc.Say("at best "), againstSpans(&f.Finding), doc.Sayf(" ({})", doc.Name(f.State)))...)
	}
	return titled(title, facts)
}

// titled is a section of one block, or one without content.
func titled(title string, b *doc.Facts) *doc.Section {
	if len(b.Items) == 0 {
		return &doc.Section{}
	}
	return &doc.Section{Title: title, Blocks: []doc.Block{b}}
}

// clean makes a name from a job file safe to print.
func clean(name string) string { return doc.Clean(name) }

// duration is a time in s as documents print it.
func duration(seconds float64) string { return doc.After(seconds).Text(quantity.IP) }

// WriteLetter writes a document as a page that prints on one sheet of letter paper.
func WriteLetter(w io.Writer, d *Document) error {
	return html.Page(w, d, html.Style{Letter: true})
}
