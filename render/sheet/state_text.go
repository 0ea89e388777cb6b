package sheet

import (
	"fmt"
	"math"
	"spillway/network/quantity"
	"strings"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/sound"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// oneState writes everything about one call state.
func oneState(b *strings.Builder, r *Report, style Style) {
	headline(b, r.Outcome, style)
	b.WriteByte('\n')
	paragraph(b, 2, "", Sentence(r.Outcome, style.units), style, plainTone)
	for _, write := range []func(*strings.Builder, *state.Outcome, Style){ledgerTable, equipmentBlock, registerTable, zoneTable, zoneHeatTable, damperTable, portTable} {
		write(b, r.Outcome, style)
	}
	if style.Verbose {
		ductTable(b, r.Outcome, style)
		partTable(b, r.Outcome, style)
		courseTable(b, r.Outcome, style)
	}
	b.WriteByte('\n')
	operatingPoints(b, r.Outcome, style)
	findings(b, r.Findings, style)
	ranges(b, r.Outcome, style)
	for _, note := range r.Outcome.Notes {
		paragraph(b, 2, "note     ", clean(note), style, faint)
	}
	certificate(b, r.Outcome, style)
}

// headline is the state's name and the blower's operating point.
func headline(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	name := clean(o.State.Name)
	b.WriteString(style.paint(shorten("=== "+name+" "+strings.Repeat("=", max(3, style.page()-displayWidth(name)-5)), style.page()), heading) + "\n")
	a := newAccount(o, m.airflow.factor())
	facts := []string{quantity.Grouped(fmt.Sprint(a.blower)) + " " + m.airflow.label + " at " + m.pressure.with(o.Blower.ExternalStatic) + " external static"}
	if !math.IsNaN(o.Blower.Power) {
		facts = append(facts, m.power.with(o.Blower.Power), m.powerPerFlow.with(o.Blower.Power/o.Blower.Airflow))
	}
	if perTon := o.PerTon(); !math.IsNaN(perTon) {
		facts = append(facts, m.flowPerHeat.with(perTon))
	}
	if o.Blower.Tap != "" {
		facts = append(facts, "tap "+clean(o.Blower.Tap))
	}
	if o.State.Stages > 1 {
		facts = append(facts, fmt.Sprintf("stage %d of %d", o.State.Stage, o.State.Stages))
	}
	if o.Bypass > 0 {
		facts = append(facts, m.percent.with(o.Bypass)+" through the bypass")
	}
	if o.Blower.OffTable {
		facts = append(facts, "OFF THE BLOWER TABLE")
	}
	paragraph(b, 2, "", "Blower "+strings.Join(facts, ", "), style, plainTone)
}

// barWidth is how many columns the whole of the blower's air would fill.
const barWidth = 40

// ledgerTable says where every cfm goes. Wanted air is a solid bar and surplus a hatched one, as in the pictures.
func ledgerTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	a := newAccount(o, m.airflow.factor())
	shares := a.shares()
	t := table{columns: []column{{head: "Where the air goes", left: true}, {head: m.airflow.label}, {head: "%"}, {head: "", left: true}}}
	for i, l := range a.lines {
		if l.whole == 0 && shares[i] == 0 && l.Kind == state.PathCalling {
			continue
		}
		mark, tone := "▒", surplusTone
		if l.Kind == state.PathWanted {
			mark, tone = "█", wantedTone
		}
		length := max(0, int(math.Round(float64(shares[i])/1000*barWidth)))
		t.add(cell{text: pathWords(l.Path)}, cell{text: quantity.Grouped(fmt.Sprint(l.whole))}, cell{text: tenths(shares[i])},
			cell{text: strings.Repeat(mark, length), tone: tone})
	}
	whole := int64(0)
	for _, s := range shares {
		whole += s
	}
	t.add(cell{text: "blower"}, cell{text: quantity.Grouped(fmt.Sprint(a.blower))}, cell{text: tenths(whole)}, cell{})
	b.WriteByte('\n')
	t.write(b, 2, style)
}

func tenths(t int64) string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return fmt.Sprintf("%s%d.%d", sign, t/10, t%10)
}

