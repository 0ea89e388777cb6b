package chart

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/resist"
	"spillway/solver/state"
)

// System is the static that the ducts of one call state ask of the blower at several airflows, as it was solved: SI, rising airflow.
type System struct{ Airflow, Static []float64 }

// Blower shows the blower's curve at the tap that runs, and where it meets the ducts, in every call state; the state of index chosen
// stands out with its own system curve. systems runs parallel to outcomes and may be nil, or hold empty ones.
//
// The curve is drawn for air of the chosen state's density. A state with other taps or colder air lies on a curve of its own: the
// taps that other states use are drawn thin.
func Blower(outcomes []*state.Outcome, systems []System, chosen int, sys quantity.System) *Figure {
	if chosen < 0 || chosen >= len(outcomes) {
		return nil
	}
	p := paper{sys}
	o := outcomes[chosen]
	spec, ok := o.Graph.Elements[o.Graph.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return nil
	}
	f := &Figure{
		Title: "Blower and ducts",
		X:     Axis{Label: "airflow, " + p.flowUnit(), Zero: true},
		Y:     Axis{Label: "external static, " + p.pressureUnit(), Zero: true},
	}
	var taps []string
	for i, other := range outcomes {
		if !slices.Contains(taps, other.Blower.Tap) && i != chosen && other.Blower.Tap != o.Blower.Tap {
			taps = append(taps, other.Blower.Tap)
		}
	}
	own := fanCurve(spec, o, o.Blower.Tap, p)
	for _, tap := range taps {
		f.Lines = append(f.Lines, Line{Name: "blower, " + tapName(tap), Points: fanCurve(spec, o, tap, p), Style: Faint, Label: tapName(tap)})
	}
	f.Lines = append(f.Lines, Line{Name: "blower, " + tapName(o.Blower.Tap), Points: own, Style: Strong, Label: tapName(o.Blower.Tap)})
	if chosen < len(systems) && len(systems[chosen].Airflow) > 1 {
		s := systems[chosen]
		line := Line{Name: "the ducts in this call state", Style: Dashed, Label: "ducts"}
		for i := range s.Airflow {
			line.Points = append(line.Points, XY{p.flow(s.Airflow[i]), p.pressure(s.Static[i])})
		}
		f.Lines = append(f.Lines, line)
	}
	for i, other := range outcomes {
		m := Mark{At: XY{p.flow(other.Blower.Airflow), p.pressure(other.Blower.ExternalStatic)},
			Name: other.State.Name + ": " + p.flowText(other.Blower.Airflow) + " at " + p.pressureText(other.Blower.ExternalStatic)}
		if i == chosen {
			m.Strong = true
			m.Label = p.flowText(other.Blower.Airflow) + ", " + p.pressureNumber(other.Blower.ExternalStatic)
		}
		f.Marks = append(f.Marks, m)
	}
	if most := float64(o.Graph.Job.Equipment.MaxStatic); most > 0 {
		f.Bands = append(f.Bands, Band{From: p.pressure(most), To: math.Inf(1), Level: Caution, Rule: p.pressure(most), Text: "most allowed, " + p.pressureNumber(most)})
	}
	f.Key = []Key{{Text: "blower", Style: Strong}}
	if len(f.Lines) > 0 && f.Lines[len(f.Lines)-1].Style == Dashed {
		f.Key = append(f.Key, Key{Text: "ducts", Style: Dashed})
	}
	f.Key = append(f.Key, Key{Text: "this state", Fill: "point"})
	if len(outcomes) > 1 {
		f.Key = append(f.Key, Key{Text: "other call states", Fill: "mark"})
	}
	f.Desc = fmt.Sprintf("The blower at %s meets the ducts at %s and %s of external static.", tapName(o.Blower.Tap),
		p.flowText(o.Blower.Airflow), p.pressureText(o.Blower.ExternalStatic))
	return f
}

func tapName(tap string) string {
	if tap == "" {
		return "its table"
	}
	return "tap " + tap
}

// fanCurve samples the blower's curve at a tap for air of the outcome's density, in the units of paper.
func fanCurve(spec *network.BlowerSpec, o *state.Outcome, tap string, p paper) []XY {
	i := slices.IndexFunc(spec.Taps, func(t network.TapCurve) bool { return t.Name == tap })
	if i < 0 {
		i = 0
	}
	if len(spec.Taps) == 0 {
		return nil
	}
	t := &spec.Taps[i]
	table := make(resist.FanTable, len(t.Static))
	lowest, highest := math.Inf(1), math.Inf(-1)
	for k := range t.Static {
		table[k] = resist.FanRow{Static: t.Static[k], Flow: t.Airflow[k]}
		lowest, highest = math.Min(lowest, t.Static[k]), math.Max(highest, t.Static[k])
	}
	density := o.Elements[o.Graph.Blower].Density
	if !(density > 0) || !(highest > lowest) {
		return nil
	}
	const steps = 60
	var out []XY
	if table.Check() == nil {
		fan, err := resist.NewFan(table, density)
		if err != nil {
			return nil
		}
		held := math.Inf(1)
		if spec.Kind == network.ConstantAirflow && tap == o.Blower.Tap {
			held = o.Blower.Airflow
		}
		scale := density / air.StandardDensity
		for k := 0; k <= steps; k++ {
			static := (highest - (highest-lowest)*float64(k)/steps) * scale
			out = append(out, XY{p.flow(math.Min(fan.FlowAt(static)/air.StandardDensity, held)), p.pressure(static)})
		}
		return out
	}
	fan, err := resist.NewStallFan(table, density)
	if err != nil {
		return nil
	}
	low, high := math.Inf(1), math.Inf(-1)
	for k := range t.Airflow {
		low, high = math.Min(low, t.Airflow[k]), math.Max(high, t.Airflow[k])
	}
	for k := 0; k <= steps; k++ {
		volume := low + (high-low)*float64(k)/steps
		rise, _ := fan.Rise(volume * density)
		out = append(out, XY{p.flow(volume * density / air.StandardDensity), p.pressure(rise)})
	}
	return out
}
