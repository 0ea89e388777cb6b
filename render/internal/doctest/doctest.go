// Package doctest holds for tests that the writers of documents say the same.
package doctest

import (
	"bytes"
	"html"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/render/internal/doc"
	htmlout "spillway/render/internal/html"
	"spillway/render/internal/markdown"
	"spillway/render/internal/text"
)

// SameCells holds text, Markdown and HTML of a document to the cells of its tables: the same texts in
// the same order.
func SameCells(t testing.TB, d *doc.Doc) {
	t.Helper()
	var plain, marked, page bytes.Buffer
	require.NoError(t, text.Write(&plain, d, text.Style{}))
	require.NoError(t, markdown.Write(&marked, d))
	require.NoError(t, htmlout.Page(&page, d, htmlout.Style{}))

	assert.Equal(t, cells(d.Blocks, d, doc.Page), htmlCells(page.String()), "HTML")
	want := cells(d.Blocks, d, doc.Text)
	assert.Equal(t, want, markdownCells(marked.String()), "Markdown")
	rest := plain.String()
	for _, cell := range want {
		cell, _, _ = strings.Cut(text.Shorten(cell, 8), "…")
		at := strings.Index(rest, cell)
		require.GreaterOrEqual(t, at, 0, "%q is not in the text, or not in its place:\n%s", cell, plain.String())
		rest = rest[at+len(cell):]
	}
}

// cells are the texts of all cells of tables that are not empty.
func cells(blocks []doc.Block, d *doc.Doc, in doc.Where) (out []string) {
	for b := range doc.Shown(blocks, in) {
		switch b := b.(type) {
		case *doc.Section:
			out = append(out, cells(b.Blocks, d, in)...)
		case *doc.Table:
			for _, row := range b.In(in).Rows {
				for i := range row {
					if c := strings.TrimSpace(row[i].Text(d.Units)); c != "" {
						out = append(out, c)
					}
				}
			}
		}
	}
	return out
}

var (
	ledger   = regexp.MustCompile(`(?s)<table class="ledger">.*?</table>`)
	bodies   = regexp.MustCompile(`(?s)<tbody>.*?</tbody>`)
	htmlCell = regexp.MustCompile(`<t[dh][^>]*>([^<]*)</t[dh]>`)
)

func htmlCells(page string) (out []string) {
	for _, body := range bodies.FindAllString(ledger.ReplaceAllString(page, ""), -1) {
		for _, m := range htmlCell.FindAllStringSubmatch(body, -1) {
			if c := strings.TrimSpace(html.UnescapeString(m[1])); c != "" {
				out = append(out, c)
			}
		}
	}
	return out
}

var escaped = regexp.MustCompile(`\\(.)`)

// markdownCells are the cells of all tables behind their rules; those of ledgers are left out.
func markdownCells(page string) (out []string) {
	inside := false
	skip := false
	for line := range strings.Lines(page) {
		switch {
		case !strings.HasPrefix(line, "|"):
			inside, skip = false, false
		case strings.HasPrefix(line, "| Where the air goes"):
			skip = true
		case strings.HasPrefix(line, "| :--") || strings.HasPrefix(line, "| --:"):
			inside = true
		case inside && !skip:
			line = strings.ReplaceAll(strings.TrimSuffix(line, "\n"), `\|`, "\x00")
			for c := range strings.SplitSeq(strings.Trim(line, "|"), "|") {
				c = strings.TrimSpace(c)
				if strings.HasPrefix(c, "**") && strings.HasSuffix(c, "**") && len(c) > 4 {
					c = c[2 : len(c)-2]
				}
				c = html.UnescapeString(escaped.ReplaceAllString(strings.ReplaceAll(c, "\x00", "|"), "$1"))
				if c != "" {
					out = append(out, c)
				}
			}
		}
	}
	return out
}
