package network

import (
	"spillway/network/catalog"
	"spillway/network/section"
)

// Graph is the installation as nodes and elements: what a Job says, with every implied piece made explicit. Slices are the
// truth (indices are ids, in air order, the same for the same file).
//
// Every element has a positive direction, From → To, in which air is meant to go. Nothing here depends on a call state.
type Graph struct {
	Job       *Job
	Nodes     []Node
	Elements  []Element
	Junctions []Junction
	Registers []Register
	Blower    int // element of the blower
	// JunctionDeviation is how many standard deviations every junction's losses lie off (catalog.Junction.Scatter), for studies.
	JunctionDeviation float64
	// DesignAirflow is the blower's airflow that shares ("4 % of blower") refer to, m³/s of standard air.
	DesignAirflow float64
	// Assumptions made while building, besides the Job's own.
	Assumptions []Assumption

	// What Build found parts by, for With; never written to again.
	ids   *ids
	nodes map[nodeKey]int
}

// NodeKind says what a node is.
type NodeKind int

// Kinds of node.
const (
	Joint    NodeKind = iota // a point in a duct
	Chamber                  // still air: a plenum, a box; static and total pressure are the same
	RoomAir                  // a room behind its own door
	HouseAir                 // the open house; the reference of pressure unless the envelope is given
	Outdoors                 // outside air at zero pressure
)

// String is the word of the machine interface for the kind.
func (k NodeKind) String() string {
	return [...]string{"joint", "chamber", "room", "house", "outdoors"}[k]
}

// Node is a point where elements meet. Role, Line and Other say which: at most one node of a graph has the same three.
type Node struct {
	Name  string // for display: see names
	Kind  NodeKind
	Known bool // pressure known, zero gauge
	Role  Role
	Line  LineID // the line that it is a point of, or None
	Other int    // by Role: the tapping line's id, the place of the damper in its line, the box's or the room's id; else None
}

// Role says where a node stands.
type Role int

// The roles.
const (
	NoRole Role = iota // of a node that Build did not make
	AtSupplyPlenum
	AtReturnPlenum
	AtBlowerInlet
	AtBlowerOutlet
	InBox
	InRoom // behind its own door
	InHouse
	OutOfDoors
	AtStart      // of a return line
	AtTap        // of a line, where another leaves or joins
	BeforeDamper // of a return line
	AfterDamper  // of a supply, dump or bypass line
	AtEnd        // of a supply, dump or bypass line
)

// Room is the room whose air a node is, None for any other node.
func (n *Node) Room() RoomID {
	if n.Role != InRoom {
		return None
	}
	return RoomID(n.Other)
}

// The nodes that every graph has.
const (
	SupplyPlenum = "supply plenum"
	ReturnPlenum = "return plenum"
	BlowerInlet  = "blower inlet"
	BlowerOutlet = "blower outlet"
	House        = "house"
	Outside      = "outside"
)

// Side says which part of the system an element belongs to.
type Side int

// Sides of the system.
const (
	SupplySide Side = iota
	ReturnSide
	BypassSide
	DumpSide
	EquipmentSide
	BuildingSide // doors, transfer openings, envelope
)

// String is the word of the machine interface for the side.
func (s Side) String() string {
	return [...]string{"supply", "return", "bypass", "dump", "equipment", "building"}[s]
}

// ElementKind is the trade's word for what an element is.
type ElementKind string

// Kinds of element.
const (
	KindDuct      ElementKind = "duct"
	KindDamper    ElementKind = "damper"
	KindRelief    ElementKind = "barometric damper"
	KindRegulator ElementKind = "constant-pressure damper"
	KindBackdraft ElementKind = "backdraft damper"
	KindRegister  ElementKind = "register"
	KindGrille    ElementKind = "grille"
	KindFilter    ElementKind = "filter"
	KindCoil      ElementKind = "coil"
	KindBlower    ElementKind = "blower"
	KindLeak      ElementKind = "leakage"
	KindOpening   ElementKind = "opening" // door, transfer grille
)

