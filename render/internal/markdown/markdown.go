// Package markdown writes documents as Markdown, for issues, notes and messages: headings, tables
// with their numbers flush right, lists. The text of every cell is escaped.
//
// It must not know what a document is about.
package markdown

import (
	"io"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
)

// Write writes a document.
func Write(w io.Writer, d *doc.Doc) error {
	p := printer{units: d.Units}
	p.heading(1, d.Title)
	p.blocks(d.Blocks, 2)
	if len(d.Closing) > 0 {
		p.begin()
		p.put("*", p.say(d.Closing), "*\n")
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

// printer holds a text in the making.
type printer struct {
	b     strings.Builder
	units quantity.System
}

func (p *printer) put(texts ...string) {
	for _, t := range texts {
		p.b.WriteString(t)
	}
}

// begin starts a block.
func (p *printer) begin() {
	if p.b.Len() > 0 {
		p.b.WriteByte('\n')
	}
}

func (p *printer) heading(level int, title string) {
	if title != "" {
		p.begin()
		p.put(strings.Repeat("#", min(level, 6)), " ", escape(title), "\n")
	}
}

func (p *printer) blocks(blocks []doc.Block, level int) {
	for b := range doc.Shown(blocks, doc.Text) {
		switch b := b.(type) {
		case *doc.Section:
			p.heading(level, b.Title)
			p.blocks(b.Blocks, level+1)
		case *doc.Paragraph:
			p.begin()
			p.put(bold(b.Head), p.say(b.Text), "\n")
		case *doc.Table:
			p.heading(level, b.Title)
			p.table(b.In(doc.Text))
		case *doc.Facts:
			p.heading(level, b.Title)
			p.begin()
			p.facts(b.Items, "")
		case *doc.Ledger:
			p.ledger(b)
		case *doc.Code:
			p.begin()
			p.put("```\n", strings.TrimSuffix(b.Text, "\n"), "\n```\n")
		}
	}
}

func (p *printer) row(cells []string) {
	for _, c := range cells {
		p.put("| ", c, " ")
	}
	p.put("|\n")
}

func (p *printer) table(t *doc.Table) {
	heads, rules := make([]string, len(t.Columns)), make([]string, len(t.Columns))
	for i, c := range t.Columns {
		above, head := c.Heads(p.units)
		heads[i], rules[i] = escape(strings.TrimSpace(above+" "+head)), "--:"
		if c.Left {
			rules[i] = ":--"
		}
	}
	p.begin()
	p.row(heads)
	p.row(rules)
	for _, row := range t.Rows {
		cells := make([]string, len(t.Columns))
		for i := range row {
			cells[i] = toned(&row[i], p.units)
		}
		if len(row) == 1 {
			cells[0] = bold(row[0].Text(p.units))
		}
		p.row(cells)
	}
}

func (p *printer) facts(items []doc.Item, indent string) {
	for i := range items {
		it := &items[i]
		head := bold(it.Head.Text(p.units))
		if head != "" && len(it.Text) > 0 {
			head = strings.TrimRight(head, " ") + " "
		}
		p.put(indent, "- ", head, p.say(it.Text), "\n")
		p.facts(it.Under, indent+"  ")
	}
}

func (p *printer) ledger(l *doc.Ledger) {
	p.begin()
	p.row([]string{"Where the air goes", quantity.KindAirflow.Label(p.units), "%"})
	p.row([]string{":--", "--:", "--:"})
	for line := range l.Lines(p.units) {
		p.row([]string{escape(line.Name.Text(p.units)), line.Airflow, line.Percent})
	}
	airflow, percent := l.Total(p.units)
	p.row([]string{"blower", airflow, percent})
}

func (p *printer) say(text []doc.Span) string {
	var b strings.Builder
	for _, s := range text {
		if s.Cell != nil {
			b.WriteString(toned(s.Cell, p.units))
		} else {
			b.WriteString(escape(s.Words))
		}
	}
	return b.String()
}

// toned is a cell, in bold letters what is at fault.
func toned(c *doc.Cell, s quantity.System) string {
	if c.Tone == doc.Fault {
		return bold(c.Text(s))
	}
	return escape(c.Text(s))
}

func bold(text string) string {
	inner := strings.TrimSpace(text)
	if inner == "" {
		return ""
	}
	after := text[len(strings.TrimRight(text, " ")):]
	return "**" + escape(inner) + "**" + after
}

var escapes = strings.NewReplacer(`\`, `\\`, "|", `\|`, "`", "\\`", "*", `\*`, "_", `\_`, "<", `&lt;`,
	">", `&gt;`, "[", `\[`, "]", `\]`, "#", `\#`, "~", `\~`)

// escape makes a text mean itself.
func escape(text string) string { return escapes.Replace(text) }
