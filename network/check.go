package network

import (
	"fmt"
	"slices"

	"spillway/network/diag"
)

// checker holds a decoded job against itself: references, sizes, what is missing. It completes the job on the way and
// notes every default as an Assumption. A check says what it finds and goes on; a line whose path is broken is left out of
// later checks, so that one mistake gives one message.
type checker struct {
	*reader
	job     *Job
	lines   map[string]*lineRef // by name, of all four tables
	order   []*lineRef          // in file order, table by table
	boxes   map[string]bool
	dampers map[string]*Damper
	zones   map[string]*Zone
	rooms   map[string]*Room
	taps    []string // of the blower; nil when it is not known
	kind    string   // of the blower
	// unsure is true when a reference that decides zones is broken: that a zone or register seems to lack something may then be
	// only a consequence.
	unsure bool
	// remarked are the names of rooms that a caution was given for: one slip in eight runs is one remark.
	remarked map[string]bool
	// tapAirflow is the airflow of each tap at the lowest static of its table.
	tapAirflow []float64
	// heldTaps are the taps whose rising airflow cannot be held, once reported.
	heldTaps map[string]bool
}

// lineRef is a line with the table it stands in.
type lineRef struct {
	*Line
	table  string
	broken bool // its way to the plenum is unknown, and that is reported
	feeds  int  // lines that leave it (supply) or lead into it (return)
}

func newChecker(r *reader, job *Job) *checker {
	c := &checker{reader: r, job: job, lines: map[string]*lineRef{}, boxes: map[string]bool{}, dampers: map[string]*Damper{},
		zones: map[string]*Zone{}, rooms: map[string]*Room{}, remarked: map[string]bool{}}
	for i := range job.Boxes {
		c.boxes[job.Boxes[i].Name] = true
	}
	for i := range job.Dampers {
		c.dampers[job.Dampers[i].Name] = &job.Dampers[i]
	}
	for i := range job.Zones {
		c.zones[job.Zones[i].Name] = &job.Zones[i]
	}
	for i := range job.Rooms {
		c.rooms[job.Rooms[i].Name] = &job.Rooms[i]
	}
	for _, l := range job.Lines() {
		ref := &lineRef{Line: l, table: string(l.Table)}
		c.order = append(c.order, ref)
		if c.lines[ref.Name] == nil {
			c.lines[ref.Name] = ref
		}
	}
	return c
}

// run makes all checks. The order matters only where a later one needs what an earlier one completed.
func (c *checker) run() {
	c.names()
	c.site()
	c.blower()
	c.equipment()
	c.weather()
	c.linesThemselves()
	c.linesTogether()
	c.unknownLengths()
	c.roomsAndDoors()
	c.zonesThemselves()
	c.damperUse()
	c.dampersThemselves()
	c.panel()
	c.leaks()
	c.ports()
	c.assignZones()
	c.assignWants()
	c.hearing()
	c.time()
	c.limits()
	c.tellDoubts()
	c.job.assumed = c.job.Assumptions
	c.job.Assumptions = Grouped(c.job.assumed)
	c.tolerances()
	c.choices()
}

// at is the place of a value, or of the nearest thing above it that the file has.
func (c *checker) at(path ...string) span {
	n, all := c.root.find(path...)
	if all || n.leaf != nil {
		return n.value
	}
	return n.key
}

// name is the place of a part's name.
func (c *checker) name(path ...string) span {
	n, _ := c.root.find(path...)
	return n.key
}

// item is the place of one item of a list.
func (c *checker) item(i int, path ...string) span {
	n, all := c.root.find(path...)
	if !all {
		return n.key
	}
	if items := itemsOf(n); i < len(items) {
		return items[i].value
	}
	return n.value
}

// refusedWithin reports whether an error stands already at a value or within it.
func (c *checker) refusedWithin(path ...string) bool {
	var place diag.Diagnostic
	c.at(path...).place(&place)
	for _, i := range c.byLine[place.Line] {
		f := &c.found[i]
		if f.Severity == diag.Error && f.Column >= place.Column && f.Column < place.Column+max(1, place.Length) {
			return true
		}
	}
	return false
}

// given tells whether the file has a key.
func (c *checker) given(path ...string) bool {
	_, all := c.root.find(path...)
	return all
}

