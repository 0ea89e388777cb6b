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

// onCurve is a noise criterion in JSON and CSV: NaN, which is null there, beyond the curves.
func onCurve(nc float64) float64 {
	if sound.OnCurves(nc) {
		return nc
	}
	return math.NaN()
}

// audible is a level in JSON and CSV, dBA: NaN, which is null there, below 0.
func audible(level float64) float64 {
	if level < 0 {
		return math.NaN()
	}
	return level
}

// madeBy names what is heard most: the register or grille itself, a damper, or the takeoff of a line.
func madeBy(g *network.Graph, element int) string {
	if element < 0 {
		return ""
	}
	switch e := &g.Elements[element]; e.Kind {
	case network.KindRegister, network.KindGrille:
		return string(e.Kind)
	case network.KindDuct:
		return "takeoff of " + e.Line
	default:
		return e.Name
	}
}

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
			quantity.Grouped(fmt.Sprintf("%.0f", r.Band)), clean(r.Loudest), clean(madeBy(o.Graph, r.From)), face, usual)
	}
	if len(t.rows) == 0 {
		return
	}
	block(b, &t, style)
	paragraph(b, 2, "", "NC at the listener by the pressure that register and damper take, and its band: free area, formula and room, fittings near the "+
		"outlet. A maker's rating narrows it. The usual face velocity is an old design rule for houses (from memory).", style, faint)
}

// noiseFields are the keys of one register's or grille's noise. The screen keys held what velocity
// tables expected; those are limits for rooms, so there is no such number, and the keys stay as null.
func noiseFields(g *network.Graph, n *state.Noise) object {
	none := math.NaN()
	return object{
		{"noise_nc", onCurve(n.NC)}, {"noise_below", n.NCBelow}, {"noise_low_nc", onCurve(n.NCLow)}, {"noise_high_nc", onCurve(n.NCHigh)},
		{"noise_band_hz", n.Band}, {"noise_dba", audible(n.DBA)}, {"noise_outlet_nc", onCurve(n.OutletNC)}, {"noise_duct_nc", onCurve(n.DuctNC)},
		{"noise_catalogue_nc", onCurve(n.Catalogue)}, {"noise_rated", n.Rated},
		{"screen_low_nc", none}, {"screen_nc", none}, {"screen_high_nc", none}, {"screen_beyond", none},
		{"noise_text", noiseText(n.NC, n.NCLow, n.NCHigh)}, {"noise_from", madeBy(g, n.From)},
	}
}

// noiseText is a noise with its band: "22 (<15 to 34)", or "<15" where all of it is.
func noiseText(nc, low, high float64) string {
	text, band := sound.Shown(nc), sound.ShownBand(low, high)
	if text == band {
		return text
	}
	return text + " (" + band + ")"
}

// withinRoom is a length that the formulas of jets hold at an end far past any room: NaN there.
func withinRoom(length, end float64) float64 {
	if math.Abs(length) >= end {
		return math.NaN()
	}
	return length
}

// throwBeyond says how a throw differs from the number, past the range of the temperature's correction.
func throwBeyond(beyond int) string {
	switch beyond {
	case 1:
		return "warmer, reaches farther"
	case -1:
		return "colder, reaches less far"
	}
	return ""
}

