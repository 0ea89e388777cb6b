package network

import (
	"math"

	"spillway/network/catalog"
)

// RegulatorSpec is a motorised damper that holds the static at a sensor.
type RegulatorSpec struct {
	Blade
	Holds  float64 // Pa
	Band   float64 // Pa
	Sensor int     // node
}

var pressureDamper = drive{
	words:    []string{ConstantPressure},
	mark:     func(d *Damper) bool { return d.Holds != 0 },
	settings: func(d *Damper) bool { return d.Holds != 0 || d.Band != 0 || d.Sensor != "" },
	called:   "a damper that holds a pressure",
	missing:  "damper %q does not say what pressure it holds",
	fix:      `write holds = "0.35 inwc"`,
	shaped:   true,
	complete: func(c *checker, d *Damper) {
		if d.Band == 0 {
			d.Band = catalog.BypassBand
			c.assume(d.Band.Text(c.system), "narrow against usual set points (our choice)", "damper", d.Name, "band")
		}
	},
	spec: func(b *builder, d *Damper, blade Blade) Spec {
		sensor := b.node(AtSupplyPlenum.at(), Chamber)
		if chamber, ok := b.chamber(d.Sensor); ok {
			sensor = b.node(chamber, Chamber)
		}
		return &RegulatorSpec{Blade: blade, Holds: float64(d.Holds), Band: float64(d.Band), Sensor: sensor}
	},
	own: func(b *builder, l *Line) Spec {
		if l.Holds <= 0 || l.OpensAt > 0 {
			return nil
		}
		blade := Blade{Section: l.Size.Section, Shape: defaultBlade(l.Size.Section), Leakage: -1} // as for one of the [damper] table
		return &RegulatorSpec{Blade: blade, Holds: float64(l.Holds), Sensor: b.node(AtSupplyPlenum.at(), Chamber)}
	},
}

// offers is the pressure that the damper holds.
func (r *RegulatorSpec) offers(float64) []offer {
	help := "the static that it holds"
	if r.Damper != "" {
		help += " at its sensor"
	}
	return []offer{{"holds", "holds", help, r.Holds, math.NaN(), math.NaN()}}
}
