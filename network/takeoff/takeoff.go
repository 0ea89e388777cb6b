// Package takeoff counts what a job has to be built from: duct by size and material, fittings,
// registers, dampers, insulation, sheet steel by gauge.
//
// A count follows from the job alone: it needs no solved airflow. It is what the file describes, so
// it is as complete as the file. Prices are not known here.
package takeoff

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/network/section"
)

// Group is a chapter of a list.
type Group uint8

// The groups, in the order of a list.
const (
	Duct Group = iota
	Fitting
	Boot
	Opening // registers and grilles
	Damper
	Control
	Equipment
	Insulation
	Sealing // and supports
	Steel
)

// String is the trade's word for the group.
func (g Group) String() string {
	return [...]string{"duct", "fitting", "boot", "register or grille", "damper", "control",
		"equipment", "insulation", "sealing and support", "sheet steel"}[g]
}

// Item is one line of a list. What does not apply is zero.
type Item struct {
	Group    Group
	Name     string          // the trade's word: "wye 45"
	Size, To section.Section // To: the trunk that a takeoff leaves, the run of a boot
	Material string          // of duct, as the catalog calls it
	Gauge    int             // of sheet steel
	R        float64         // of insulation, m²·K/W
	Rated    float64         // of a machine, W
	Count    int             // pieces; of duct, runs
	Length   float64         // m: of duct as it lies, of joints to seal
	Buy      float64         // m: steel in whole joints, flexible duct as stretched, with its ends
	Area     float64         // m²
	Mass     float64         // kg of steel
	Implied  bool            // not written in the file: a panel, a thermostat, an end cap
}

// List is a whole take-off.
type List struct {
	Items []Item
	// Straight is the steel of the duct as it lies, Steel what has to be bought: with the fittings
	// and with seams, laps and waste, kg.
	Straight, Steel float64
	Flex            float64 // m of flexible duct to buy
	// Points is a cost proxy of the flexible duct: feet of it, weighted by diameter.
	Points float64
	// Beyond names the runs of sheet steel that the code's table of thickness does not have.
	Beyond []string
}

// What is bought beside the straight duct. From memory and common practice, except as noted.
const (
	jointLength = 5 * quantity.Foot  // of a joint of pipe, and from seam to seam (from memory)
	flexEnd     = 1 * quantity.Foot  // of flexible duct at each end (from memory)
	flexSupport = 4 * quantity.Foot  // between supports of flexible duct (from memory)
	ductSupport = 10 * quantity.Foot // between hangers of metal duct (from memory, 8 to 10 ft)
	// FittingLength is the straight duct of its size that has as much steel as a fitting (from
	// memory, 2 to 4 ft), m.
	FittingLength = 3 * quantity.Foot
	// Waste is the share of seams, laps and waste in sheet steel (from memory, 15 to 20 %).
	Waste = 0.15
	// WrapWaste is the share of laps and waste in insulation (from memory).
	WrapWaste = 0.10
	// WrapR is the resistance of a meter of installed wrap, m·K/W: R-3 per inch (from memory).
	WrapR = 3 * quantity.RValueIP / quantity.Inch
	// MasticLength is the joint that a gallon of mastic seals, 3 in. wide and 20 mil wet, m: 231
	// in³ over 0.06 in² is 320 ft (computed).
	MasticLength = 231 / (3 * 0.020) * quantity.Inch
)

// FlexPoints is the cost of a meter of flexible duct in feet of 6 in.: 0.12 more for every inch
// (our choice).
func FlexPoints(diameter float64) float64 {
	return (1 + 0.12*(diameter/quantity.Inch-6)) / quantity.Foot
}

// counter adds up equal items.
type counter struct {
	job    *network.Job
	static float64
	items  []Item
	at     map[Item]int // by an item without its amounts
	list   *List
	steel  map[int][2]float64 // by gauge: area and mass, of straight duct
	extra  float64            // kg of steel in fittings
	joints float64            // m of joint to seal
}

// key is what makes two items one line of a list.
func (it Item) key() Item {
	it.Count, it.Length, it.Buy, it.Area, it.Mass = 0, 0, 0, 0, 0
	return it
}

func (c *counter) add(it Item) {
	k := it.key()
	i, ok := c.at[k]
	if !ok {
		c.at[k] = len(c.items)
		c.items = append(c.items, it)
		return
	}
	have := &c.items[i]
	have.Count += it.Count
	have.Length += it.Length
	have.Buy += it.Buy
	have.Area += it.Area
	have.Mass += it.Mass
}

