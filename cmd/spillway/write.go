package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
)

// keepFlags say where what a study found is written, if anywhere.
type keepFlags struct {
	write bool
	as    string
}

// add gives a command the flags. found is what it finds, for the help.
func (f *keepFlags) add(cmd *cobra.Command, found string) {
	cmd.Flags().BoolVar(&f.write, "write", false,
		"keep "+found+" in the job file: single items are changed where they are")
	f.addAs(cmd, found)
}

func (f *keepFlags) addAs(cmd *cobra.Command, found string) {
	cmd.Flags().StringVar(&f.as, "write-as", "",
		"keep "+found+" in the job file as a new alternative of this `NAME`")
}

func (f *keepFlags) given() bool { return f.write || f.as != "" }

// check refuses what cannot be written before anything is solved.
func (f *keepFlags) check(name string) error {
	switch {
	case f.write && f.as != "":
		return fail(wrongCall, "--write and --write-as are mutually exclusive")
	case f.given() && name == "-":
		return fail(wrongCall, "standard input cannot be written to; name the job file")
	}
	return nil
}

// keep writes settings into a job file, whole or not at all, and says on standard error what was
// changed. like is the alternative that they were found with, nothing is why there are none.
func (c console) keep(name string, f *keepFlags, like, note string, set []string,
	nothing string) error {
	if !f.given() {
		return nil
	}
	if len(set) == 0 {
		return fail(unsolvable, "%s: nothing is written: %s", diag.Visible(name), nothing)
	}
	was, err := readJobFile(name, c.in)
	if err != nil {
		return err
	}
	var is []byte
	var found diag.List
	if f.write {
		is, found = network.Edit(name, was, like, set)
	} else {
		job, list := network.Read(name, was, network.Options{})
		if job == nil {
			return c.tell(name, list)
		}
		if job.FreeAlternative(f.as) != f.as {
			return fail(wrongCall,
				"%s: there is an alternative %q; choose another name, such as %q",
				diag.Visible(name), f.as, job.FreeAlternative(f.as))
		}
		is, found = network.AddAlternative(name, was,
			network.Alternative{Name: f.as, Note: note, Like: like}, set)
	}
	if is == nil {
		return c.tell(name, found)
	}
	return c.rewrite(name, was, is)
}

// rewrite replaces a job file and says on standard error which of its lines differ.
func (c console) rewrite(name string, was, is []byte) error {
	if bytes.Equal(was, is) {
		fmt.Fprintf(c.err, "%s: nothing to change\n", diag.Visible(name))
		return nil
	}
	if err := writeFile(name, is); err != nil {
		return err
	}
	changed, added := linesChanged(string(was), string(is))
	fmt.Fprintf(c.err, "%s: written, %s\n", diag.Visible(name), changes(changed, added))
	return nil
}

func changes(changed, added int) string {
	lines := func(n int, did string) string {
		if n == 1 {
			return "1 line " + did
		}
		return fmt.Sprintf("%d lines %s", n, did)
	}
	switch {
	case added == 0:
		return lines(changed, "changed")
	case changed == 0:
		return lines(added, "added")
	}
	return lines(changed, "changed") + ", " + lines(added, "added")
}

// linesChanged counts the lines of a text that are not in another, in their order, and how many
// more lines the other has.
func linesChanged(was, is string) (changed, added int) {
	old, lines := strings.Split(was, "\n"), strings.Split(is, "\n")
	at := 0
	for _, line := range old {
		here := at
		for here < len(lines) && lines[here] != line {
			here++
		}
		if here == len(lines) {
			changed++
			continue
		}
		at = here + 1
	}
	return changed, max(0, len(lines)-len(old))
}
