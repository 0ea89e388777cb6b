// Package text writes documents as text for people: lines of at most 100 columns, tables padded with
// blanks, color only on a terminal that has it.
//
// It must not know what a document is about.
package text

import (
	"io"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
)

// Style says how text looks. The zero value is plain text.
type Style struct {
	Color     bool // color helps the eye; nothing is said by color alone
	Width     int  // columns of the terminal, 0 if there is none; a page is never wider than 100
	Continued bool // another document follows, which ends them both
}

const (
	PageWidth  = 100 // the widest line of a text, in columns
	leastWidth = 72  // the narrowest page that a text is laid out for
)

// page is the width of the page.
func (s Style) page() int {
	if s.Width <= 0 {
		return PageWidth
	}
	return min(max(s.Width, leastWidth), PageWidth)
}

var codes = map[doc.Tone]string{doc.Heading: "1", doc.Faint: "2", doc.Caution: "33", doc.Fault: "1;31",
	doc.Wanted: "36", doc.Surplus: "35"}

// paint wraps text in a terminal's color codes if the style has color.
func (s Style) paint(text string, t doc.Tone) string {
	if !s.Color || t == doc.Plain || text == "" {
		return text
	}
	return "\x1b[" + codes[t] + "m" + text + "\x1b[0m"
}

// Write writes a document. An empty line stands before every block but those that belong to the one
// above.
func Write(w io.Writer, d *doc.Doc, style Style) error {
	p := printer{style: style, units: d.Units}
	if d.Title != "" {
		p.line(0, style.paint(Shorten(d.Title, style.page()), doc.Heading))
	}
	p.blocks(d.Blocks, 0, d.Title == "")
	if !style.Continued && len(d.Closing) > 0 {
		p.b.WriteByte('\n')
		p.paragraph(0, "", doc.Plain, p.say(d.Closing))
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// printer holds a text in the making.
type printer struct {
	b     strings.Builder
	style Style
	units quantity.System
}

func (p *printer) line(indent int, text string) {
	if text != "" {
		p.b.WriteString(strings.Repeat(" ", indent))
	}
	p.b.WriteString(text)
	p.b.WriteByte('\n')
}

func (p *printer) blocks(blocks []doc.Block, indent int, begun bool) {
	for b, close := range doc.Shown(blocks, doc.Text) {
		if !close && !begun {
			p.b.WriteByte('\n')
		}
		begun = false
		switch b := b.(type) {
		case *doc.Section:
			p.section(b, indent)
		case *doc.Paragraph:
			p.paragraph(indent, b.Head, b.Tone, p.say(b.Text))
		case *doc.Table:
			p.table(b, indent)
		case *doc.Facts:
			p.facts(b, indent)
		case *doc.Ledger:
			p.ledger(b, indent)
		case *doc.Code:
			for l := range strings.Lines(b.Text) {
				p.line(indent, strings.TrimSuffix(l, "\n"))
			}
		}
	}
}

func (p *printer) section(s *doc.Section, indent int) {
	if title := s.Title; title != "" {
		if s.Rule {
			title = "=== " + title + " " + strings.Repeat("=", max(3, p.style.page()-Width(title)-5))
		}
		p.line(indent, p.style.paint(Shorten(title, p.style.page()), doc.Heading))
	}
	p.blocks(s.Blocks, indent+2, true)
}

// say is a text with the colors of its cells.
func (p *printer) say(text []doc.Span) string {
	var b strings.Builder
	for _, s := range text {
		if s.Cell == nil {
			b.WriteString(s.Words)
		} else {
			b.WriteString(p.style.paint(s.Cell.Text(p.units), s.Cell.Tone))
		}
	}
	return b.String()
}

// paragraph writes a wrapped text; the first line stands behind the head, the others under it.
func (p *printer) paragraph(indent int, head string, tone doc.Tone, text string) {
	hang := indent + Width(head)
	lines := Wrap(text, p.style.page()-hang)
	if len(lines) == 0 && head != "" {
		lines = []string{""}
		head = strings.TrimRight(head, " ")
	}
	for i, line := range lines {
		if i == 0 {
			p.line(indent, p.style.paint(head, tone)+line)
		} else {
			p.line(hang, line)
		}
	}
}

// facts writes items, what is under an item indented.
func (p *printer) facts(f *doc.Facts, indent int) {
	if f.Title != "" {
		p.line(indent, p.style.paint(f.Title, doc.Faint))
	}
	heads := 0
	if f.Align > 0 {
		heads = f.Align
		for i := range f.Items {
			heads = max(heads, min(Width(f.Items[i].Head.Text(p.units)), p.style.page()/2))
		}
		heads += gap
	}
	for i := range f.Items {
		p.item(f, &f.Items[i], indent, heads)
	}
}

func (p *printer) item(f *doc.Facts, it *doc.Item, indent, heads int) {
	indent += it.Deep
	head, text := it.Head.Text(p.units), p.say(it.Text)
	switch {
	case heads > 0:
		head = Shorten(head, heads-gap)
		head += strings.Repeat(" ", max(1, heads-Width(head)))
		if f.Whole && p.style.Width <= 0 {
			p.line(indent, p.style.paint(head, it.Head.Tone)+text)
		} else {
			p.paragraph(indent, head, it.Head.Tone, text)
		}
	case it.Drop && indent+Width(head)+Width(text) > p.style.page():
		p.paragraph(indent, "", doc.Plain, p.style.paint(strings.TrimRight(head, " "), it.Head.Tone))
		p.paragraph(indent+f.Step, "", doc.Plain, text)
	default:
		p.paragraph(indent, head, it.Head.Tone, text)
	}
	for i := range it.Under {
		under := f.Step
		if heads > 0 {
			under = heads
		}
		p.item(f, &it.Under[i], indent+under, 0)
	}
}

// barWidth is how many columns the whole of the blower's air would fill.
const barWidth = 40

// ledger says where all of the air goes. Wanted air is a solid bar and surplus a hatched one, as in
// the pictures.
func (p *printer) ledger(l *doc.Ledger, indent int) {
	t := table{columns: []doc.Column{{Head: "Where the air goes", Left: true},
		{Head: quantity.KindAirflow.Label(p.units)}, {Head: "%"}, {Left: true}}}
	row := func(name, airflow, share string, bar label) {
		t.rows = append(t.rows, []label{{text: name}, {text: airflow}, {text: share}, bar})
	}
	for line := range l.Lines(p.units) {
		bar := label{text: "▒", tone: doc.Surplus}
		if line.Wanted {
			bar = label{text: "█", tone: doc.Wanted}
		}
		bar.text = strings.Repeat(bar.text, max(0, int(math.Round(line.Share*barWidth))))
		row(line.Name.Text(p.units), line.Airflow, line.Percent, bar)
	}
	airflow, percent := l.Total(p.units)
	row("blower", airflow, percent, label{})
	p.rows(&t, indent)
}