// Of counts a job that was read without an error.
func Of(job *network.Job) *List {
	c := &counter{job: job, at: map[Item]int{}, list: &List{}, steel: map[int][2]float64{},
		static: float64(job.Equipment.MaxStatic)}
	for _, l := range job.Lines() {
		c.line(l)
	}
	c.rooms()
	c.controls()
	c.equipment()
	c.sheets()
	slices.SortStableFunc(c.items, func(a, b Item) int {
		return cmp.Or(cmp.Compare(a.Group, b.Group), cmp.Compare(rank(&a), rank(&b)),
			cmp.Compare(a.Name, b.Name), cmp.Compare(a.Material, b.Material),
			cmp.Compare(a.Size.Shape, b.Size.Shape), cmp.Compare(a.Size.Area(), b.Size.Area()),
			cmp.Compare(a.To.Area(), b.To.Area()))
	})
	c.list.Items = c.items
	return c.list
}

// rank keeps the sheets of steel before what is added to them.
func rank(it *Item) int {
	if it.Group == Steel {
		return -it.Gauge
	}
	return 0
}

// line counts a run and what is on it.
func (c *counter) line(l *network.Line) {
	m, ok := catalog.LookupMaterial(l.Material)
	if !ok {
		m, _ = catalog.LookupMaterial(catalog.DefaultMaterial)
	}
	it := Item{Group: Duct, Name: "duct", Size: l.Size.Section, Material: m.Name, Count: 1,
		Length: float64(l.Length), Area: float64(l.Length) * l.Size.Perimeter()}
	outside := l.Place != "" && l.Place != "inside"
	wrapped := float64(l.Insulation)
	if wrapped == 0 && outside {
		wrapped = catalog.DuctInsulation
	}
	fittings := c.fittings(l)
	switch {
	case m.Flexible:
		it.R = wrapped // it is sold in its jacket
		it.Buy = it.Length/(1-min(float64(l.Compression), 0.9)) + 2*flexEnd
		c.list.Flex += it.Buy
		c.list.Points += it.Buy * FlexPoints(it.Size.Width)
		c.add(Item{Group: Sealing, Name: "tie", Count: 2})
		c.add(Item{Group: Sealing, Name: "strap of flexible duct", Count: pieces(it.Length,
			flexSupport)})
	case Sheet(m.Name):
		g, listed := catalog.GaugeFor(it.Size, c.static)
		if !listed {
			c.list.Beyond = append(c.list.Beyond, l.Name)
		}
		it.Gauge, it.Mass = g.Number, it.Area*g.Mass
		was := c.steel[g.Number]
		c.steel[g.Number] = [2]float64{was[0] + it.Area, was[1] + it.Mass}
		c.extra += float64(fittings) * FittingLength * it.Size.Perimeter() * g.Mass
		fallthrough
	default:
		joints := pieces(it.Length, jointLength)
		it.Buy = float64(joints) * jointLength
		c.joints += float64(joints+fittings) * it.Size.Perimeter()
		c.add(Item{Group: Sealing, Name: "hanger", Count: pieces(it.Length, ductSupport)})
		if wrapped > 0 {
			c.wrap(&it, wrapped)
		}
	}
	if it.Length > 0 {
		c.add(it)
	}
	if l.Lined > 0 || strings.HasPrefix(m.Name, "lined") {
		c.add(Item{Group: Insulation, Name: "liner", Area: it.Area * (1 + WrapWaste)})
	}
	c.openings(l)
	c.dampers(l)
}

// pieces is how many pieces of a length a longer one takes.
func pieces(length, each float64) int { return int(math.Ceil(length/each - 1e-9)) }

// Sheet reports whether duct of a material is made of galvanized sheet steel.
func Sheet(material string) bool {
	return strings.HasPrefix(material, "galvanised") || strings.HasPrefix(material, "lined")
}

// wrap counts insulation round a run, by its perimeter at half its thickness.
func (c *counter) wrap(duct *Item, resistance float64) {
	thickness := resistance / WrapR
	around := duct.Size.Perimeter() + math.Pi*thickness
	if duct.Size.Shape == section.Rectangular {
		around = duct.Size.Perimeter() + 4*thickness
	}
	c.add(Item{Group: Insulation, Name: "wrap", R: resistance,
		Area: around * duct.Length * (1 + WrapWaste)})
}