// Element is one part between two nodes. Exactly one of the specs fits its kind.
type Element struct {
	Name     string
	Kind     ElementKind
	Side     Side
	From, To int
	Line     string // the job file's line it belongs to, "" for equipment and building
	Zone     string // the zone it serves, "" when shared
	Room     string
	Spec     Spec
	// Whose it is, as ids: each None where the string is "". RoomID is None too for a room that no [room] row describes. DamperID is
	// that of a damper of the [damper] table.
	LineID   LineID
	ZoneID   ZoneID
	RoomID   RoomID
	DamperID DamperID

	word  string // what it is to its owner, in its name: "register", "leakage"; "" for ducts
	after LineID // the line that leaves or joins where this piece of duct begins; None for the first piece and all that is no duct
}

// Spec is what a pressure law needs to know of an element: one of the *Spec types below.
type Spec interface{ spec() }

// DuctSpec is a straight duct with the fittings on it.
type DuctSpec struct {
	Section    section.Section
	Material   string
	Roughness  float64 // m
	Length     float64 // m, with equivalent lengths
	Rise       float64 // m gained from From to To
	Multiplier float64 // on friction, for compressed flexible duct; 1 otherwise
	Local      float64 // sum of loss coefficients on its own velocity pressure
	Losses     []Loss  // what Local is made of
	// First is true for the piece of a line that begins at the line's parent; a line with taps along it has several pieces.
	First bool
}

// Flexible tells whether the catalogue knows the duct's material as flexible.
func (d *DuctSpec) Flexible() bool {
	row, ok := catalog.LookupMaterial(d.Material)
	return ok && row.Flexible
}

// Loss is one contribution to a duct's local loss.
type Loss struct {
	Name        string
	Count       int
	Coefficient float64 // each
	Source      string
}

// DamperSpec is a damper that is set, not moved by the air: a zone damper or a hand damper.
type DamperSpec struct {
	Damper       string // name in [damper], "" for a balance on a line
	Section      section.Section
	Blade        string
	Leakage      float64 // share of nominal flow when shut
	LeakageClass string
	Stop, Open   Position
	Zones        []string // whose calls open it; none: it stays at Open
	Hand         bool
	Drive        string
	// Factor multiplies its loss, for studies of what coefficients are uncertain by; 0 is 1.
	Factor float64
	// Deviation is how many standard deviations of ln ζ its blade lies off the table, and LeakDeviation the gaps round it off
	// its leakage, for the same studies.
	Deviation, LeakDeviation float64
}

// ReliefSpec is a weighted (barometric) damper.
type ReliefSpec struct {
	Damper       string
	Section      section.Section
	OpensAt      float64 // Pa
	FullyOpenAt  float64 // Pa; 0 when Arm is given
	Arm          float64 // degrees; 0 when FullyOpenAt is given
	Leakage      float64
	LeakageClass string
}

// RegulatorSpec is a motorised damper that holds the static at a sensor.
type RegulatorSpec struct {
	Damper       string
	Section      section.Section
	Blade        string
	Holds        float64 // Pa
	Band         float64 // Pa
	Sensor       int     // node
	Leakage      float64
	LeakageClass string
}

// BackdraftSpec passes air one way.
type BackdraftSpec struct {
	Damper       string
	Section      section.Section
	Leakage      float64
	LeakageClass string
}

// OpeningSpec is a register, grille or transfer grille.
type OpeningSpec struct {
	Section  section.Section
	Kind     string
	FreeArea float64
	Drop, At float64 // Pa at m³/s: one catalogue point, or zero
	Balance  *Position
	Supply   bool // discharges (exit loss) rather than takes in
	Transfer bool // joins two rooms
}

// RatedSpec is a filter or coil known by one drop at one airflow.
type RatedSpec struct {
	Drop, At  float64 // Pa at m³/s
	Exponent  float64
	Factor    float64 // loading of a filter
	WetFactor float64 // coil: times the drop when it runs wet
}

// LeakSpec is a leak: Q = Coefficient Δp^Exponent, m³/s and Pa.
type LeakSpec struct {
	Coefficient, Exponent float64
	Of                    LeakOf  // the figure of the job file that it is part of
	Share                 float64 // of that figure
}

