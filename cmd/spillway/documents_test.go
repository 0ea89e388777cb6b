package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"net/url"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// repository is what the documents may speak of: files by their path from the top, and what the Go files declare.
type repository struct {
	files     map[string]bool            // every file and folder, with slashes
	documents map[string]string          // text of every .md
	packages  map[string]map[string]bool // package name → identifiers, methods and fields as "Type.Name"
	words     map[string]bool            // every identifier that is declared anywhere
	text      strings.Builder            // all that is not a document, for environment variables
}

func readRepository(t *testing.T) *repository {
	t.Helper()
	r := &repository{files: map[string]bool{}, documents: map[string]string{}, packages: map[string]map[string]bool{}, words: map[string]bool{}}
	top := filepath.Join("..", "..")
	require.NoError(t, filepath.WalkDir(top, func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		from, err := filepath.Rel(top, name)
		if err != nil {
			return err
		}
		from = filepath.ToSlash(from)
		if entry.IsDir() {
			if entry.Name() == ".git" {
				return filepath.SkipDir
			}
			r.files[from] = true
			return nil
		}
		r.files[from] = true
		switch {
		case strings.HasSuffix(from, ".md"):
			text, err := os.ReadFile(name)
			r.documents[from] = string(text)
			return err
		case strings.HasSuffix(from, ".go"):
			return r.declarations(name)
		case strings.HasPrefix(from, ".ci/"):
			text, err := os.ReadFile(name)
			r.text.Write(text)
			return err
		}
		return nil
	}))
	return r
}

// declarations reads what a Go file declares.
func (r *repository) declarations(name string) error {
	source, err := os.ReadFile(name)
	if err != nil {
		return err
	}
	r.text.Write(source)
	file, err := parser.ParseFile(token.NewFileSet(), name, source, parser.SkipObjectResolution)
	if err != nil {
		return err
	}
	in := strings.TrimSuffix(file.Name.Name, "_test")
	if r.packages[in] == nil {
		r.packages[in] = map[string]bool{}
	}
	put := func(parts ...string) {
		r.packages[in][strings.Join(parts, ".")] = true
		r.words[parts[len(parts)-1]] = true
		r.words[strings.Join(parts, ".")] = true
	}
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			put(d.Name.Name)
			if d.Recv != nil && len(d.Recv.List) == 1 {
				put(receiver(d.Recv.List[0].Type), d.Name.Name)
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch s := spec.(type) {
				case *ast.ValueSpec:
					for _, n := range s.Names {
						put(n.Name)
					}
				case *ast.TypeSpec:
					put(s.Name.Name)
					if body, ok := s.Type.(*ast.StructType); ok {
						for _, field := range body.Fields.List {
							for _, n := range field.Names {
								put(s.Name.Name, n.Name)
							}
						}
					}
				}
			}
		}
	}
	return nil
}

func receiver(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return receiver(e.X)
	case *ast.Ident:
		return e.Name
	}
	return ""
}

// hasPath tells whether a path is one of the repository's, from the top or by its end ("state/heat.go").
func (r *repository) hasPath(name string) bool {
	name = strings.TrimSuffix(name, "/")
	if strings.Contains(name, "*") {
		for file := range r.files {
			if ok, _ := path.Match(name, file); ok {
				return true
			}
		}
		return false
	}
	if r.files[name] {
		return true
	}
	for file := range r.files {
		if strings.HasSuffix(file, "/"+name) {
			return true
		}
	}
	return false
}

var (
	markdownLink = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	fenced       = regexp.MustCompile("(?ms)^```.*?^```")
	quoted       = regexp.MustCompile("`([^`\n]+)`")
	environment  = regexp.MustCompile(`^[A-Z]+(_[A-Z]+)+$`)
	goName       = regexp.MustCompile(`^[a-z]\w*(\.[A-Za-z]\w*)+$`)
	exported     = regexp.MustCompile(`^[A-Z]\w*[a-z]\w*(\.[A-Z]\w*)*$`)
	filePath     = regexp.MustCompile(`^[\w.*-]+(/[\w.*-]+)+/?$|^[\w*-]+\.(go|md|toml|html|txt|json|mod|svg)$`)
	heading      = regexp.MustCompile(`(?m)^#+ +(.*)$`)
)

// Every relative link leads to a file, and an anchor in it to a heading.
func TestDocumentLinks(t *testing.T) {
	r := readRepository(t)
	links := 0
	for name, text := range r.documents {
		for _, m := range markdownLink.FindAllStringSubmatch(fenced.ReplaceAllString(text, ""), -1) {
			at, err := url.Parse(m[1])
			require.NoError(t, err, "%s: %s", name, m[1])
			if at.IsAbs() {
				continue
			}
			links++
			to := name
			if at.Path != "" {
				to = path.Join(path.Dir(name), at.Path)
				assert.True(t, r.files[to], "%s links to %s, which is not there", name, m[1])
			}
			if at.Fragment != "" {
				assert.Contains(t, anchors(r.documents[to]), at.Fragment, "%s links to %s", name, m[1])
			}
		}
	}
	assert.Greater(t, links, 15)
}

// anchors are the names that a heading is linked by: lower case, words joined by hyphens (common practice of Markdown renderers).
func anchors(text string) []string {
	var list []string
	for _, m := range heading.FindAllStringSubmatch(text, -1) {
		name := strings.ToLower(m[1])
		name = regexp.MustCompile(`[^\w\- ]`).ReplaceAllString(name, "")
		list = append(list, strings.ReplaceAll(strings.TrimSpace(name), " ", "-"))
	}
	return list
}

// What the documents put between backticks as a path or a Go name exists.
func TestDocumentNames(t *testing.T) {
	r := readRepository(t)
	modules, err := os.ReadFile(filepath.Join("..", "..", "go.mod"))
	require.NoError(t, err)
	paths, names := 0, 0
	for document, text := range r.documents {
		if document == "testdata/published.md" {
			continue // has no names
		}
		for _, m := range quoted.FindAllStringSubmatch(fenced.ReplaceAllString(text, ""), -1) {
			word := m[1]
			switch {
			case strings.Contains(string(modules), word+" "): // the import path of a dependency
			case environment.MatchString(word):
				assert.Contains(t, r.text.String(), word, "%s speaks of the variable %s", document, word)
			case filePath.MatchString(word):
				paths++
				assert.True(t, r.hasPath(word), "%s speaks of the file %s", document, word)
			case goName.MatchString(word):
				in, rest, _ := strings.Cut(word, ".")
				if declared, ours := r.packages[in]; ours {
					names++
					assert.True(t, declared[rest], "%s speaks of %s", document, word)
				}
			case exported.MatchString(word) && !strings.ContainsAny(word, "_"):
				names++
				assert.True(t, r.words[word], "%s speaks of %s", document, word)
			}
		}
	}
	assert.Greater(t, paths, 40)
	assert.Greater(t, names, 30)
}
