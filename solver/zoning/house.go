package zoning

import (
	"math"

	"spillway/network"
	"spillway/solver/state"
)

// House is what the call states of one weather can do together for the house.
type House struct {
	Weather string
	Mode    network.Mode
	Zones   []string
	// Shares is the cone of loads that can be held, by zone; see Range.
	Shares [][2]float64
	Cases  []Burden
}

// Burden is a diversity case as the house carries it.
type Burden struct {
	Case
	Load []float64 // W by zone, positive
	Excess
	// Past is how far each zone ends past its set point, K: its over-conditioning over its conductance
	// and the mean capacity rate of the air it is given. 0 where it is held.
	Past   []float64
	Helped bool // it runs a state in which the panel opens dampers of zones that do not call
}

// Names are the names of zones.
func (h *House) Names(zones []int) []string {
	names := make([]string, len(zones))
	for k, i := range zones {
		names[k] = h.Zones[i]
	}
	return names
}

// Worst is the zone that a case drives farthest past its set point, and how far, K; zone is −1 when
// every zone is held.
func (h *House) Worst() (in, zone int, past float64) {
	in, zone = -1, -1
	for c := range h.Cases {
		for i, p := range h.Cases[c].Past {
			if p > past+heldWithin {
				in, zone, past = c, i, p
			}
		}
	}
	return in, zone, past
}

// WorstOf is the case that drives a zone farthest past its set point, and how far, K; −1 when every case
// holds it.
func (h *House) WorstOf(zone int) (in int, past float64) {
	in = -1
	for c := range h.Cases {
		if p := h.Cases[c].Past[zone]; p > past+heldWithin {
			in, past = c, p
		}
	}
	return in, past
}

// Short is the zone that a case leaves farthest short of heat, as a share of its load; zone is −1 when
// the capacity lasts.
func (h *House) Short() (in, zone int, share float64) {
	in, zone = -1, -1
	for c := range h.Cases {
		for i, l := range h.Cases[c].Lack {
			if s := l / h.Cases[c].Load[i]; s > share+1e-6 {
				in, zone, share = c, i, s
			}
		}
	}
	return in, zone, share
}

// heldWithin is the offset below which a zone is at its set point, K: rounding of the programme.
const heldWithin = 1e-6

// Call is what a call state gives the zones: all that Houses needs to know of an outcome. Slices run
// parallel to the zones of the job.
type Call struct {
	State  state.CallState
	Helped bool      // a rule of the panel opens dampers of zones that do not call
	Given  []float64 // W of sensible heat, positive in the machine's direction
	Rate   []float64 // W/K: m c_p of the air given
	Load   []float64 // W of the design load, as Given; NaN where it is not known
	Loss   []float64 // W/K, conductance
}

// CallOf reads an outcome.
func CallOf(o *state.Outcome) Call {
	n := len(o.Zones)
	all := make([]float64, 4*n)
	c := Call{State: o.State, Helped: state.Helped(o.Graph.Job, o.State), Given: all[:n], Rate: all[n : 2*n], Load: all[2*n : 3*n], Loss: all[3*n:]}
	side := Side(o.State.Mode)
	for i := range o.Zones {
		z := &o.Zones[i]
		c.Given[i], c.Rate[i], c.Load[i], c.Loss[i] = side*z.Delivered, z.CapacityRate, side*z.Load, z.Conductance
	}
	return c
}

// Calls reads outcomes.
func Calls(outcomes []*state.Outcome) []Call {
	calls := make([]Call, len(outcomes))
	for i, o := range outcomes {
		calls[i] = CallOf(o)
	}
	return calls
}

// Houses measures the house in each weather of which every call state of the panel is among the
// calls, in the order of the weathers: with a state missing, the rest would look worse than the
// house is. A weather is left out when the job does not say what each zone needs in it.
func Houses(g *network.Graph, calls []Call) ([]House, error) {
	if len(g.Job.Zones) < 2 {
		return nil, nil
	}
	want := map[string]int{}
	count := 0
	for cs := range state.Each(g) {
		if count++; count > state.MostStates {
			return nil, nil
		}
		want[cs.Weather]++
	}
	byWeather := map[string][]Call{}
	for _, c := range calls {
		byWeather[c.State.Weather] = append(byWeather[c.State.Weather], c)
	}
	var houses []House
	for i := range g.Job.Weather {
		list := byWeather[g.Job.Weather[i].Name]
		if len(list) == 0 || len(list) < want[g.Job.Weather[i].Name] {
			continue
		}
		h, ok, err := Measure(g.Job, list)
		if err != nil {
			return houses, err
		}
		if ok {
			houses = append(houses, h)
		}
	}
	return houses, nil
}

// Measure measures the house by all calls of one weather; ok is false where a load is not known or
// the machine does not serve it.
func Measure(job *network.Job, calls []Call) (h House, ok bool, err error) {
	first := &calls[0]
	h = House{Weather: first.State.Weather, Mode: first.State.Mode}
	design := make([]float64, len(first.Load))
	all := 0.0
	for i, load := range first.Load {
		if math.IsNaN(load) || Side(h.Mode) == 0 {
			return h, false, nil
		}
		design[i] = max(0, load)
		all += design[i]
		h.Zones = append(h.Zones, job.Zones[i].Name)
	}
	if all == 0 {
		return h, false, nil
	}
	given := make([][]float64, len(calls))
	for s := range calls {
		given[s] = calls[s].Given
	}
	h.Shares = Range(given)
	for _, c := range Diversity(len(design)) {
		b := Burden{Case: c, Load: make([]float64, len(design)), Past: make([]float64, len(design))}
		for i := range design {
			b.Load[i] = c.Part[i] * design[i]
		}
		if b.Excess, err = Program(given, b.Load); err != nil {
			return h, false, err
		}
		for s := range calls {
			b.Helped = b.Helped || calls[s].Helped && b.Run[s] > 0
		}
		for i := range b.Past {
			holds := first.Loss[i]
			for s := range calls {
				holds += b.Run[s] * calls[s].Rate[i]
			}
			if holds > 0 && b.Over[i] > 0 {
				b.Past[i] = b.Over[i] / holds
			}
		}
		h.Cases = append(h.Cases, b)
	}
	return h, true, nil
}
