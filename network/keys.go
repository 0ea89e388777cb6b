package network

import (
	"reflect"
	"slices"
	"strings"

	"spillway/network/quantity"
	"spillway/network/section"
)

// AnyName stands in the path of a KeyTable for a name of the file's own.
const AnyName = "NAME"

// KeyTable is one kind of table of the job file with its keys, as the reader has them.
type KeyTable struct {
	Type string // of the value that it fills, "Line"; Choices and the schema call it so
	// Paths are where it stands, "supply.NAME"; NAME is a name of the file's own. "" is the file.
	Paths []string
	Row   bool // may be a text of items
	Keys  []Key
}

// Key is one key of a KeyTable.
type Key struct {
	Name   string
	Kind   quantity.Kind // of its number with a unit; Unknown for all else
	Table  string        // the Type of the table that it holds, "" for a value
	Named  bool          // that table has names of the file's own, a part under each
	Short  bool          // its value may stand in place of the table that the key is in
	Bounds KeyBounds     // of a number; the zero value for none
	// Row is the words in front of its value in a row, shortest first; "" is a value that needs
	// none. Nil: a row cannot hold it.
	Row []string
}

// KeyBounds are the bounds of a number, SI: beyond Least and Most it is refused, beyond Low and
// High the reader asks whether the unit is right.
type KeyBounds struct{ Least, Low, High, Most float64 }

// KeyTables lists all kinds of tables of the job file, a table before those within it, in the order
// of the fields of Job. Alternatives take the same keys; what stands for tables ([from.X], [usual])
// only the schema has.
func KeyTables() []KeyTable {
	var list []KeyTable
	at := map[reflect.Type]int{}
	type table struct {
		of   reflect.Type
		path string
	}
	for open := []table{{reflect.TypeFor[Job](), ""}}; len(open) > 0; {
		t, path := open[0].of, open[0].path
		open = open[1:]
		keys, inner := keysOf(t, path)
		for i := range keys {
			if k := &keys[i]; k.Table != "" {
				open = append(open, table{inner[i], strings.TrimPrefix(path+"."+k.Name, ".")})
				if k.Named {
					open[len(open)-1].path += "." + AnyName
				}
			}
		}
		if i, known := at[t]; known {
			list[i].Paths = append(list[i].Paths, path)
			continue
		}
		at[t] = len(list)
		row := rowKindAt(path, t) != nil || t == reflect.TypeFor[Box]()
		list = append(list, KeyTable{Type: t.Name(), Paths: []string{path}, Row: row, Keys: keys})
	}
	return list
}

// keysOf lists the keys of a type at a path, with the types of the tables that they hold.
func keysOf(t reflect.Type, path string) (keys []Key, inner []reflect.Type) {
	row := rowKindAt(path, t)
	for _, f := range fieldsOf(t) {
		of := t.Field(f.index).Type
		if of.Kind() == reflect.Pointer {
			of = of.Elem()
		}
		k := Key{Name: f.key, Short: f.short}
		if of.Kind() == reflect.Slice && of != reflect.TypeFor[Names]() {
			of = of.Elem()
			k.Named = named(of)
		}
		k.Kind = kindAt(of, f)
		if isTable(of) {
			k.Table = of.Name()
		} else if b := boundsOf(k.Kind, f); b.most < unbounded.most && takesBounds(of, f) {
			k.Bounds = KeyBounds{b.least, b.low, b.high, b.most}
		}
		k.Row = row.prefixes(f.key, of, k.Named)
		keys, inner = append(keys, k), append(inner, of)
	}
	return keys, inner
}

// takesBounds reports whether the reader holds the numbers of a type against bounds.
func takesBounds(t reflect.Type, f field) bool {
	return f.bounds != "" || kindAt(t, f) != quantity.Unknown
}

// kindAt is the kind of a number with a unit, Unknown for another type.
func kindAt(t reflect.Type, f field) quantity.Kind {
	switch {
	case t == reflect.TypeFor[quantity.Time]():
		return quantity.KindTime
	case t == reflect.TypeFor[Scheduled]():
		return quantity.KindTemperature
	case t == reflect.TypeFor[DamperLeakage]():
		return quantity.KindFraction
	case kinds[t] == quantity.KindLength && f.size:
		return quantity.KindSize
	}
	return kinds[t]
}

// isTable reports whether a type is a table of keys rather than a value with a form of its own.
func isTable(t reflect.Type) bool {
	switch t {
	case reflect.TypeFor[Size](), reflect.TypeFor[section.Section](), reflect.TypeFor[FittingUse](),
		reflect.TypeFor[Scheduled](), reflect.TypeFor[DamperLeakage]():
		return false
	}
	return t.Kind() == reflect.Struct
}

// rowKindAt is the kind of row that may stand for a table at a path; nil for none.
func rowKindAt(path string, t reflect.Type) *rowKind {
	name := strings.TrimSuffix(path, "."+AnyName)
	name = strings.TrimPrefix(name, "equipment.")
	switch t {
	case reflect.TypeFor[Resistance]():
		name = "part"
	case reflect.TypeFor[Opening]():
		name = "opening"
	case reflect.TypeFor[Stage]():
		name, _, _ = strings.Cut(name, ".")
	}
	return rowKindNamed(name)
}

// prefixes are the words in front of the value of a key in a row.
func (k *rowKind) prefixes(key string, of reflect.Type, namedTable bool) (words []string) {
	switch {
	case k == nil || namedTable,
		isTable(of) && of != reflect.TypeFor[Opening]() && of != reflect.TypeFor[Door](),
		key == "position" || key == "balance" && !k.run:
		return nil
	case k.run && key == "fittings", key == "size" && (k.run || k.sized),
		k.bare[kinds[of]] == key, k.run && (key == "material" || key == "place"):
		words = append(words, "")
	}
	for _, w := range k.words {
		if w[0] == key && of.Kind() == reflect.String && !slices.Contains(words, "") {
			words = append(words, "")
		}
	}
	if len(words) == 0 {
		for _, c := range k.keys {
			if c.key == key {
				words = append(words, c.word)
			}
		}
		slices.SortStableFunc(words, func(a, b string) int { return len(a) - len(b) })
	}
	return words
}
