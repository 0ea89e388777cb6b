package zoning

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// Excess is what a load that the house has to carry makes of its zones.
type Excess struct {
	Run  []float64 // share of the time that each call state runs
	Over []float64 // W of each zone past its load, on the machine's side
	Lack []float64 // W that each zone misses; all 0 unless the capacity is short
}

// shortage is the weight of a watt that is missed against one too many. A watt more for one zone
// never needs more than the reciprocal of its least share of a call in heat for the others, so that
// from 1,000 on the weight decides nothing as long as capacity lasts.
const shortage = 1e4

// Program finds the run times of the call states that carry a load with the least over-conditioning:
//
//	min Σᵢ (D f − L)ᵢ  subject to  D f ≥ L,  Σ f ≤ 1,  f ≥ 0
//
// by state and zone, given[s][i] is the heat that state s gives to zone i while it runs, W, and load
// is what each zone needs, W; both positive in the machine's direction. Where capacity is short, D f ≥ L
// is relaxed by as little as can be.
func Program(given [][]float64, load []float64) (Excess, error) {
	zones, states := len(load), len(given)
	scale := 0.0
	for _, l := range load {
		if !(l >= 0) || math.IsInf(l, 0) {
			return Excess{}, fmt.Errorf("zoning: a load of %g W", l)
		}
		scale = max(scale, l)
	}
	for _, d := range given {
		for _, x := range d {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return Excess{}, fmt.Errorf("zoning: a state gives %g W", x)
			}
		}
	}
	e := Excess{Run: make([]float64, states), Over: make([]float64, zones), Lack: make([]float64, zones)}
	if scale == 0 {
		return e, nil // nothing has to run
	}
	// Variables: what each state gives in all, over, lack, each in parts of the largest load, and idle
	// time. The basis lack, idle is feasible as it stands. A state that gives nothing never runs.
	n := states + 2*zones + 1
	a := mat.NewDense(zones+1, n, nil)
	cost, right, basis := make([]float64, n), make([]float64, zones+1), make([]int, zones+1)
	all := make([]float64, states)
	for s, d := range given {
		for _, x := range d {
			all[s] += x
		}
		if a.Set(zones, s, 1); !(all[s] > 0) {
			all[s], cost[s] = 0, shortage
			continue
		}
		a.Set(zones, s, scale/all[s])
		for i, x := range d {
			a.Set(i, s, x/all[s])
		}
	}
	for i := range zones {
		a.Set(i, states+i, -1)
		a.Set(i, states+zones+i, 1)
		right[i], basis[i] = load[i]/scale, states+zones+i
		cost[states+i], cost[states+zones+i] = 1, shortage
	}
	a.Set(zones, n-1, 1)
	right[zones], basis[zones] = 1, n-1
	_, x, err := lp.Simplex(cost, a, right, 1e-9, basis)
	if err != nil {
		return Excess{}, fmt.Errorf("zoning: %w", err)
	}
	for s := range given {
		if all[s] > 0 {
			e.Run[s] = scale * x[s] / all[s]
		}
	}
	for i := range zones {
		e.Over[i], e.Lack[i] = scale*x[states+i], scale*x[states+zones+i]
	}
	return e, nil
}

// Range is the cone of loads that can be held, seen from each zone: the least and greatest share of
// the house's load that the zone may have while no zone runs past its set point. The cone is spanned
// by what the states give, so that the ends are those of the states themselves. Two zones are held
// just when the share of one is in its range; with more, every share in its range is necessary. NaN
// where no state gives anything.
func Range(given [][]float64) [][2]float64 {
	if len(given) == 0 {
		return nil
	}
	ranges := make([][2]float64, len(given[0]))
	for i := range ranges {
		ranges[i] = [2]float64{math.NaN(), math.NaN()}
	}
	for _, d := range given {
		all := 0.0
		for _, x := range d {
			all += x
		}
		if !(all > 0) {
			continue
		}
		for i, x := range d {
			share := max(0, x/all) // a shut duct may take a little from its zone
			if r := &ranges[i]; !(r[0] <= share) {
				r[0] = share
			}
			if r := &ranges[i]; !(r[1] >= share) {
				r[1] = share
			}
		}
	}
	return ranges
}

// Case is a distribution of the design loads over the zones.
type Case struct {
	Full []int     // the zones at their design load, by number
	Part []float64 // share of its design load that each zone has
}

// LowLoad is the share of its design load of a zone without sun and people or with its set point set
// back, while others have theirs in full: our choice.
const LowLoad = 0.20

// Diversity lists the cases that a zoned house must be able to carry: all zones at design, each alone
// at design with the others at LowLoad, each at LowLoad with the others at design. The choice of the
// cases is ours.
func Diversity(zones int) []Case {
	add := func(cases []Case, low func(i int) bool) []Case {
		c := Case{Part: make([]float64, zones)}
		for i := range c.Part {
			if c.Part[i] = 1; low(i) {
				c.Part[i] = LowLoad
			} else {
				c.Full = append(c.Full, i)
			}
		}
		if slices.ContainsFunc(cases, func(b Case) bool { return slices.Equal(b.Part, c.Part) }) {
			return cases
		}
		return append(cases, c)
	}
	cases := add(nil, func(int) bool { return false })
	for z := range zones {
		cases = add(cases, func(i int) bool { return i != z })
	}
	for z := range zones {
		cases = add(cases, func(i int) bool { return i == z })
	}
	return cases
}
