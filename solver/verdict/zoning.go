package verdict

import (
	"fmt"
	"strings"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/zoning"
)

const keepZoning = "smaller stops in the zones that do not call; what then passes another limit is for a lower stage or tap, a relief or larger ducts, not for open zone dampers"

// zoned judges how much of the zoning a call keeps, and of the call its callers. The worse of the two
// is the finding; it is at the zones that call.
func (j *judge) zoned() {
	share := zoning.CallerShare(j.o)
	kept := zoning.Kept(share, j.o.NaturalShare)
	if kept != kept {
		return
	}
	where := strings.Join(j.o.State.Calling, " + ")
	f := j.limit(ZoningKept).judge(where, kept, keepZoning)
	if s := j.limit(CallersShare).judge(where, share, keepZoning); s.Level != OK && f.Level == OK {
		f = s
	}
	if f.Level == Fault && state.Helped(j.g.Job, j.o.State) {
		f = j.capped(ZoningKept, where, kept)
	}
	j.found = append(j.found, f)
}

// capped is a finding of a call in which the panel opens further dampers: a caution at most, because
// somebody chose that.
func (j *judge) capped(c Check, where string, value float64) Finding {
	l := *j.limit(c)
	l.Fault = l.Caution
	f := l.judge(where, value, "the panel opens further dampers in this call: "+keepZoning)
	if f.Level == Fault {
		f.Level = Caution
	}
	return f
}

// JudgeHouse holds what a house can do in one weather against the limits of its job: how far each zone
// has to be driven past its set point, in the worst case for it. The findings are of the weather, not of
// one call state: every zone that is not in order, or the zone nearest its limit.
func JudgeHouse(job *network.Job, h *zoning.House) []Finding {
	j := judge{t: inForce(job)}
	list := make([]Finding, 0, len(h.Zones))
	for zone, name := range h.Zones {
		in, past := h.WorstOf(zone)
		f := j.limit(OverConditioning).judge(name, past, "")
		if in >= 0 && h.Cases[in].Helped {
			f = j.capped(OverConditioning, name, past)
		}
		if f.Level != OK {
			f.Remedy = fmt.Sprintf("%s; it is the price of holding %s", keepZoning, strings.Join(h.Names(h.Cases[in].Full), " and "))
		}
		list = append(list, f)
	}
	j.several(list)
	Sort(j.found)
	return j.found
}

// House is what a house can do in one weather, judged.
type House struct {
	zoning.House
	Findings []Finding // worst first
}

// Houses measures and judges the house in each weather of which all call states are among outcomes,
// those of one installation.
func Houses(outcomes []*state.Outcome) ([]House, error) {
	if len(outcomes) == 0 {
		return nil, nil
	}
	g := outcomes[0].Graph
	list, err := zoning.Houses(g, zoning.Calls(outcomes))
	houses := make([]House, len(list))
	for i := range list {
		houses[i] = House{list[i], JudgeHouse(g.Job, &list[i])}
	}
	return houses, err
}
