package network

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/section"
)

// linesThemselves checks and completes every line for itself: size, material, fittings, openings, references.
func (c *checker) linesThemselves() {
	if c.missing("supply") {
		c.fail(c.name("supply"), `write [supply] and one NAME = { from = "supply plenum", size = "...", length = "..." } per run`, "the job has no supply duct")
	}
	if c.missing("return") {
		c.fail(c.name("return"), `write [return] and one NAME = { to = "return plenum", grille = "...", size = "...", length = "..." } per run`, "the job has no return duct")
	}
	c.turnReturns()
	for _, ref := range c.order {
		c.endings(ref)
		c.opening(ref.Register, ref.table, ref.Name, "register")
		c.opening(ref.Grille, ref.table, ref.Name, "grille")
		c.sizeOf(ref)
		c.lengthOf(ref)
		c.materialOf(ref)
		c.fittingsOf(ref)
		c.lineRefs(ref)
		c.reliefOf(ref)
	}
	c.parents()
}

// turnReturns lets a return line be tied from either end: drop = { from = "grille" } says the same as
// grille = { to = "drop" }.
func (c *checker) turnReturns() {
	for _, ref := range c.order {
		if ref.table != "return" || ref.From == "" {
			continue
		}
		feeder := c.lines[ref.From]
		if feeder == nil || feeder.table != "return" {
			continue
		}
		if feeder.To != "" && feeder.To != ref.Name {
			c.fail(c.at("return", ref.Name, "from"), fmt.Sprintf("take the from out, or the to of %q", feeder.Name), "%q comes from %q, which goes to %q", ref.Name, feeder.Name, feeder.To)
		}
		feeder.To, ref.From = ref.Name, ""
	}
}

// MostPosition is the farthest that a line's hand position may reach, m: beyond it a wrong unit is likelier than a picture.
const MostPosition = 60

// endings says which ends a line of each table must and may have.
func (c *checker) endings(ref *lineRef) {
	at := func(key string) span { return c.at(ref.table, ref.Name, key) }
	need := func(key, value, example string) {
		if value == "" && !ref.broken {
			c.fail(at(key), fmt.Sprintf("write %s = %q", key, example), "%q does not say %s", ref.Name, map[string]string{"from": "where it comes from", "to": "where it goes"}[key])
			ref.broken = true
		}
	}
	switch ref.table {
	case "supply", "dump":
		need("from", ref.From, SupplyPlenum)
		if ref.Grille != nil {
			c.fail(c.name(ref.table, ref.Name, "grille"), "write register = ...", "a %s line ends in a register; grilles are for return lines", ref.table)
			ref.Register, ref.Grille = ref.Grille, nil
		}
		if ref.Register != nil && ref.To != "" {
			c.fail(at("to"), "keep one of the two", "%q ends in a register and in %q", ref.Name, ref.To)
		}
	case "return":
		need("to", ref.To, ReturnPlenum)
		if ref.Register != nil {
			c.fail(c.name(ref.table, ref.Name, "register"), "write grille = ...", "a return line begins with a grille; registers are for supply lines")
			ref.Grille, ref.Register = ref.Register, nil
		}
		if ref.Grille != nil && ref.From != "" {
			c.fail(at("from"), "keep one of the two", "%q begins with a grille and in %q", ref.Name, ref.From)
		}
		if ref.Wants != 0 {
			c.fail(c.name(ref.table, ref.Name, "wants"), "", "a return line wants no air; registers do")
		}
	case "bypass":
		need("from", ref.From, SupplyPlenum)
		need("to", ref.To, ReturnPlenum)
		if ref.Register != nil || ref.Grille != nil {
			key := "register"
			if ref.Grille != nil {
				key = "grille"
			}
			c.fail(c.name(ref.table, ref.Name, key), "a line that ends in a room is a [dump] line", "a bypass runs from the supply side to the return side and has no %s", key)
		}
	}
	if ref.Wants != 0 && ref.table == "dump" {
		c.fail(c.name(ref.table, ref.Name, "wants"), "take it out; all air of a dump is surplus", "a dump line wants no air")
	}
	if ref.Wants != 0 && (ref.table == "supply" || ref.table == "bypass") && ref.Register == nil {
		c.fail(c.name(ref.table, ref.Name, "wants"), "give it to the lines that end in registers", "%q wants air but has no register", ref.Name)
	}
	if n := len(ref.Position); n != 0 && n != 2 {
		c.fail(at("position"), `write position = ["12 ft", "8 ft"]`, "a position has two figures, out from the plenum and down")
	}
	for _, p := range ref.Position {
		if p > MostPosition {
			c.fail(at("position"), "20 ft are 400 px of the picture", "no picture reaches farther than 60 m (196 ft)")
			break
		}
	}
}

