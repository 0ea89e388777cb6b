// Package verdict holds limits with their sources and turns an Outcome into findings: what is in order, what wants caution,
// what is at fault, by how much, and what to do about it.
//
// A limit lives here and nowhere else. The package does no physics.
package verdict

// Level says how serious a finding is.
type Level string

// Levels, best first.
const (
	OK      Level = "ok"
	Caution Level = "caution"
	Fault   Level = "fault"
)

// Quantity says what Value and Limit of a Finding are, so that a printer can choose units. Values are SI.
type Quantity string

// Quantities of findings.
const (
	Pressure     Quantity = "pressure"       // Pa
	Airflow      Quantity = "airflow"        // m³/s standard
	Velocity     Quantity = "velocity"       // m/s
	FlowPerHeat  Quantity = "flow per heat"  // m³/s per W of nominal cooling
	PowerPerFlow Quantity = "power per flow" // W per m³/s
	Fraction     Quantity = "fraction"
	Temperature  Quantity = "temperature" // °C
	Span         Quantity = "span"        // K
	Plain        Quantity = ""
)

// Finding is one check at one place.
type Finding struct {
	Check    string // short and stable, e.g. "external static"
	Where    string // element, zone, register or "" for the whole system
	Level    Level
	Value    float64
	Limit    float64 // NaN when there is none
	Quantity Quantity
	Source   string // of the limit
	Remedy   string // one sentence; "" when ok
}
