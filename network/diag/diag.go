// Package diag holds what is wrong with a text that a person wrote: where, what, and the likely fix.
//
// A List gathers all problems of a file and is an error itself. The package knows nothing of job files; it only shows a
// place in a text. It prints no colour (the caller may add it by Severity) and opens no files.
package diag

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// Severity tells whether a diagnostic stops the reading.
type Severity int

// The severities.
const (
	Error   Severity = iota // the file cannot be used
	Caution                 // the file can be used, but this looks wrong
)

// String is the word that is printed.
func (s Severity) String() string {
	if s == Caution {
		return "caution"
	}
	return "error"
}

// Diagnostic is one problem. Printed in full it looks like this:
//
//	house.toml:24:22: error: there is no line called "trnk"
//	  24 | bed-2 = { from = "trnk", size = "6 in flex" }
//	     |                  ^^^^^^
//	  fix: did you mean "trunk"?
type Diagnostic struct {
	Severity Severity
	Summary  string // what is wrong, one line, no full stop
	Fix      string // what to do about it, one line; may be ""
	File     string // file name, or the flag that the text came from ("--set")
	Line     int    // from 1; 0 = the whole file
	Column   int    // from 1, counted in characters; 0 = the whole line
	Length   int    // characters to underline; below 1 counts as 1
	LineText string // the line as it stands in the file, without its end
}

// Error is the first line only: place, severity and summary.
func (d Diagnostic) Error() string {
	return d.place() + ": " + d.Severity.String() + ": " + Visible(d.Summary)
}

func (d Diagnostic) place() string {
	place := Visible(d.File)
	if d.Line > 0 {
		place += fmt.Sprintf(":%d", d.Line)
		if d.Column > 0 {
			place += fmt.Sprintf(":%d", d.Column)
		}
	}
	return place
}

// Text is the diagnostic in full, with a line feed at its end.
func (d Diagnostic) Text() string {
	var b strings.Builder
	b.WriteString(d.Error())
	b.WriteByte('\n')
	if d.Column > 0 {
		number := "  "
		if d.Line > 0 {
			number = fmt.Sprintf("  %d", d.Line)
		}
		line, start, length := excerpt(d.LineText, d.Column, d.Length)
		fmt.Fprintf(&b, "%s | %s\n", number, line)
		fmt.Fprintf(&b, "%s | %s%s\n", strings.Repeat(" ", len(number)), strings.Repeat(" ", start), strings.Repeat("^", length))
	}
	if d.Fix != "" {
		fmt.Fprintf(&b, "  fix: %s\n", Visible(d.Fix))
	}
	return b.String()
}

// List is all diagnostics of one text.
type List []Diagnostic

// MostShown is how many problems of a list are written out; the others are counted. Our choice: nobody
// mends more at once, and most of them are often one slip repeated.
const MostShown = 100

// Error is every diagnostic in full, one after the other.
func (l List) Error() string {
	var b strings.Builder
	for i, d := range l {
		if i == MostShown && len(l) > MostShown+1 {
			fmt.Fprintf(&b, "\nand %d more; mend these first\n", len(l)-MostShown)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(d.Text())
	}
	return b.String()
}

// Err returns the list as an error when it holds at least one Error, else nil.
func (l List) Err() error {
	if !l.HasErrors() {
		return nil
	}
	return l
}

// HasErrors tells whether something stops the reading.
func (l List) HasErrors() bool {
	return slices.ContainsFunc(l, func(d Diagnostic) bool { return d.Severity == Error })
}

// Errors returns the diagnostics that stop the reading.
func (l List) Errors() List { return l.only(Error) }

// Cautions returns the diagnostics that do not.
func (l List) Cautions() List { return l.only(Caution) }

func (l List) only(s Severity) List {
	var out List
	for _, d := range l {
		if d.Severity == s {
			out = append(out, d)
		}
	}
	return out
}

// Sorted returns the list in the order of the text, without repeats. Diagnostics at one place keep their order.
func (l List) Sorted() List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Diagnostic) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	type mark struct {
		file, summary string
		line, column  int
	}
	seen := make(map[mark]bool, len(out))
	return slices.DeleteFunc(out, func(d Diagnostic) bool {
		m := mark{d.File, d.Summary, d.Line, d.Column}
		if seen[m] {
			return true
		}
		seen[m] = true
		return false
	})
}

// As finds the List in an error, as errors.As does.
func As(err error) (List, bool) {
	var l List
	ok := errors.As(err, &l)
	return l, ok
}