// assume notes a default.
func (c *checker) assume(value, why string, path ...string) {
	c.job.Assumptions = append(c.job.Assumptions, Assumption{Path: PathText(path...), Value: value, Why: why})
}

// Grouped makes one assumption of those that say the same of three or more parts of a table, and lists the parts in its reason:
// a reader wants to see once that ducts are galvanised, not thirty times.
func Grouped(all []Assumption) []Assumption {
	const few = 3
	type sort struct{ table, key, value, why string }
	sortOf := func(a Assumption) (sort, string, bool) {
		parts, ok := SplitPath(a.Path)
		if !ok || len(parts) != 3 {
			return sort{}, "", false
		}
		return sort{parts[0], parts[2], a.Value, a.Why}, parts[1], true
	}
	parts := map[sort][]string{}
	for _, a := range all {
		if k, part, ok := sortOf(a); ok {
			parts[k] = append(parts[k], part)
		}
	}
	var out []Assumption
	done := map[sort]bool{}
	for _, a := range all {
		k, _, ok := sortOf(a)
		switch {
		case !ok || len(parts[k]) < few:
			out = append(out, a)
		case !done[k]:
			done[k] = true
			out = append(out, Assumption{Path: PathText(k.table) + ".*." + PathText(k.key), Value: a.Value, Why: a.Why + ": " + joined(parts[k])})
		}
	}
	return out
}

// unknown reports a reference to something that does not exist. It returns what was most likely meant, so that the checks can
// go on with that, or "".
func (c *checker) unknown(at span, what, name string, known []string) (meant string) {
	meant, _ = c.nearest(name, known)
	fix := diag.Suggest(meant, known)
	if len(known) == 0 {
		fix = fmt.Sprintf("the job has no %s at all", what)
	}
	c.fail(at, fix, "there is no %s %q", what, name)
	return meant
}

// choice refuses a word that a key of a type does not take; Choices has the words.
func (c *checker) choice(at span, what, holder, key, word string) {
	if known, _ := Choices(holder, key); !contains(known, word) {
		c.unknown(at, what, word, known)
	}
}

// missing tells whether the file does not have a top-level table at all, or has it and it is empty; a value of the wrong type
// has been reported.
func (c *checker) missing(table string) bool {
	n := c.root.child(table)
	return n == nil || n.table && len(n.children) == 0
}

func (c *checker) zoneNames() []string {
	return namesOf(c.job.Zones, func(z Zone) string { return z.Name })
}
func (c *checker) damperNames() []string {
	return namesOf(c.job.Dampers, func(d Damper) string { return d.Name })
}
func (c *checker) boxNames() []string {
	return namesOf(c.job.Boxes, func(b Box) string { return b.Name })
}
func (c *checker) roomNames() []string {
	return namesOf(c.job.Rooms, func(r Room) string { return r.Name })
}

func namesOf[T any](parts []T, name func(T) string) []string {
	var names []string
	for _, p := range parts {
		names = append(names, name(p))
	}
	return names
}

// lineNames are the names of the lines of some tables.
func (c *checker) lineNames(tables ...string) []string {
	var names []string
	for _, ref := range c.order {
		if slices.Contains(tables, ref.table) {
			names = append(names, ref.Name)
		}
	}
	return names
}

// names finds parts of different tables that share a name although one name must mean one part.
func (c *checker) names() {
	first := map[string]string{}
	see := func(table, name string) {
		at := c.name(table, name)
		if slices.Contains(reserved(), name) {
			c.fail(at, "choose another name", "%q is a name of the program's own", name)
			return
		}
		if other, ok := first[name]; ok {
			c.fail(at, "choose another name for one of them", "%q is the name of a part in [%s] already", name, other)
			return
		}
		first[name] = table
	}
	for _, table := range c.root.children {
		switch table.name {
		case "supply", "return", "bypass", "dump", "box":
			for _, part := range table.children {
				see(table.name, part.name)
			}
		}
	}
	for _, room := range c.job.Rooms {
		at := c.name("room", room.Name)
		switch {
		case slices.Contains(reserved(), room.Name):
			c.fail(at, "choose another name", "%q is a name of the program's own", room.Name)
		case c.boxes[room.Name]:
			c.fail(at, "choose another name for one of them", "%q is the name of a part in [box] already", room.Name)
		}
	}
}
