package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/heat"
	"spillway/solver/state"
)

// The time course from the start of a call. A burner's heat exchanger in a loop whose return air stays as it is has a closed form until
// the limit opens:
//
//	C dTm/dt = Q − e m cp (Tm − Te'),   Te' = (1 − r) Tr + r Ts + F/(m cp),   Ts = Te' + e (Tm − Te')
//	Ts(t) − Tr = y1 + (y0 − y1) exp(−t/τ),   τ = C/(m cp) (1/e + r/(1 − r))
//
// A coil's course has none and is stepped in time; its equations and start values stand beside it.

// loop are the steps of a burner's course.
type loop struct {
	rise, start, tau, ret, share, unmixed *Step // y1, y0, τ, Tr, r, s
	until                                 float64
}

// burner explains the course of a burner as far as it has a closed form; false where it does not agree with the course that was found.
func (x *Explainer) burner() (l loop, ok bool) {
	if x.looped {
		return x.loop, x.loopOK
	}
	x.looped = true
	e := &x.o.Equipment
	i := x.g.Blower
	if x.o.State.Mode != network.Heating || len(e.Course) == 0 || math.IsNaN(e.Sensor) || !(e.Output > 0) || !e.Computed || e.Recirculated >= 1 {
		return l, false
	}
	m := x.flow(i)
	b := &x.o.Elements[i]
	cp := air.Moist{HumidityRatio: max(air.HumidityOf(b.Density, b.DensityTemperature, x.atmosphere().Value), 0)}.SpecificHeat()
	if e.OnePass > 0 {
		cp = (e.Output + e.FanHeat) / (e.OnePass * m.Value)
	}
	mass := Input{"m", m}
	full := solvedLeaf("greatest output", "Q", Heat, state.FullOutput(x.g.Job.Equipment.Heating),
		"of the machine's stages: the exchanger is sized for it")
	output, fan := solvedLeaf("output", "Q", Heat, e.Output, x.heatProof()), Input{"F", solvedLeaf("fan heat", "F", Heat, e.FanHeat, "the blower's power, or what its efficiency leaves of it")}
	heatOf := Input{"cp", solvedLeaf("specific heat of the air in the blower", "cp", SpecificHeat, cp, air.SpecificHeatText()+", W the humidity ratio that the heat balance gives")}
	l.share = solvedLeaf("recirculated", "r", Share, e.Recirculated, "share of the air in the machine that has just left it, followed through the solved flows")
	share := Input{"r", l.share}
	l.unmixed = worked(heat.SensorFormula(), "sensor's share of one pass", x.unmixed(e.Unmixed), l.share)
	if !(e.Recirculated > 0) {
		l.unmixed = constant("sensor's share of one pass", "s", Share, 0, "nothing recirculates")
	}
	pass := Input{"ΔT1", calculated("rise of one pass", "ΔT1", Span, "output and fan heat over m cp", "ΔT1 = (Q + F) / (abs(m) * cp)", Input{"Q", output}, fan, mass, heatOf)}
	l.ret = calculated("return air of the loop", "tr", Temperature, "of a loop without losses that comes to rest at the entering air found in the real ducts; it stays so", "tr = te - r * ΔT1 / (1 - r)",
		Input{"te", solvedLeaf("entering air", "te", Temperature, e.Entering, x.heatProof())}, share, pass)
	effect := Input{"e", calculated("exchanger effectiveness", "e", Share, "of a metal of one temperature with a stream", "e = 1 - exp(-Ux / (abs(m) * cp))",
		Input{"Ux", worked(heat.ExchangerConductance(), "exchanger conductance",
			full)}, mass, heatOf)}
	l.tau = calculated("time constant of the loop", "τ", Time, "the metal's, longer for what comes round again", "τ = C / (abs(m) * cp) * (1 / e + r / (1 - r))",
		Input{"C", worked(heat.ExchangerCapacity(), "exchanger heat capacity",
			full)}, mass, heatOf, effect, share)
	l.rise = calculated("supply over return, at rest", "y1", Span, "the rise of one pass, which recirculation adds to", "y1 = ΔT1 / (1 - r)", pass, share)
	l.start = calculated("supply over return, at the start", "y0", Span, "start value: the metal at the return's temperature, the blower on", "y0 = (1 - e) * F / (abs(m) * cp) / (1 - (1 - e) * r)",
		effect, fan, mass, heatOf, share)
	l.until = e.TimeToLimit
	x.loop, x.loopOK = l, true
	return x.loop, x.loopOK
}

