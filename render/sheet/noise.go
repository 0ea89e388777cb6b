package sheet

import (
	"fmt"
	"math"
	"spillway/network/units"
	"strings"

	"spillway/solver/state"
	"spillway/solver/verdict"
)

// quietestNC is the lowest NC curve; what lies under it is printed "<15" and written as 15 with a mark beside it.
const quietestNC = 15

// ncText is a noise criterion in text.
func ncText(nc float64) string {
	switch {
	case math.IsNaN(nc):
		return "-"
	case nc < quietestNC:
		return "<15"
	}
	return fmt.Sprintf("%.0f", nc)
}

// ncNumber is a noise criterion in JSON and CSV.
func ncNumber(nc float64) float64 { return math.Max(nc, quietestNC) } // NaN stays NaN

// ncRange is a range of noise criteria in text.
func ncRange(low, high float64, beyond bool) string {
	switch {
	case math.IsNaN(low):
		return "rated"
	case beyond:
		return "over 45"
	case high < quietestNC:
		return "<15"
	}
	return ncText(low) + " to " + ncText(high)
}

// noiseTable lists how loud every room is that is not silent, by physics and by handbook.
func noiseTable(b *strings.Builder, o *state.Outcome, style Style) {
	t := table{columns: []column{{head: "Noise", left: true}, {head: "NC"}, {above: "clean to", head: "rough entry", left: true}, {above: "by", head: "velocity", left: true},
		{head: "dBA"}, {above: "governs", head: "Hz"}, {head: "loudest", left: true}}}
	for i := range o.Rooms {
		r := &o.Rooms[i]
		if r.NCBelow && !(r.ScreenHigh >= 25) {
			continue
		}
		beyond := false
		for _, k := range r.Registers {
			beyond = beyond || o.Registers[k].ScreenBeyond
		}
		for _, k := range r.Grilles {
			beyond = beyond || o.Grilles[k].ScreenBeyond
		}
		t.addPlain(clean(r.Name), ncText(r.NC), ncRange(r.NCLow, r.NCHigh, false), ncRange(r.ScreenLow, r.ScreenHigh, beyond), fmt.Sprintf("%.0f", math.Max(r.DBA, 0)),
			units.Grouped(fmt.Sprintf("%.0f", r.Band)), clean(r.Loudest))
	}
	if len(t.rows) == 0 {
		return
	}
	block(b, &t, style)
	paragraph(b, 2, "", "NC from the pressure drop of a clean outlet, with its uncertainty; handbook tables of velocity allow for ordinary bad entries and read 7 to 15 NC more. They differ; plan for the higher.", style, faint)
}

// noiseFields are the keys of one register's or grille's noise.
func noiseFields(n *state.Noise) object {
	return object{
		{"noise_nc", ncNumber(n.NC)}, {"noise_below", n.NCBelow}, {"noise_low_nc", ncNumber(n.NCLow)}, {"noise_high_nc", ncNumber(n.NCHigh)},
		{"noise_band_hz", n.Band}, {"noise_dba", math.Max(n.DBA, 0)}, {"noise_outlet_nc", ncNumber(n.OutletNC)}, {"noise_duct_nc", ncNumber(n.DuctNC)},
		{"noise_catalogue_nc", ncNumber(n.Catalogue)}, {"noise_rated", n.Rated},
		{"screen_low_nc", ncNumber(n.ScreenLow)}, {"screen_nc", ncNumber(n.Screen)}, {"screen_high_nc", ncNumber(n.ScreenHigh)}, {"screen_beyond", n.ScreenBeyond},
	}
}

// throwFields are the keys of what a register's air does.
func throwFields(r *state.Register, m trade) object {
	length := m.length
	return object{
		{"throw" + length.key, length.of(r.Throw)}, {"throw_middle" + length.key, length.of(r.Throw050)}, {"throw_fast" + length.key, length.of(r.Throw075)},
		{"reach" + length.key, length.of(r.Reach)}, {"pattern", r.Pattern}, {"pattern_given", r.PatternGiven}, {"least_throw", r.LeastThrow},
		{"short_throw", r.Short}, {"horizontal", r.Horizontal}, {"attached", r.Attached}, {"separation" + length.key, length.of(r.Separation)},
		{"jet_drop" + length.key, length.of(r.JetDrop)}, {"clearance" + length.key, length.of(r.Clearance)}, {"dumping", r.Dumping.String()},
		{"draught" + m.velocity.key, m.velocity.of(r.Draught.Velocity)}, {"draught_effective" + m.span.key, m.span.of(r.Draught.Effective)},
	}
}

func grilleList(o *state.Outcome, m trade) list {
	out := make(list, len(o.Grilles))
	for i := range o.Grilles {
		g := &o.Grilles[i]
		e := &o.Graph.Elements[g.Element]
		out[i] = append(object{{"name", e.Line}, {"element", e.Name}, {"zone", e.Zone}, {"room", e.Room},
			{"airflow" + m.airflow.key, m.airflow.of(o.Elements[g.Element].Airflow)}, {"face_velocity" + m.velocity.key, m.velocity.of(o.Elements[g.Element].Velocity)}},
			noiseFields(&g.Noise)...)
	}
	return out
}

func roomList(o *state.Outcome) list {
	out := make(list, len(o.Rooms))
	for i := range o.Rooms {
		r := &o.Rooms[i]
		out[i] = object{{"name", r.Name}, {"zone", r.Zone}, {"noise_nc", ncNumber(r.NC)}, {"noise_below", r.NCBelow}, {"noise_low_nc", ncNumber(r.NCLow)},
			{"noise_high_nc", ncNumber(r.NCHigh)}, {"noise_band_hz", r.Band}, {"noise_dba", math.Max(r.DBA, 0)}, {"noise_rc", r.RC.String()},
			{"screen_low_nc", ncNumber(r.ScreenLow)}, {"screen_nc", ncNumber(r.Screen)}, {"screen_high_nc", ncNumber(r.ScreenHigh)}, {"loudest", r.Loudest}}
	}
	return out
}

// sounds writes the noise of registers and rooms, and throws.
func (t *CSV) sounds(o *state.Outcome) {
	nc := t.trade.forQuantity(units.KindNoise)
	for i := range o.Registers {
		r := &o.Registers[i]
		name := registerName(o.Graph, &o.Graph.Registers[i])
		t.number("register", name, "noise", nc, ncNumber(r.NC))
		t.number("register", name, "noise by velocity", nc, ncNumber(r.Screen))
		t.number("register", name, "throw", t.trade.length, r.Throw)
	}
	for i := range o.Rooms {
		r := &o.Rooms[i]
		t.number("room", r.Name, "noise", nc, ncNumber(r.NC))
		t.number("room", r.Name, "noise by velocity", nc, ncNumber(r.Screen))
		t.number("room", r.Name, "sound level", t.trade.forQuantity(units.KindLoudness), math.Max(r.DBA, 0))
	}
}

// findingMargin says how far a value is from its limit.
func findingMargin(f verdict.Finding, m trade) string {
	if math.IsNaN(f.Margin) || f.Margin >= 0 {
		return ""
	}
	return ", past it by " + m.forQuantity(f.Quantity.Difference()).apart(-f.Margin, 0).with(-f.Margin)
}
