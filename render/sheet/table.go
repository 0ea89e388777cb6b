package sheet

import (
	"slices"
	"strings"
	"unicode"

	"spillway/network/diag"
)

// pageWidth is the widest line of a text report, in columns.
const pageWidth = 100

// leastWidth is the narrowest page that a report is laid out for.
const leastWidth = 72

// page is the width of the page: what the style says, no wider than reads well and no narrower than the tables can be made.
func (s Style) page() int {
	if s.Width <= 0 {
		return pageWidth
	}
	return min(max(s.Width, leastWidth), pageWidth)
}

// tone is why a piece of text may be coloured. Every tone goes with a word or a sign that says the same.
type tone int

const (
	plainTone tone = iota
	heading
	faint
	cautionTone
	faultTone
	wantedTone
	surplusTone
)

// paint wraps text in a terminal's colour codes when the style has colour.
func (s Style) paint(text string, t tone) string {
	if !s.Color || t == plainTone || text == "" {
		return text
	}
	code := map[tone]string{heading: "1", faint: "2", cautionTone: "33", faultTone: "1;31", wantedTone: "36", surplusTone: "35"}[t]
	return "\x1b[" + code + "m" + text + "\x1b[0m"
}

// cell is one field of a table.
type cell struct {
	text string
	tone tone
}

func plain(texts ...string) []cell {
	row := make([]cell, len(texts))
	for i, t := range texts {
		row[i].text = t
	}
	return row
}

// column is one column of a table. Numbers stand right, words left.
type column struct {
	head   string
	above  string // first line of a head of two lines
	left   bool
	yields bool // shortened before the other columns of words
	spare  bool // left out where the page is too narrow for all
}

// table aligns rows under heads. A row of one cell runs over the whole width. It pads by hand because colour codes have no width.
type table struct {
	columns []column
	rows    [][]cell
}

func (t *table) add(row ...cell)         { t.rows = append(t.rows, row) }
func (t *table) addPlain(text ...string) { t.rows = append(t.rows, plain(text...)) }

const (
	gap         = 2 // between columns; 1 on a page too narrow for that
	leastColumn = 8 // a column of words is not cut below this
)

// write appends the table, each line behind an indent. Columns of words are shortened when the page is too narrow. A table
// without rows writes nothing.
func (t *table) write(b *strings.Builder, indent int, style Style) {
	if len(t.rows) == 0 {
		return
	}
	widths, gap := t.fit(style.page() - indent)
	if widths == nil {
		t.without(func(c column) bool { return c.spare }).write(b, indent, style)
		return
	}
	line := func(row []cell, base tone) {
		if len(row) == 1 { // a text over the whole width
			b.WriteString(strings.Repeat(" ", indent) + style.paint(shorten(row[0].text, style.page()-indent), row[0].tone) + "\n")
			return
		}
		var out strings.Builder
		pending := indent // blanks owed; none are written at the end of a line
		for i, c := range row {
			if i > 0 {
				pending += gap
			}
			text := shorten(c.text, widths[i])
			pad := max(0, widths[i]-displayWidth(text))
			if !t.columns[i].left {
				pending, pad = pending+pad, 0
			}
			if text != "" {
				painted := c.tone
				if painted == plainTone {
					painted = base
				}
				out.WriteString(strings.Repeat(" ", pending))
				out.WriteString(style.paint(text, painted))
				pending = 0
			}
			pending += pad
		}
		b.WriteString(out.String())
		b.WriteByte('\n')
	}
	heads, above, two := make([]cell, len(t.columns)), make([]cell, len(t.columns)), false
	for i, c := range t.columns {
		heads[i].text, above[i].text = c.head, c.above
		two = two || c.above != ""
	}
	if two {
		line(above, faint)
	}
	line(heads, faint)
	for _, row := range t.rows {
		line(row, plainTone)
	}
}

// fit chooses the widths of the columns: what their texts need, less what the page lacks, taken from the widest words.
func (t *table) fit(page int) (widths []int, between int) {
	for between = gap; between >= 1; between-- {
		widths, total := t.widths(page, between)
		if total <= page || between == 1 && !slices.ContainsFunc(t.columns, func(c column) bool { return c.spare }) {
			return widths, between
		}
	}
	return nil, 0
}

