// Command mutate breaks formulas one at a time and shows whether the tests notice.
//
//	go run .ci/mutate/main.go              all of .ci/mutate/formulas.txt
//	go run .ci/mutate/main.go saturation   those whose line has this word
//
// It works on a copy of what is committed, never on the checkout. A formula counts as guarded when a test of its own package or of the
// packages named fails, or when it no longer compiles. Survivors are listed at the end, and the exit code is 1 when there are any.
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

// mutation is one line of formulas.txt: FILE | BEFORE | AFTER | further packages.
type mutation struct {
	file, before, after string
	packages            []string
}

func main() {
	only := strings.Join(os.Args[1:], " ")
	mutations, err := read(".ci/mutate/formulas.txt")
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
	var survivors []string
	tried := 0
	for _, m := range mutations {
		name := fmt.Sprintf("%s: %s -> %s", m.file, m.before, m.after)
		if only != "" && !strings.Contains(name, only) {
			continue
		}
		tried++
		begun := time.Now()
		verdict, err := m.try(copied)
		if err != nil {
			fatal(fmt.Errorf("%s: %w", name, err))
		}
		fmt.Printf("%-9s %5.1fs  %s\n", verdict, time.Since(begun).Seconds(), name)
		if verdict == "SURVIVED" {
			survivors = append(survivors, name)
		}
	}
	fmt.Printf("%d formulas broken one at a time, %d noticed, %d survived\n", tried, tried-len(survivors), len(survivors))
	for _, s := range survivors {
		fmt.Println("  survived:", s)
	}
	if len(survivors) > 0 {
		os.RemoveAll(copied)
		os.Exit(1)
	}
}

// try breaks one formula in the copy, runs the tests and mends it again.
func (m mutation) try(root string) (verdict string, err error) {
	path := filepath.Join(root, m.file)
	whole, err := os.ReadFile(path)
	if err != nil {
		return "", err
	}
	if n := strings.Count(string(whole), m.before); n != 1 {
		return "", fmt.Errorf("the text to break stands there %d times; it must be once", n)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(whole), m.before, m.after, 1)), 0o644); err != nil {
		return "", err
	}
	defer func() {
		if mended := os.WriteFile(path, whole, 0o644); mended != nil {
			err = mended
		}
	}()
	for _, p := range append([]string{filepath.Dir(m.file)}, m.packages...) {
		test := exec.Command("go", "test", "-failfast", "-timeout", "300s", "./"+p)
		test.Dir = root
		test.Env = append(os.Environ(), "CI=true")
		if out, err := test.CombinedOutput(); err != nil {
			if strings.Contains(string(out), "[build failed]") {
				return "COMPILE?", nil
			}
			return "noticed", nil
		}
	}
	return "SURVIVED", nil
}

func read(path string) ([]mutation, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var list []mutation
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		parts := strings.Split(line, " | ")
		if len(parts) < 3 {
			return nil, fmt.Errorf("%q is not FILE | BEFORE | AFTER", line)
		}
		m := mutation{file: parts[0], before: parts[1], after: parts[2]}
		if len(parts) > 3 {
			m.packages = strings.Fields(parts[3])
		}
		list = append(list, m)
	}
	return list, lines.Err()
}

func fatal(err error) {
	fmt.Fprintln(os.Stderr, err)
	os.Exit(2)
}
