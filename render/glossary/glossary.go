// Package glossary explains the words of the trade in which Spillway speaks: the heads of its
// tables, the terms of its job file and of its findings, one short paragraph each.
//
// It is one table. It must not know documents or commands.
package glossary

import (
	"regexp"
	"slices"
	"strings"
	"sync"

	"spillway/network/diag"
)

// Entry is one word with what it means.
type Entry struct {
	Word string
	Also []string // other words for it, which are found too
	// Heads are the heads of table columns that it explains, without the unit, in small letters. A
	// column whose head is a unit alone has the unit.
	Heads []string
	Text  string   // one paragraph
	See   []string // further words
}

// Entries lists all words in alphabetical order.
func Entries() []Entry { return sorted() }

var sorted = sync.OnceValue(func() []Entry {
	all := slices.Clone(entries)
	slices.SortFunc(all, func(a, b Entry) int {
		return strings.Compare(strings.ToLower(a.Word), strings.ToLower(b.Word))
	})
	return all
})

// byName holds every entry by its folded names; a word goes before another's synonym, and that
// before a head.
var byName = sync.OnceValue(func() map[string]*Entry {
	found := map[string]*Entry{}
	all := sorted()
	put := func(names func(e *Entry) []string) {
		for i := range all {
			for _, name := range names(&all[i]) {
				if key := fold(name); found[key] == nil {
					found[key] = &all[i]
				}
			}
		}
	}
	put(func(e *Entry) []string { return []string{e.Word} })
	put(func(e *Entry) []string { return e.Also })
	put(func(e *Entry) []string { return e.Heads })
	return found
})

// Find returns the entry of a word, its plural, another word for it or a head of a column.
func Find(word string) (Entry, bool) {
	key := fold(word)
	for _, k := range []string{key, strings.TrimSuffix(key, "s"), strings.TrimSuffix(key, "es")} {
		if e := byName()[k]; e != nil && k != "" {
			return *e, true
		}
	}
	return Entry{}, false
}

// byHead holds the entries by the heads of columns that they explain.
var byHead = sync.OnceValue(func() map[string]*Entry {
	found := map[string]*Entry{}
	all := sorted()
	for i := range all {
		for _, head := range all[i].Heads {
			found[fold(head)] = &all[i]
		}
	}
	return found
})

// Head returns the entry that explains the head of a column; a name after a colon is left aside.
func Head(head string) (Entry, bool) {
	if before, _, named := strings.Cut(head, ": "); named {
		head = before + ":"
	}
	if e := byHead()[fold(head)]; e != nil {
		return *e, true
	}
	return Entry{}, false
}

// Suggest says which word was probably meant, or "".
func Suggest(word string) string {
	var known []string
	for _, e := range sorted() {
		known = append(append(append(known, e.Word), e.Also...), e.Heads...)
	}
	return diag.DidYouMean(word, known)
}

// amount is a temperature difference that begins a head: "2 °F off after".
var amount = regexp.MustCompile(`^[0-9.]+ (?:°F|K) `)

// fold makes names equal that differ in letter case, hyphens and blanks.
func fold(name string) string {
	name = amount.ReplaceAllString(strings.TrimSpace(name), "")
	name = strings.ReplaceAll(strings.ReplaceAll(strings.ToLower(name), "-", " "), "_", " ")
	return strings.Join(strings.Fields(name), " ")
}
