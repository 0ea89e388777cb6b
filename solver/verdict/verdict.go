// Package verdict holds limits with their sources and turns an Outcome into findings: what is in order, what wants caution,
// what is at fault, by how much, and what to do about it.
//
//	Limits     every check with the limit in force for a job, as rows: what "spillway limits" prints, what Judge holds outcomes against
//	Judge      findings over one outcome, worst first; pure
//	Mixed      a value that depends on how well recirculated air mixes: a fault only where its whole band is one
//	StopChecks findings that need more solutions: what five degrees of blade do at each damper stop
//	Usual      figures that are common in the trade, to compare with; no check uses them
//	Safety     the caution that belongs to a kind of fault
//
// A limit lives here and nowhere else. The package does no physics.
package verdict

import (
	"spillway/network/quantity"
	"spillway/solver/state"
)

// Level says how serious a finding is.
type Level string

// Levels, best first.
const (
	OK      Level = "ok"
	Caution Level = "caution"
	Fault   Level = "fault"
)

// Class says what harm a check is about. Classes rank from Safety down.
type Class string

// Classes, the gravest first.
const (
	SafetyClass Class = "safety"        // can hurt somebody
	Equipment   Class = "equipment"     // outside what the machine is made for
	Code        Class = "code"          // against the rules of a place
	Zoning      Class = "zoning"        // what the zone dampers were bought for
	Comfort     Class = "comfort"       // felt or heard
	Guideline   Class = "guideline"     // a convention of design
	Rule        Class = "rule of thumb" // a remark
)

// Hard reports whether no setting may trade a check of the class for comfort.
func (c Class) Hard() bool { return c == SafetyClass || c == Equipment || c == Code }

// Quantity is the kind of a finding's value and limit, so that a printer can choose units. Values are SI;
// a noise beyond the NC curves, 15 to 70, is an extrapolation that has no number on paper.
type Quantity = quantity.Kind

// Short names for the kinds that findings are written with.
const (
	Pressure     = quantity.KindPressure
	Airflow      = quantity.KindAirflow
	Velocity     = quantity.KindVelocity
	FlowPerHeat  = quantity.KindFlowPerHeat
	PowerPerFlow = quantity.KindPowerPerFlow
	Fraction     = quantity.KindFraction
	Temperature  = quantity.KindTemperature
	Span         = quantity.KindTemperatureSpan
	Length       = quantity.KindLength
	Noise        = quantity.KindNoise
	Ratio        = quantity.KindRatio
)

// Direction says on which side of a limit values are in order.
type Direction uint8

// Directions.
const (
	AtMost Direction = iota
	AtLeast
)

// String is the word that goes before a limit.
func (d Direction) String() string {
	if d == AtLeast {
		return "at least"
	}
	return "at most"
}

// Finding is one check at one place.
type Finding struct {
	Row Check // of the table of limits
	// Ref is the number that is judged, or the one that the row computes Value from; its Field is
	// NoField where there is none. With Per, Value is Ref over that field of the same subject.
	Ref state.Ref
	Per state.FieldID

	Check  string // short and stable, e.g. "external static"
	Where  string // element, zone, register, room or "" for the whole system
	Class  Class
	Level  Level
	Value  float64
	Limit  float64 // the one passed: of a fault the fault's; else the caution's; NaN when there is none
	Bounds Direction
	// Margin is how far Value is on the good side of Limit; negative when it is passed, NaN without a limit. Of a temperature it is a
	// difference; see quantity.Kind.Difference.
	Margin   float64
	Quantity Quantity
	Source   string // of the limit
	Remedy   string // one sentence; "" when ok
	Safety   string // the caution that belongs to such a fault; "" when ok or none
	// Harm is how far Value is past the first step of its limit, in units that compare across
	// checks; 0 when it is not past it.
	Harm float64
	// Low and High are the band about Value, where it is judged with one; else both are 0.
	Low, High float64
	What      string // the quantity of Value, where the check does not say it; "" otherwise
	Mixed     Mixed  // of a value that depends on how recirculated air mixes
}

// of sets Ref and Per.
func (f Finding) of(field state.FieldID, at int, per state.FieldID) Finding {
	f.Ref, f.Per = state.Ref{Field: field, At: at}, per
	return f
}

// HasBand reports whether the value is judged with a band.
func (f *Finding) HasBand() bool { return f.Low < f.High }
