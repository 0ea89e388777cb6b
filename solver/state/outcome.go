package state

import (
	"spillway/network"
	"spillway/solver/flow"
)

// CallState is one thing that can happen: the equipment runs in a mode and stage because certain zones call, in a weather.
type CallState struct {
	Name    string // "cooling: loft", unique within a run
	Mode    network.Mode
	Weather string   // name of the weather row
	Calling []string // zones, in file order
	Stage   int      // from 1
	Stages  int      // how many stages the machine has
	More    bool     // a higher stage may run in this call
}

// Outcome is everything the solver found for one call state. All quantities are SI; airflows are m³/s of standard air (mass
// flow over standard density). Slices run parallel to the graph's: Elements[i] is what happens in Graph.Elements[i].
// A number that does not apply is NaN here and null on paper.
type Outcome struct {
	State       CallState
	Graph       *network.Graph
	Certificate Certificate
	Blower      Blower
	Equipment   Equipment
	Ledger      Ledger
	Elements    []Element
	Nodes       []Node
	Registers   []Register // parallel to Graph.Registers
	Grilles     []Grille   // every return grille, in the order of the elements
	Rooms       []Room     // every room with a register or grille, in the order in which they first occur
	Zones       []Zone     // parallel to Graph.Job.Zones
	Dampers     []Damper   // every damper, set or moved by the air
	Ports       []Port     // the equipment's own test ports in air order, then the job's
	Bypass      float64    // share of the blower's air that recirculates
	Others      []*Outcome // the same state at the blower's other stable operating points, if any; not of a Quick solver
	// NaturalShare is the part of the call that would reach its callers with every zone damper open; NaN unless it was asked for
	// (zoning.Complete), and where every zone calls.
	NaturalShare float64
	Notes        []string  // what the reader should know of this solution (off the table, stall)
	Stretches    []Stretch // formulas of ducts and coil used outside their range
	// NoiseStretches are the formulas by which ducts, dampers and take-offs make and take noise, where they are outside their range.
	// Those of openings and throw are with their registers.
	NoiseStretches []Stretch
}

// Certificate is the proof that comes with the numbers.
type Certificate struct {
	MassResidual     float64 // kg/s at the worst node
	MassNode         string
	PressureResidual float64 // Pa at the worst element
	PressureElement  string
	Gap              float64 // W; see flow.Certificate
	FlowBound        float64 // m³/s: widest half-interval in which a true airflow lies
	FlowElement      string
	Iterations       int  // linear systems solved, over all turns between flow and heat
	Isolated         bool // no second solution is nearby; see flow.Certificate
	Core             flow.Certificate
}

// Blower is the blower's operating point.
type Blower struct {
	Tap            string
	Airflow        float64 // m³/s, standard
	ActualAirflow  float64 // m³/s at the density of the air in it
	ExternalStatic float64 // Pa, rise across what the table covers
	Power          float64 // W, NaN when the table has none
	OffTable       bool
	Points         []OperatingPoint // all of them, where the curve has a rising piece
}

// OperatingPoint is one place where the blower and the duct system can agree.
type OperatingPoint struct {
	Airflow, Static float64
	Stable          bool
}

// Ledger says where the blower's air goes. The paths add up to Blower exactly.
type Ledger struct {
	Blower  float64 // m³/s
	Wanted  float64 // what the registers of calling zones get, each up to its want
	Asked   float64 // what the calling zones want altogether
	Surplus float64 // Blower − Wanted
	Paths   []Path
}

// PathKind says how air left the blower's charge.
type PathKind string

// The kinds of path.
const (
	PathWanted  PathKind = "wanted"  // the calling zones' own air; first line of the ledger
	PathCalling PathKind = "calling" // surplus: more than the calling registers want
	PathBleed   PathKind = "bleed"   // surplus: into satisfied zones
	PathBypass  PathKind = "bypass"
	PathDump    PathKind = "dump"
	PathLeakage PathKind = "leakage"
)

// Path is one line of the ledger.
type Path struct {
	To      string // zone, bypass line, dump line or place
	Kind    PathKind
	Airflow float64
	Damper  int // index into Outcome.Dampers of the damper it passes, −1 none
	Element int // of a bypass its first duct, of leakage the leak; −1 for all else
}

// Element is what happens in one element.
type Element struct {
	Flow        float64 // kg/s in the element's direction
	Airflow     float64 // m³/s standard, signed
	Surplus     float64 // m³/s standard: the part of |Airflow| that nobody asked for
	Velocity    float64 // m/s actual, magnitude, on its section; NaN where it has none
	Drop        float64 // Pa of total pressure lost from From to To, with the junction at its end
	Junction    float64 // Pa of Drop that the junction takes
	Lift        float64 // Pa that buoyancy gives from From to To: P_from − P_to = Drop − Lift
	Friction    float64 // Pa per m, ducts only; NaN otherwise
	Density     float64 // kg/m³ by which the flow is solved
	Temperature float64 // °C of the air in it, mean along its way; of a blower at its inlet; of its surroundings where nothing moves
	// DensityTemperature is the temperature, °C, of which Density and viscosity are: that of the air in it, but nearer the surroundings'
	// where it hardly moves.
	DensityTemperature float64
	Low, High          float64 // m³/s standard: certified interval of Airflow
}

// Node is the pressure at one node.
type Node struct {
	Total       float64 // Pa gauge
	Static      float64 // Pa gauge; total less velocity pressure of the duct that ends there; equal in still air
	Temperature float64 // °C
}

// Register is what comes out of one register.
type Register struct {
	Airflow      float64 // m³/s standard
	Wants        float64
	Calling      bool
	FaceVelocity float64 // m/s actual, on the gross face
	Static       float64 // Pa behind it
	Temperature  float64 // °C of the air that comes out; NaN when none does
	DewPoint     float64 // °C at which room air would condense on it; the room's, for supply sweating
	Noise
	Jet
}

// Zone is what one zone gets.
type Zone struct {
	Calling   bool
	Airflow   float64 // supply, m³/s standard
	Wants     float64
	Return    float64 // through the grilles of the zone; NaN where it has none of its own
	Pressure  float64 // Pa, highest magnitude among its rooms against the house
	Shortfall float64 // m³/s that a calling zone misses

	SupplyTemperature float64 // °C of the air it is given
	Delivered         float64 // W of sensible heat given to it at its setpoint; negative in cooling
	Load              float64 // W of sensible heat it needs at its setpoint; negative in cooling; NaN when not known
	Setpoint          float64 // °C
	CapacityRate      float64 // W/K: m c_p of the air it is given
	Conductance       float64 // W/K to outdoors; NaN when not known
	DriftRate         float64 // K/s, mean over the first hour that the call runs, positive warmer; satisfied zones only, else NaN
	DriftEnd          float64 // K from its setpoint where it would end if such calls went on at CallDuty and the zone never called
	TimeToCall        float64 // s until it is CallBand off and calls for the machine itself, at CallDuty; +Inf when it never does
	CallDuty          float64 // share of the time that the present call runs to cover the loads of its zones
	TimeToSwing       float64 // s until it has drifted 2 °F while the call runs; +Inf when it never does
	NeutralBleed      float64 // m³/s of standard air that would just cover its load
}

// Damper is where one damper stands and what it does.
type Damper struct {
	Element  int
	Name     string  // in the job file
	Position float64 // 0 shut … 1 open
	Blade    float64 // degrees from open
	Moved    bool    // by the air (barometric, backdraft) or by a controller, rather than set
	Calling  bool    // opened by a call
	Airflow  float64
	Drop     float64
}
