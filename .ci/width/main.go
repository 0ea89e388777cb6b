// Command width holds Go code to 100 columns, a tab as four.
//
//	go run .ci/width/main.go            exit code 1 where a file exceeds its allowance
//	go run .ci/width/main.go -update    lowers allowances to what the files have now
//
// Run it at the top of the checkout. The allowances in .ci/width/wide.txt are those of files older
// than the rule; a file that is not there has none.
package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"unicode/utf8"
)

const (
	list    = ".ci/width/wide.txt"
	columns = 100
	tab     = "    "
)

func main() {
	update := flag.Bool("update", false, "lower the allowances in "+list)
	flag.Parse()
	if err := run(*update); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func run(update bool) error {
	allowed, err := allowances()
	if err != nil {
		return err
	}
	files, err := exec.Command("git", "ls-files", "*.go").Output()
	if err != nil {
		return err
	}
	now := map[string]int{}
	over := false
	for _, name := range strings.Fields(string(files)) {
		wide, err := wideLines(name)
		if err != nil {
			return err
		}
		if len(wide) > allowed[name] {
			over = true
			fmt.Printf("%s: lines over %d columns: %d, allowed %d: %v\n",
				name, columns, len(wide), allowed[name], wide)
		}
		if n := min(len(wide), allowed[name]); n > 0 {
			now[name] = n
		}
	}
	if update {
		return write(now)
	}
	if over {
		return errors.New("break these lines; allowances only shrink")
	}
	return nil
}

// wideLines returns the numbers of a file's wide lines, from 1.
func wideLines(name string) ([]int, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var wide []int
	for i, line := range bytes.Split(data, []byte("\n")) {
		if utf8.RuneCount(bytes.ReplaceAll(line, []byte("\t"), []byte(tab))) > columns {
			wide = append(wide, i+1)
		}
	}
	return wide, nil
}

// allowances reads the list: a count and a file name in each line.
func allowances() (map[string]int, error) {
	data, err := os.ReadFile(list)
	if err != nil {
		return nil, err
	}
	allowed := map[string]int{}
	for line := range strings.Lines(string(data)) {
		var n int
		var name string
		if _, err := fmt.Sscan(line, &n, &name); err != nil {
			return nil, fmt.Errorf("%s: %q is not a count and a file name", list, line)
		}
		allowed[name] = n
	}
	return allowed, nil
}

func write(allowed map[string]int) error {
	var names []string
	for name := range allowed {
		names = append(names, name)
	}
	slices.Sort(names)
	var b strings.Builder
	for _, name := range names {
		fmt.Fprintf(&b, "%d %s\n", allowed[name], name)
	}
	return os.WriteFile(list, []byte(b.String()), 0o644)
}
