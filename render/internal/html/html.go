// Package html writes documents as HTML: a whole page, or pieces for a page that has its own frame.
// Every text is escaped, and a number whose derivation can be asked for carries its name (data-why).
//
// It must not know what a document is about.
package html

import (
	"cmp"
	_ "embed"
	"html"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/render/palette"
)

// Style says how HTML looks.
type Style struct {
	// Why reports whether the derivation of a number can be asked for by its name; nil: of none.
	Why func(name string) bool
	// Means explains the head of a column, without its unit; "" and nil: not.
	Means func(head string) string
	// Letter makes the page one that prints on a sheet of letter paper.
	Letter bool
	// Scroll puts every table into a region that scrolls by itself.
	Scroll bool
}

//go:embed style.css
var rules string

// Page writes a document as a page that stands alone: no script, no outer resource.
func Page(w io.Writer, d *doc.Doc, style Style) error {
	p := printer{style: style, units: d.Units}
	p.put(`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>`, html.EscapeString(d.Title), "</title>\n<style>:root{", palette.Light().CSS(),
		"}\n@media screen and (prefers-color-scheme:dark){:root{", palette.Dark().CSS(),
		"color-scheme:dark}}\n", rules, letter(style), "</style></head>\n<body><main>\n<h1>",
		html.EscapeString(d.Title), "</h1>\n")
	p.blocks(d.Blocks, 2)
	if len(d.Closing) > 0 {
		p.put(`<p class="faint">`, p.say(d.Closing), "</p>\n")
	}
	p.put("</main></body></html>\n")
	return p.to(w)
}

//go:embed letter.css
var letterRules string

// letter is what a page that prints on a sheet of letter paper has besides.
func letter(style Style) string {
	if !style.Letter {
		return ""
	}
	return letterRules
}

// Blocks writes blocks without a page around them; level is that of their headings.
func Blocks(w io.Writer, blocks []doc.Block, units quantity.System, level int, style Style) error {
	p := printer{style: style, units: units}
	p.blocks(blocks, level)
	return p.to(w)
}

// Say is running text as HTML.
func Say(text []doc.Span, units quantity.System, style Style) string {
	p := printer{style: style, units: units}
	return p.say(text)
}

// printer holds a page in the making.
type printer struct {
	b     strings.Builder
	style Style
	units quantity.System
	err   error // of a figure
}

func (p *printer) to(w io.Writer) error {
	if p.err != nil {
		return p.err
	}
	_, err := io.WriteString(w, p.b.String())
	return err
}

func (p *printer) put(texts ...string) {
	for _, t := range texts {
		p.b.WriteString(t)
	}
}

func (p *printer) blocks(blocks []doc.Block, level int) {
	for b, close := range doc.Shown(blocks, doc.Page) {
		switch b := b.(type) {
		case *doc.Section:
			p.put("<section>\n")
			p.heading(level, b.Title)
			p.blocks(b.Blocks, level+1)
			p.put("</section>\n")
		case *doc.Paragraph:
			class := ""
			if close {
				class = ` class="source"`
			}
			p.put("<p", class, ">", p.mark("b", b.Head, b.Tone), p.say(b.Text), "</p>\n")
		case *doc.Table:
			p.table(b)
		case *doc.Facts:
			p.heading(level, b.Title)
			p.facts(b.Items)
		case *doc.Ledger:
			p.ledger(b)
		case *doc.Code:
			p.put("<pre>", html.EscapeString(b.Text), "</pre>\n")
		case *doc.Figure:
			svg, err := b.SVG()
			if err != nil {
				p.err = err
			}
			p.put(`<figure aria-label="`, html.EscapeString(b.Alt), "\">\n", svg, "</figure>\n")
		}
	}
}

func (p *printer) heading(level int, title string) {
	if title != "" {
		h := strconv.Itoa(min(level, 6))
		p.put("<h", h, ">", html.EscapeString(title), "</h", h, ">\n")
	}
}

var classes = map[doc.Tone]string{doc.Heading: "strong", doc.Faint: "faint", doc.Caution: "caution",
	doc.Fault: "fault", doc.Wanted: "asked", doc.Surplus: "surplus"}

// mark is a text in an element of a tone, or nothing for no text.
func (p *printer) mark(element, text string, t doc.Tone) string {
	if text == "" {
		return ""
	}
	open := element
	if c := classes[t]; c != "" {
		open += ` class="` + c + `"`
	}
	return "<" + open + ">" + html.EscapeString(text) + "</" + element + ">"
}

// why is the attribute by which a derivation is asked for, "" without one.
func (p *printer) why(name string) string {
	if name == "" || p.style.Why == nil || !p.style.Why(name) {
		return ""
	}
	return ` data-why="` + html.EscapeString(doc.Clean(name)) + `"`
}

func (p *printer) say(text []doc.Span) string {
	var b strings.Builder
	for _, s := range text {
		if s.Cell == nil {
			b.WriteString(html.EscapeString(s.Words))
			continue
		}
		attributes := p.why(s.Cell.Ask)
		if c := classes[s.Cell.Tone]; c != "" {
			attributes += ` class="` + c + `"`
		}
		text := html.EscapeString(s.Cell.Text(p.units))
		if attributes != "" {
			text = "<span" + attributes + ">" + text + "</span>"
		}
		b.WriteString(text)
	}
	return b.String()
}

