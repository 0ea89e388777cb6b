package network

import (
	"fmt"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/section"
)

// reader turns a tree into a Job and gathers what is wrong on the way. It decodes by the toml tags of the Job:
//
//	toml:"name"        the key; a slice of structs with a Name is a named table, in file order
//	toml:"name,short"  the field that a bare value instead of a table stands for
//	limit:"..."        "positive": zero is refused; "signed": may be below zero
//	range:"..."        what the value can be (see plausible.go)
//	empty:"ok"         an empty list says "none"; without it an empty list is refused
//	bare:"size"        bare numbers are inches or millimetres instead of feet or metres
//	vary:"part"        only the specs of one part depend on it: see Local
type reader struct {
	name    string
	root    *node
	system  quantity.System
	found   diag.List
	sets    *node    // the file's alternatives, once they are taken out of the tree
	removed []string // paths of the parts that the chosen alternative removes
	// removals are the parts that it names, each with what went along.
	removals []Removal
	usual    map[string]*node // what parts have that do not say it: see usual.go
	setting  bool             // the overrides being merged are those of --set
	// Of what is being decoded: its path, and whether it is an item of a list.
	path   []string
	inList bool
	items  []*node // of that list
	item   int
	// doubts and unknowns are what the file says of how well values are known: see doubt.go.
	doubts   []Doubt
	unknowns []string
	// byLine are the indices of found by line, so that what stands at a place is found without a search.
	byLine map[int][]int
	// badRows are the lines of rows with an item that could not be read.
	badRows map[int]bool
	probing bool // an item is only tried
	repairs []repair
}

func (r *reader) report(severity diag.Severity, at span, fix, format string, args ...any) {
	d := diag.Diagnostic{Severity: severity, Summary: fmt.Sprintf(format, args...), Fix: fix, File: r.name}
	at.place(&d)
	if r.byLine == nil {
		r.byLine = make(map[int][]int)
	}
	r.byLine[d.Line] = append(r.byLine[d.Line], len(r.found))
	r.found = append(r.found, d)
}

// nearest is diag.Nearest while it is of use: once the file has more problems than are shown, a long
// list is no longer searched, or the time would grow with the square of the mistakes.
func (r *reader) nearest(word string, known []string) (string, bool) {
	const long = 50
	if len(known) > long && len(r.found) > diag.MostShown {
		return "", false
	}
	return diag.Nearest(word, known)
}

func (r *reader) fail(at span, fix, format string, args ...any) {
	r.report(diag.Error, at, fix, format, args...)
}

// warn reports a caution, unless what stands there was refused already: what remains of it is not the file's.
func (r *reader) warn(at span, fix, format string, args ...any) {
	var place diag.Diagnostic
	at.place(&place)
	for _, i := range r.byLine[place.Line] {
		if f := &r.found[i]; f.Severity == diag.Error && place.Line > 0 && f.Column == place.Column {
			return
		}
	}
	r.report(diag.Caution, at, fix, format, args...)
}

// field is one field of a struct with its tags taken apart.
type field struct {
	key    string
	short  bool
	limit  string
	bounds string
	size   bool
	index  int
	// mayBeEmpty is set where an empty list says "none".
	mayBeEmpty bool
	local      bool // see Local
}

// fieldCache holds the fields of the structs met so far: a file has many lines and few types.
var fieldCache sync.Map // reflect.Type to []field

func fieldsOf(t reflect.Type) []field {
	if known, ok := fieldCache.Load(t); ok {
		return known.([]field)
	}
	var fields []field
	for i := 0; i < t.NumField(); i++ {
		f := t.Field(i)
		key, option, _ := strings.Cut(f.Tag.Get("toml"), ",")
		if key == "" || key == "-" {
			continue
		}
		fields = append(fields, field{
			key: key, short: option == "short", limit: f.Tag.Get("limit"), bounds: f.Tag.Get("range"),
			size: f.Tag.Get("bare") == "size", mayBeEmpty: f.Tag.Get("empty") == "ok", local: f.Tag.Get("vary") == "part", index: i,
		})
	}
	fieldCache.Store(t, fields)
	return fields
}