// registerTable lists what every outlet delivers; a star marks air below the dew point of the room.
func registerTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "Registers", left: true}, {head: "room", left: true, spare: true}, {head: "zone", left: true}, {head: "call", left: true}, {head: m.airflow.label}, {head: "wants"},
		{above: "% of", head: "want"}, {above: "face", head: m.velocity.label}, {above: "static", head: m.drop.label}, {above: "air", head: m.temperature.label}, {left: true}, {head: "NC"}, {above: "throw", head: m.length.label}, {left: true}}}
	for i, r := range o.Registers {
		g := &o.Graph.Registers[i]
		call, share, star := "", "-", ""
		if wet, _ := r.Sweats(); wet {
			star = "*"
		}
		if r.Calling {
			call = "calls"
		}
		if g.Dump {
			call = "dump"
		}
		if r.Wants > 0 {
			share = quantity.Grouped(fmt.Sprintf("%.0f", 100*r.Airflow/r.Wants))
		}
		wants := "-"
		if r.Wants > 0 {
			wants = m.airflow.text(r.Wants)
		}
		t.addPlain(clean(registerName(o.Graph, g)), clean(g.Room), clean(g.Zone), call, m.airflow.text(r.Airflow), wants, share,
			m.velocity.text(r.FaceVelocity), m.drop.text(r.Static), m.temperature.text(r.Temperature), star, sound.Shown(r.NC), m.length.textTo(r.Throw, 0), throwMark(&r))
	}
	block(b, &t, style)
	sweating(b, o, style)
	throwNotes(b, o, style)
	noiseTable(b, o, style)
}

// zoneTable lists what every zone gets.
func zoneTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	a := newAccount(o, m.airflow.factor())
	t := table{columns: []column{{head: "Zones", left: true}, {head: "call", left: true}, {head: m.airflow.label}, {head: "wanted"}, {head: "short"}, {head: "return"},
		{above: "against house", head: m.drop.label}}}
	for i, z := range o.Zones {
		call := "satisfied"
		if z.Calling {
			call = "calls"
		}
		short := "-"
		if z.Shortfall > m.airflow.factor()/2 {
			short = m.airflow.text(z.Shortfall)
		}
		t.addPlain(clean(o.Graph.Job.Zones[i].Name), call, a.text(m.airflow, z.Airflow), m.airflow.text(z.Wants), short, m.airflow.text(z.Return),
			m.drop.text(z.Pressure))
	}
	block(b, &t, style)
}

// damperTable lists where every damper stands, in percent open and in blade degrees from open.
func damperTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	a := newAccount(o, m.airflow.factor())
	t := table{columns: []column{{head: "Dampers", left: true}, {head: "stands", left: true}, {head: "open"}, {head: "blade"}, {head: m.airflow.label}, {head: "drop " + m.drop.label}}}
	for i := range o.Dampers {
		d := &o.Dampers[i]
		blade := "-"
		if !math.IsNaN(d.Blade) {
			blade = fmt.Sprintf("%.0f°", d.Blade)
		}
		t.addPlain(clean(d.Name), damperWords(d), percentOpen(d.Position), blade, a.text(m.airflow, d.Airflow), m.drop.text(d.Drop))
	}
	block(b, &t, style)
}

// damperWords says why a damper stands where it does.
func damperWords(d *state.Damper) string {
	switch {
	case d.Moved && d.Position <= 0:
		return "held shut"
	case d.Moved:
		return "moved by the air"
	case d.Calling:
		return "open for its call"
	case d.Position <= 0:
		return "shut"
	case d.Position >= 1:
		return "open"
	}
	return "at its stop"
}

// portTable lists what a gauge would read at the test ports.
func portTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "Static at the ports", left: true}, {head: m.drop.label}, {head: "", left: true}}}
	for _, p := range o.Ports {
		t.addPlain(clean(p.Name), m.drop.text(p.Static), clean(p.At))
	}
	block(b, &t, style)
}

// ductTable lists every duct.
func ductTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "Ducts", left: true}, {head: "to", left: true, yields: true}, {head: m.airflow.label}, {head: "surplus"},
		{head: m.velocity.label}, {head: "drop " + m.drop.label}, {head: frictionHead(m)}}}
	for i, e := range o.Graph.Elements {
		if e.Kind != network.KindDuct {
			continue
		}
		r := &o.Elements[i]
		t.addPlain(clean(e.Name), clean(o.Graph.Nodes[e.To].Name), m.airflow.text(r.Airflow),
			m.airflow.text(r.Surplus), m.velocity.text(r.Velocity), m.drop.text(r.Drop), m.friction.text(r.Friction))
	}
	block(b, &t, style)
}

func frictionHead(m trade) string {
	_, per, _ := strings.Cut(m.friction.label, "/")
	return "per " + per
}

