// Package doc is the model of everything that Spillway prints: titles, sentences, tables and lists
// whose numbers are still numbers, in SI, each with its kind of quantity and the name under which
// its derivation can be asked for.
//
// A document says what is said; the writers beside this package (text, html, markdown, jsonout,
// csvout) say how it looks. A document must not know labels of units, markup or terminals. A writer
// must not know outcomes or limits.
package doc

import (
	"iter"
	"strings"

	"spillway/network/diag"
	"spillway/network/quantity"
)

// Doc is one document.
type Doc struct {
	Title   string
	Units   quantity.System
	Members []Member // what its JSON begins with: version, job, file
	Blocks  []Block
	Closing []Span // ends the last of several documents in a row
}

// Member is one value of a JSON object, or one column of a CSV table that repeats in every row.
type Member struct {
	Key  string // without the unit, which the kind of the cell adds
	Cell Cell
}

// Block is a part of a document: *Section, *Paragraph, *Table, *Facts, *Ledger, *Code or *Figure.
type Block interface{ shape() (in Where, close bool) }

// Where says in which outputs a block or a column appears. The zero value means: in all of them that
// people read, and in JSON and CSV if it has a key.
type Where uint8

// The outputs.
const (
	Text Where = 1 << iota // on a terminal and in Markdown
	Page                   // in HTML
	Data                   // in JSON and CSV
)

// Section is a part with a heading; an object in JSON if it has a key.
type Section struct {
	Key, Title string
	Rule       bool // a rule goes through the heading: a section of the first rank
	Blocks     []Block
	Close      bool
	For        Where
}

// Paragraph is running text.
type Paragraph struct {
	Key, Head string // the head ends with its own punctuation and blank: "Alternative: "
	Text      []Span
	Tone      Tone // of the head
	Close     bool // belongs to the block above
	For       Where
}

// Table is rows under heads; a list of objects in JSON if it has a key.
type Table struct {
	Key, Title string
	Columns    []Column
	Rows       [][]Cell // a row of one cell runs over the whole width
	Close      bool
	For        Where
}

// Column is one column of a table. Numbers are set flush right, words flush left.
type Column struct {
	Key    string        // in JSON and CSV, without the unit; "" keeps the column out of them
	Kind   quantity.Kind // of the numbers in JSON and CSV; its unit ends the key
	Unit   bool          // the unit of the kind ends the head
	Head   string
	Above  string // first line of a head of two lines
	Left   bool   // holds words
	Most   int    // the head is cut to this width, if not 0
	Own    int    // a longer text of the first column has a line of its own, if not 0
	Say    string // what a column without a head holds, for those who cannot see it
	Yields bool   // shortened before the other columns of words
	Spare  bool   // left out if the page is too narrow for all
	For    Where
}

// Facts is a list of short texts with heads, which may hold further ones: what a machine does,
// findings with their remedies, a derivation.
type Facts struct {
	Key, Title string
	Items      []Item
	Align      int // the texts start in one column, behind heads of at least this width
	Step       int // indentation of what is under an item, where texts do not start in one column
	Close      bool
	Whole      bool // nothing is wrapped unless a terminal sets the width
	For        Where
}

// Item is one of a list of facts.
type Item struct {
	Key   string
	Head  Cell
	Text  []Span
	Under []Item
	Deep  int  // extra indentation
	Drop  bool // a text that does not fit behind its head goes under it
}

// Code is text to copy as it is: lines for a job file.
type Code struct {
	Key, Text string
}

// Figure is a picture.
type Figure struct {
	Alt string
	SVG func() (string, error)
}

func (b *Section) shape() (Where, bool)   { return b.For, b.Close }
func (b *Paragraph) shape() (Where, bool) { return b.For, b.Close }
func (b *Table) shape() (Where, bool)     { return b.For, b.Close }
func (b *Facts) shape() (Where, bool)     { return b.For, b.Close }
func (b *Ledger) shape() (Where, bool)    { return 0, false }
func (b *Code) shape() (Where, bool)      { return 0, false }
func (b *Figure) shape() (Where, bool)    { return Page, false }

// Has reports whether an output is among those of w.
func (w Where) Has(in Where) bool { return w == 0 || w&in != 0 }