func (c *checker) opening(o *Opening, path ...string) {
	if o == nil {
		return
	}
	what := path[len(path)-1]
	if !sized(o.Size) {
		if !c.badSize(append(path, "size")...) {
			c.fail(c.at(path...), fmt.Sprintf(`write %s = "10x4 in"`, what), "the %s has no size", what)
		}
	}
	if (o.Drop == 0) != (o.At == 0) {
		c.fail(c.at(path...), fmt.Sprintf(`write %s = { size = "10x4 in", drop = "0.02 inwc", at = "100 cfm" }`, what), "the %s needs both the drop and the airflow at which it has it, or neither", what)
	}
	if o.Drop == 0 && o.FreeArea == 0 && sized(o.Size) && len(path) == 3 {
		row, _ := catalog.LookupConstant("free area")
		spec := openingSpec(o, what == "register")
		spec.Transfer = what == "transfer"
		source := row.Source.String()
		if terminal, ok := spec.Terminal(); ok && spec.FreeShare() != row.Value {
			source = terminal.Source.String()
		}
		c.assume(quantity.Fraction(spec.FreeShare()).Text(c.system), source, path[0], path[1], what+".free-area")
	}
	if o.Kind != "" {
		if _, ok := catalog.LookupTerminal(o.Kind); !ok {
			c.unknown(c.at(append(path, "kind")...), "register or grille in the catalogue called", o.Kind, catalog.Names(catalog.Terminals))
		}
	}
}

// sized tells whether a section was read.
func sized(s section.Section) bool { return s.Check() == nil }

// badSize tells whether the file gives a size (which was then refused already).
func (c *checker) badSize(path ...string) bool {
	if c.given(path...) {
		return true
	}
	n, all := c.root.find(path[:len(path)-1]...) // register = "10 furlongs"
	return all && !n.table
}

// sizeOf makes sure of a line's size; a grille or register without a run of duct lends its own.
func (c *checker) sizeOf(ref *lineRef) {
	if c.unknownSize(ref) || sized(ref.Size.Section) || c.given(ref.table, ref.Name, "size") {
		return
	}
	for _, o := range []*Opening{ref.Register, ref.Grille} {
		if o != nil && sized(o.Size) && ref.Length == 0 {
			ref.Size.Section = o.Size
			c.assume(sizeText(o.Size, c.system), "no duct of its own: as its opening", ref.table, ref.Name, "size")
			return
		}
	}
	c.fail(c.name(ref.table, ref.Name), c.sizeExample()[:len("write ")]+"size = "+c.sizeExample()[len("write "):], "%q has no size", ref.Name)
}

// sizeText writes a section as a job file does.
func sizeText(s section.Section, system quantity.System) string {
	number := func(x float64) string {
		value, _ := quantity.Length(x).SizeIn(system)
		return strings.TrimSuffix(strings.TrimRight(quantity.Fixed(value, 1), "0"), ".")
	}
	_, symbol := quantity.Length(0).SizeIn(system)
	switch s.Shape {
	case section.Rectangular:
		return number(s.Width) + "x" + number(s.Height) + " " + symbol
	case section.FlatOval:
		return number(s.Width) + "x" + number(s.Height) + " " + symbol + " oval"
	}
	return number(s.Width) + " " + symbol
}

