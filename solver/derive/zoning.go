package derive

import (
	"math"

	"spillway/solver/zoning"
)

// The names of what tells how zoned a call state is.
const (
	callersShare = "caller's share"
	naturalShare = "caller's share with every zone damper open"
	zoningKept   = "zoning kept"
)

// zoning offers what of the call reaches its callers, and how much of that is the dampers' doing.
func (x *Explainer) zoning() {
	s := zoning.Of(x.o)
	x.offer("Zones and heat", callersShare, s.Share, func() *Step { return x.callersShare(s.Share) })
	x.offer("Zones and heat", naturalShare, s.Natural, func() *Step { return x.naturalShare(s.Natural) })
	x.offer("Zones and heat", zoningKept, s.Kept, func() *Step {
		return derived(zoningKept, "Z", Share, s.Kept, "of what the dampers could send to the callers beyond what open dampers would", "Z = (F - N) / (1 - N)",
			Input{"F", x.callersShare(s.Share)}, Input{"N", x.naturalShare(s.Natural)})
	})
	for k := range s.Zones {
		z, name := &x.o.Zones[k], x.job.Zones[k].Name
		x.offer("Zones and heat", name+" zone temperature held", s.Zones[k].Held, func() *Step {
			return derived(name+" zone temperature held", "ΔT", Span, s.Zones[k].Held, "away from the set point on the side that the machine does not push to, where calls like this go on", "ΔT = "+mirror(zoning.Side(x.o.State.Mode))+"e",
				Input{"e", x.driftEnd(k)})
		})
		if math.IsNaN(z.Airflow) {
			continue
		}
		x.offer("Zones and heat", name+" zone bleed ratio", s.Zones[k].Bleed, func() *Step {
			var callers []*Step
			for i := range x.o.Zones {
				if x.o.Zones[i].Calling {
					callers = append(callers, x.zoneAirflow(i))
				}
			}
			expression, inputs := sum("C", callers)
			return derived(name+" zone bleed ratio", "r", Share, s.Zones[k].Bleed, "its airflow over that of all calling zones", "r = Q / ("+expression+")",
				append([]Input{{"Q", x.zoneAirflow(k)}}, inputs...)...)
		})
	}
}

// mirror is the sign that turns a drift into a difference held.
func mirror(side float64) string {
	if side > 0 {
		return "-"
	}
	return ""
}

func (x *Explainer) callersShare(value float64) *Step {
	var callers, all []*Step
	for i := range x.o.Zones {
		if s := x.given(i); x.o.Zones[i].Calling {
			callers = append(callers, s)
		} else {
			all = append(all, s)
		}
	}
	over, inputs := sum("H", callers)
	rest, more := sum("B", all)
	return derived(callersShare, "F", Share, value, "what calling zones get of the heat or cold given to all zones", "F = ("+over+") / ("+over+" + "+rest+")", append(inputs, more...)...)
}

func (x *Explainer) naturalShare(value float64) *Step {
	return solvedLeaf(naturalShare, "N", Share, value, "this call state solved again with every zone damper open")
}