// fittings counts the fittings of a run and returns how many there are, takeoffs and boots among
// them.
func (c *counter) fittings(l *network.Line) int {
	n := 0
	add := func(it Item) {
		c.add(it)
		n += it.Count
	}
	parent := c.parent(l)
	leaves := false // a takeoff or an entry is written
	for _, f := range l.Fittings {
		count := max(f.Count, 1)
		name := f.Name
		_, junction := catalog.LookupJunction(strings.TrimSuffix(name, " straight"))
		switch {
		case name == network.StraightOn || strings.HasSuffix(name, " straight"):
			leaves = true
		case name == "" && f.Equivalent > 0:
			add(Item{Group: Fitting, Name: "part by its equivalent length", Size: l.Size.Section,
				Count: count})
		case name == "":
			add(Item{Group: Fitting, Name: "part by its coefficient", Size: l.Size.Section,
				Count: count})
		case junction:
			leaves = true
			add(Item{Group: Fitting, Name: name, Size: l.Size.Section, To: parent, Count: count})
		case strings.Contains(name, "boot"):
			add(Item{Group: Boot, Name: name, Size: opening(l), To: l.Size.Section, Count: count})
		default:
			leaves = leaves || entry(name)
			add(Item{Group: Fitting, Name: name, Size: l.Size.Section, Count: count})
		}
	}
	straight := slices.ContainsFunc(l.Fittings, func(f network.FittingUse) bool {
		return f.Name == network.StraightOn || strings.HasSuffix(f.Name, " straight")
	})
	named := slices.ContainsFunc(l.Fittings, func(f network.FittingUse) bool {
		row, ok := catalog.LookupFitting(f.Name)
		return ok && row.NeedsBoth()
	})
	switch {
	case straight && !named && parent != (section.Section{}) && parent != l.Size.Section:
		add(Item{Group: Fitting, Name: "transition", Size: l.Size.Section, To: parent, Count: 1,
			Implied: true})
	case !leaves && parent != (section.Section{}):
		add(Item{Group: Fitting, Name: "tee", Size: l.Size.Section, To: parent, Count: 1,
			Implied: true})
	}
	if c.capped(l) {
		add(Item{Group: Fitting, Name: "end cap", Size: l.Size.Section, Count: 1, Implied: true})
	}
	return n
}