// SizeText writes a section as a job file does: "20x8 in", "14 in", "500x200 mm", "30x8 in oval".
func SizeText(s section.Section, system quantity.System) string { return sizeText(s, system) }

func (c *checker) lengthOf(ref *lineRef) {
	if !c.given(ref.table, ref.Name, "length") && ref.Register == nil && ref.Grille == nil {
		c.fail(c.name(ref.table, ref.Name), `write length = "`+quantity.KindLength.Example(c.system)+`"`, "%q has no length", ref.Name)
	}
	if math.Abs(float64(ref.Rise)) > float64(ref.Length)*(1+1e-9) && ref.Length > 0 {
		c.fail(c.at(ref.table, ref.Name, "rise"), "the rise is the height gained along the length", "%q rises by %s in a length of %s", ref.Name,
			quantity.KindLength.Short(float64(ref.Rise), c.system), quantity.KindLength.Short(float64(ref.Length), c.system))
	}
}

func (c *checker) materialOf(ref *lineRef) {
	at := c.at(ref.table, ref.Name, "material")
	word := ref.Material
	if ref.Size.Material != "" {
		if word != "" && word != ref.Size.Material {
			c.fail(at, "keep one of the two", "%q is said to be %s here and %s in its size", ref.Name, word, ref.Size.Material)
		}
		word = ref.Size.Material
		if ref.Material == "" {
			at = c.at(ref.table, ref.Name, "size")
		}
	}
	if word == "" {
		word = catalog.DefaultMaterial
		c.assume(word, "the usual material of house ducts (common practice)", ref.table, ref.Name, "material")
	}
	row, ok := catalog.LookupMaterial(word)
	if !ok {
		c.unknown(at, "material", word, catalog.Names(catalog.Materials))
		return
	}
	ref.Material, ref.Size.Material = row.Name, row.Name
	c.flexible(ref)
	if row.Flexible && ref.Size.Section.Shape != section.Round {
		c.fail(c.at(ref.table, ref.Name, "size"), `write size = "8 in flex"`, "%q is flexible duct, which is round", ref.Name)
	}
}

// flexible checks and completes how a run of flexible duct lies; no other duct has such figures.
func (c *checker) flexible(ref *lineRef) {
	row, _ := catalog.LookupMaterial(ref.Material)
	if !row.Flexible {
		if ref.Compression != 0 || ref.Sag != 0 {
			key := "compression"
			if ref.Compression == 0 {
				key = "sag"
			}
			c.fail(c.name(ref.table, ref.Name, key), `write size = "... flex" if it is flexible`, "%q is %s, which has no %s", ref.Name, row.Name, key)
		}
		return
	}
	switch {
	case !c.given(ref.table, ref.Name, "compression"):
		ref.Compression = catalog.DefaultFlexCompression / 100
		c.assume(ref.Compression.Text(c.system), "the natural relaxed state of flexible duct (tests by Weaver and Culp)", ref.table, ref.Name, "compression")
	case ref.Compression > catalog.MaxFlexCompression/100:
		c.warn(c.at(ref.table, ref.Name, "compression"), "tests go to 30 %", "%q is compressed by %s", ref.Name, ref.Compression.Text(c.system))
	}
	if b := plausibleBounds["sag"]; ref.Sag != 0 && (ref.Sag < b.least || ref.Sag > b.most) {
		c.fail(c.at(ref.table, ref.Name, "sag"), "1 is a straight run, 2 doubles its friction", "the sag of %q is a multiplier of its friction, from 1 to 10", ref.Name)
	}
}