// partTable lists everything that is neither duct, damper nor register.
func partTable(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	t := table{columns: []column{{head: "Parts", left: true}, {head: "kind", left: true}, {head: m.airflow.label}, {head: "surplus"}, {head: m.temperature.label}, {head: "drop " + m.drop.label}}}
	for i, e := range o.Graph.Elements {
		if e.Kind == network.KindDuct || e.Kind == network.KindRegister || network.BladeOf(e.Spec) != nil {
			continue
		}
		r := &o.Elements[i]
		t.addPlain(clean(e.Name), e.Kind.String(), m.airflow.text(r.Airflow), m.airflow.text(r.Surplus), m.temperature.text(r.Temperature), m.drop.text(r.Drop))
	}
	block(b, &t, style)
}

// block writes a table behind an empty line.
func block(b *strings.Builder, t *table, style Style) {
	if len(t.rows) > 0 {
		b.WriteByte('\n')
		t.write(b, 2, style)
	}
}

// findings lists what is wrong, worst first, each with value and limit. What helps, and where a limit comes from, is said where
// it first applies.
func findings(b *strings.Builder, list []verdict.Finding, style Style) {
	m := tradeOf(style.units)
	fine := 0
	told := map[string]bool{} // remedies and sources that stand above
	once := func(key, head, text string, t tone) {
		if text != "" && !told[key+text] {
			told[key+text] = true
			paragraph(b, 11, head, clean(text), style, t)
		}
	}
	for _, f := range list {
		head, t := "caution  ", cautionTone
		switch f.Level {
		case verdict.Fault:
			head, t = "FAULT    ", faultTone
		case verdict.OK:
			if fine++; !style.Verbose {
				continue
			}
			head, t = "ok       ", plainTone
		}
		paragraph(b, 2, head, findingWords(f, m), style, t)
		if f.Level == verdict.OK {
			continue
		}
		once(f.Check, "What helps: ", f.Remedy, plainTone)
		once("", "Safety: ", f.Safety, cautionTone)
		if !math.IsNaN(f.Limit) {
			once(f.Check, "The limit: ", f.Source, faint)
		}
	}
	switch {
	case fine > 0 && !style.Verbose:
		fmt.Fprintf(b, "  ok       %s in order\n", plural(fine, "check", "checks"))
	case len(list) == 0:
		b.WriteString("  nothing was checked\n")
	}
}

// findingWords is a finding on one line: what, where, value and limit.
func findingWords(f verdict.Finding, m trade) string {
	words := clean(f.Check)
	if f.Where != "" {
		words += ", " + clean(f.Where)
	}
	unit := m.forQuantity(f.Quantity)
	if f.Margin < 0 {
		unit = unit.apart(f.Value, f.Limit)
	}
	if !math.IsNaN(f.Value) {
		words += ": "
		if f.What != "" {
			words += f.What + " "
		}
		words += valueWords(&f, unit)
		if !math.IsNaN(f.Limit) {
			limit := unit.with(f.Limit)
			if f.Quantity == verdict.Noise {
				limit = "NC " + unit.text(f.Limit)
			}
			words += ", limit " + limit + findingMargin(f, m)
		}
	}
	return words + mixedWords(&f, unit)
}

// mixedWords says what mixing does to a verdict: the value's band where it is no certain fault, and the share at which it flips.
func mixedWords(f *verdict.Finding, unit measure) string {
	if f.Level == verdict.OK || !(f.Mixed.To > f.Mixed.From) && f.Mixed.Flip == 0 {
		return ""
	}
	words := "; " + unit.text(f.Mixed.Low) + " mixed, " + unit.with(f.Mixed.High) + " with " + wholePercent(f.Mixed.To) + " unmixed"
	if f.Mixed.Flip == 0 {
		return words
	}
	verb := "trips"
	if f.Bounds == verdict.AtLeast {
		verb = "frosts"
	}
	return words + "; " + verb + " if more than " + flipPercent(f.Mixed.Flip) + " arrives unmixed"
}

