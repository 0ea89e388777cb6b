package sheet

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// zoneHeat sets what every zone is given against what it needs, and says where the satisfied zones drift.
func zoneHeat(o *state.Outcome, s quantity.System) []doc.Block {
	what, sign := "heat", 1.0
	if o.State.Mode == network.Cooling {
		what, sign = "cooling", -1
	}
	t := &doc.Table{Columns: []doc.Column{{Head: "Zones and " + what, Left: true}, {Above: "given", Kind: quantity.KindLoad, Unit: true}, {Above: "needs", Kind: quantity.KindLoad, Unit: true},
		{Above: "supply", Kind: quantity.KindTemperature, Unit: true}, {Above: "drift", Kind: quantity.KindDrift, Unit: true},
		{Above: "ends", Head: quantity.KindTemperatureSpan.Label(s) + " off"}, {Above: "calls", Head: "itself"},
		{Above: roundSpan(state.Swing, s) + " off", Head: "after"}, {Above: "neutral", Kind: quantity.KindAirflow, Unit: true}}}
	duty := math.NaN()
	for i := range o.Zones {
		z, zone := &o.Zones[i], o.Graph.Job.Zones[i].Name+" zone "
		drift, ends, call, after, supply := doc.None(), doc.None(), doc.None(), doc.None(), doc.None()
		calls := z.CallFate() == state.Reached
		if !z.Calling {
			drift = doc.Of(quantity.KindDrift, z.DriftRate).As(doc.Signed).Asked(zone + "drift")
			call = doc.After(z.TimeToCall).Asked(zone + "calls itself after")
			if !math.IsNaN(z.DriftRate) {
				duty = z.CallDuty
			}
			if !calls {
				ends = doc.Of(quantity.KindTemperatureSpan, z.DriftEnd).As(doc.Signed).Asked(zone + "drift end")
			}
		}
		if z.SwingFate() != state.NotAsked && !calls {
			after = doc.After(z.TimeToSwing)
		}
		if z.Airflow > 0 { // no air, no temperature of it
			supply = temperatureCell(z.SupplyTemperature)
		}
		t.Add(doc.Name(o.Graph.Job.Zones[i].Name), doc.Of(quantity.KindLoad, sign*z.Delivered), doc.Of(quantity.KindLoad, sign*z.Load), supply, drift, ends, call, after,
			airflowCell(z.NeutralBleed))
	}
	blocks := []doc.Block{t}
	if !math.IsNaN(duty) {
		blocks = append(blocks, &doc.Paragraph{Close: true, Text: doc.Sayf("Drift is while the call runs; with calls like this, on {} of the time, a zone calls itself after the time given, "+
			roundSpan(state.CallBand, s)+" off its setpoint, or ends where given; neutral bleed would just carry its load.", wholeCell(duty))})
	}
	return append(blocks, heatDecides(o)...)
}

// roundSpan is a whole span of temperature with its unit.
func roundSpan(si float64, s quantity.System) string {
	return strings.Replace(doc.With(quantity.KindTemperatureSpan, si).Text(s), ".0", "", 1)
}

// heatDecides says of every calling zone that is short of air but not of heat that heat decides.
func heatDecides(o *state.Outcome) (blocks []doc.Block) {
	for i := range o.Zones {
		z := &o.Zones[i]
		if !verdict.HeatDecides(o, i) || math.Round(100*z.Shortfall/z.Wants) < 1 {
			continue
		}
		blocks = append(blocks, &doc.Paragraph{Close: true, Text: doc.Sayf("{}: air {} short of what it wants, heat {} of the load: ok, because the heat decides.",
			doc.Name(o.Graph.Job.Zones[i].Name), wholeCell(z.Shortfall/z.Wants), wholeCell(z.Delivered/z.Load))})
	}
	return blocks
}
