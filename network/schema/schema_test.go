package schema

import (
	"bytes"
	"encoding/json"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the schema anew")

// commentsOf takes the comments of types and fields out of a Go file.
func commentsOf(t *testing.T, path string) Comments {
	file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
	require.NoError(t, err)
	comments := Comments{}
	for _, d := range file.Decls {
		declaration, ok := d.(*ast.GenDecl)
		if !ok {
			continue
		}
		for _, s := range declaration.Specs {
			spec, ok := s.(*ast.TypeSpec)
			if !ok {
				continue
			}
			comments[spec.Name.Name] = firstParagraph(declaration.Doc.Text())
			structure, ok := spec.Type.(*ast.StructType)
			if !ok {
				continue
			}
			for _, f := range structure.Fields.List {
				for _, name := range f.Names {
					comments[spec.Name.Name+"."+name.Name] = sentence(f.Doc.Text(), f.Comment.Text())
				}
			}
		}
	}
	return comments
}

func firstParagraph(doc string) string {
	first, _, _ := strings.Cut(doc, "\n\n")
	return strings.Join(strings.Fields(first), " ")
}

// sentence joins what stands above a field and behind it. A heading over several fields ("Weighted dampers.") is no part of it.
func sentence(doc, behind string) string {
	if behind != "" {
		doc = ""
	}
	return strings.Join(strings.Fields(doc+" "+behind), " ")
}

func TestSchemaIsFresh(t *testing.T) {
	comments := commentsOf(t, "../job.go")
	maps.Copy(comments, commentsOf(t, "../choose.go"))
	fresh, err := Generate(comments)
	require.NoError(t, err)
	if *update {
		require.NoError(t, os.WriteFile("job.schema.json", fresh, 0o644))
	}
	committed, err := os.ReadFile("job.schema.json")
	require.NoError(t, err)
	if !bytes.Equal(fresh, committed) {
		t.Error("the types have changed since the schema was written; run: go test ./network/schema -update")
	}
}

// Every reference leads somewhere, and every definition is used.
func TestSchemaHangsTogether(t *testing.T) {
	var root map[string]any
	require.NoError(t, json.Unmarshal(Job(), &root))
	definitions := root["definitions"].(map[string]any)
	used := map[string]bool{}
	var walk func(v any)
	walk = func(v any) {
		switch v := v.(type) {
		case map[string]any:
			if target, ok := v["$ref"].(string); ok {
				used[strings.TrimPrefix(target, "#/definitions/")] = true
			}
			for _, child := range v {
				walk(child)
			}
		case []any:
			for _, child := range v {
				walk(child)
			}
		}
	}
	walk(root)
	for name := range used {
		assert.Contains(t, definitions, name)
	}
	for name := range definitions {
		assert.True(t, used[name], "%s is not used", name)
	}
}
