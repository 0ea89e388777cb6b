package sheet

import (
	"fmt"
	"math"
	"spillway/network/quantity"
	"strings"

	"spillway/network"
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
func noiseTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "Noise", left: true}, {head: "NC"}, {head: "band", left: true}, {head: "dBA"}, {above: "governs", head: "Hz"},
		{head: "loudest", left: true}, {above: "heard", head: "most", left: true}, {above: "face", head: m.velocity.label}, {above: "usual is", head: m.velocity.text(verdict.UsualFaceLow) + " to " + m.velocity.text(verdict.UsualFaceHigh), left: true}}}
	for i := range o.Rooms {
		r := &o.Rooms[i]
		if r.NCBelow && r.FaceVelocity < verdict.UsualFaceLow {
			continue
		}
		face, usual := m.velocity.text(r.FaceVelocity), againstUsual(r.FaceVelocity)
		if r.From >= 0 && o.Graph.Elements[r.From].Kind == network.KindGrille {
			usual = ""
		}
		t.addPlain(clean(r.Name), sound.Shown(r.NC), sound.ShownBand(r.NCLow, r.NCHigh), fmt.Sprintf("%.0f", math.Max(r.DBA, 0)),
			quantity.Grouped(fmt.Sprintf("%.0f", r.Band)), clean(r.Loudest), clean(o.HeardFrom(r.From)), face, usual)
	}
	if len(t.rows) == 0 {
		return
	}
	block(b, &t, style)
	paragraph(b, 2, "", "NC at the listener by the pressure that register and damper take, and its band: free area, formula and room, fittings near the "+
		"outlet. A maker's rating narrows it. The usual face velocity is an old design rule for houses (from memory).", style, faint)
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

// throwNotes says what the marks beside throws mean.
func throwNotes(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	speeds := func(end jet.End) (text string, any bool) {
		low, high := math.Inf(1), 0.0
		for i := range o.Registers {
			if r := &o.Registers[i]; r.ThrowEnd == end {
				low, high, any = math.Min(low, r.EndSpeed), math.Max(high, r.EndSpeed), true
			}
		}
		a, z := m.velocity.text(low), m.velocity.text(high)
		if a == z {
			return z + " " + m.velocity.label, any
		}
		return a + " to " + z + " " + m.velocity.label, any
	}
	for _, e := range []struct {
		end         jet.End
		mark, words string
	}{{jet.AtCeiling, "c ", "turns along the ceiling at "}, {jet.AtWall, "w ", "reaches the far wall at "}, {jet.AtFloor, "f ", "reaches the floor at "}} {
		if text, any := speeds(e.end); any {
			paragraph(b, 2, e.mark, e.words+text, style, faint)
		}
	}
	for i := range o.Registers {
		if throwMark(&o.Registers[i]) == "+" {
			paragraph(b, 2, "+ ", (&state.Jet{Beyond: 1}).BeyondText()+" than printed: the correction of the throw is good for "+
				m.span.with(jet.MostChange/jet.PerKelvin)+" between supply and room", style, faint)
			break
		}
	}
}

// findingMargin says how far a value is from its limit.
func findingMargin(f verdict.Finding, m trade) string {
	if math.IsNaN(f.Margin) || f.Margin >= 0 {
		return ""
	}
	return ", past it by " + m.forQuantity(f.Quantity.Difference()).apart(-f.Margin, 0).with(-f.Margin)
}