// lineRefs checks what a line refers to besides its ends.
func (c *checker) lineRefs(ref *lineRef) {
	if ref.Damper != "" && c.dampers[ref.Damper] == nil {
		ref.Damper = c.unknown(c.at(ref.table, ref.Name, "damper"), "damper", ref.Damper, c.damperNames())
		c.unsure = c.unsure || ref.Damper == ""
	}
	if ref.Zone != "" && c.zones[ref.Zone] == nil {
		ref.Zone = c.unknown(c.at(ref.table, ref.Name, "zone"), "zone", ref.Zone, c.zoneNames())
		c.unsure = c.unsure || ref.Zone == ""
	}
	if isOutdoors(ref.Room) && c.rooms[ref.Room] == nil {
		c.noFreshAir(c.at(ref.table, ref.Name, "room"), ref)
	} else if ref.Room != "" && c.rooms[ref.Room] == nil && !c.remarked[ref.Room] {
		near, ok := c.nearest(ref.Room, c.roomNames())
		if ok = ok && withoutDigits(near) != withoutDigits(ref.Room) && diag.Alike(ref.Room, near); ok {
			c.remarked[ref.Room] = true
			c.warn(c.at(ref.table, ref.Name, "room"), `did you mean "`+near+`"?`, "[room] has no room %q", ref.Room)
		}
	}
	if ref.Place == "" {
		ref.Place = "inside"
		c.assume(ref.Place, "no heat is lost or gained on the way", ref.table, ref.Name, "place")
	} else {
		c.choice(c.at(ref.table, ref.Name, "place"), "place", "Line", "place", ref.Place)
	}
}

// isOutdoors reports whether a name means the air outdoors rather than a part of the house.
func isOutdoors(name string) bool {
	switch strings.ToLower(strings.TrimSpace(name)) {
	case "outdoors", "outdoor", "outside", "outdoor air", "outside air", "fresh air", "fresh-air":
		return true
	}
	return false
}

// noFreshAir refuses an intake from outdoors, or an outlet to it, by name.
func (c *checker) noFreshAir(at span, ref *lineRef) {
	if ref.table == "return" {
		c.fail(at, `take the line out and enter its air as a leak from outdoors: [leakage] return = "60 cfm at 25 Pa"`,
			"%q is an intake of fresh air, which is not modeled", ref.Name)
		return
	}
	c.fail(at, `take the line out and enter its air as a leak to outdoors: [leakage] supply = "60 cfm at 25 Pa"`,
		"%q blows outdoors, which is not modeled", ref.Name)
}

// withoutDigits is a name without its number: "bed 2" and "bed 3" differ in nothing else and are two rooms, not a slip.
func withoutDigits(name string) string {
	return strings.Map(func(r rune) rune {
		if r >= '0' && r <= '9' {
			return -1
		}
		return r
	}, name)
}

// reliefOf checks a weighted or pressure-holding damper that is given on the line itself.
func (c *checker) reliefOf(ref *lineRef) {
	at := func(key string) span { return c.name(ref.table, ref.Name, key) }
	side := ref.table == "bypass" || ref.table == "dump"
	for _, key := range []string{"opens-at", "fully-open-at", "holds"} {
		if !side && c.given(ref.table, ref.Name, key) {
			c.fail(at(key), "give it to a [bypass] or [dump] line", "a %s line has no %s", ref.table, key)
		}
	}
	own := ref.OpensAt != 0 || ref.Holds != 0
	switch {
	case ref.OpensAt != 0 && ref.Holds != 0:
		c.fail(at("holds"), "keep one: opens-at for a weighted damper, holds for a motorised one", "%q has opens-at and holds", ref.Name)
	case own && ref.Damper != "":
		c.fail(at("damper"), "give the pressure in the [damper] table, or take the damper out here", "%q has a damper of its own and %q too", ref.Name, ref.Damper)
	case ref.FullyOpenAt != 0 && ref.OpensAt == 0:
		c.fail(at("fully-open-at"), `write opens-at = "0.30 inwc"`, "%q says when it is fully open but not when it starts to open", ref.Name)
	}
	ref.FullyOpenAt = c.fullyOpen(ref.OpensAt, ref.FullyOpenAt, 0, ref.table, ref.Name)
	if ref.table == "bypass" && !own && ref.Damper == "" && ref.Balance == nil {
		c.warn(c.name(ref.table, ref.Name), `write opens-at = "0.30 inwc" for a weighted damper, or name a damper`, "%q has no damper: it is always open", ref.Name)
	}
}