// GapSpec is a sharp-edged opening: a door's undercut and cracks, an open door.
type GapSpec struct {
	Area float64 // m²
}

// BlowerSpec is the blower's table.
type BlowerSpec struct {
	Name string
	Kind string // "multi-tap", "constant torque", "constant airflow"
	Taps []TapCurve
}

// TapCurve is the table of one tap: airflow and electric power at rising external static.
type TapCurve struct {
	Name    string
	Static  []float64 // Pa
	Airflow []float64 // m³/s
	Watts   []float64 // W; may be empty
}

func (*DuctSpec) spec()      {}
func (*DamperSpec) spec()    {}
func (*ReliefSpec) spec()    {}
func (*RegulatorSpec) spec() {}
func (*BackdraftSpec) spec() {}
func (*OpeningSpec) spec()   {}
func (*RatedSpec) spec()     {}
func (*LeakSpec) spec()      {}
func (*GapSpec) spec()       {}
func (*BlowerSpec) spec()    {}

// Junction is a tee, wye or tap whose losses follow the flow split. Its legs are elements that end at Node.
type Junction struct {
	Node   int
	Kind   string // catalogue
	Common int    // element: the leg towards the blower
	Run    int    // element: the straight leg
	Branch int    // element
	// Areas of the ducts that meet, m².
	CommonArea, RunArea, BranchArea float64
	// RunOut and RunIn are the losses of the change of section between common leg and run, for all the air going into the run
	// and coming out of it, each on the velocity pressure of the section downstream. They are part of the junction: the
	// ducts that meet there have no transition of their own.
	RunOut, RunIn float64
}

// Register is an outlet into a room, with what it should deliver.
type Register struct {
	Element int // the register's element
	Duct    int // the last duct before it
	Line    string
	Zone    string
	Room    string
	Wants   float64 // m³/s
	Dump    bool
}

// NodeAt is the node of a role that only one node has, such as AtSupplyPlenum; None where there is none.
func (g *Graph) NodeAt(role Role) int {
	for i := range g.Nodes {
		if g.Nodes[i].Role == role {
			return i
		}
	}
	return None
}

// AirOf is the node of a room behind its own door, None for a room that is part of the open house.
func (g *Graph) AirOf(room RoomID) int {
	for i := range g.Nodes {
		if room != None && g.Nodes[i].Room() == room {
			return i
		}
	}
	return None
}

// ElementOf is the element of a damper of the [damper] table, None where it sits in no line.
func (g *Graph) ElementOf(damper DamperID) int {
	for i := range g.Elements {
		if damper != None && g.Elements[i].DamperID == damper {
			return i
		}
	}
	return None
}

// Join adds an element to a built graph that the job file knows nothing of: it belongs to no line, zone, room or damper. It returns its
// index.
func (g *Graph) Join(e Element) int {
	e.LineID, e.ZoneID, e.RoomID, e.DamperID, e.after = None, None, None, None, None
	g.Elements = append(g.Elements, e)
	return len(g.Elements) - 1
}

// OpenAir adds the air outdoors to a built graph, unless it has it, and returns its node.
func (g *Graph) OpenAir() int {
	if n := g.NodeAt(OutOfDoors); n != None {
		return n
	}
	g.Nodes = append(g.Nodes, Node{Name: Outside, Kind: Outdoors, Known: true, Role: OutOfDoors, Line: None, Other: None})
	return len(g.Nodes) - 1
}

// NodeNamed returns the node of a display name that a person typed, or −1. Nothing else finds a node by its name.
func (g *Graph) NodeNamed(name string) int {
	for i := range g.Nodes {
		if g.Nodes[i].Name == name {
			return i
		}
	}
	return -1
}

// ElementNamed returns the element of a display name that a person typed, or −1. Nothing else finds an element by its name.
func (g *Graph) ElementNamed(name string) int {
	for i := range g.Elements {
		if g.Elements[i].Name == name {
			return i
		}
	}
	return -1
}
