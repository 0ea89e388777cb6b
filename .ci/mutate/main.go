// Command mutate breaks formulas one at a time and shows whether the tests notice.
//
//	go run .ci/mutate/main.go              all of .ci/mutate/formulas.txt
//	go run .ci/mutate/main.go saturation   those whose line has this word
//	go run .ci/mutate/main.go -check       only that every line still fits its file
//
// It works on a copy of what is committed, never on the checkout. A formula counts as guarded when a test that its line names fails.
// Survivors are listed at the end, and the exit code is 1 when there are any. Before anything is run every line is held against its file:
// a text to break that is no longer there, or there twice, ends the run with exit code 2, as does a break that does not compile, for both
// would pass for guarded.
package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

const list = ".ci/mutate/formulas.txt"

var breaks = strings.NewReplacer("⏎", "\n")

// mutation is one line of formulas.txt: FILE | BEFORE | AFTER | TESTS. A line break in what is broken is written ⏎.
type mutation struct {
	line                int
	file, before, after string
	tests               []test
}

// test is a package whose tests are run, and which of them: all when run is empty.
type test struct{ folder, run string }

func (m mutation) String() string {
	return strings.ReplaceAll(fmt.Sprintf("%s: %s -> %s", m.file, m.before, m.after), "\n", "⏎")
}

func main() {
	only := strings.Join(os.Args[1:], " ")
	mutations, err := read(list)
	if err != nil {
		fatal(err)
	}
	copied, err := os.MkdirTemp("", "spillway-mutate-")
	if err != nil {
		fatal(err)
	}
	defer os.RemoveAll(copied)
	archive := exec.Command("sh", "-c", "git archive HEAD | tar -x -C "+copied)
	archive.Stderr = os.Stderr
	if err := archive.Run(); err != nil {
		fatal(err)
	}
	code := run(mutations, only, copied)
	os.RemoveAll(copied) // deferred calls do not outlive os.Exit
	os.Exit(code)
}

// run tries the mutations whose line has the word and gives the exit code.
func run(mutations []mutation, only, root string) int {
	misfits := 0
	for _, m := range mutations {
		if _, _, err := m.fit(root); err != nil {
			fmt.Fprintf(os.Stderr, "%s:%d: %v\n", list, m.line, err)
			misfits++
		}
	}
	if misfits > 0 {
		fmt.Fprintf(os.Stderr, "%d of %d lines do not fit the files they break: write down what the formula has become\n", misfits, len(mutations))
		return 2
	}
	if only == "-check" {
		fmt.Printf("all %d lines fit\n", len(mutations))
		return 0
	}
	var survivors []mutation
	tried := 0
	for _, m := range mutations {
		if !strings.Contains(m.String(), only) {
			continue
		}
		tried++
		begun := time.Now()
		noticed, by, err := m.try(root)
		if err != nil { // the others are tried all the same; a run takes an hour
			fmt.Fprintf(os.Stderr, "%s:%d: %v\n", list, m.line, err)
			misfits++
			continue
		}
		verdict := "noticed "
		if !noticed {
			verdict = "SURVIVED"
			survivors = append(survivors, m)
		}
		fmt.Printf("%s %5.1fs  %s  %s\n", verdict, time.Since(begun).Seconds(), m, by)
	}
	fmt.Printf("%d formulas broken one at a time, %d noticed, %d survived\n", tried, tried-len(survivors)-misfits, len(survivors))
	for _, m := range survivors {
		fmt.Printf("  survived: line %d, %s\n", m.line, m)
	}
	if misfits > 0 {
		fmt.Printf("  %d could not be tried, see above\n", misfits)
		return 2
	}
	if len(survivors) > 0 {
		return 1
	}
	return 0
}

// fit gives the file as it is and broken.
func (m mutation) fit(root string) (whole, broken string, err error) {
	data, err := os.ReadFile(filepath.Join(root, m.file))
	if err != nil {
		return "", "", err
	}
	whole = string(data)
	if n := strings.Count(whole, m.before); n != 1 {
		return "", "", fmt.Errorf("%q stands %d times in %s; it must be once", m.before, n, m.file)
	}
	return whole, strings.Replace(whole, m.before, m.after, 1), nil
}

// try breaks one formula in the copy, runs the tests and mends it again. It says which test noticed.
func (m mutation) try(root string) (noticed bool, by string, err error) {
	whole, broken, err := m.fit(root)
	if err != nil {
		return false, "", err
	}
	path := filepath.Join(root, m.file)
	if err := os.WriteFile(path, []byte(broken), 0o644); err != nil {
		return false, "", err
	}
	defer func() {
		if mended := os.WriteFile(path, []byte(whole), 0o644); mended != nil {
			err = mended
		}
	}()
	for _, t := range m.tests {
		arguments := []string{"test", "-failfast", "-vet=off", "-timeout", "300s"}
		if t.run != "" {
			arguments = append(arguments, "-run", t.run)
		}
		command := exec.Command("go", append(arguments, "./"+t.folder)...)
		command.Dir = root
		out, err := command.CombinedOutput()
		if err == nil {
			if strings.Contains(string(out), "no tests to run") || strings.Contains(string(out), "no test files") {
				return false, "", fmt.Errorf("%s has no test that matches %q", t.folder, t.run)
			}
			continue
		}
		if strings.Contains(string(out), "[build failed]") || strings.Contains(string(out), "[setup failed]") {
			return false, "", fmt.Errorf("%q does not compile:\n%s", m.after, out)
		}
		by := t.folder
		if _, after, ok := strings.Cut(string(out), "--- FAIL: "); ok {
			by += " " + strings.Fields(after)[0]
		}
		return true, by, nil
	}
	return false, "", nil
}

// read reads the list. Without TESTS the tests of the file's own folder are run.
func read(path string) ([]mutation, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var list []mutation
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		parts := strings.Split(line, " | ")
		if len(parts) < 3 || len(parts) > 4 {
			return nil, fmt.Errorf("%s:%d: %q is not FILE | BEFORE | AFTER | TESTS", path, n, line)
		}
		m := mutation{line: n, file: parts[0], before: breaks.Replace(parts[1]), after: breaks.Replace(parts[2]), tests: []test{{folder: filepath.Dir(parts[0])}}}
		if m.before == m.after {
			return nil, fmt.Errorf("%s:%d: nothing is broken", path, n)
		}
		if len(parts) > 3 {
			m.tests = nil
			for _, word := range strings.Fields(parts[3]) {
				folder, run, _ := strings.Cut(word, ":")
				m.tests = append(m.tests, test{folder, run})
			}
		}
		list = append(list, m)
	}
	return list, lines.Err()
}

func fatal(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(2)
}
