package main

import (
	"embed"
	"fmt"
	"strings"
)

//go:embed licenses/*.txt
var licenseTexts embed.FS

// notices are the works of others that the program contains, each with the file of its license. A
// test holds the list against the modules that the program links.
var notices = []struct {
	module, what string
	files        []string
}{
	{"std", "the Go runtime and standard library, BSD 3-clause", []string{"go-x"}},
	{"golang.org/x/sys", "BSD 3-clause, the text above", nil},
	{"golang.org/x/term", "BSD 3-clause, the text above", nil},
	{"golang.org/x/tools", "BSD 3-clause, the text above", nil},
	{"github.com/BurntSushi/toml", "MIT", []string{"toml"}},
	{"github.com/rivo/uniseg", "MIT", []string{"uniseg"}},
	{"github.com/spf13/cobra", "Apache 2.0", []string{"cobra"}},
	{"github.com/spf13/pflag", "BSD 3-clause", []string{"pflag"}},
	{"gonum.org/v1/gonum", "BSD 3-clause, with parts under licenses of their own", []string{"gonum", "gonum-parts"}},
	{"github.com/ajstarks/svgo", "SVGo, used unchanged, Creative Commons Attribution 4.0", []string{"svgo"}},
}

// licensesText is the notices with their licenses, as they must travel with the program.
func licensesText() (string, error) {
	var b strings.Builder
	b.WriteString("Spillway contains the works of others, each under its own license.\n")
	for _, n := range notices {
		fmt.Fprintf(&b, "\n==== %s: %s\n", n.module, n.what)
		for _, f := range n.files {
			text, err := licenseTexts.ReadFile("licenses/" + f + ".txt")
			if err != nil {
				return "", err
			}
			b.WriteString("\n" + strings.TrimSpace(string(text)) + "\n")
		}
	}
	return b.String(), nil
}
