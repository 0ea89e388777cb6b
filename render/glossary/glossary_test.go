package glossary_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/render/glossary"
)

// Every name leads to one entry, every reference to another exists, and a text is one paragraph of
// plain words that ends like a sentence.
func TestEntriesHangTogether(t *testing.T) {
	heads := map[string]string{}
	for _, e := range glossary.Entries() {
		found, ok := glossary.Find(e.Word)
		require.True(t, ok, e.Word)
		assert.Equal(t, e.Word, found.Word, "a word is found under itself")
		for _, other := range e.See {
			target, ok := glossary.Find(other)
			assert.True(t, ok, "%s refers to %q", e.Word, other)
			assert.NotEqual(t, e.Word, target.Word, "%s refers to itself", e.Word)
		}
		for _, also := range e.Also {
			found, _ := glossary.Find(also)
			assert.Equal(t, e.Word, found.Word, "%q is two words", also)
		}
		for _, head := range e.Heads {
			assert.Empty(t, heads[head], "head %q has two entries", head)
			heads[head] = e.Word
		}
		assert.True(t, strings.HasSuffix(e.Text, "."), e.Word)
		assert.NotContains(t, e.Text, "\n", e.Word)
		words := len(strings.Fields(e.Text))
		assert.True(t, words >= 5 && words <= 75, "%s: %d words", e.Word, words)
	}
}

// The head of every column of the documents has an entry, also of columns that only a rare job
// shows: the heads are gathered from the source of the builders.
func TestEveryHeadOfTheBuildersHasAnEntry(t *testing.T) {
	files, err := filepath.Glob("../sheet/*.go")
	require.NoError(t, err)
	seen := 0
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		require.NoError(t, err)
		ast.Inspect(parsed, func(n ast.Node) bool {
			c, ok := n.(*ast.CompositeLit)
			if !ok {
				return true
			}
			head, whole := headOf(c)
			if head == "" || !isColumn(c) || !whole {
				return true
			}
			seen++
			_, ok = glossary.Head(head)
			assert.True(t, ok, "%s: no entry for the head %q", filepath.Base(file), head)
			return true
		})
	}
	assert.Greater(t, seen, 100)
}

// isColumn reports whether a literal is of type doc.Column, by itself or within a list of them.
func isColumn(c *ast.CompositeLit) bool {
	s, ok := c.Type.(*ast.SelectorExpr)
	if ok {
		return s.Sel.Name == "Column"
	}
	if c.Type != nil {
		return false
	}
	for _, e := range c.Elts {
		pair, ok := e.(*ast.KeyValueExpr)
		if !ok {
			return false
		}
		key, ok := pair.Key.(*ast.Ident)
		if !ok {
			return false
		}
		switch key.Name {
		case "Head", "Above", "Left", "Kind", "Unit", "Key", "Yields", "Spare", "For", "Most",
			"Own", "Say":
		default:
			return false
		}
	}
	return true
}

// headOf joins the two lines of a column's head; whole is false where a part of it is made at run
// time, which TestEveryHeadOnPagesHasAnEntry sees.
func headOf(c *ast.CompositeLit) (head string, whole bool) {
	parts := map[string]string{}
	whole = true
	for _, e := range c.Elts {
		pair, ok := e.(*ast.KeyValueExpr)
		if !ok {
			return "", false
		}
		key, ok := pair.Key.(*ast.Ident)
		if !ok || key.Name != "Head" && key.Name != "Above" {
			continue
		}
		text, ok := pair.Value.(*ast.BasicLit)
		if !ok {
			whole = false
			continue
		}
		parts[key.Name], _ = strconv.Unquote(text.Value)
	}
	if divided, ok := strings.CutSuffix(parts["Above"], "-"); ok {
		return divided + parts["Head"], whole
	}
	return strings.TrimSpace(parts["Above"] + " " + parts["Head"]), whole
}
