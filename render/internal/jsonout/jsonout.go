// Package jsonout writes documents as JSON for programs: the members of the document, then whatever
// has a key, in order. A section is an object, a table a list of objects, a paragraph or code a
// string, facts an object. Numbers are in the document's system of units, with six Significant
// digits; their keys end with the unit ("airflow_cfm"). A number that does not apply is null.
//
// It must not know what a document is about.
package jsonout

import (
	"encoding/json"
	"io"
	"math"
	"strconv"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/sound"
)

// Write writes a document as one object, over several lines.
func Write(w io.Writer, d *doc.Doc) error {
	var o object
	for _, m := range d.Members {
		o = append(o, memberOf(m.Key, &m.Cell, m.Cell.Kind, d.Units))
	}
	o = append(o, members(d.Blocks, d.Units)...)
	_, err := w.Write(append(Append(nil, o, Layout{}), '\n'))
	return err
}

func members(blocks []doc.Block, s quantity.System) (o object) {
	for b := range doc.Shown(blocks, doc.Data) {
		switch b := b.(type) {
		case *doc.Section:
			if inner := members(b.Blocks, s); b.Key != "" {
				o = append(o, member{b.Key, inner})
			} else {
				o = append(o, inner...)
			}
		case *doc.Paragraph:
			if b.Key != "" {
				o = append(o, member{b.Key, doc.Plainly(b.Text, s)})
			}
		case *doc.Code:
			if b.Key != "" {
				o = append(o, member{b.Key, b.Text})
			}
		case *doc.Facts:
			if b.Key != "" {
				o = append(o, member{b.Key, facts(b, s)})
			}
		case *doc.Table:
			if b.Key != "" {
				o = append(o, member{b.Key, rows(b, s)})
			}
		}
	}
	return o
}

func facts(f *doc.Facts, s quantity.System) (o object) {
	for i := range f.Items {
		if it := &f.Items[i]; it.Key != "" {
			o = append(o, member{it.Key, doc.Plainly(it.Text, s)})
		}
	}
	return o
}

func rows(t *doc.Table, s quantity.System) list {
	out := list{}
	for _, row := range t.Rows {
		if len(row) != len(t.Columns) {
			continue
		}
		var o object
		for i, c := range t.Columns {
			if c.Key != "" && c.For.Has(doc.Data) {
				o = append(o, memberOf(c.Key, &row[i], c.Kind, s))
			}
		}
		out = append(out, o)
	}
	return out
}

// memberOf is a cell with its key; the kind is that of its column.
func memberOf(key string, c *doc.Cell, k quantity.Kind, s quantity.System) member {
	return member{key + k.Suffix(s), Value(c, k, s)}
}

// Value is a cell as JSON and CSV have it: a string, a flag, or a number in the unit of its kind.
// Unknown stands for the cell's own kind. A noise beyond the curves has no number.
func Value(c *doc.Cell, k quantity.Kind, s quantity.System) any {
	switch {
	case c.Form == doc.Word:
		return c.Words + doc.Plainly(c.Spans, s)
	case c.Form == doc.Flag:
		return c.Value != 0
	case c.Form == doc.Noise && !sound.OnCurves(c.Value):
		return math.NaN()
	case k == quantity.Unknown:
		k = c.Kind
	}
	return k.In(c.Value, s)
}

// Significant is how many digits a number is printed with.
const Significant = 6

// AppendNumber prints a number to six Significant digits in the shortest form; a number that does
// not apply is null.
func AppendNumber(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, "null"...)
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', Significant, 64), 64)
	if err != nil || rounded == 0 {
		return append(b, '0')
	}
	if size := math.Abs(rounded); size < 1e-6 || size >= 1e15 {
		return strconv.AppendFloat(b, rounded, 'g', -1, 64)
	}
	return strconv.AppendFloat(b, rounded, 'f', -1, 64)
}

// Object is a JSON object whose members keep their order. Values are strings, numbers, flags, lists of
// strings, Objects, Lists and Raw; any other is null.
type Object interface {
	Len() int
	Member(i int) (key string, value any)
}

// List is a JSON array of objects.
type List interface {
	Len() int
	Object(i int) Object
}

// Raw is a number that is printed exactly as it is: the rounded airflows of a ledger.
type Raw string

// Layout says where the encoder breaks lines.
type Layout struct {
	Compact bool // everything on one line
	depth   int
}

// object and list are what documents are made of in JSON.
type (
	object []member
	member struct {
		key   string
		value any
	}
	list []object
)

func (o object) Len() int                   { return len(o) }
func (o object) Member(i int) (string, any) { return o[i].key, o[i].value }
func (l list) Len() int                     { return len(l) }
func (l list) Object(i int) Object          { return l[i] }

// Append prints a value.
func Append(b []byte, value any, l Layout) []byte {
	switch v := value.(type) {
	case Object:
		return appendObject(b, v, l)
	case List:
		return appendList(b, v, l)
	case Raw:
		return append(b, v...)
	case float64:
		return AppendNumber(b, v)
	case int:
		return strconv.AppendInt(b, int64(v), 10)
	case bool:
		return strconv.AppendBool(b, v)
	case string:
		text, _ := json.Marshal(v) // a string does not fail; bytes that are not UTF-8 become the replacement character
		return append(b, text...)
	case []string:
		b = append(b, '[')
		for i, s := range v {
			if i > 0 {
				b = append(b, ", "...)
			}
			b = Append(b, s, l)
		}
		return append(b, ']')
	}
	return append(b, "null"...)
}

// appendObject prints an object: over several lines if it holds lists or objects of its own, else on
// one.
func appendObject(b []byte, o Object, l Layout) []byte {
	broken := !l.Compact && nests(o)
	inside := Layout{l.Compact, l.depth + 1}
	b = append(b, '{')
	for i := range o.Len() {
		key, value := o.Member(i)
		if i > 0 {
			b = append(b, ',')
		}
		switch {
		case broken:
			b = appendBreak(b, inside.depth)
		case i > 0 && !l.Compact:
			b = append(b, ' ')
		}
		b = append(Append(b, key, l), ':')
		if !l.Compact {
			b = append(b, ' ')
		}
		b = Append(b, value, inside)
	}
	if broken {
		b = appendBreak(b, l.depth)
	}
	return append(b, '}')
}

func appendList(b []byte, items List, l Layout) []byte {
	if items.Len() == 0 {
		return append(b, "[]"...)
	}
	inside := Layout{l.Compact, l.depth + 1}
	b = append(b, '[')
	for i := range items.Len() {
		if i > 0 {
			b = append(b, ',')
		}
		if !l.Compact {
			b = appendBreak(b, inside.depth)
		}
		b = appendObject(b, items.Object(i), inside)
	}
	if !l.Compact {
		b = appendBreak(b, l.depth)
	}
	return append(b, ']')
}

func appendBreak(b []byte, depth int) []byte {
	b = append(b, '\n')
	for range depth {
		b = append(b, "  "...)
	}
	return b
}

// nests reports whether an object holds something that needs lines of its own.
func nests(o Object) bool {
	for i := range o.Len() {
		switch _, value := o.Member(i); v := value.(type) {
		case Object:
			return true
		case List:
			if v.Len() > 0 {
				return true
			}
		}
	}
	return false
}