// decodeStruct fills a struct from a table.
func (r *reader) decodeStruct(n *node, v reflect.Value) {
	fields := fieldsOf(v.Type())
	if !n.table {
		for _, f := range fields {
			if f.short {
				r.decode(n, v.Field(f.index), f)
				return
			}
		}
		r.fail(n.value, "write { KEY = VALUE, ... }", "%q is %s, but a table is meant", n.name, n.what())
		return
	}
	for _, child := range n.children {
		f, ok := fieldNamed(fields, child.name)
		if !ok {
			if f, ok = r.unknownKey(n, child, fields); !ok {
				continue
			}
		}
		r.within(f.key, func() { r.decode(child, v.Field(f.index), f) })
	}
}

func fieldNamed(fields []field, key string) (field, bool) {
	for _, f := range fields {
		if f.key == key {
			return f, true
		}
	}
	return field{}, false
}

// unknownKey reports a key that nothing has. When it is clear what was meant, the key is read as that, so that one slip does
// not make a "missing" as well; the field is returned then.
func (r *reader) unknownKey(parent, child *node, fields []field) (field, bool) {
	var known []string
	for _, f := range fields {
		known = append(known, f.key)
	}
	near, ok := diag.Nearest(child.name, known)
	ok = ok && parent.child(near) == nil
	if strings.EqualFold(near, child.name) {
		r.fail(child.key, fmt.Sprintf("write %q", near), "keys are written in small letters, not %q", child.name)
		r.repairKey(child, near, false)
		return r.readAs(parent, child, near, ok, fields)
	}
	where := "a job file"
	if parent.name != "" {
		where = fmt.Sprintf("%q", parent.name)
	}
	fix := diag.DidYouMean(child.name, known)
	for _, word := range tradeWords[strings.ToLower(child.name)] {
		if contains(known, word) && parent.child(word) == nil {
			near, ok, fix = word, true, fmt.Sprintf("write %q", word)
			r.repairKey(child, near, true)
			break
		}
	}
	r.repairKey(child, near, false)
	r.fail(child.key, fix, "%s has no key %q", where, child.name)
	return r.readAs(parent, child, near, ok, fields)
}

// tradeWords are other words for a key, in the order in which they are tried on the table that they stand in.
var tradeWords = map[string][]string{
	"area": {"floor", "free-area"}, "cfm": {"wants", "airflow", "at"}, "airflow": {"wants", "at"}, "flow": {"wants", "airflow", "at"},
	"min": {"stop"}, "minimum": {"stop"}, "min-position": {"stop"}, "max": {"open"}, "tonnage": {"capacity"}, "tons": {"capacity"},
	"heating-load": {"heat-loss"}, "cooling-load": {"heat-gain"}, "loss": {"heat-loss"}, "gain": {"heat-gain"}, "btu": {"output", "capacity"},
	"diameter": {"size"}, "dia": {"size"}, "duct": {"size", "material"}, "elbows": {"fittings"}, "takeoff": {"fittings"},
	"speed": {"tap"}, "esp": {"max-static"}, "static-pressure": {"max-static"}, "pressure-drop": {"drop"}, "rh": {"humidity"},
	"location": {"place"}, "altitude": {"elevation"}, "parent": {"from", "to"}, "joins": {"to"},
}

func (r *reader) readAs(parent, child *node, key string, sure bool, fields []field) (field, bool) {
	if !sure {
		return field{}, false
	}
	child.name = key
	parent.byName[key] = child
	return fieldNamed(fields, key)
}

// decode fills one value of any type that occurs in a Job.
func (r *reader) decode(n *node, v reflect.Value, f field) {
	if v.Kind() == reflect.Pointer {
		v.Set(reflect.New(v.Type().Elem()))
		v = v.Elem()
	}
	if n.list && len(n.items) == 0 && !f.mayBeEmpty {
		r.fail(n.value, "name at least one, or leave the key out", "the list %q is empty", n.name)
		return
	}
	if r.decodeSpecial(n, v.Addr().Interface(), f) {
		return
	}
	switch v.Kind() {
	case reflect.Slice:
		r.decodeSlice(n, v, f)
	case reflect.Struct:
		r.decodeStruct(n, v)
	case reflect.String:
		if text, ok := r.text(n); ok {
			v.SetString(text)
		}
	case reflect.Bool:
		if b, ok := n.leaf.(bool); ok {
			v.SetBool(b)
			return
		}
		r.fail(n.value, "write true or false, without quotes", "%q is %s, but true or false is meant", n.name, n.what())
	case reflect.Int:
		i, ok := n.leaf.(int64)
		if ok && i >= 1 && i <= 1000 {
			v.SetInt(i)
			return
		}
		r.fail(n.value, "write a whole number, such as 2", "%q must be a whole number from 1 to 1000", n.name)
	case reflect.Float64:
		number, ok := plainNumber(n)
		if middle, doubted := r.doubtful(n, quantity.Unknown, f,
			func(part *node) float64 { return r.textNumber(part) },
			func(x float64) (float64, float64, bool) {
				return aboutSpan(quantity.Unknown, f,
					x)
			}); doubted {
			number, ok = middle, true
		}
		if ok && number >= 0 && number <= 1e6 {
			v.SetFloat(number)
			return
		}
		r.fail(n.value, "write a number, such as 1.5", "%q must be a plain number, not below zero", n.name)
	}
}