// fullyOpen completes the opening range of a weighted damper.
func (c *checker) fullyOpen(opens, full quantity.Pressure, arm quantity.Angle, path ...string) quantity.Pressure {
	switch {
	case opens == 0:
	case full != 0 && full <= opens:
		c.fail(c.at(append(path, "fully-open-at")...), "it lies above opens-at", "a weighted damper that is fully open at %s cannot start to open at %s", full.Text(c.system), opens.Text(c.system))
	case full == 0 && arm == 0:
		full = opens * catalog.ReliefOpenRatio
		c.assume(full.Text(c.system), "twice the starting pressure: moment balance with the arm at 30 degrees (our choice)", append(path, "fully-open-at")...)
	}
	return full
}

// parents checks the ends that tie lines together.
func (c *checker) parents() {
	supplyEnds := append([]string{SupplyPlenum}, append(c.boxNames(), c.lineNames("supply")...)...)
	dumpEnds := append(slices.Clone(supplyEnds), c.lineNames("dump")...)
	returnEnds := append([]string{ReturnPlenum}, append(c.boxNames(), c.lineNames("return")...)...)
	for _, ref := range c.order {
		switch ref.table {
		case "supply":
			ref.From = c.parent(ref, "from", ref.From, supplyEnds)
			ref.To = c.parent(ref, "to", ref.To, c.boxNames())
		case "dump":
			ref.From = c.parent(ref, "from", ref.From, dumpEnds)
			ref.To = c.parent(ref, "to", ref.To, c.boxNames())
		case "return":
			ref.From = c.parent(ref, "from", ref.From, c.boxNames())
			ref.To = c.parent(ref, "to", ref.To, returnEnds)
		case "bypass":
			ref.From = c.parent(ref, "from", ref.From, supplyEnds)
			ref.To = c.parent(ref, "to", ref.To, returnEnds)
		}
	}
}

// parent checks one end of a line. It returns the end, or what was most likely meant by it; a line without a known end is
// broken.
func (c *checker) parent(ref *lineRef, key, name string, known []string) string {
	if name == "" || contains(known, name) && name != ref.Name {
		return name
	}
	at := c.at(ref.table, ref.Name, key)
	if isOutdoors(name) {
		ref.broken = true
		c.noFreshAir(at, ref)
		return name
	}
	if name == ref.Name {
		verb := "comes from"
		if key == "to" {
			verb = "goes to"
		}
		ref.broken = true
		c.fail(at, "", "%q %s itself", ref.Name, verb)
		return name
	}
	if other := c.lines[name]; other != nil || name == SupplyPlenum || name == ReturnPlenum {
		place := "a plenum"
		if other != nil {
			place = "a " + other.table + " line"
		}
		var others []string
		for _, k := range known {
			if k != ref.Name {
				others = append(others, k)
			}
		}
		fix := "this end belongs to one of: " + joined(others)
		if len(others) == 0 || len(others) > 12 {
			fix = "this end belongs to a [box]"
		}
		ref.broken = true
		c.fail(at, fix, "%q, %s, cannot be the %q of a %s line", name, place, key, ref.table)
		return name
	}
	meant := c.unknown(at, "duct or box", name, slices.DeleteFunc(slices.Clone(known), func(k string) bool { return k == ref.Name }))
	if meant == "" {
		ref.broken = true
		return name
	}
	return meant
}
