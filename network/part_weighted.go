package network

import "math"

// ReliefSpec is a weighted (barometric) damper.
type ReliefSpec struct {
	Blade
	OpensAt     float64 // Pa
	FullyOpenAt float64 // Pa; 0 when Arm is given
	Arm         float64 // degrees; 0 when FullyOpenAt is given
}

var weightedDamper = drive{
	words:    []string{Barometric},
	mark:     func(d *Damper) bool { return d.OpensAt != 0 },
	settings: func(d *Damper) bool { return d.OpensAt != 0 || d.FullyOpenAt != 0 || d.Arm != 0 },
	called:   "a weighted damper",
	missing:  "the weighted damper %q does not say at what pressure it opens",
	fix:      `write opens-at = "0.30 inwc"`,
	spec: func(_ *builder, d *Damper, blade Blade) Spec {
		return &ReliefSpec{Blade: blade, OpensAt: float64(d.OpensAt), FullyOpenAt: float64(d.FullyOpenAt), Arm: float64(d.Arm)}
	},
	own: func(_ *builder, l *Line) Spec {
		if l.OpensAt <= 0 {
			return nil
		}
		return &ReliefSpec{Blade: Blade{Section: l.Size.Section}, OpensAt: float64(l.OpensAt), FullyOpenAt: float64(l.FullyOpenAt)}
	},
}

// offers are the two pressures of a weighted damper, or the first and the angle of its arm. It begins to open
// before it is wide open: each of the two stays a step short of the other.
func (r *ReliefSpec) offers(step float64) []offer {
	none := math.NaN()
	opens := offer{"opens-at", "opens at", "drop at which the blade begins to open", r.OpensAt, none, none}
	list := []offer{opens}
	if r.FullyOpenAt > 0 {
		list[0].most = r.FullyOpenAt - step
		list = append(list, offer{"fully-open-at", "fully open at", "drop at which it is wide open", r.FullyOpenAt, r.OpensAt + step, none})
	}
	if r.Arm > 0 {
		list = append(list, offer{"arm", "arm", "angle of the weight's arm below horizontal when shut", r.Arm, none, none})
	}
	return list
}