// Shown yields the blocks that an output has and whether each belongs to the one above. Blocks
// without content are left out.
func Shown(blocks []Block, in Where) iter.Seq2[Block, bool] {
	return func(yield func(Block, bool) bool) {
		for _, b := range blocks {
			where, close := b.shape()
			if where.Has(in) && (in == Data || !empty(b)) && !yield(b, close) {
				return
			}
		}
	}
}

func empty(b Block) bool {
	switch b := b.(type) {
	case *Table:
		return len(b.Rows) == 0
	case *Facts:
		return len(b.Items) == 0
	case *Section:
		return len(b.Blocks) == 0
	case *Ledger:
		return len(b.Paths) == 0
	case *Paragraph:
		return b.Head == "" && len(b.Text) == 0
	}
	return false
}

// In returns the table with the columns that an output has.
func (t *Table) In(w Where) *Table {
	out := *t
	out.Columns, out.Rows = nil, make([][]Cell, len(t.Rows))
	for i, c := range t.Columns {
		if !c.For.Has(w) {
			continue
		}
		out.Columns = append(out.Columns, c)
		for k, row := range t.Rows {
			if len(row) > 1 {
				out.Rows[k] = append(out.Rows[k], row[i])
			}
		}
	}
	for k, row := range t.Rows {
		if len(row) == 1 {
			out.Rows[k] = row
		}
	}
	return &out
}

// Heads are the two lines of a column's head.
func (c *Column) Heads(s quantity.System) (above, head string) {
	if c.Unit {
		return c.Above, strings.TrimSpace(c.Head + " " + c.Kind.Label(s))
	}
	return c.Above, c.Head
}

// Whole is a column's head on one line; a word that is divided between its lines is joined.
func (c *Column) Whole(s quantity.System) string { return joinedHead(c.Heads(s)) }

// Term is what a column is about: its head without the unit, or the unit where it has no more.
func (c *Column) Term(s quantity.System) string {
	if c.Above == "" && c.Head == "" && c.Unit {
		return c.Kind.Label(s)
	}
	return joinedHead(c.Above, c.Head)
}

func joinedHead(above, head string) string {
	if divided, ok := strings.CutSuffix(above, "-"); ok {
		return divided + head
	}
	return strings.TrimSpace(above + " " + head)
}

// Add appends a row.
func (t *Table) Add(row ...Cell) { t.Rows = append(t.Rows, row) }

// Line appends a text that runs over the whole width.
func (t *Table) Line(c Cell) { t.Rows = append(t.Rows, []Cell{c}) }

// Add appends an item.
func (f *Facts) Add(head Cell, text ...Span) {
	f.Items = append(f.Items, Item{Head: head, Text: text})
}

// Span is a piece of running text: words of the program, or a cell.
type Span struct {
	Words string
	Cell  *Cell
}

// Say is running text without numbers. The words are the program's own; foreign ones belong into a
// cell, which makes them safe to print.
func Say(words string) []Span { return []Span{{Words: words}} }

// Sayf puts a cell for every {} of a text: Sayf("settles at {}, {} above freezing", t, margin).
// It panics if their numbers differ, which is a mistake in the program.
func Sayf(format string, cells ...Cell) []Span {
	pieces := strings.Split(format, "{}")
	if len(pieces) != len(cells)+1 {
		panic("doc: " + format + ": a {} for each cell, and none beside")
	}
	var out []Span
	for i, words := range pieces {
		if words != "" {
			out = append(out, Span{Words: words})
		}
		switch {
		case i == len(cells):
		case cells[i].Spans != nil: // a text within a text: its numbers stay cells
			out = append(out, cells[i].Spans...)
		default:
			out = append(out, Span{Cell: &cells[i]})
		}
	}
	return out
}

// Join puts a separator between texts: "; ".
func Join(texts [][]Span, between string) []Span {
	var out []Span
	for i, t := range texts {
		if i > 0 {
			out = append(out, Span{Words: between})
		}
		out = append(out, t...)
	}
	return out
}

// Clean makes a name from a job file safe to print on one line.
func Clean(name string) string { return diag.Visible(name) }
