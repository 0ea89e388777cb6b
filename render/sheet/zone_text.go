package sheet

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/solver/state"
)

// zoneHeatTable sets what every zone is given against what it needs, and says where the satisfied zones drift.
func zoneHeatTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	what, sign := "heat", 1.0
	if o.State.Mode == network.Cooling {
		what, sign = "cooling", -1
	}
	t := table{columns: []column{{head: "Zones and " + what, left: true}, {above: "given", head: m.heat.label}, {above: "needs", head: m.heat.label},
		{above: "supply", head: m.temperature.label}, {above: "drift", head: m.drift.label}, {above: "ends", head: m.span.label + " off"},
		{above: strings.Replace(m.span.with(state.Swing), ".0", "", 1), head: "off after"}, {above: "neutral", head: "bleed " + m.airflow.label}}}
	duty := math.NaN()
	for i := range o.Zones {
		z := &o.Zones[i]
		fades, end := "-", "-"
		if !z.Calling {
			fades, end = m.drift.signed(z.DriftRate), m.span.signed(z.DriftEnd)
			if !math.IsNaN(z.DriftRate) {
				duty = z.CallDuty
			}
		}
		after := "-"
		if swingFate(z) != noFate {
			after = duration(z.TimeToSwing)
		}
		supply := m.temperature.text(z.SupplyTemperature)
		if z.Airflow <= 0 {
			supply = "-" // no air, no temperature of it
		}
		t.addPlain(clean(o.Graph.Job.Zones[i].Name), m.heat.text(sign*z.Delivered), m.heat.text(sign*z.Load), supply, fades, end, after, m.airflow.text(z.NeutralBleed))
	}
	block(b, &t, style)
	if !math.IsNaN(duty) {
		paragraph(b, 2, "", "Drift is while the call runs; its end is where calls like this, on "+wholePercent(duty)+
			" of the time, would leave the zone; neutral bleed would just carry its load.", style, faint)
	}
}

// sweating says which registers may sweat.
func sweating(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units).temperature
	low, high, worst := math.Inf(1), math.Inf(-1), 0.0
	for i := range o.Registers {
		r := &o.Registers[i]
		if wet, _ := sweats(r); wet {
			low, high, worst = min(low, r.DewPoint), max(high, r.DewPoint), max(worst, r.DewPoint-r.Temperature)
		}
	}
	if worst > 0 {
		paragraph(b, 2, "* ", "colder than the room's dew point of "+bracket(m, low, high)+", by "+tradeOf(style.units).span.with(worst)+
			" at the worst: a metal face that cold can sweat", style, cautionTone)
	}
}
