// Package jsonout writes documents as JSON for programs: the members of the document, then whatever
// has a key, in order. A section is an object, a table a list of objects, a paragraph or code a
// string, facts an object. Numbers are in the document's system of units, with six significant
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
	_, err := w.Write(append(o.append(nil, 0), '\n'))
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

// significant is how many digits a number is printed with.
const significant = 6

// AppendNumber prints a number to six significant digits in the shortest form; a number that does
// not apply is null.
func AppendNumber(b []byte, v float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(b, "null"...)
	}
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', significant, 64), 64)
	if err != nil || rounded == 0 {
		return append(b, '0')
	}
	if size := math.Abs(rounded); size < 1e-6 || size >= 1e15 {
		return strconv.AppendFloat(b, rounded, 'g', -1, 64)
	}
	return strconv.AppendFloat(b, rounded, 'f', -1, 64)
}

// object is a JSON object whose members keep their order; list is an array of objects.
type (
	object []member
	member struct {
		key   string
		value any // string, bool, float64, object or list
	}
	list []object
)

func appendValue(b []byte, value any, depth int) []byte {
	switch v := value.(type) {
	case object:
		return v.append(b, depth)
	case list:
		return v.append(b, depth)
	case float64:
		return AppendNumber(b, v)
	case bool:
		return strconv.AppendBool(b, v)
	}
	text, _ := json.Marshal(value) // of a string, which cannot fail
	return append(b, text...)
}

// append prints an object: over several lines if it holds lists or objects, else on one.
func (o object) append(b []byte, depth int) []byte {
	broken := false
	for _, m := range o {
		l, isList := m.value.(list)
		_, isObject := m.value.(object)
		broken = broken || isObject || isList && len(l) > 0
	}
	b = append(b, '{')
	for i, m := range o {
		if i > 0 {
			b = append(b, ',')
		}
		if broken {
			b = appendBreak(b, depth+1)
		} else if i > 0 {
			b = append(b, ' ')
		}
		b = append(appendValue(b, m.key, 0), ": "...)
		b = appendValue(b, m.value, depth+1)
	}
	if broken {
		b = appendBreak(b, depth)
	}
	return append(b, '}')
}

func (l list) append(b []byte, depth int) []byte {
	if len(l) == 0 {
		return append(b, "[]"...)
	}
	b = append(b, '[')
	for i, o := range l {
		if i > 0 {
			b = append(b, ',')
		}
		b = o.append(appendBreak(b, depth+1), depth+1)
	}
	return append(appendBreak(b, depth), ']')
}

func appendBreak(b []byte, depth int) []byte {
	b = append(b, '\n')
	for range depth {
		b = append(b, "  "...)
	}
	return b
}
