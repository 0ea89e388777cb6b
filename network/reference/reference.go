// Package reference describes every key of the job file: what it is, its unit and bounds, the
// default and where that comes from, how a row writes it, and an example line.
//
// It holds no list of keys: it asks the reader's tables (network.KeyTables) and the schema, whose
// words are the comments of the fields; defaults are what the reader assumes when an example is
// read without the key.
package reference

import (
	"slices"
	"strconv"
	"strings"
	"sync"

	"spillway/network"
	"spillway/network/diag"
	"spillway/network/quantity"
)

// Section is one kind of table of the job file.
type Section struct {
	// Type is the kind of table as the schema calls it, in small letters: "line".
	Type string
	// Paths are where it stands, NAME for a name of the file's own; "" is the file itself.
	Paths   []string
	Words   string // what it is; "" in the part that Find makes of a key alone
	Row     string // an example of the row that may stand for it; "" for none
	Entries []Entry
}

// Entry is one key of a section.
type Entry struct {
	Key    string
	Words  string        // what it means; "" where the form says all
	Form   string        // what it takes
	Kind   quantity.Kind // of its number with a unit, else Unknown
	Bounds network.KeyBounds
	// Item is an item of a row that says the same as Example; "" where a row cannot hold it.
	Item string
	// Example is a line of a job file.
	Example string
	// Inner is the Type of the section of the table that it holds, "" for a value.
	Inner string
	at    place // of Example
}

// Sections returns the whole reference, in the order of the reader's tables; what stands for tables
// comes last. The caller must not change it.
func Sections() []Section { return sections() }

var sections = sync.OnceValue(func() []Section {
	s := readSchema()
	var list []Section
	byType := map[string]int{}
	for _, t := range network.KeyTables() {
		section := Section{Type: strings.ToLower(t.Type), Paths: t.Paths}
		table := s.table(section.Type)
		section.Words = table.words(t.Type)
		if t.Row {
			section.Row = table.row()
		}
		for _, k := range t.Keys {
			property := table.property(k.Name)
			e := Entry{Key: k.Name, Kind: k.Kind, Bounds: k.Bounds, Inner: strings.ToLower(k.Table),
				Words: property.words(""), Form: s.form(property)}
			e.complete(t.Paths, k.Row, k.Short)
			section.Entries = append(section.Entries, e)
		}
		byType[section.Type] = len(list)
		list = append(list, section)
	}
	for _, name := range s.rest(list[0].Entries) {
		property := s.root.property(name)
		if i, ok := byType[property.item().refersTo()]; ok {
			list[i].Paths = append(list[i].Paths, name+".NAME") // another word for a table
			continue
		}
		section := Section{Type: name, Words: property.words("")}
		table := property
		if inner := property.item(); inner != nil {
			table = s.resolved(inner)
			section.Paths = []string{name + ".NAME"}
		} else {
			section.Paths = []string{name}
		}
		for _, key := range table.own(s.root) {
			e := Entry{Key: key, Words: table.property(key).words(""),
				Form: s.form(table.property(key))}
			e.complete(section.Paths, nil, false)
			section.Entries = append(section.Entries, e)
		}
		list = append(list, section)
	}
	return list
})

// Find returns the part of the reference that a text asks for: a section by its table ("supply") or
// type ("line"), a key by its path ("damper.stop", "supply.NAME.register.size") or by its name
// alone, wherever it stands. It is nil where nothing has the name.
func Find(text string) []Section {
	parts := strings.FieldsFunc(strings.ToLower(text), func(c rune) bool {
		return c == '.' || c == ' ' || c == '[' || c == ']'
	})
	if len(parts) == 0 {
		return nil
	}
	for _, s := range Sections() {
		if len(parts) == 1 && parts[0] == s.Type || s.at(parts, true) {
			return []Section{s}
		}
	}
	var found []Section
	table, key := parts[:len(parts)-1], parts[len(parts)-1]
	for _, s := range Sections() {
		if len(table) > 0 && !s.at(table, true) && !s.at(table, false) {
			continue
		}
		i := slices.IndexFunc(s.Entries, func(e Entry) bool { return e.Key == key })
		if i >= 0 {
			s.Entries, s.Words, s.Row = s.Entries[i:i+1], "", ""
			found = append(found, s)
		}
	}
	if found == nil {
		for _, s := range Sections() {
			if s.at(parts, false) && s.ends(key) {
				return []Section{s}
			}
		}
	}
	return found
}

// at reports whether a section stands at a path, without the names of the file's own (bare) or with
// any of them.
func (s *Section) at(parts []string, bare bool) bool {
	return slices.ContainsFunc(s.Paths, func(p string) bool {
		path := strings.Split(p, ".")
		if bare {
			path = slices.DeleteFunc(path, func(x string) bool { return x == network.AnyName })
		}
		return p != "" && fits(path, parts)
	})
}

// ends reports whether a path of a section ends with a key, not with a name of the file's own.
func (s *Section) ends(key string) bool {
	return slices.ContainsFunc(s.Paths, func(p string) bool {
		return strings.HasSuffix(p,
			"."+key)
	})
}

func fits(path, parts []string) bool {
	return slices.EqualFunc(path, parts, func(a, b string) bool {
		return a == b || a == network.AnyName
	})
}

// Tables lists the tables of the job file by their paths, without the names of the file's own.
func Tables() (names []string) {
	for _, s := range Sections() {
		for _, p := range s.Paths {
			if p != "" {
				names = append(names, strings.ReplaceAll(p, "."+network.AnyName, ""))
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// Suggest says which table or key was probably meant, or "".
func Suggest(text string) string {
	known := Tables()
	for _, s := range Sections() {
		for i := range s.Entries {
			known = append(known, s.Entries[i].Key)
		}
	}
	words := strings.Fields(strings.ReplaceAll(text, ".", " "))
	if len(words) > 0 {
		text = words[len(words)-1]
	}
	return diag.DidYouMean(text, known)
}

// complete adds what the example jobs say of a key: a line, and the item of a row.
func (e *Entry) complete(paths, row []string, short bool) {
	at, ok := lineOf(paths, e.Key)
	if !ok && short {
		at, ok = lineOf(paths, "")
	}
	if ok {
		e.at, e.Example, e.Item = at, at.text(), itemOf(row, at.value)
	}
}

// Without reads an example job without the key: what is assumed then and where that comes from, or
// what the reader says where it must be given; "" where the key is just left out.
func (e *Entry) Without() (value, why, missing string) {
	if e.Example == "" {
		return "", "", ""
	}
	return e.at.without()
}

// itemOf is a value behind the first of the words that may stand before it in a row.
func itemOf(row []string, value string) string {
	if len(row) == 0 {
		return ""
	}
	text, err := strconv.Unquote(value)
	switch {
	case strings.HasPrefix(value, "["):
		var items []string
		for _, item := range strings.Split(strings.Trim(value, "[]"), ", ") {
			items = append(items, strings.Trim(item, `"`))
		}
		text = strings.Join(items, "; ")
		if row[0] == "" {
			text = strings.Join(items, ", ")
		}
	case err != nil:
		text = value
	}
	return strings.TrimSpace(row[0] + " " + text)
}