// throwFields are the keys of what a register's air does.
func throwFields(r *state.Register, m trade) object {
	length := m.length
	return object{
		{"throw" + length.key, length.of(r.Throw)}, {"throw_middle" + length.key, length.of(r.Throw050)}, {"throw_fast" + length.key, length.of(r.Throw075)},
		{"reach" + length.key, length.of(r.Reach)}, {"pattern", r.Pattern}, {"pattern_given", r.PatternGiven}, {"least_throw", r.LeastThrow},
		{"short_throw", r.Short}, {"horizontal", r.Horizontal}, {"attached", r.Attached}, {"separation" + length.key, length.of(withinRoom(r.Separation, jet.MaxSeparation))},
		{"jet_drop" + length.key, length.of(withinRoom(r.JetDrop, jet.MaxDrop))}, {"clearance" + length.key, length.of(r.Clearance)}, {"dumping", r.Dumping.String()},
		{"draught" + m.velocity.key, m.velocity.of(r.Draught.Velocity)}, {"draught_effective" + m.span.key, m.span.of(r.Draught.Effective)},
		{"throw_free" + length.key, length.of(r.FreeThrow)}, {"throw_end", r.ThrowEnd.String()}, {"throw_end" + m.velocity.key, m.velocity.of(r.EndSpeed)},
		{"throw_beyond", throwBeyond(r.Beyond)},
	}
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
			paragraph(b, 2, "+ ", throwBeyond(1)+" than printed: the correction of the throw is good for "+
				m.span.with(jet.MostChange/jet.PerKelvin)+" between supply and room", style, faint)
			break
		}
	}
}

func grilleList(o *state.Outcome, m trade) list {
	out := make(list, len(o.Grilles))
	for i := range o.Grilles {
		g := &o.Grilles[i]
		e := &o.Graph.Elements[g.Element]
		out[i] = append(object{{"name", e.Line}, {"element", e.Name}, {"zone", e.Zone}, {"room", e.Room},
			{"airflow" + m.airflow.key, m.airflow.of(o.Elements[g.Element].Airflow)}, {"face_velocity" + m.velocity.key, m.velocity.of(o.Elements[g.Element].Velocity)}},
			noiseFields(o.Graph, &g.Noise)...)
	}
	return out
}

func roomList(o *state.Outcome, m trade) list {
	out, none := make(list, len(o.Rooms)), math.NaN()
	for i := range o.Rooms {
		r := &o.Rooms[i]
		out[i] = object{{"name", r.Name}, {"zone", r.Zone}, {"noise_nc", onCurve(r.NC)}, {"noise_below", r.NCBelow}, {"noise_low_nc", onCurve(r.NCLow)},
			{"noise_high_nc", onCurve(r.NCHigh)}, {"noise_band_hz", r.Band}, {"noise_dba", audible(r.DBA)}, {"noise_rc", r.RC.String()},
			{"screen_low_nc", none}, {"screen_nc", none}, {"screen_high_nc", none}, {"loudest", r.Loudest},
			{"noise_text", noiseText(r.NC, r.NCLow, r.NCHigh)}, {"noise_from", madeBy(o.Graph, r.From)}, {"face_velocity" + m.velocity.key, m.velocity.of(r.FaceVelocity)}}
	}
	return out
}

// sounds writes the noise of registers and rooms, and throws.
func (t *CSV) sounds(o *state.Outcome) {
	nc := t.trade.forQuantity(quantity.KindNoise)
	for i := range o.Registers {
		r := &o.Registers[i]
		name := registerName(o.Graph, &o.Graph.Registers[i])
		t.number("register", name, "noise", nc, nc.paper(r.NC))
		t.number("register", name, "throw", t.trade.length, r.Throw)
	}
	for i := range o.Rooms {
		r := &o.Rooms[i]
		t.number("room", r.Name, "noise", nc, nc.paper(r.NC))
		t.number("room", r.Name, "noise, low end of band", nc, nc.paper(r.NCLow))
		t.number("room", r.Name, "noise, high end of band", nc, nc.paper(r.NCHigh))
		t.number("room", r.Name, "sound level", t.trade.forQuantity(quantity.KindLoudness), audible(r.DBA))
	}
}

// findingMargin says how far a value is from its limit.
func findingMargin(f verdict.Finding, m trade) string {
	if math.IsNaN(f.Margin) || f.Margin >= 0 {
		return ""
	}
	return ", past it by " + m.forQuantity(f.Quantity.Difference()).apart(-f.Margin, 0).with(-f.Margin)
}
