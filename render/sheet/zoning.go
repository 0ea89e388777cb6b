package sheet

import (
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// givenWord is what a machine gives in a mode.
func givenWord(mode network.Mode) string {
	if mode == network.Cooling {
		return "cooling"
	}
	return "heat"
}

// zoningOf says how zoned a call state is: what of the call reaches its callers, and how far the others can
// be held from them; empty where every zone calls.
func zoningOf(o *state.Outcome) *doc.Paragraph {
	s := zoning.Of(o)
	if math.IsNaN(s.Kept) {
		return &doc.Paragraph{}
	}
	verb := map[bool]string{true: "gets", false: "get"}[len(o.State.Calling) == 1]
	text := doc.Sayf("Zoning: {} "+verb+" {} of the "+givenWord(o.State.Mode)+" ({} with every zone damper open), so {} of the zoning is kept",
		doc.Name(strings.Join(o.State.Calling, " + ")), wholeCell(s.Share), wholeCell(s.Natural), wholeCell(max(0, s.Kept)))
	away := map[bool]string{true: "warmer", false: "cooler"}[o.State.Mode == network.Cooling]
	for i := range o.Zones {
		z, name := &s.Zones[i], doc.Name(o.Graph.Job.Zones[i].Name)
		switch {
		case math.IsNaN(z.Held):
		case z.Held >= 0:
			text = append(text, doc.Sayf("; {} can be held {} "+away, name, doc.With(quantity.KindTemperatureSpan, z.Held))...)
		default:
			text = append(text, doc.Sayf("; {} is driven {} past its set point", name, doc.With(quantity.KindTemperatureSpan, -z.Held))...)
		}
	}
	return &doc.Paragraph{Text: append(text, doc.Say(".")...)}
}

// stillZoned says, for each weather, which loads the house can carry and what the diversity cases do.
func stillZoned(houses []verdict.House) *doc.Section {
	facts := &doc.Facts{}
	for i := range houses {
		h := &houses[i]
		word := map[verdict.Level]string{verdict.Fault: "FAULT: ", verdict.Caution: "caution: "}[h.Findings[0].Level]
		text := doc.Sayf(word+"{}: of the house's load ", doc.Name(h.Weather))
		for k, name := range h.Zones {
			if k > 0 {
				text = append(text, doc.Say(", ")...)
			}
			text = append(text, doc.Sayf("{} {} to {}", doc.Name(name), wholeCell(h.Shares[k][0]), wholeCell(h.Shares[k][1]))...)
		}
		text = append(text, doc.Say(" can be held")...)
		if in, zone, past := h.Worst(); in >= 0 {
			text = append(text, caseOf(h, &h.Cases[in])...)
			text = append(text, doc.Sayf(" {} runs {} past its set point", doc.Name(h.Zones[zone]), doc.With(quantity.KindTemperatureSpan, past))...)
		}
		if in, zone, share := h.Short(); in >= 0 {
			text = append(text, caseOf(h, &h.Cases[in])...)
			text = append(text, doc.Sayf(" {} misses {} of its load", doc.Name(h.Zones[zone]), wholeCell(share))...)
		}
		facts.Add(doc.Cell{}, append(text, doc.Say(".")...)...)
	}
	return titled("Is it still zoned?", facts)
}

// caseOf names a diversity case.
func caseOf(h *verdict.House, c *zoning.Burden) []doc.Span {
	if len(c.Full) == len(h.Zones) {
		return doc.Say("; with all zones at their design load")
	}
	return doc.Sayf("; with {} at design load and the rest at {} of it", doc.Name(strings.Join(h.Names(c.Full), " and ")), wholeCell(zoning.LowLoad))
}

// zoningObject is how zoned a call state is.
func zoningObject(s *zoning.State) object {
	return object{{"caller_share", s.Share}, {"natural_share", s.Natural}, {"kept", s.Kept}}
}

// zoneZoning is the part of a zone's object that tells what a call does to it.
func zoneZoning(z *zoning.Zone, m trade) object {
	return object{{"bleed_ratio", z.Bleed}, {"held" + m.span.key, m.span.of(z.Held)}, {"least_neutral_bleed" + m.airflow.key, m.airflow.of(z.Neutral)}}
}

// houseList is what the house can carry in each weather.
func houseList(houses []verdict.House, m trade) list {
	out := make(list, len(houses))
	for k := range houses {
		h := &houses[k]
		zones, cases := make(list, len(h.Zones)), make(list, len(h.Cases))
		for i, name := range h.Zones {
			zones[i] = object{{"name", name}, {"least_share", h.Shares[i][0]}, {"greatest_share", h.Shares[i][1]}}
		}
		for c := range h.Cases {
			b := &h.Cases[c]
			each := make(list, len(h.Zones))
			for i, name := range h.Zones {
				each[i] = object{{"name", name}, {"load_share", b.Part[i]}, {"load" + m.heat.key, m.heat.of(b.Load[i])},
					{"over" + m.heat.key, m.heat.of(b.Over[i])}, {"past" + m.span.key, m.span.of(b.Past[i])}, {"lack" + m.heat.key, m.heat.of(b.Lack[i])}}
			}
			cases[c] = object{{"zones", each}}
		}
		out[k] = object{{"weather", h.Weather}, {"mode", string(h.Mode)}, {"zones", zones}, {"cases", cases},
			{"findings", findingList(h.Findings, m)}}
	}
	return out
}
