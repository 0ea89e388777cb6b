package network

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/graph/simple"

	"spillway/network/quantity"
	"spillway/network/section"
)

// linesTogether checks how lines hang together: every run has a way to its plenum and leads somewhere, without circles.
func (c *checker) linesTogether() {
	into := map[string][]*lineRef{} // lines that end in a box
	for _, ref := range c.order {
		if ref.To != "" && c.boxes[ref.To] {
			into[ref.To] = append(into[ref.To], ref)
		}
	}
	c.circles(into)
	for _, ref := range c.order {
		if parent := c.lines[ref.From]; parent != nil && ref.table != "return" {
			parent.feeds++
		}
		if parent := c.lines[ref.To]; parent != nil {
			parent.feeds++
		}
	}
	before := len(c.found)
	for _, ref := range c.order {
		c.deadEnd(ref)
	}
	ends := len(c.found) - before
	for _, ref := range c.order {
		c.along(ref)
		c.unsure = c.unsure || ref.broken && ref.table == "supply"
	}
	c.straightOn()
	c.boxEnds(into)
	grilles := 0
	for _, ref := range c.order {
		if ref.Grille != nil {
			grilles++
		}
	}
	if len(c.job.Return) > 0 && grilles == 0 && ends == 0 {
		c.fail(c.name("return"), `give a return line a grille = "20x25 in"`, "no return line has a grille: air has no way back from the rooms")
	}
}

// towards are the lines that the air of a line comes from (supply side) or goes on to (return side), and whether it is at the
// plenum already.
func (c *checker) towards(ref *lineRef, into map[string][]*lineRef) (next []*lineRef, home bool) {
	if ref.table == "return" {
		if ref.To == ReturnPlenum {
			return nil, true
		}
		if c.boxes[ref.To] {
			for _, other := range c.order {
				if other.table == "return" && other.From == ref.To {
					next = append(next, other)
				}
			}
			return next, false
		}
		if other := c.lines[ref.To]; other != nil && other.table == "return" {
			return []*lineRef{other}, false
		}
		return nil, false
	}
	if ref.From == SupplyPlenum {
		return nil, true
	}
	if c.boxes[ref.From] {
		for _, other := range into[ref.From] {
			if other.table == "supply" {
				next = append(next, other)
			}
		}
		return next, false
	}
	if other := c.lines[ref.From]; other != nil && other.table != "return" {
		return []*lineRef{other}, false
	}
	return nil, false
}

// circles follows every line towards its plenum. Lines that go round in a circle, and lines that get nowhere, are
// reported once and marked broken.
func (c *checker) circles(into map[string][]*lineRef) {
	ways, next := c.ways(into)
	for _, trail := range circlesOf(ways, next) {
		lines := make([]*lineRef, len(trail))
		for k, i := range trail {
			lines[k] = c.order[i]
		}
		c.circle(lines)
	}
	reached := reachedFrom(ways, plenums)
	for i, ref := range c.order {
		if reached[i] {
			continue
		}
		if len(next[i]) == 0 && !ref.broken {
			c.stranded(ref)
		}
		ref.broken = true
	}
}

// ways is how air gets from the plenums into the lines (on the return side: back), a graph over the indices of order and
// plenums; next are the lines that each line comes from or goes on to.
func (c *checker) ways(into map[string][]*lineRef) (ways *simple.DirectedGraph, next [][]int) {
	index := map[*lineRef]int{}
	ways = simple.NewDirectedGraph()
	ways.AddNode(simple.Node(plenums))
	for i, ref := range c.order {
		index[ref] = i
		ways.AddNode(simple.Node(i))
	}
	next = make([][]int, len(c.order))
	for i, ref := range c.order {
		lines, home := c.towards(ref, into)
		if home {
			ways.SetEdge(simple.Edge{F: simple.Node(plenums), T: simple.Node(i)})
		}
		for _, other := range lines {
			k := index[other]
			next[i] = append(next[i], k)
			if k != i { // the graph holds no edge from a node to itself
				ways.SetEdge(simple.Edge{F: simple.Node(k), T: simple.Node(i)})
			}
		}
	}
	return ways, next
}

func (c *checker) circle(trail []*lineRef) {
	for _, ref := range trail {
		if ref.broken {
			return
		}
	}
	var steps []string
	for i, ref := range trail {
		next := trail[(i+1)%len(trail)]
		verb := "comes from"
		if ref.table == "return" {
			verb = "goes to"
		}
		steps = append(steps, fmt.Sprintf("%q %s %q", ref.Name, verb, next.Name))
		ref.broken = true
	}
	key := "from"
	if trail[0].table == "return" {
		key = "to"
	}
	c.fail(c.at(trail[0].table, trail[0].Name, key), "one of them must lead to a plenum", "ducts go round in a circle: %s", strings.Join(steps, ", "))
}

// stranded reports a line whose parent is a box that is tied to nothing.
func (c *checker) stranded(ref *lineRef) {
	switch {
	case ref.table == "return" && c.boxes[ref.To]:
		c.fail(c.at("return", ref.Name, "to"), fmt.Sprintf("write a return line { from = %q, to = %q, ... }", ref.To, ReturnPlenum), "no duct leads on from box %q to the return plenum", ref.To)
	case c.boxes[ref.From]:
		c.fail(c.at(ref.table, ref.Name, "from"), fmt.Sprintf("write a supply line { from = %q, to = %q, ... }", SupplyPlenum, ref.From), "no duct brings air from the supply plenum into box %q", ref.From)
	}
}