// valueWords is a finding's value with its unit, and its band where it has one: "NC 41 (33 to 53)".
func valueWords(f *verdict.Finding, unit measure) string {
	switch {
	case f.Quantity != verdict.Noise:
		return unit.with(f.Value)
	case !sound.OnCurves(f.Value):
		return "NC " + sound.ShownWith(f.Value, f.Low, f.High)
	case !f.HasBand():
		return "NC " + unit.text(f.Value)
	}
	return "NC " + unit.text(f.Value) + " (" + sound.ShownBand(f.Low, f.High) + ")"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// operatingPoints lists the airflows at which a blower whose curve rises on part of its range can run, where there are
// several, and says for which one everything else is.
func operatingPoints(b *strings.Builder, o *state.Outcome, style Style) {
	if len(o.Blower.Points) < 2 {
		return
	}
	m := tradeOf(style.units)
	shown := 0
	for i, p := range o.Blower.Points {
		if math.Abs(p.Airflow-o.Blower.Airflow) < math.Abs(o.Blower.Points[shown].Airflow-o.Blower.Airflow) {
			shown = i
		}
	}
	var points []string
	for i, p := range o.Blower.Points {
		kind := "unstable: the blower leaves it"
		if p.Stable {
			kind = "stable"
		}
		if i == shown {
			kind += ", shown"
		}
		points = append(points, fmt.Sprintf("%s at %s (%s)", m.airflow.with(p.Airflow), m.drop.with(p.Static), kind))
	}
	paragraph(b, 2, "points   ", fmt.Sprintf("the blower's curve meets the ducts at %d airflows: %s. Every figure and finding below is for %s unless it says "+
		"otherwise; the blower can as well stay at another stable point, and which one depends on how it starts.",
		len(points), strings.Join(points, "; "), m.airflow.with(o.Blower.Points[shown].Airflow)), style, plainTone)
	for _, other := range o.Others {
		worse(b, o, other, style)
	}
}

// worse writes what is found at another operating point and not, or less, at the one shown.
func worse(b *strings.Builder, o, other *state.Outcome, style Style) {
	type place struct{ check, where string }
	m := tradeOf(style.units)
	weight := map[verdict.Level]int{verdict.Caution: 1, verdict.Fault: 2}
	shown := map[place]int{}
	for _, f := range verdict.Judge(o) {
		at := place{f.Check, f.Where}
		shown[at] = max(weight[f.Level], shown[at])
	}
	var found []string
	for _, f := range verdict.Judge(other) {
		if weight[f.Level] <= shown[place{f.Check, f.Where}] {
			continue
		}
		word := "caution "
		if f.Level == verdict.Fault {
			word = "FAULT "
		}
		found = append(found, word+findingWords(f, m))
	}
	text := "nothing is found that is not found below"
	if len(found) > 0 {
		text = "found besides: " + strings.Join(found, "; ")
	}
	paragraph(b, 2, "", "At "+m.airflow.with(other.Blower.Airflow)+" "+text+".", style, plainTone)
}

// ductBand is how well an airflow is known beside how well its equations are solved (METHOD, section 8: a damper's coefficient to ±30 %).
const ductBand = "the ducts themselves are known to about ±15 % of an airflow"

// certificate is the proof that goes with the numbers, in one line.
func certificate(b *strings.Builder, o *state.Outcome, style Style) {
	m := tradeOf(style.units)
	c := &o.Certificate
	text := fmt.Sprintf("%s; air balances to %.1e %s%s, pressures to %.1e %s%s", plural(c.Iterations, "iteration", "iterations"),
		m.airflow.of(math.Abs(c.MassResidual)/air.StandardDensity), m.airflow.label, at(c.MassNode),
		m.drop.of(math.Abs(c.PressureResidual)), m.drop.label, at(c.PressureElement))
	if n := len(o.Blower.Points); n > 1 {
		text += fmt.Sprintf("; that holds at each of the %d points, and does not say at which one the blower runs", n)
	} else if !math.IsNaN(c.FlowBound) && !math.IsInf(c.FlowBound, 0) && c.FlowElement != "" {
		text += fmt.Sprintf("; the equations are solved to ±%.1e %s in every airflow%s", m.airflow.of(c.FlowBound), m.airflow.label, at(c.FlowElement))
	}
	if e := &o.Equipment; e.EnergyTotal > 0 && !math.IsNaN(e.EnergyResidual) {
		text += fmt.Sprintf("; heat balances to %.1e %s of the %s moved", m.heat.of(math.Abs(e.EnergyResidual)), m.heat.label, m.heat.with(e.EnergyTotal))
	}
	paragraph(b, 2, "proof    ", text+"; "+ductBand, style, faint)
}

func at(place string) string {
	if place == "" {
		return ""
	}
	return " (worst: " + clean(place) + ")"
}
