package sheet

import (
	"strings"

	"spillway/render/glossary"
	"spillway/render/internal/doc"
)

// Means explains the head of a column of a document, given without its unit; "" where the glossary
// has nothing on it.
func Means(head string) string {
	e, _ := glossary.Head(head)
	return e.Text
}

// Glossary explains words: one or more entries.
//
// JSON: words (word, also, heads, text, see).
func Glossary(entries []glossary.Entry) *Document {
	d := &Document{Title: "Words of the trade"}
	if len(entries) == 1 {
		d.Title = ""
	}
	list := &doc.Facts{Step: 4}
	rows := &doc.Table{Key: "words", For: doc.Data,
		Columns: keyed("word", "also", "heads", "text", "see")}
	for i := range entries {
		e := &entries[i]
		it := doc.Item{Head: doc.Cell{Words: e.Word + ": ", Tone: doc.Heading}, Drop: true,
			Text: doc.Say(e.Text)}
		also, heads, see := strings.Join(e.Also, ", "), strings.Join(e.Heads, ", "),
			strings.Join(e.See, ", ")
		for _, part := range []struct{ head, text string }{
			{"also: ", also}, {"see: ", see},
		} {
			if part.text != "" {
				it.Under = append(it.Under, doc.Item{Text: doc.Say(part.text),
					Head: doc.Cell{Words: part.head, Tone: doc.Faint}})
			}
		}
		list.Items = append(list.Items, it)
		rows.Add(doc.Cell{Words: e.Word}, doc.Cell{Words: also}, doc.Cell{Words: heads},
			doc.Cell{Words: e.Text}, doc.Cell{Words: see})
	}
	d.Blocks = append(d.Blocks, list, rows)
	return d
}
