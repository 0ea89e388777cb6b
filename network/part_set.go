package network

import "math"

// DamperSpec is a damper that is set, not moved by the air: a zone damper or a hand damper.
type DamperSpec struct {
	Blade
	Stop, Open Position
	Zones      []string // whose calls open it; none: it stays at Open
	Hand       bool
	Drive      string
	// Factor multiplies its loss, for studies of what coefficients are uncertain by; 0 is 1.
	Factor float64
	// Deviation is how many standard deviations of ln ζ its blade lies off the table, and LeakDeviation the gaps round it off
	// its leakage, for the same studies.
	Deviation, LeakDeviation float64
}

var setDamper = drive{
	words:  []string{TwoPosition, Modulating, Hand},
	shaped: true,
	spec: func(b *builder, d *Damper, blade Blade) Spec {
		spec := &DamperSpec{Blade: blade, Stop: d.Stop, Open: 1, Drive: d.Drive, Hand: d.Drive == Hand}
		if d.Open != nil {
			spec.Open = *d.Open
		}
		for i := range b.job.Zones {
			if contains(b.job.Zones[i].Damper, d.Name) {
				spec.Zones = append(spec.Zones, b.job.Zones[i].Name)
			}
		}
		return spec
	},
	complete: func(c *checker, d *Damper) {
		if d.Open == nil && d.Drive != Hand {
			c.assume("100 %", "a damper opens fully for a call", "damper", d.Name, "open")
		}
	},
}

// offers are the settings of a damper that is set: where it is while its zone calls and while it does not, or as
// it was set by hand.
func (d *DamperSpec) offers(float64) []offer {
	open, none := float64(d.Open), math.NaN()
	switch {
	case d.Hand && d.Damper == "":
		return []offer{{"balance", "balance", "set by hand", open, none, none}}
	case d.Hand || len(d.Zones) == 0:
		return []offer{{"open", "open", "set by hand", open, none, none}}
	}
	return []offer{
		{"stop", "stop", "while its zone does not call", float64(d.Stop), none, open},
		{"open", "open", "while its zone calls", open, float64(d.Stop), none},
	}
}