// entry reports whether a fitting is the way out of a plenum or a box.
func entry(name string) bool {
	for _, word := range []string{"takeoff", "entry", "bellmouth", "exit"} {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}

// parent is the section of the run that a line leaves or joins, of a bypass the one it leaves; none
// for a plenum or a box.
func (c *counter) parent(l *network.Line) section.Section {
	var joined section.Section
	for _, p := range c.job.Lines() {
		back := p.Table == network.ReturnTable
		switch {
		case l.From != "" && p.Name == l.From && !back:
			return p.Size.Section
		case l.To != "" && p.Name == l.To && back:
			joined = p.Size.Section
		}
	}
	return joined
}

// capped reports whether a trunk of the supply ends without a run that goes straight on.
func (c *counter) capped(l *network.Line) bool {
	if l.Table == network.ReturnTable || l.Register != nil || l.To != "" {
		return false
	}
	children := 0
	for _, k := range c.job.Lines() {
		if k.From != l.Name || k.Table == network.ReturnTable {
			continue
		}
		children++
		for _, f := range k.Fittings {
			if f.Name == network.StraightOn || strings.HasSuffix(f.Name, " straight") ||
				strings.Contains(f.Name, "bullhead") {
				return false
			}
		}
	}
	return children > 0
}

// opening is what a run ends in or begins with.
func opening(l *network.Line) section.Section {
	switch {
	case l.Register != nil:
		return l.Register.Size
	case l.Grille != nil:
		return l.Grille.Size
	}
	return section.Section{}
}

func (c *counter) openings(l *network.Line) {
	put := func(o *network.Opening, usual string) {
		if o == nil {
			return
		}
		c.add(Item{Group: Opening, Name: cmp.Or(o.Kind, usual), Size: o.Size, Count: 1})
	}
	put(l.Register, "register")
	put(l.Grille, "grille")
}

// dampers counts what a run holds: a damper with a name, a weighted or pressure-holding one of its
// own, a balancing damper.
func (c *counter) dampers(l *network.Line) {
	put := func(name string, s section.Section) {
		c.add(Item{Group: Damper, Name: name, Size: s, Count: 1})
	}
	for i := range c.job.Dampers {
		d := &c.job.Dampers[i]
		if d.Name != l.Damper || l.Damper == "" {
			continue
		}
		size := d.Size
		if size.Area() == 0 {
			size = l.Size.Section
		}
		put(cmp.Or(d.Drive, "two-position")+" damper", size)
	}
	switch {
	case l.OpensAt > 0:
		put("barometric damper", l.Size.Section)
	case l.Holds > 0:
		put("constant-pressure damper", l.Size.Section)
	}
	if l.Balance != nil {
		put("balancing damper", l.Size.Section)
	}
}

// rooms counts transfer grilles and jump ducts.
func (c *counter) rooms() {
	for i := range c.job.Rooms {
		if t := c.job.Rooms[i].Transfer; t != nil {
			c.add(Item{Group: Opening, Name: "transfer " + cmp.Or(t.Kind, "grille"), Size: t.Size,
				Count: 1})
		}
	}
}

// controls counts panel, thermostats and actuators, which no job file names.
func (c *counter) controls() {
	zones := len(c.job.Zones)
	if zones > 1 {
		c.add(Item{Group: Control, Name: "zone panel", Count: 1, Implied: true})
	}
	c.add(Item{Group: Control, Name: "thermostat", Count: zones, Implied: true})
	actuators := 0
	for _, l := range c.job.Lines() {
		for i := range c.job.Dampers {
			d := &c.job.Dampers[i]
			driven := d.Drive == "" || d.Drive == "two-position" || d.Drive == "modulating"
			if l.Damper == d.Name && l.Damper != "" && driven {
				actuators++
			}
		}
	}
	if actuators > 0 {
		c.add(Item{Group: Control, Name: "damper actuator", Count: actuators, Implied: true})
	}
}

// equipment counts what the air passes in the machine.
func (c *counter) equipment() {
	eq := &c.job.Equipment
	if m := eq.Cooling; m != nil {
		c.add(Item{Group: Equipment, Name: "cooling", Rated: largest(m), Count: 1})
	}
	if m := eq.Heating; m != nil {
		c.add(Item{Group: Equipment, Name: "heating, " + cmp.Or(string(m.Kind), "furnace"),
			Rated: largest(m), Count: 1})
	}
	if eq.Filter != nil {
		c.add(Item{Group: Equipment, Name: "filter", Size: eq.Filter.Size, Count: 1})
	}
	if eq.Coil != nil {
		c.add(Item{Group: Equipment, Name: "coil", Size: eq.Coil.Size, Count: 1})
	}
}

// largest is the capacity or output of a machine's highest stage, W.
func largest(m *network.Machine) float64 {
	rated := 0.0
	for stage := range max(len(m.Stages), 1) {
		s := m.At(stage + 1)
		rated = max(rated, float64(s.Capacity), float64(s.Output))
	}
	return rated
}

// sheets adds up the steel by gauge, with fittings and waste, and what seals the joints.
func (c *counter) sheets() {
	if c.joints > 0 {
		c.add(Item{Group: Sealing, Name: "joints to seal", Length: c.joints})
	}
	straight := 0.0
	for number, sum := range c.steel {
		c.items = append(c.items, Item{Group: Steel, Name: "straight duct", Gauge: number,
			Area: sum[0],
			Mass: sum[1]})
	}
	for _, it := range c.items { // in the order of the file, so that the sum is one
		if it.Group == Duct {
			straight += it.Mass
		}
	}
	c.list.Straight = straight
	c.list.Steel = (straight + c.extra) * (1 + Waste)
	if straight > 0 {
		c.items = append(c.items, Item{Group: Steel, Name: "with fittings, seams and waste",
			Mass: c.list.Steel})
	}
}

// Change is an item of which one job has more than another; its amounts are the difference.
type Change struct {
	Item
	Drop bool // the second job has less
}

// Compare lists what the second of two take-offs has more and less than the first, in the order of
// a list: what has to be bought, and what falls away. Sums that follow from other items are left
// out.
func Compare(from, to *List) (changes []Change) {
	left := map[Item]Item{}
	for _, it := range from.Items {
		left[it.key()] = it
	}
	note := func(a, b Item) { // from a to b
		if b.Group == Steel || b.Group == Sealing {
			return
		}
		d := b
		d.Count, d.Length, d.Buy = b.Count-a.Count, b.Length-a.Length, b.Buy-a.Buy
		d.Area, d.Mass = b.Area-a.Area, b.Mass-a.Mass
		const least = 1e-6
		switch {
		case d.Count > 0 || d.Length > least || d.Count == 0 && d.Area > least:
			changes = append(changes, Change{Item: d})
		case d.Count < 0 || d.Length < -least || d.Area < -least:
			d.Count, d.Length, d.Buy, d.Area, d.Mass = -d.Count, -d.Length, -d.Buy, -d.Area, -d.Mass
			changes = append(changes, Change{Item: d, Drop: true})
		}
	}
	for _, it := range to.Items {
		note(left[it.key()], it)
		delete(left, it.key())
	}
	for _, it := range from.Items {
		if was, ok := left[it.key()]; ok {
			none := was
			none.Count, none.Length, none.Buy, none.Area, none.Mass = 0, 0, 0, 0, 0
			note(was, none)
		}
	}
	return changes
}