// without is the table without some of its columns.
func (t *table) without(drop func(c column) bool) *table {
	out := &table{}
	keep := func(row []cell) []cell {
		if len(row) != len(t.columns) { // a text over the whole width
			return row
		}
		var kept []cell
		for i, c := range t.columns {
			if !drop(c) {
				kept = append(kept, row[i])
			}
		}
		return kept
	}
	for _, c := range t.columns {
		if !drop(c) {
			out.columns = append(out.columns, c)
		}
	}
	for _, row := range t.rows {
		out.rows = append(out.rows, keep(row))
	}
	return out
}

// widths are those of the columns with so many blanks between them, words shortened as far as they may be, and what they come to.
func (t *table) widths(page, between int) (widths []int, total int) {
	widths = make([]int, len(t.columns))
	total = between * (len(t.columns) - 1)
	for i, c := range t.columns {
		widths[i] = max(displayWidth(c.head), displayWidth(c.above))
		for _, row := range t.rows {
			if len(row) > 1 {
				widths[i] = max(widths[i], displayWidth(row[i].text))
			}
		}
		total += widths[i]
	}
	for total > page {
		widest := -1
		for i, c := range t.columns {
			if !c.left || widths[i] <= max(leastColumn, displayWidth(c.head), displayWidth(c.above)) {
				continue
			}
			if widest < 0 || c.yields && !t.columns[widest].yields || c.yields == t.columns[widest].yields && widths[i] > widths[widest] {
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

// shorten cuts a text to a width and marks the cut.
func shorten(text string, width int) string {
	if displayWidth(text) <= width {
		return text
	}
	var b strings.Builder
	used := 0
	for _, r := range text {
		w := runeWidth(r)
		if used+w > width-1 {
			break
		}
		b.WriteRune(r)
		used += w
	}
	return b.String() + "…"
}

// clean makes a name from a job file safe to print.
func clean(name string) string { return diag.Visible(name) }

// displayWidth is how many terminal columns a text takes.
func displayWidth(text string) (columns int) {
	for _, r := range text {
		columns += runeWidth(r)
	}
	return columns
}

// runeWidth is 0 for marks that stand on the letter before, 2 for the wide letters of East Asia, 1 for the rest.
func runeWidth(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case unicode.In(r, unicode.Han, unicode.Hangul, unicode.Hiragana, unicode.Katakana), r >= 0xFF01 && r <= 0xFF60, r >= 0x1F300 && r <= 0x1FAFF:
		return 2
	}
	return 1
}

// wrap breaks a text into lines of at most so many columns, at blanks but not between a number and its percent sign, a
// temperature and its degrees, nor inside a unit.
func wrap(text string, width int) []string {
	const glue = "\u00a0"
	text = strings.NewReplacer("in. w.c.", "in."+glue+"w.c.", " %", glue+"%", " °F", glue+"°F", " °C", glue+"°C", " kBtu/h", glue+"kBtu/h",
		" kW", glue+"kW").Replace(text)
	var lines []string
	line := ""
	for word := range strings.SplitSeq(text, " ") {
		word = strings.ReplaceAll(word, glue, " ")
		switch {
		case word == "":
		case line == "":
			line = word
		case displayWidth(line)+1+displayWidth(word) <= width:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Paragraph is a text with hanging lines for the style's page: the first stands behind head, which is indented, the others under it.
func Paragraph(indent int, head, text string, style Style) string {
	var b strings.Builder
	paragraph(&b, indent, head, text, style, faint)
	return b.String()
}

// paragraph appends a wrapped text; the first line stands behind head, the others under it.
func paragraph(b *strings.Builder, indent int, head, text string, style Style, t tone) {
	hang := indent + displayWidth(head)
	for i, line := range wrap(text, style.page()-hang) {
		if i == 0 {
			b.WriteString(strings.Repeat(" ", indent))
			b.WriteString(style.paint(head, t))
		} else {
			b.WriteString(strings.Repeat(" ", hang))
		}
		b.WriteString(line)
		b.WriteByte('\n')
	}
}
