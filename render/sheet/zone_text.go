package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// zoneHeatTable sets what every zone is given against what it needs, and says where the satisfied zones drift.
func zoneHeatTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	what, sign := "heat", 1.0
	if o.State.Mode == network.Cooling {
		what, sign = "cooling", -1
	}
	t := table{columns: []column{{head: "Zones and " + what, left: true}, {above: "given", head: m.heat.label}, {above: "needs", head: m.heat.label},
		{above: "supply", head: m.temperature.label}, {above: "drift", head: m.drift.label}, {above: "ends", head: m.span.label + " off"}, {above: "calls", head: "itself"},
		{above: strings.Replace(m.span.with(state.Swing), ".0", "", 1) + " off", head: "after"}, {above: "neutral", head: m.airflow.label}}}
	duty := math.NaN()
	for i := range o.Zones {
		z := &o.Zones[i]
		fades := "-"
		if !z.Calling {
			fades = m.drift.signed(z.DriftRate)
			if !math.IsNaN(z.DriftRate) {
				duty = z.CallDuty
			}
		}
		after := "-"
		if z.SwingFate() != state.NotAsked && !calls(z) {
			after = duration(z.TimeToSwing)
		}
		supply := m.temperature.text(z.SupplyTemperature)
		if z.Airflow <= 0 {
			supply = "-" // no air, no temperature of it
		}
		t.addPlain(clean(o.Graph.Job.Zones[i].Name), m.heat.text(sign*z.Delivered), m.heat.text(sign*z.Load), supply, fades, driftEnd(z, m), callsAfter(z), after, m.airflow.text(z.NeutralBleed))
	}
	block(b, &t, style)
	if !math.IsNaN(duty) {
		paragraph(b, 2, "", "Drift is while the call runs; with calls like this, on "+wholePercent(duty)+" of the time, a zone calls itself after the time given, "+
			strings.Replace(m.span.with(state.CallBand), ".0", "", 1)+" off its setpoint, or ends where given; neutral bleed would just carry its load.", style, faint)
	}
	for _, words := range heatDecides(o) {
		paragraph(b, 2, "", words, style, plainTone)
	}
}

// driftEnd is where a satisfied zone ends that never calls by itself.
func driftEnd(z *state.Zone, m trade) string {
	if z.Calling || calls(z) {
		return quantity.Absent
	}
	return m.span.signed(z.DriftEnd)
}

// callsAfter is the time after which a satisfied zone calls by itself, or "never".
func callsAfter(z *state.Zone) string {
	if z.Calling {
		return quantity.Absent
	}
	return duration(z.TimeToCall)
}

// calls reports whether a satisfied zone comes to call by itself while calls like the present one go on.
func calls(z *state.Zone) bool { return z.CallFate() == state.Reached }

// heatDecides says of every calling zone that is short of air but not of heat that heat decides.
func heatDecides(o *state.Outcome) (words []string) {
	for i := range o.Zones {
		z := &o.Zones[i]
		if !verdict.HeatDecides(o, i) || math.Round(100*z.Shortfall/z.Wants) < 1 {
			continue
		}
		words = append(words, fmt.Sprintf("%s: air %.0f %% short of what it wants, heat %.0f %% of the load: ok, because the heat decides.",
			clean(o.Graph.Job.Zones[i].Name), 100*z.Shortfall/z.Wants, 100*z.Delivered/z.Load))
	}
	return words
}

// sweating says which registers may sweat.
func sweating(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units).temperature
	low, high, worst := math.Inf(1), math.Inf(-1), 0.0
	for i := range o.Registers {
		r := &o.Registers[i]
		if wet, _ := r.Sweats(); wet {
			low, high, worst = min(low, r.DewPoint), max(high, r.DewPoint), max(worst, r.DewPoint-r.Temperature)
		}
	}
	if worst > 0 {
		paragraph(b, 2, "* ", "colder than the room's dew point of "+bracket(m, low, high)+", by "+tradeOf(style.units).span.with(worst)+
			" at the worst: a metal face that cold can sweat", style, cautionTone)
	}
}