// plainNumber is the number of a leaf; false for anything else. NaN fails every comparison of the caller.
func plainNumber(n *node) (float64, bool) {
	switch v := n.leaf.(type) {
	case int64:
		return float64(v), true
	case float64:
		return v, true
	}
	return 0, false
}

// textNumber is a plain number in the text of a doubt.
func (r *reader) textNumber(n *node) float64 {
	text, _ := n.leaf.(string)
	x, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err == nil && x >= 0 && x <= 1e6 {
		return x
	}
	r.fail(n.value, "write numbers, such as \"1.5 (1 to 4)\"",
		"%q: a plain number is meant, not below zero", text)
	return 0
}

// text is the text of a leaf that must be one.
func (r *reader) text(n *node) (string, bool) {
	text, ok := n.leaf.(string)
	if !ok {
		r.fail(n.value, `write it in quotes, "like this"`, "%q is %s, but a text is meant", n.name, n.what())
	}
	if n.name != "note" && strings.ContainsFunc(text, isControl) {
		r.fail(n.value, "take the control character out", "the text of %q has a control character in it", n.name)
		return "", false
	}
	return text, ok
}

// decodeSlice reads a named table into a slice of structs with a Name, else a list (or a single value instead of a list).
func (r *reader) decodeSlice(n *node, v reflect.Value, f field) {
	element := v.Type().Elem()
	if named(element) {
		if !n.table {
			r.fail(n.value, fmt.Sprintf("write [%s] and one NAME = { ... } per line", n.name), "%q is %s, but a table of named parts is meant", n.name, n.what())
			return
		}
		for _, child := range n.children {
			item := reflect.New(element).Elem()
			item.FieldByName("Name").SetString(child.name)
			if r.nameIsGood(child) {
				r.within(child.name, func() { r.decodeStruct(child, item) })
			}
			v.Set(reflect.Append(v, item))
		}
		return
	}
	items := n.items
	if !n.list {
		if n.table {
			r.fail(n.value, "write [ ..., ... ]", "%q is a table, but a list is meant", n.name)
			return
		}
		items = []*node{n}
		if f.bounds == "plate-rise" {
			items = rangeEnds(n)
		}
	}
	within := r.inList
	r.inList = true
	defer func() { r.inList = within }()
	for i, child := range items {
		item := reflect.New(element).Elem()
		r.items, r.item = items, i
		r.decode(child, item, f)
		v.Set(reflect.Append(v, item))
	}
}

// rangeText is a range in one text: "35-65 F", "35 to 65 F", "35 F..65 F".
var rangeText = regexp.MustCompile(`^\s*([0-9.]+)\s*([^0-9.\s-]*)\s*(?:-|–|to|\.\.)\s*([0-9.]+)\s*([^0-9.]*)$`)

// rangeEnds returns the two ends of a range that one text gives, as items with their unit; another text is one item.
func rangeEnds(n *node) []*node {
	text, _ := n.leaf.(string)
	m := rangeText.FindStringSubmatch(text)
	if m == nil {
		return []*node{n}
	}
	unit := m[4]
	first := m[2]
	if first == "" || first == "t" { // the t of "to" behind a number without a unit
		first = unit
	}
	low, high := *n, *n
	low.leaf, high.leaf = strings.TrimSpace(m[1]+" "+first), strings.TrimSpace(m[3]+" "+unit)
	return []*node{&low, &high}
}

func named(t reflect.Type) bool {
	if t.Kind() != reflect.Struct {
		return false
	}
	f, ok := t.FieldByName("Name")
	return ok && f.Tag.Get("toml") == "" && t != reflect.TypeFor[FittingUse]()
}

