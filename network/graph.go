package network

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

// Element is one part between two nodes. Exactly one of the specs fits its kind.
type Element struct {
	Name     string
	Kind     PartKind
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
