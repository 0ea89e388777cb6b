// Package csvout writes the tables of documents as CSV for spreadsheets: of the tables with a key the
// first, its numbers as in JSON. Texts that a spreadsheet would take for a formula are guarded.
//
// It must not know what a document is about.
package csvout

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/render/internal/jsonout"
)

// Write writes the first table of a document that has a key, also inside sections.
func Write(w io.Writer, d *doc.Doc) error {
	out := csv.NewWriter(w)
	if t := first(d.Blocks); t != nil {
		var head []string
		for _, c := range t.Columns {
			if c.Key != "" && c.For.Has(doc.Data) {
				head = append(head, c.Key+c.Kind.Suffix(d.Units))
			}
		}
		_ = out.Write(head) // the error stays in the writer
		for _, row := range t.Rows {
			if len(row) != len(t.Columns) {
				continue
			}
			var fields []string
			for i, c := range t.Columns {
				if c.Key != "" && c.For.Has(doc.Data) {
					fields = append(fields, field(&row[i], c.Kind, d.Units))
				}
			}
			_ = out.Write(fields)
		}
	}
	out.Flush()
	return out.Error()
}

func first(blocks []doc.Block) *doc.Table {
	for b := range doc.Shown(blocks, doc.Data) {
		switch b := b.(type) {
		case *doc.Table:
			if b.Key != "" {
				return b
			}
		case *doc.Section:
			if t := first(b.Blocks); t != nil {
				return t
			}
		}
	}
	return nil
}

// field is a cell; a number that does not apply is empty.
func field(c *doc.Cell, k quantity.Kind, s quantity.System) string {
	switch v := jsonout.Value(c, k, s).(type) {
	case string:
		return Guard(v)
	case bool:
		return strconv.FormatBool(v)
	case float64:
		if !math.IsNaN(v) && !math.IsInf(v, 0) {
			return string(jsonout.AppendNumber(nil, v))
		}
	}
	return ""
}

// Guard puts an apostrophe before a text that a spreadsheet would take for a formula, or that begins
// with a tab or a line break.
func Guard(text string) string {
	start := func(s string) rune { r, _ := utf8.DecodeRuneInString(s); return r }
	inner := strings.TrimLeftFunc(text, unicode.IsSpace)
	if inner != "" && strings.ContainsRune("=+-@'＝＋－＠", start(inner)) ||
		text != "" && strings.ContainsRune("\t\r\n", start(text)) {
		return "'" + text
	}
	return text
}
