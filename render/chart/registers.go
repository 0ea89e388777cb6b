package chart

import (
	"fmt"
	"math"

	"spillway/network/units"
	"spillway/solver/state"
)

// Airflow shows what every register gives beside what it wants: asked-for air plain, surplus hatched.
func Airflow(o *state.Outcome, sys units.System) *Figure {
	p := paper{sys}
	f := &Figure{Title: "Registers: airflow against want", Y: Axis{Label: p.flowUnit(), Zero: true}}
	short := 0
	for i, r := range o.Registers {
		g := &o.Graph.Registers[i]
		b := Bar{Name: registerName(o, i), Group: group(o, i), Value: p.flow(r.Airflow), Asked: 0, Target: math.NaN(), Active: r.Calling}
		b.Text = b.Name + ": " + p.flowText(r.Airflow)
		if g.Wants > 0 && !g.Dump {
			b.Text += ", wants " + p.flowText(r.Wants)
			if r.Calling {
				b.Target = p.flow(r.Wants)
				b.Asked = math.Min(b.Value, b.Target)
			}
		}
		if r.Calling && r.Airflow < r.Wants {
			short++
		}
		f.Bars = append(f.Bars, b)
	}
	if len(f.Bars) == 0 {
		return nil
	}
	f.Key = []Key{{Text: "asked for", Fill: "asked"}, {Text: "surplus", Fill: "surplus"}, {Text: "wanted", Fill: "target"}}
	f.Desc = fmt.Sprintf("%d registers; %d of those that call get less than they want.", len(f.Bars), short)
	return f
}

// Noise shows the sound of every register against its target, NC. Both run parallel to the outcome's registers; NaN is no bar, or no
// target.
func Noise(o *state.Outcome, nc, targets []float64) *Figure {
	f := &Figure{Title: "Registers: noise at the listener", Y: Axis{Label: "NC", Zero: true}}
	loud, known, aimed := 0, 0, 0
	for i := range o.Registers {
		if i >= len(nc) || i >= len(targets) {
			return nil
		}
		b := Bar{Name: registerName(o, i), Group: group(o, i), Value: nc[i], Asked: math.NaN(), Target: targets[i], Active: o.Registers[i].Calling}
		b.Text = b.Name + ": NC " + number(nc[i], 0)
		if nc[i] < 0 {
			b.Value = 0 // below every curve: not to be heard
		}
		if finite(nc[i]) {
			known++
		}
		if finite(targets[i]) {
			aimed++
			b.Text += ", target " + number(targets[i], 0)
		}
		if nc[i] > targets[i] {
			b.Level = Caution
			loud++
		}
		f.Bars = append(f.Bars, b)
	}
	if known == 0 {
		return nil
	}
	f.Key = []Key{{Text: "calls", Fill: "asked"}, {Text: "does not call", Fill: "rest"}}
	if aimed > 0 {
		f.Key = append(f.Key, Key{Text: "target", Fill: "target"})
	}
	f.Desc = fmt.Sprintf("%d of %d registers are louder than their target.", loud, len(f.Bars))
	return f
}

func registerName(o *state.Outcome, i int) string {
	g := &o.Graph.Registers[i]
	if g.Line != "" {
		return g.Line
	}
	return o.Graph.Elements[g.Element].Name
}

func group(o *state.Outcome, i int) string {
	g := &o.Graph.Registers[i]
	if g.Dump {
		return "dump"
	}
	return "zone " + g.Zone
}
