package chart

import (
	"fmt"
	"math"

	"spillway/network/quantity"
	"spillway/solver/sound"
	"spillway/solver/state"
)

// Airflow shows what every register gives beside what it wants: asked-for air plain, surplus hatched.
func Airflow(o *state.Outcome, sys quantity.System) *Figure {
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

// NoiseOf is the sound of one register, NC; NaN where it is not known.
type NoiseOf struct {
	NC        float64 // of the estimate; under 15 it is an extrapolation
	Low, High float64 // its band
	Target    float64 // beyond it a caution
	Fault     float64 // beyond it a fault, where Low is beyond the target as well
}

// quietest is the lowest noise criterion curve: below it there is no number for the quiet.
const quietest = 15.0

// Noise shows the sound of every register at its listener, with its band, against the target of its room. noise runs parallel to the
// outcome's registers.
func Noise(o *state.Outcome, noise []NoiseOf) *Figure {
	f := &Figure{Title: "Registers: noise at the listener", Y: Axis{Label: "NC", From: 0, To: 40}}
	loud, known, aimed := 0, 0, 0
	for i := range o.Registers {
		if i >= len(noise) {
			return nil
		}
		n := noise[i]
		b := Bar{Name: registerName(o, i), Group: group(o, i), Value: math.Max(n.NC, 0), Asked: math.NaN(), Target: n.Target, Active: o.Registers[i].Calling}
		b.Text = b.Name + ": NC " + sound.Shown(n.NC) + " (" + sound.ShownBand(n.Low, n.High) + ")"
		if finite(n.NC) {
			known++
			f.Y.To = math.Max(f.Y.To, math.Ceil(n.NC/10)*10)
		}
		if n.High > quietest {
			b.Low, b.High, b.HasBand = math.Max(n.Low, 0), n.High, true
			f.Y.To = math.Max(f.Y.To, math.Ceil(n.High/10)*10)
		}
		if finite(n.Target) {
			aimed++
			b.Text += ", target of its room " + number(n.Target, 0)
			f.Y.To = math.Max(f.Y.To, math.Ceil(n.Target/10)*10)
		}
		switch { // NaN is beyond nothing
		case n.NC > n.Fault && !(n.Low <= n.Target):
			b.Level = Fault
			loud++
		case n.NC > n.Target || n.NC > n.Fault:
			b.Level = Caution
			loud++
		}
		f.Bars = append(f.Bars, b)
	}
	if known == 0 {
		return nil
	}
	f.Bands = []Band{{From: 0, To: quietest, Level: Neutral, Rule: quietest}}
	f.Key = []Key{{Text: "calls", Fill: "asked"}, {Text: "does not call", Fill: "rest"}, {Text: "band of the estimate", Fill: "span"},
		{Text: "no curve below NC " + number(quietest, 0), Fill: "quiet"}}
	if aimed > 0 {
		f.Key = append(f.Key, Key{Text: "target of the room", Fill: "target"})
	}
	f.Desc = fmt.Sprintf("%d of %d registers are louder than their target by the estimate.", loud, len(f.Bars))
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