// deadEnd finds lines that lead nowhere.
func (c *checker) deadEnd(ref *lineRef) {
	if ref.feeds > 0 {
		return
	}
	switch {
	case (ref.table == "supply" || ref.table == "dump") && ref.Register == nil && ref.To == "" && !c.given(ref.table, ref.Name, "register"):
		c.fail(c.name(ref.table, ref.Name), `give it a register = "10x4 in", or let other lines come from it`, "%q leads nowhere: it has no register and no duct comes from it", ref.Name)
	case ref.table == "return" && ref.Grille == nil && ref.From == "" && !c.given(ref.table, ref.Name, "grille") && !c.given(ref.table, ref.Name, "register"):
		c.fail(c.name(ref.table, ref.Name), `give it a grille = "20x25 in", or let other lines go to it`, "%q takes in no air: it has no grille and no duct leads into it", ref.Name)
	}
}

// along checks a line against its parent: where it leaves, and whether it is larger.
func (c *checker) along(ref *lineRef) {
	parentName := ref.From
	key := "from"
	if ref.table == "return" {
		parentName, key = ref.To, "to"
	}
	parent := c.lines[parentName]
	if ref.table == "bypass" && c.lines[ref.To] != nil && parent == nil {
		parent, key = c.lines[ref.To], "to"
	}
	if ref.At != nil {
		switch {
		case parent == nil && !ref.broken:
			c.warn(c.name(ref.table, ref.Name, "at"), "leave it out", "%q is tied to a chamber, where a distance has no meaning", ref.Name)
		case parent != nil && parent.Length > 0 && float64(*ref.At) > float64(parent.Length)*(1+1e-9):
			c.fail(c.at(ref.table, ref.Name, "at"), fmt.Sprintf("%q is %s long", parent.Name, quantity.KindLength.Short(float64(parent.Length), c.system)),
				"%q is tied to %q at %s, beyond its end", ref.Name, parent.Name, quantity.KindLength.Short(float64(*ref.At), c.system))
		}
	}
	if parent == nil || !sized(ref.Size.Section) || !sized(parent.Size.Section) {
		return
	}
	const muchLarger = 1.1 // of the area: one trade size up is a slip, less is rounding
	if ref.table != "return" && ref.Size.Section.Area() > muchLarger*parent.Size.Section.Area() {
		c.warn(c.at(ref.table, ref.Name, "size"), "are the two sizes the right way round?", "%q (%s) is larger than %q (%s), which it comes %s", ref.Name, sizeText(ref.Size.Section, c.system),
			parent.Name, sizeText(parent.Size.Section, c.system), key)
	}
}

// straightOn finds two lines that both go straight on from one.
func (c *checker) straightOn() {
	first := map[string]*lineRef{}
	for _, ref := range c.order {
		parent := ref.From
		if ref.table == "return" {
			parent = ref.To
		}
		if c.lines[parent] == nil || !isStraight(ref.Line) {
			continue
		}
		if other := first[parent]; other != nil {
			c.fail(c.at(ref.table, ref.Name, "fittings"), `let one of them branch off, with "tee" or "wye 45" in its fittings`, "%q and %q cannot both go straight on from %q", other.Name, ref.Name, parent)
			continue
		}
		first[parent] = ref
	}
}

// boxEnds finds boxes that nothing enters or nothing leaves.
func (c *checker) boxEnds(into map[string][]*lineRef) {
	for _, box := range c.job.Boxes {
		leaves, onward := 0, 0
		for _, ref := range c.order {
			if ref.From == box.Name {
				leaves++
				if ref.table != "return" {
					onward++
				}
			}
		}
		for _, ref := range into[box.Name] {
			if ref.table != "return" && ref.table != "bypass" && leaves > 0 && onward == 0 {
				c.fail(c.at(ref.table, ref.Name, "to"), "write it as a [bypass] line, with a damper", "%q leads supply air into box %q, from which only return ducts lead on", ref.Name, box.Name)
			}
		}
		switch {
		case len(into[box.Name]) == 0 && leaves == 0:
			c.warn(c.name("box", box.Name), "take it out, or let lines go to it and come from it", "box %q is tied to nothing", box.Name)
		case leaves == 0:
			if !c.anyBroken(into[box.Name]) {
				c.fail(c.name("box", box.Name), fmt.Sprintf("write from = %q in the line that goes on", box.Name), "air goes into box %q but no duct leads on", box.Name)
			}
		}
	}
}

func (c *checker) anyBroken(lines []*lineRef) bool {
	return slices.ContainsFunc(lines, func(l *lineRef) bool { return l.broken })
}

// sameSize tells whether a damper fits a line: the same shape, and sizes within a tenth.
func sameSize(a, b section.Section) bool {
	const slack = 0.1
	near := func(x, y float64) bool { return math.Abs(x-y) <= slack*math.Max(x, y) }
	if a.Shape != b.Shape {
		return false
	}
	if a.Shape == section.Round {
		return near(a.Width, b.Width)
	}
	return near(a.Width, b.Width) && near(a.Height, b.Height) || near(a.Width, b.Height) && near(a.Height, b.Width)
}