// nameIsGood refuses names that could not be told apart in messages and pictures.
func (r *reader) nameIsGood(n *node) bool {
	const longestName = 60
	switch {
	case strings.TrimSpace(n.name) != n.name || n.name == "":
		r.fail(n.key, "give the part a name without blanks around it", "a part has the name %q", n.name)
	case utf8.RuneCountInString(n.name) > longestName:
		r.fail(n.key, "use a short name and put the rest into title or note", "a name of %d letters; at most %d", utf8.RuneCountInString(n.name), longestName)
		return true // the part is read all the same, so that nothing is said of what hangs on it
	case strings.ContainsFunc(n.name, isControl):
		r.fail(n.key, "take the control character out", "the name %q has a control character in it", n.name)
	default:
		return true
	}
	return false
}

func isControl(c rune) bool { return c < 0x20 || c == 0x7f }

// decodeSpecial reads the types that have a written form of their own. It returns false for all others.
func (r *reader) decodeSpecial(n *node, target any, f field) bool {
	switch t := target.(type) {
	case *quantity.System:
		text, ok := r.text(n)
		if system, known := quantity.ParseSystem(text); known {
			*t = system
		} else if ok {
			r.fail(n.value, `write units = "ip" or units = "si"`, "there is no system of units %q", text)
		}
	case *Mode:
		text, ok := r.text(n)
		*t = Mode(text)
		if modes := []string{string(Cooling), string(Heating), string(Fan)}; ok && !contains(modes, text) {
			r.fail(n.value, diag.DidYouMean(text, modes), "there is no mode %q", text)
		}
	case *quantity.Length:
		kind := quantity.KindLength
		if f.size {
			kind = quantity.KindSize
		}
		*t = quantity.Length(r.quantity(n, kind, f))
	case *quantity.Area:
		*t = quantity.Area(r.quantity(n, quantity.KindArea, f))
	case *quantity.Airflow:
		*t = quantity.Airflow(r.quantity(n, quantity.KindAirflow, f))
	case *quantity.Velocity:
		*t = quantity.Velocity(r.quantity(n, quantity.KindVelocity, f))
	case *quantity.Pressure:
		*t = quantity.Pressure(r.quantity(n, quantity.KindPressure, f))
	case *quantity.Temperature:
		*t = quantity.Temperature(r.quantity(n, quantity.KindTemperature, f))
	case *quantity.TemperatureSpan:
		*t = quantity.TemperatureSpan(r.quantity(n, quantity.KindTemperatureSpan, f))
	case *quantity.Heat:
		*t = quantity.Heat(r.quantity(n, quantity.KindHeat, f))
	case *quantity.Electricity:
		*t = quantity.Electricity(r.quantity(n, quantity.KindElectricity, f))
	case *quantity.Fraction:
		*t = quantity.Fraction(r.quantity(n, quantity.KindFraction, f))
	case *quantity.Angle:
		*t = quantity.Angle(r.quantity(n, quantity.KindAngle, f))
	case *quantity.Insulation:
		*t = quantity.Insulation(r.quantity(n, quantity.KindInsulation, f))
	case *quantity.Time:
		*t = quantity.Time(r.quantity(n, quantity.KindTime, f))
	case *Scheduled:
		*t = r.schedule(n)
	case *Position:
		*t = r.position(n)
	case *DamperLeakage:
		*t = r.damperLeakage(n)
	case *section.Section:
		size := r.size(n)
		*t = size.Section
		if size.Material != "" {
			r.fail(n.value, "", "%q is a material; only a run of duct has one", size.Material)
		}
	case *Size:
		*t = r.size(n)
	case *FittingUse:
		*t = r.fitting(n)
	case *Opening:
		if n.table {
			return false
		}
		size := r.size(n)
		t.Size = size.Section
		if size.Material != "" {
			r.fail(n.value, "", "%q is a material; only a run of duct has one", size.Material)
		}
	case *Leak:
		if n.table {
			return false
		}
		*t = r.leak(n)
	case *Names:
		for _, item := range itemsOf(n) {
			if text, ok := r.text(item); ok {
				*t = append(*t, text)
			}
		}
	default:
		return false
	}
	return true
}

// itemsOf is the items of a list, or the node itself where one value stands instead of a list of one.
func itemsOf(n *node) []*node {
	if n.list {
		return n.items
	}
	return []*node{n}
}

func contains(words []string, word string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}