const supplyOver = "(y1 + (y0 - y1) * exp(-%s / τ))"

// timeToLimit is when the limit opens.
func (x *Explainer) timeToLimit() *Step {
	value := x.o.Equipment.TimeToLimit
	l, ok := x.burner()
	if !ok {
		return model("time to limit", "T", Time, value, "time course of the loop with its heat exchanger's mass, in closed steps, from the start of the call")
	}
	return derived("time to limit", "T", Time, value, "when the air at the sensor, warmed as the exchanger warms, comes to the limit", "tL - tr = (1 + s * (1 - r)) * "+fmt.Sprintf(supplyOver, "T"),
		Input{"tL", x.limitSetting()}, Input{"tr", l.ret}, Input{"s", l.unmixed}, Input{"r", l.share}, Input{"y1", l.rise}, Input{"y0", l.start}, Input{"τ", l.tau})
}

// moment is one printed number of the time course.
func (x *Explainer) moment(name, what string, seconds, value float64) *Step {
	l, ok := x.burner()
	if !ok || seconds > l.until {
		s := model(name, "t", Temperature, value, "time course of the loop from the start of the call, with the metal of the machine; steady recirculation, mixing and capacity as at rest")
		s.Lines = x.courseLines(ok)
		return s
	}
	inputs := []Input{{"tr", l.ret}, {"y1", l.rise}, {"y0", l.start}, {"τ", l.tau}, {"T", constant("time", "T", Time, seconds, "from the start of the call")}}
	over := fmt.Sprintf(supplyOver, "T")
	switch what {
	case "entering air":
		return derived(name, "t", Temperature, value, "return air and what comes round again, mixed", "t = tr + r * "+over, append(inputs, Input{"r", l.share})...)
	case "critical temperature":
		return derived(name, "t", Temperature, value, "at the limit's sensor", "t = tr + (1 + s * (1 - r)) * "+over, append(inputs, Input{"s", l.unmixed}, Input{"r", l.share})...)
	}
	return derived(name, "t", Temperature, value, "the exchanger's metal warms to its rest by its time constant", "t = tr + "+over, inputs...)
}

// courseLines are the equations of a course that is stepped in time, and its start values.
func (x *Explainer) courseLines(cycles bool) []string {
	e := &x.o.Equipment
	switch x.o.State.Mode {
	case network.Heating:
		if !cycles {
			return nil
		}
		return []string{fmt.Sprintf("the limit has opened after %.4g s; from there the burner is off until the sensor is cool enough, and on again, with the same equation", e.TimeToLimit),
			"C dTm/dt = Q - e m cp (Tm - Te), Q 0 while the burner is off"}
	case network.Cooling:
		return []string{"C dTs/dt = (1 - BF) m (h_in - h(Ts)) - q, metal of the coil at its surface temperature Ts, h(Ts) of saturated air",
			"dq/dt = (Q - q) / τ, Q the coil's capacity at the air that enters it; τ 70 s (60 to 80 is common, from memory)",
			"h_in = ((1 - r) h_return + r (1 - BF) h(Ts) + F/m) / (1 - r BF)",
			fmt.Sprintf("start: q = 0, Ts at the return's temperature; C = 0.85 J/K per W of capacity = %.4g J/K (our estimate, good to a factor of two); r = %.4g", heat.TypicalCoilMetal(e.Output), e.Recirculated),
			"stepped with its error held under 1e-8 of each value; the colder of the two estimates, with the return air that brings it to the rest found in the ducts"}
	}
	return nil
}
