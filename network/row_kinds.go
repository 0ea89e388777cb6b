package network

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
	"sync"

	"spillway/network/quantity"
)

// rowKind is a kind of part that may be written as a row, a text of items that stands for an inline
// table:
//
//	kitchen = "7 in, 14 ft, 10x6, 130 cfm"
//
// Every key of the part may stand in front of its value, "-" as a blank; what needs no key is told
// by its shape.
type rowKind struct {
	name  string // as messages call it
	of    reflect.Type
	run   bool
	rated bool                     // "0.08 inwc at 1200 cfm" is drop and at
	sized bool                     // a size without a key is the part's
	bare  map[quantity.Kind]string // keys of quantities that need none
	words map[string][2]string     // words that are a key and its value
	keys  []rowKey                 // longest first
}

// rowKey is a word in front of a value, and the key that it stands for; "register.pattern" is one
// within a table.
type rowKey struct{ word, key string }

// rowKindNamed returns the kind of row that a table holds, by the table's name; "machine", "stage",
// "heater", "part"
// and "opening" are those within others.
func rowKindNamed(name string) *rowKind { return rowKinds()[name] }

var rowKinds = sync.OnceValue(func() map[string]*rowKind {
	runKeys := []rowKey{
		{"off", "from"}, {"joins", "to"}, {"up", "rise"}, {"down", "-rise"}, {"opens",
			"opens"}, {"opens at", "opens-at"},
		{"free area", "register.free-area"}, {"pattern", "register.pattern"},
	}
	machineWords := map[string][2]string{"furnace": {"kind", "furnace"},
		"electric": {"kind", "electric"}, "heat pump": {"kind", "heat pump"}}
	damperWords := map[string][2]string{"shut": {"stop", "0 %"}, "closed": {"stop", "0 %"},
		"rect": {"blade", "rectangular"}}
	for _, blade := range []string{"round", "rectangular", "parallel", "opposed"} {
		damperWords[blade] = [2]string{"blade", blade}
	}
	for _, drive := range []string{TwoPosition, Modulating, Hand, Barometric, ConstantPressure,
		Backdraft} {
		damperWords[drive] = [2]string{"drive", drive}
	}
	uses := map[string][2]string{}
	for _, use := range roomUses() {
		uses[use] = [2]string{"use", use}
	}
	modes := map[string][2]string{}
	for _, mode := range []Mode{Cooling, Heating, Fan} {
		modes[string(mode)] = [2]string{"mode", string(mode)}
	}
	line, machine := reflect.TypeFor[Line](), reflect.TypeFor[Machine]()
	capacity := map[quantity.Kind]string{quantity.KindHeat: "capacity"}
	output := map[quantity.Kind]string{quantity.KindHeat: "output"}
	runBare := map[quantity.Kind]string{quantity.KindLength: "length",
		quantity.KindAirflow: "wants", quantity.KindInsulation: "insulation"}
	kinds := map[string]*rowKind{
		"site": {of: reflect.TypeFor[Site](),
			bare: map[quantity.Kind]string{quantity.KindLength: "elevation"}},
		"weather": {of: reflect.TypeFor[Weather](), words: modes},
		"cooling": {of: machine, bare: capacity, words: machineWords},
		"heating": {of: machine, bare: output, words: machineWords},
		"fan":     {of: machine},
		"zone": {of: reflect.TypeFor[Zone](),
			bare: map[quantity.Kind]string{quantity.KindAirflow: "wants",
				quantity.KindArea: "floor"},
			keys: []rowKey{{"loss", "heat-loss"}, {"gain", "heat-gain"}, {"area", "floor"}}},
		"damper": {of: reflect.TypeFor[Damper](), words: damperWords, sized: true},
		"supply": {of: line, run: true, bare: runBare, keys: runKeys},
		"return": {of: line, run: true, bare: runBare, keys: append([]rowKey{
			{"free area", "grille.free-area"}, {"pattern",
				"grille.pattern"}}, runKeys[:len(runKeys)-2]...)},
		"bypass": {of: line, run: true, bare: runBare, keys: runKeys},
		"dump":   {of: line, run: true, bare: runBare, keys: runKeys},
		"room": {of: reflect.TypeFor[Room](), words: uses,
			bare: map[quantity.Kind]string{quantity.KindArea: "floor"},
			keys: []rowKey{{"loss", "heat-loss"}, {"gain", "heat-gain"}, {"area", "floor"}}},
		"part":    {of: reflect.TypeFor[Resistance](), rated: true, sized: true},
		"opening": {of: reflect.TypeFor[Opening](), rated: true, sized: true},
	}
	for name, k := range kinds {
		k.name = name
		for _, f := range fieldsOf(k.of) {
			k.keys = append(k.keys, rowKey{strings.ReplaceAll(f.key, "-", " "), f.key})
		}
		slices.SortStableFunc(k.keys, func(a, b rowKey) int {
			return cmp.Compare(len(b.word),
				len(a.word))
		})
	}
	return kinds
})

// key finds the word that an item begins with, in lower case and with "-" as blanks.
func (k *rowKind) key(item string) (rowKey, bool) {
	for _, c := range k.keys {
		if rest, ok := strings.CutPrefix(item, c.word); ok && (rest == "" || rest[0] == ' ') {
			return c, true
		}
	}
	return rowKey{}, false
}

// fieldType returns the type that the value of a key has, and its field.
func (k *rowKind) fieldType(key string) (reflect.Type, field, bool) {
	t, f := k.of, field{}
	for _, part := range strings.Split(key, ".") {
		var ok bool
		if f, ok = fieldNamed(fieldsOf(t), part); !ok {
			return nil, f, false
		}
		if t = t.Field(f.index).Type; t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
	}
	return t, f, true
}

// keyWords lists the words that may stand in front of a value of this kind of quantity; all of them
// for Unknown.
func (k *rowKind) keyWords(kind quantity.Kind) []string {
	var words []string
	for _, c := range k.keys {
		t, f, ok := k.fieldType(strings.TrimPrefix(c.key, "-"))
		switch {
		case kind == quantity.Unknown:
		case !ok || t != reflect.TypeFor[DamperLeakage]() &&
			(kinds[t] != kind || f.bounds == "gains"):
			continue
		case t == reflect.TypeFor[DamperLeakage]() && kind != quantity.KindFraction:
			continue
		case slices.ContainsFunc(k.keys, func(o rowKey) bool {
			return o.key == c.key &&
				len(o.word) < len(c.word)
		}):
			continue // the shorter word will do
		}
		words = append(words, c.word)
	}
	slices.Sort(words)
	return slices.Compact(words)
}
