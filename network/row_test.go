package network

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readRow reads one row of a table and returns what it stands for as an inline table, and what was
// said of it.
func readRow(t *testing.T, table, text string) (inline, said string) {
	t.Helper()
	name := table + ".x"
	if table == "cooling" || table == "heating" || table == "filter" {
		name = "equipment." + table
	}
	root, found := parseText("r.toml", []byte(name+" = '''"+text+"'''\n"))
	require.Empty(t, found.Error())
	r := &reader{name: "r.toml", root: root}
	r.rows(root, nil)
	parts, _ := SplitPath(name)
	n, all := root.find(parts...)
	require.True(t, all)
	var lines []string
	for _, d := range r.found {
		marked := []rune(d.LineText)[d.Column-1:]
		lines = append(lines, fmt.Sprintf("[%s] %s: %s",
			string(marked[:min(d.Length, len(marked))]), d.Summary, d.Fix))
	}
	return written(n), strings.Join(lines, "\n")
}

// written is a tree as an inline table.
func written(n *node) string {
	switch {
	case n.list:
		var items []string
		for _, item := range n.items {
			items = append(items, written(item))
		}
		return "[" + strings.Join(items, ", ") + "]"
	case n.table:
		var items []string
		for _, c := range n.children {
			items = append(items, c.name+" = "+written(c))
		}
		return "{ " + strings.Join(items, ", ") + " }"
	}
	if text, ok := n.leaf.(string); ok {
		return strconv.Quote(text)
	}
	return fmt.Sprint(n.leaf)
}

// TestRows holds what rows are read as, and the whole text of what is said of those that are not,
// against a golden file
// that was read line by line: every way of writing that was found to be misread once.
func TestRows(t *testing.T) {
	rows, err := os.ReadFile("../testdata/rows/rows.txt")
	require.NoError(t, err)
	var b strings.Builder
	for line := range strings.Lines(string(rows)) {
		table, text, ok := strings.Cut(strings.TrimSuffix(line, "\n"), " | ")
		if !ok {
			continue
		}
		inline, said := readRow(t, strings.TrimSpace(table), text)
		fmt.Fprintf(&b, "%s | %s\n    = %s\n", strings.TrimSpace(table), text, inline)
		if said != "" {
			fmt.Fprintf(&b, "    ! %s\n", strings.ReplaceAll(said, "\n", "\n    ! "))
		}
	}
	goldenText(t, "../testdata/rows/rows.golden", b.String())
}

func goldenText(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err, "run with -update to make it")
	assert.Equal(t, string(want), got)
}

// An item's place is that of its characters in the file, however the text is quoted.
func TestPlacesInRows(t *testing.T) {
	for _, test := range []struct{ text, marked string }{
		{"supply.x = \"7 in, 14, wye\"", "14"},
		{"supply.x = '7 in, 14, wye'", "14"},
		{"supply.x = \"\"\"\n7 in,\n 14, wye\"\"\"", "14"},
		{"supply.x = \"7\\\", 14, wye\"", "14"},
		{"supply.x = \"\\u0037 in, \\t14, wye\"", "14"},
		{"supply.x = \"7 in, \\U00000031\\x34, wye\"", "\\U00000031\\x34"},
		{"supply.x = \"\"\"7 in, \\\n   14, wye\"\"\"", "14"},
		{"supply.\"größe\" = \"7 in, room Süd, 14, wye\"", "14"},
		{"supply.x = { row = \"7 in, 14, wye\" }", "14"},
		{"from.y.x = \"7 in, 14, wye\"", "14"},
		{"from.y.each = \"7 in, 14, wye\"", "14"},
	} {
		root, found := parseText("r.toml", []byte(test.text+"\n"))
		require.Empty(t, found.Error(), test.text)
		r := &reader{name: "r.toml", root: root}
		r.rows(root, nil)
		require.Len(t, r.found, 1, test.text)
		d := r.found[0]
		line := []rune(d.LineText)
		assert.Equal(t, test.marked, string(line[d.Column-1:d.Column-1+d.Length]), test.text)
		assert.Contains(t, d.Summary, "14 what?", test.text)
	}
}