// table writes rows under heads; the first cell of a row of words is its head.
func (p *printer) table(t *doc.Table) {
	t = t.In(doc.Page)
	if p.style.Scroll {
		label := html.EscapeString(cmp.Or(t.Title, t.Columns[0].Head))
		p.put(`<div class="scroll" tabindex="0" role="region" aria-label="`, label, "\">\n")
		defer p.put("</div>\n")
	}
	p.put("<table>")
	if caption := cmp.Or(t.Title, t.Columns[0].Head); caption != "" {
		p.put("<caption>", html.EscapeString(caption), "</caption>")
	}
	p.put("\n<thead><tr>")
	for _, c := range t.Columns {
		p.put(`<th scope="col"`, number(c), p.means(&c), ">",
			html.EscapeString(c.Whole(p.units)))
		if c.Say != "" {
			p.put(`<span class="hidden">`, html.EscapeString(c.Say), "</span>")
		}
		p.put("</th>")
	}
	p.put("</tr></thead>\n<tbody>\n")
	for _, row := range t.Rows {
		p.put("<tr>")
		if len(row) == 1 && len(t.Columns) > 1 {
			p.put(`<th colspan="`, strconv.Itoa(len(t.Columns)), `" scope="rowgroup">`,
				html.EscapeString(row[0].Text(p.units)), "</th></tr>\n")
			continue
		}
		for i := range row {
			p.cell(&row[i], &t.Columns[i], i == 0)
		}
		p.put("</tr>\n")
	}
	p.put("</tbody></table>\n")
}

func (p *printer) cell(c *doc.Cell, column *doc.Column, first bool) {
	text := html.EscapeString(c.Text(p.units))
	if first && column.Left {
		p.put(`<th scope="row">`, text, "</th>")
		return
	}
	class := classes[c.Tone]
	if !column.Left {
		class = strings.TrimSpace("n " + class)
	}
	if class != "" {
		class = ` class="` + class + `"`
	}
	why := ""
	if text != quantity.Absent {
		why = p.why(c.Ask)
	}
	p.put("<td", class, why, ">", text, "</td>")
}

func number(c doc.Column) string {
	if c.Left {
		return ""
	}
	return ` class="n"`
}

// means is the attribute that explains the head of a column, "" without one.
func (p *printer) means(c *doc.Column) string {
	if p.style.Means == nil {
		return ""
	}
	text := p.style.Means(c.Term(p.units))
	if text == "" {
		return ""
	}
	return ` title="` + html.EscapeString(text) + `"`
}

// facts writes items: pairs of head and text, or a list where nothing has a head.
func (p *printer) facts(items []doc.Item) {
	if !slices.ContainsFunc(items, func(it doc.Item) bool { return it.Head.Text(p.units) != "" || len(it.Under) > 0 }) {
		p.put("<ul>\n")
		for i := range items {
			p.put("<li>", p.say(items[i].Text), "</li>\n")
		}
		p.put("</ul>\n")
		return
	}
	p.put("<dl class=\"facts\">\n")
	for i := range items {
		it := &items[i]
		p.put("<dt>", p.mark("span", strings.TrimRight(it.Head.Text(p.units), " "), it.Head.Tone),
			"</dt><dd>", p.say(it.Text))
		if len(it.Under) > 0 {
			p.put("\n")
			p.facts(it.Under)
		}
		p.put("</dd>\n")
	}
	p.put("</dl>\n")
}

// ledger writes where all of the air goes, with bars: asked-for air solid, surplus hatched.
func (p *printer) ledger(l *doc.Ledger) {
	unit := html.EscapeString(quantity.KindAirflow.Label(p.units))
	airflow, percent := l.Total(p.units)
	p.put("<table class=\"ledger\"><caption>Where the air goes</caption>\n<thead><tr><th scope=\"col\">to</th>",
		`<th scope="col" class="n">`, unit, `</th><th scope="col" class="n">%</th>`,
		`<th scope="col" class="barhead"><span class="hidden">share</span></th></tr></thead>`, "\n<tbody>\n")
	for line := range l.Lines(p.units) {
		class := "hatch"
		if line.Wanted {
			class = "asked"
		}
		p.put(`<tr><th scope="row">`, html.EscapeString(line.Name.Text(p.units)), `</th><td class="n"`,
			p.why(line.Ask), ">", line.Airflow, `</td><td class="n"`, p.why(line.AskPart), ">", line.Percent,
			`</td><td class="bar"><i class="`, class, `" style="width:`,
			strconv.FormatFloat(100*math.Max(line.Share, 0), 'f', 1, 64), "%\"></i></td></tr>\n")
	}
	p.put(`</tbody>`, "\n", `<tfoot><tr><th scope="row">blower</th><td class="n"`, p.why("blower airflow"), ">",
		airflow, `</td><td class="n">`, percent, "</td><td></td></tr></tfoot>\n</table>\n")
}
