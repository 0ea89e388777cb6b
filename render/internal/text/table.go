package text

import (
	"slices"
	"strings"

	"spillway/render/internal/doc"
)

const (
	gap         = 2 // between columns; 1 on a page too narrow for that
	leastColumn = 8 // a column of words is not cut below this
)

// table is a table whose cells are texts.
type table struct {
	columns []doc.Column
	rows    [][]label
}

// label is a text with its tone.
type label struct {
	text string
	tone doc.Tone
}

// table writes rows under heads. Columns of words are shortened if the page is too narrow.
func (p *printer) table(t *doc.Table, indent int) {
	if t.Title != "" {
		p.line(indent, p.style.paint(Shorten(t.Title, p.style.page()-indent), doc.Heading))
	}
	t = t.In(doc.Text)
	for i := range t.Columns {
		c := &t.Columns[i]
		if c.Above, c.Head = c.Heads(p.units); c.Most > 0 {
			c.Head = Shorten(c.Head, c.Most)
		}
	}
	out := table{columns: t.Columns}
	for _, row := range t.Rows {
		labels := make([]label, len(row))
		for i, c := range row {
			labels[i] = label{c.Text(p.units), c.Tone}
		}
		if most := t.Columns[0].Own; most > 0 && len(row) > 1 && Width(labels[0].text) > most {
			out.rows = append(out.rows, []label{labels[0]})
			labels[0].text = ""
		}
		out.rows = append(out.rows, labels)
	}
	p.rows(&out, indent)
}

func (p *printer) rows(t *table, indent int) {
	widths, gap := t.fit(p.style.page() - indent)
	if widths == nil {
		p.rows(t.withoutSpare(), indent)
		return
	}
	line := func(row []label, base doc.Tone) {
		if len(row) == 1 { // a text over the whole width
			p.line(indent, p.style.paint(Shorten(row[0].text, p.style.page()-indent), row[0].tone))
			return
		}
		var out strings.Builder
		pending := 0 // blanks owed; none are written at the end of a line
		for i, c := range row {
			if i > 0 {
				pending += gap
			}
			text := Shorten(c.text, widths[i])
			pad := max(0, widths[i]-Width(text))
			if !t.columns[i].Left {
				pending, pad = pending+pad, 0
			}
			if text != "" {
				tone := c.tone
				if tone == doc.Plain {
					tone = base
				}
				out.WriteString(strings.Repeat(" ", pending))
				out.WriteString(p.style.paint(text, tone))
				pending = 0
			}
			pending += pad
		}
		p.line(indent, out.String())
	}
	heads, above, two := make([]label, len(t.columns)), make([]label, len(t.columns)), false
	for i, c := range t.columns {
		heads[i].text, above[i].text = c.Head, c.Above
		two = two || c.Above != ""
	}
	if two {
		line(above, doc.Faint)
	}
	line(heads, doc.Faint)
	for _, row := range t.rows {
		line(row, doc.Plain)
	}
}

// fit chooses the widths of the columns: what their texts need, less what the page lacks, taken from
// the widest words. It returns nil if columns that can be spared must go first.
func (t *table) fit(page int) (widths []int, between int) {
	spare := slices.ContainsFunc(t.columns, func(c doc.Column) bool { return c.Spare })
	for between = gap; between >= 1; between-- {
		widths, total := t.widths(page, between)
		if total <= page || between == 1 && !spare {
			return widths, between
		}
	}
	return nil, 0
}

// withoutSpare is the table without the columns that can be spared.
func (t *table) withoutSpare() *table {
	out := &table{rows: make([][]label, len(t.rows))}
	for i, c := range t.columns {
		if c.Spare {
			continue
		}
		out.columns = append(out.columns, c)
		for k, row := range t.rows {
			if len(row) == len(t.columns) {
				out.rows[k] = append(out.rows[k], row[i])
			}
		}
	}
	for k, row := range t.rows {
		if len(row) != len(t.columns) {
			out.rows[k] = row
		}
	}
	return out
}

// widths are those of the columns with so many blanks between them, words shortened as far as they
// may be, and what they come to.
func (t *table) widths(page, between int) (widths []int, total int) {
	widths = make([]int, len(t.columns))
	total = between * (len(t.columns) - 1)
	for i, c := range t.columns {
		widths[i] = max(Width(c.Head), Width(c.Above))
		for _, row := range t.rows {
			if len(row) > 1 {
				widths[i] = max(widths[i], Width(row[i].text))
			}
		}
		total += widths[i]
	}
	for total > page {
		widest := -1
		for i, c := range t.columns {
			if !c.Left || widths[i] <= max(leastColumn, Width(c.Head), Width(c.Above)) {
				continue
			}
			if widest < 0 || c.Yields && !t.columns[widest].Yields ||
				c.Yields == t.columns[widest].Yields && widths[i] > widths[widest] {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
		total--
	}
	return widths, total
}
