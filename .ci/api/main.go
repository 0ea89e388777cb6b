// Command api holds the exported names of the promised packages to testdata/api.txt.
//
//	go run .ci/api/main.go            compares; exit code 1 where they differ
//	go run .ci/api/main.go -update    writes the file anew
//
// Run it at the top of the checkout. What is written is syntax: every exported declaration without
// its comments, its body and its unexported fields, sorted by name, one package after another.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"go/ast"
	"go/build"
	"go/format"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

const list = "testdata/api.txt"

// promised are the packages whose exported names change only with a line in CHANGELOG.md.
var promised = []string{
	"network", "network/quantity", "network/diag", "solver/flow", "solver/session",
}

func main() {
	update := flag.Bool("update", false, "write "+list)
	flag.Parse()
	if err := run(*update); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(update bool) error {
	var b strings.Builder
	for _, folder := range promised {
		decls, err := surface(folder)
		if err != nil {
			return fmt.Errorf("%s: %w", folder, err)
		}
		fmt.Fprintf(&b, "package spillway/%s: %d\n\n%s\n\n\n", folder, len(decls),
			strings.Join(decls, "\n"))
	}
	now := strings.TrimRight(b.String(), "\n") + "\n"
	if update {
		return os.WriteFile(list, []byte(now), 0o644)
	}
	was, err := os.ReadFile(list)
	if err != nil {
		return err
	}
	if gone, added := compare(string(was), now); len(gone)+len(added) > 0 {
		for _, line := range gone {
			fmt.Println("-", line)
		}
		for _, line := range added {
			fmt.Println("+", line)
		}
		return errors.New("the exported names are not those of " + list +
			"; if that is meant: go run .ci/api/main.go -update, and a line in CHANGELOG.md")
	}
	return nil
}

// compare returns the lines that only one of two texts has, a repeated one as often as it is over.
func compare(was, now string) (gone, added []string) {
	count := map[string]int{}
	for _, line := range strings.Split(now, "\n") {
		count[line]++
	}
	for _, line := range strings.Split(was, "\n") {
		if count[line]--; count[line] < 0 {
			gone = append(gone, line)
		}
	}
	for _, line := range strings.Split(now, "\n") {
		if count[line] > 0 {
			count[line]--
			added = append(added, line)
		}
	}
	return gone, added
}

// surface returns the exported declarations of the package in a folder, sorted.
func surface(folder string) ([]string, error) {
	pkg, err := build.ImportDir(folder, 0)
	if err != nil {
		return nil, err
	}
	var all []string
	for _, name := range pkg.GoFiles {
		fset := token.NewFileSet()
		path := filepath.Join(folder, name)
		f, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		ast.FileExports(f)
		for _, d := range f.Decls {
			texts, err := declared(fset, d)
			if err != nil {
				return nil, err
			}
			all = append(all, texts...)
		}
	}
	slices.Sort(all)
	return all, nil
}

// declared returns a declaration as texts: a type each, a function, or a whole group of constants,
// whose order is their value.
func declared(fset *token.FileSet, d ast.Decl) ([]string, error) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		d.Body = nil
		return printed(fset, d)
	case *ast.GenDecl:
		switch d.Tok {
		case token.IMPORT:
			return nil, nil
		case token.CONST:
			return printed(fset, d)
		}
		var all []string
		for _, spec := range d.Specs {
			if v, ok := spec.(*ast.ValueSpec); ok {
				v.Values = nil // how a variable begins is not promised
			}
			texts, err := printed(fset, &ast.GenDecl{Tok: d.Tok, Specs: []ast.Spec{spec}})
			if err != nil {
				return nil, err
			}
			all = append(all, texts...)
		}
		return all, nil
	}
	return nil, nil
}

// printed is one declaration in the form of gofmt, without blank lines and without the spaces that
// align, so that a new field changes no other line.
func printed(fset *token.FileSet, d ast.Decl) ([]string, error) {
	var b bytes.Buffer
	if err := format.Node(&b, fset, d); err != nil {
		return nil, err
	}
	var lines []string
	for line := range strings.Lines(b.String()) {
		text := strings.Join(strings.Fields(line), " ")
		if text == "" {
			continue
		}
		indent := len(line) - len(strings.TrimLeft(line, "\t"))
		lines = append(lines, strings.Repeat("\t", indent)+text)
	}
	return []string{strings.Join(lines, "\n")}, nil
}
