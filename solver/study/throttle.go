package study

import (
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/section"
	"spillway/solver/air/bracket"
	"spillway/solver/state"
)

// throttle is a damper that is to be set so that what lies behind it gets its share.
type throttle struct {
	element int // the damper
	want    float64
	flow    func(o *state.Outcome) float64 // m³/s behind it
	least   float64                        // position that it must not go below
}

// equalise sets dampers so that flow over want is the same behind all of them and as great as can be: at least one stays wide open.
//
// It is the direct method of balancing a tree, repeated because a real system is not quite one. From a solution, the drop from a
// damper's inlet to the end of what lies behind it is D = (R + c ζ) q². Taking D, R and c as they are, the greatest common ratio ρ is the
// least of √(D/(R + c ζ_open))/want, and every damper needs
//
//	ζ = (D/(ρ want)² − R)/c.
//
// The next solution shows D, R and c as they have become. It stops when ratios agree to a part in 10⁴ but for dampers at their least
// position.
func equalise(solve func(position []float64) (*state.Outcome, error), list []throttle) (position []float64, o *state.Outcome, rho float64, err error) {
	const (
		most      = 60
		agreement = 1e-4
	)
	position = make([]float64, len(list))
	for k := range position {
		position[k] = 1
	}
	for range most {
		if o, err = solve(position); err != nil {
			return nil, nil, 0, err
		}
		if rho = leastRatio(o, list); agree(o, list, position, agreement) {
			return position, o, rho, nil
		}
		zeta := make([]float64, len(list))
		rest, per, drop := make([]float64, len(list)), make([]float64, len(list)), make([]float64, len(list))
		common := math.Inf(1)
		for k, t := range list {
			q := t.flow(o)
			if !(q > 0) {
				return nil, nil, 0, question("no air comes through %s, so that it cannot be balanced", o.Graph.Elements[t.element].Name)
			}
			spec := o.Graph.Elements[t.element].Spec.(*network.DamperSpec)
			own := max(o.Elements[t.element].Drop-o.Elements[t.element].Junction, 0)
			zeta[k] = bladeZeta(spec, position[k])
			// What is behind ends in still air, so that the whole drop is the pressure before the damper.
			drop[k] = o.Nodes[o.Graph.Elements[t.element].From].Total
			rest[k], per[k] = (drop[k]-own)/(q*q), own/(zeta[k]*q*q)
			if !(drop[k] > 0) || !(per[k] > 0) {
				return nil, nil, 0, question("%s has no pressure to give away", o.Graph.Elements[t.element].Name)
			}
			common = min(common, math.Sqrt(drop[k]/(rest[k]+per[k]*bladeZeta(spec, 1)))/t.want)
		}
		for k, t := range list {
			spec := o.Graph.Elements[t.element].Spec.(*network.DamperSpec)
			target := common * t.want
			position[k] = max(bladePosition(spec, (drop[k]/(target*target)-rest[k])/per[k]), t.least)
		}
	}
	return nil, nil, 0, question("the dampers come to no balance")
}

func leastRatio(o *state.Outcome, list []throttle) float64 {
	least := math.Inf(1)
	for _, t := range list {
		least = min(least, t.flow(o)/t.want)
	}
	return least
}

// agree tells whether all ratios are the same, but for those that a damper at its least position keeps above.
func agree(o *state.Outcome, list []throttle, position []float64, within float64) bool {
	least, most, widest := math.Inf(1), 0.0, 0.0
	for k, t := range list {
		r := t.flow(o) / t.want
		least, widest = min(least, r), max(widest, position[k])
		if position[k] > t.least {
			most = max(most, r)
		}
	}
	return most <= least*(1+within) && widest > 1-1e-6
}

// bladeZeta is the loss coefficient of a set damper without its leak, which at the openings of a balance hardly counts.
func bladeZeta(d *network.DamperSpec, position float64) float64 {
	row, ok := catalog.LookupBlade(d.Shape)
	if !ok {
		return math.NaN()
	}
	set := catalog.Setting{ClosedZeta: 1e9}
	if row.Kind == catalog.RectangularBlade && d.Section.Shape == section.Rectangular {
		set.Proportion = d.Section.Height / d.Section.Width
	}
	return catalog.Zeta(row.Kind, catalog.BladeAngle(100*position), set)
}

// bladePosition is the opening at which a damper has a loss coefficient, by bisection: it falls as the damper opens.
func bladePosition(d *network.DamperSpec, zeta float64) float64 {
	if !(zeta > bladeZeta(d, 1)) {
		return 1
	}
	_, open, _ := bracket.Edge(func(x float64) (bool, error) { return bladeZeta(d, x) > zeta, nil }, 0, 1, 0x1p-60)
	return open
}
