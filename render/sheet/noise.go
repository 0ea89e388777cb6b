package sheet

import (
	"math"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// againstUsual says where a face velocity lies against the one that is usual in houses.
func againstUsual(velocity float64) string {
	switch {
	case velocity < verdict.UsualFaceLow:
		return "under"
	case velocity > verdict.UsualFaceHigh:
		return "over"
	}
	return "within"
}

// noiseTable lists how loud every room is that may be heard, and what makes the noise.
func noiseTable(o *state.Outcome, s quantity.System) []doc.Block {
	t := &doc.Table{Columns: []doc.Column{{Head: "Noise", Left: true}, {Head: "NC"}, {Head: "band", Left: true}, {Head: "dBA"}, {Above: "governs", Head: "Hz"},
		{Head: "loudest", Left: true}, {Above: "heard", Head: "most", Left: true}, {Above: "face", Kind: quantity.KindVelocity, Unit: true},
		{Above: "usual is", Head: doc.Plainly(doc.Sayf("{} to {}", velocityCell(verdict.UsualFaceLow), velocityCell(verdict.UsualFaceHigh)), s), Left: true}}}
	for i := range o.Rooms {
		r := &o.Rooms[i]
		if r.NCBelow && r.FaceVelocity < verdict.UsualFaceLow {
			continue
		}
		usual := againstUsual(r.FaceVelocity)
		if r.From >= 0 && o.Graph.Elements[r.From].Kind == network.KindGrille {
			usual = ""
		}
		t.Add(doc.Name(r.Name), noiseCell(r.NC), doc.Name(sound.ShownBand(r.NCLow, r.NCHigh)), doc.Of(quantity.KindLoudness, math.Max(r.DBA, 0)).To(0),
			doc.Of(quantity.KindFrequency, r.Band).To(0), doc.Name(r.Loudest), doc.Name(o.HeardFrom(r.From)), velocityCell(r.FaceVelocity), doc.Name(usual))
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []doc.Block{t, &doc.Paragraph{Close: true, Text: doc.Say("NC at the listener by the pressure that register and damper take, and its band: free area, formula and room, fittings near the " +
		"outlet. A maker's rating narrows it. The usual face velocity is an old design rule for houses (from memory).")}}
}

// throwMark is what stands beside a throw that has its foot note.
func throwMark(r *state.Register) (mark string) {
	switch r.ThrowEnd {
	case jet.AtCeiling:
		mark = "c"
	case jet.AtWall:
		mark = "w"
	case jet.AtFloor:
		mark = "f"
	}
	if mark == "" && r.Beyond > 0 {
		mark = "+"
	}
	return mark
}

// registerNotes say which registers may sweat, and what the marks beside throws mean.
func registerNotes(o *state.Outcome, s quantity.System) (blocks []doc.Block) {
	note := func(head string, t doc.Tone, text []doc.Span) {
		blocks = append(blocks, &doc.Paragraph{Head: head, Tone: t, Text: text, Close: true})
	}
	low, high, worst := math.Inf(1), math.Inf(-1), 0.0
	for i := range o.Registers {
		r := &o.Registers[i]
		if wet, _ := r.Sweats(); wet {
			low, high, worst = min(low, r.DewPoint), max(high, r.DewPoint), max(worst, r.DewPoint-r.Temperature)
		}
	}
	if worst > 0 {
		note("* ", doc.Caution, doc.Sayf("colder than the room's dew point of {}, by {} at the worst: a metal face that cold can sweat",
			doc.Cell{Spans: between(temperatureCell(low), temperatureCell(high), s)}, doc.With(quantity.KindTemperatureSpan, worst)))
	}
	for _, e := range []struct {
		end         jet.End
		mark, words string
	}{{jet.AtCeiling, "c ", "turns along the ceiling at "}, {jet.AtWall, "w ", "reaches the far wall at "}, {jet.AtFloor, "f ", "reaches the floor at "}} {
		low, high, any := math.Inf(1), 0.0, false
		for i := range o.Registers {
			if r := &o.Registers[i]; r.ThrowEnd == e.end {
				low, high, any = math.Min(low, r.EndSpeed), math.Max(high, r.EndSpeed), true
			}
		}
		if any {
			note(e.mark, doc.Faint, append(doc.Say(e.words), between(velocityCell(low), velocityCell(high), s)...))
		}
	}
	for i := range o.Registers {
		if throwMark(&o.Registers[i]) == "+" {
			note("+ ", doc.Faint, doc.Sayf((&state.Jet{Beyond: 1}).BeyondText()+" than printed: the correction of the throw is good for {} between supply and room",
				doc.With(quantity.KindTemperatureSpan, jet.MostChange/jet.PerKelvin)))
			break
		}
	}
	return blocks
}

// between is two numbers of one kind as a range with their unit, or as one when they print the same. The lower is printed first; of
// two of which one does not apply the other.
func between(a, b doc.Cell, s quantity.System) []doc.Span {
	if math.IsNaN(a.Value) || b.Value < a.Value {
		a, b = b, a
	}
	if a.Text(s) == b.Text(s) || math.IsNaN(b.Value) {
		return doc.Sayf("{}", withUnit(a))
	}
	return doc.Sayf("{} to {}", a, withUnit(b))
}
