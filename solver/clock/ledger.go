package clock

import (
	"math"
	"slices"
)

// Ledger is what a run added up after its warm-up. Times are s, energies J, air is m³ of standard air.
type Ledger struct {
	Time     float64
	States   []StateTime // those that occurred, in the order of their first occurrence
	Zones    []ZoneTime
	Heating  MachineTime
	Cooling  MachineTime
	Off      float64   // blower off and nothing on its way
	Starting float64   // from a call to the burner or compressor
	Purging  float64   // blower on after a run
	Unsolved float64   // a call that the Source could not answer held the machine off
	Failures []Failure // the first of every such call
	Air      []float64 // by fate, as Supply.Airflow has them

	ToZones  float64 // heat that the air gave to the zones, negative in cooling
	Ducts    float64 // what the machine gave to the air and no zone got, ≥ 0 where ducts lose
	Gains    float64
	Envelope float64 // heat that came in from outdoors, negative where it went out
	Stored   float64 // growth of what air and mass hold
	Energy   float64 // unaccounted for, house and machine
	Moved    float64 // the sum of all that was moved, to which Energy is set in relation
	VaporIn, VaporTaken,
	VaporStored float64 // kg: from people and outdoors; by the coil; growth of what the zones hold
	Pieces    int // between events
	Stepped   int // of them, cut by the climate's step alone
	Settles   int // changes of any control
	Decompose int // matrices taken apart
	// Simplified counts the matrices, of Decompose, in which every zone is taken to return the air
	// that it is given. As solved, the air circles through the zones, so that temperatures would
	// oscillate; the search for events does not cover that.
	Simplified int
}

// Balance is the energy that is unaccounted for, over what was moved.
func (l *Ledger) Balance() float64 {
	if l.Moved == 0 {
		return 0
	}
	return math.Abs(l.Energy) / l.Moved
}

// WaterBalance is the vapor that is unaccounted for, kg.
func (l *Ledger) WaterBalance() float64 {
	return math.Abs(l.VaporIn - l.VaporTaken - l.VaporStored)
}

// StateTime is how long and how often one call state was on.
type StateTime struct {
	Call    Call
	On      float64 // s with burner or compressor
	Limited float64 // s with the blower alone because a guard was open
	Purging float64 // s of the blower after the run
	Visits  []Visit // from its beginning until another state, or the purge, began
	Trips   []Trip
}

// Hours is the time in which the state was asked for and the blower ran, s.
func (s *StateTime) Hours() float64 { return s.On + s.Limited }

// Visit is one uninterrupted stay in a call state.
type Visit struct {
	Start, Length float64 // s
	Recovery      bool    // a zone of the call was coming back from a set-back
}

// Trip is one opening of a guard.
type Trip struct {
	Time     float64 // s
	Guard    int     // of the machine
	Recovery bool
}

// Median is the median length of the visits for which keep is true, NaN when there is none.
func (s *StateTime) Median(keep func(Visit) bool) float64 {
	var all []float64
	for _, v := range s.Visits {
		if keep(v) {
			all = append(all, v.Length)
		}
	}
	return median(all)
}

// Longest is the longest of the visits for which keep is true, 0 when there is none.
func (s *StateTime) Longest(keep func(Visit) bool) float64 {
	most := 0.0
	for _, v := range s.Visits {
		if keep(v) {
			most = max(most, v.Length)
		}
	}
	return most
}

func median(all []float64) float64 {
	if len(all) == 0 {
		return math.NaN()
	}
	all = slices.Clone(all)
	slices.Sort(all)
	n := len(all)
	return (all[n/2] + all[(n-1)/2]) / 2
}

// ZoneTime is how one zone fared.
type ZoneTime struct {
	Mean       float64   // °C of its air
	Low, High  float64   // °C, at the ends of pieces
	Short      float64   // K·s further than Tolerance on the wrong side of its set point
	Over       float64   // K·s further than Tolerance beyond it while it did not call and air was blown into it
	Blown      float64   // s of that air
	Calls      []float64 // s, every call of its thermostat
	Recoveries []float64 // s from a set point's step until the thermostat was content
	Unreached  int       // set points that moved back before that

	MeanRatio,
	MeanHumidity float64 // kg/kg and relative, of its air; 0 where humidity is not followed
	MostHumid       float64 // relative
	Humid           float64 // s above 60 %
	vapor, humidity float64 // kg/kg·s and s
}

// Tolerance is how far from its set point a zone may be without being short or over, K: 1.5 °F (our
// choice).
const Tolerance = 1.5 / 1.8

// MachineTime is what one side of the machine did.
type MachineTime struct {
	Runs    []float64 // s, from the burner or compressor to its last stop, stops by guards included
	Begun   []float64 // s, when each start was
	Starts  int
	On      float64 // s of burner or compressor
	Made    float64 // J of heat made, or taken from the house
	Given   float64 // J given to the air
	Lost    float64 // J left in the machine after the purge and lost
	Input   float64 // J of fuel or electricity
	Blower  float64 // J of electricity; NaN when a state's is not known
	held    float64 // J in it at the beginning of the count
	booked  float64 // J by which a change of capacity changed what it holds
	Opening [2]int  // openings of guards: settled, in recovery
	CutOuts int
	Iced    float64 // s with more than a quarter of the ice that closes the coil
	MostIce float64 // kg

	Water      float64 // kg that ran down the drain
	Evaporated float64 // kg that the coil gave back to the house
}

// Busiest is the most starts within one hour of the clock.
func (m *MachineTime) Busiest() int {
	most, count, hour := 0, 0, math.Inf(-1)
	for _, t := range m.Begun {
		if h := math.Floor(t / 3600); h != hour {
			count, hour = 0, h
		}
		count++
		most = max(most, count)
	}
	return most
}

// Failure is a call that the Source could not answer.
type Failure struct {
	Call  Call
	Time  float64
	Count int
	Err   error
}
