package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/air"
	"spillway/solver/derive"
	"spillway/solver/sound"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// oneState is everything about one call state.
func oneState(r *Report, s quantity.System, verbose bool) *doc.Section {
	o := r.Outcome
	blocks := []doc.Block{headline(o), &doc.Paragraph{Text: sentence(o, s)}, ledgerOf(o), MachineFacts(o, s)}
	blocks = append(blocks, StateTables(o, s)...)
	if verbose {
		blocks = append(blocks, DuctTable(o, s), partTable(o), courseTable(o))
	}
	blocks = append(blocks, zoningOf(o))
	return &doc.Section{Title: clean(o.State.Name), Rule: true, Blocks: append(blocks, judged(r, s, verbose)...)}
}

// StateTables are the tables of registers, noise, zones, dampers and ports, with their notes.
func StateTables(o *state.Outcome, s quantity.System) (blocks []doc.Block) {
	blocks = append(blocks, registerTable(o))
	blocks = append(blocks, registerNotes(o, s)...)
	blocks = append(blocks, noiseTable(o, s)...)
	blocks = append(blocks, zoneTable(o, s))
	blocks = append(blocks, zoneHeat(o, s)...)
	return append(blocks, damperTable(o), portTable(o))
}

// headline is the blower's operating point.
func headline(o *state.Outcome) *doc.Paragraph {
	facts := [][]doc.Span{doc.Sayf("{} at {} external static", withUnit(accounts(o).blower()), withUnit(staticCell(o.Blower.ExternalStatic)))}
	add := func(format string, cells ...doc.Cell) { facts = append(facts, doc.Sayf(format, cells...)) }
	if !math.IsNaN(o.Blower.Power) {
		add("{}", doc.With(quantity.KindElectricity, o.Blower.Power))
		add("{}", doc.With(quantity.KindPowerPerFlow, o.PowerPerFlow()))
	}
	if perTon := o.PerTon(); !math.IsNaN(perTon) {
		add("{}", doc.With(quantity.KindFlowPerHeat, perTon))
	}
	if o.Blower.Tap != "" {
		add("tap {}", doc.Name(o.Blower.Tap))
	}
	if o.State.Stages > 1 {
		add("stage {} of {}", doc.Count(o.State.Stage), doc.Count(o.State.Stages))
	}
	if o.Bypass > 0 {
		add("{} through the bypass", withUnit(percentCell(o.Bypass)))
	}
	if o.Blower.OffTable {
		add("OFF THE BLOWER TABLE")
	}
	return &doc.Paragraph{Text: append(doc.Say("Blower "), doc.Join(facts, ", ")...)}
}

// registerTable lists what every outlet delivers; a star marks air below the dew point of the room.
func registerTable(o *state.Outcome) *doc.Table {
	t := &doc.Table{Columns: []doc.Column{{Head: "Registers", Left: true}, {Head: "room", Left: true, Spare: true}, {Head: "zone", Left: true}, {Head: "call", Left: true},
		{Kind: quantity.KindAirflow, Unit: true}, {Head: "wants"}, {Above: "% of", Head: "want"}, {Above: "face", Kind: quantity.KindVelocity, Unit: true},
		{Above: "static", Kind: quantity.KindPressure, Unit: true}, {Above: "air", Kind: quantity.KindTemperature, Unit: true}, {Left: true, Say: "can sweat"}, {Head: "NC"},
		{Above: "throw", Kind: quantity.KindLength, Unit: true}, {Left: true, Say: "where the throw ends"}}}
	for i := range o.Registers {
		r, g := &o.Registers[i], &o.Graph.Registers[i]
		name := o.Graph.Elements[g.Element].Name
		call, star := "", ""
		if wet, _ := r.Sweats(); wet {
			star = "*"
		}
		if r.Calling {
			call = "calls"
		}
		if g.Dump {
			call = "dump"
		}
		share, wants := doc.None(), doc.None()
		if r.Wants > 0 {
			share, wants = percentCell(r.Airflow/r.Wants).To(0), airflowCell(r.Wants).Asked(name+" wanted")
		}
		t.Add(doc.Name(registerName(o.Graph, g)), doc.Name(g.Room), doc.Name(g.Zone), doc.Name(call), airflowCell(r.Airflow).Asked(name+" airflow"), wants, share,
			velocityCell(r.FaceVelocity).Asked(name+" face velocity"), dropCell(r.Static).Asked(name+" static"), temperatureCell(r.Temperature).Asked(name+" temperature"), doc.Name(star),
			noiseCell(r.NC).Asked(name+" noise"), doc.Of(quantity.KindLength, r.Throw).To(0).Asked(name+" throw"), doc.Name(throwMark(r)))
	}
	return t
}

// noiseCell is a noise criterion, in words beyond the curves.
func noiseCell(nc float64) doc.Cell { return doc.Of(quantity.KindNoise, nc).As(doc.Noise) }

// zoneTable lists what every zone gets.
func zoneTable(o *state.Outcome, s quantity.System) *doc.Table {
	a := accounts(o)
	t := &doc.Table{Columns: []doc.Column{{Head: "Zones", Left: true}, {Head: "call", Left: true}, {Kind: quantity.KindAirflow, Unit: true}, {Head: "wanted"}, {Head: "short"}, {Head: "return"},
		{Above: "against house", Kind: quantity.KindPressure, Unit: true}}}
	for i := range o.Zones {
		z, zone := &o.Zones[i], o.Graph.Job.Zones[i].Name
		call, short := "satisfied", doc.None()
		if z.Calling {
			call = "calls"
		}
		if z.Shortfall > quantity.KindAirflow.Factor(s)/2 {
			short = airflowCell(z.Shortfall)
		}
		t.Add(doc.Name(zone), doc.Name(call), a.to(zone, z.Airflow).Asked(zone+" zone airflow"), airflowCell(z.Wants).Asked(zone+" zone wanted"), short,
			airflowCell(z.Return).Asked(zone+" zone return"), dropCell(z.Pressure).Asked(zone+" zone pressure"))
	}
	return t
}

// damperTable lists where every damper stands, in percent open and in blade degrees from open.
func damperTable(o *state.Outcome) *doc.Table {
	a := accounts(o)
	t := &doc.Table{Columns: []doc.Column{{Head: "Dampers", Left: true}, {Head: "stands", Left: true}, {Head: "open"}, {Head: "blade"}, {Kind: quantity.KindAirflow, Unit: true},
		{Head: "drop", Kind: quantity.KindPressure, Unit: true}}}
	for i := range o.Dampers {
		d := &o.Dampers[i]
		name, blade := o.Graph.Elements[d.Element].Name, doc.None()
		if !math.IsNaN(d.Blade) {
			blade = doc.Name(fmt.Sprintf("%.0f°", d.Blade)).Asked(name + " blade")
		}
		t.Add(doc.Name(d.Name), doc.Name(damperWords(d)), doc.Open(d.Position).Asked(name+" open"), blade,
			a.past(i, o).Asked(name+" airflow"), dropCell(d.Drop).Asked(name+" drop"))
	}
	return t
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
func portTable(o *state.Outcome) *doc.Table {
	t := &doc.Table{Columns: []doc.Column{{Head: "Static at the ports", Left: true}, {Kind: quantity.KindPressure, Unit: true}, {Left: true, Say: "where"}}}
	for _, p := range o.Ports {
		t.Add(doc.Name(p.Name), dropCell(p.Static).Asked(p.Name+" static"), doc.Name(p.At))
	}
	return t
}

// DuctTable lists every duct.
func DuctTable(o *state.Outcome, s quantity.System) *doc.Table {
	_, per, _ := strings.Cut(quantity.KindFriction.Label(s), "/")
	t := &doc.Table{Columns: []doc.Column{{Head: "Ducts", Left: true}, {Head: "to", Left: true, Yields: true}, {Kind: quantity.KindAirflow, Unit: true}, {Head: "surplus"},
		{Kind: quantity.KindVelocity, Unit: true}, {Head: "drop", Kind: quantity.KindPressure, Unit: true}, {Head: "per " + per},
		{Head: "static at its end", For: doc.Page}, {Kind: quantity.KindTemperature, Unit: true, For: doc.Page}}}
	for i := range o.Graph.Elements {
		e, r := &o.Graph.Elements[i], &o.Elements[i]
		if e.Kind != network.KindDuct {
			continue
		}
		to := &o.Graph.Nodes[e.To]
		t.Add(doc.Name(e.Name), doc.Name(to.Name), airflowCell(r.Airflow).Asked(e.Name+" airflow"), airflowCell(r.Surplus).Asked(e.Name+" surplus"),
			velocityCell(r.Velocity).Asked(e.Name+" velocity"), dropCell(r.Drop).Asked(e.Name+" drop"), doc.Of(quantity.KindFriction, r.Friction),
			dropCell(o.Nodes[e.To].Static).Asked(to.Name+" static"), temperatureCell(r.Temperature).Asked(e.Name+" temperature"))
	}
	return t
}

// partTable lists everything that is neither duct, damper nor register.
func partTable(o *state.Outcome) *doc.Table {
	t := &doc.Table{Columns: []doc.Column{{Head: "Parts", Left: true}, {Head: "kind", Left: true}, {Kind: quantity.KindAirflow, Unit: true}, {Head: "surplus"},
		{Kind: quantity.KindTemperature, Unit: true}, {Head: "drop", Kind: quantity.KindPressure, Unit: true}}}
	for i := range o.Graph.Elements {
		e, r := &o.Graph.Elements[i], &o.Elements[i]
		if e.Kind == network.KindDuct || e.Kind == network.KindRegister || network.BladeOf(e.Spec) != nil {
			continue
		}
		t.Add(doc.Name(e.Name), doc.Name(e.Kind.String()), airflowCell(r.Airflow), airflowCell(r.Surplus), temperatureCell(r.Temperature), dropCell(r.Drop))
	}
	return t
}

// verdictHeads is the width of the heads of what is said at the end of a state.
const verdictHeads = 7

// judged is what is said at the end of a state: operating points, findings, ranges, notes and the proof of the solution.
func judged(r *Report, s quantity.System, verbose bool) []doc.Block {
	o := r.Outcome
	points, others := operatingPoints(o, s)
	blocks := append([]doc.Block{points}, others...)
	blocks = append(blocks, findings(r.Findings, s, verbose))
	if len(r.Findings) == 0 {
		blocks = append(blocks, &doc.Paragraph{Text: doc.Say("nothing was checked"), Close: true})
	}
	end := &doc.Facts{Align: verdictHeads, Close: true}
	if line := rangesLine(o, s); line != "" {
		it := doc.Item{Head: doc.Name("ranges").Toned(doc.Faint), Text: doc.Say(line + "; --verbose lists them")}
		if verbose {
			it.Text = doc.Say(line)
			for _, g := range rangeGroups(o) {
				it.Under = append(it.Under, doc.Item{Head: doc.Cell{Words: "- ", Tone: doc.Faint}, Text: doc.Say(rangeWords(&g, s))})
			}
		}
		end.Items = append(end.Items, it)
	}
	for _, note := range o.Notes {
		end.Add(doc.Name("note").Toned(doc.Faint), doc.Sayf("{}", doc.Name(note))...)
	}
	end.Add(doc.Name("proof").Toned(doc.Faint), doc.Say(certificate(o, tradeOf(s)))...)
	blocks = append(blocks, end)
	for b := range doc.Shown(blocks, doc.Text) { // the first stands apart
		switch b := b.(type) {
		case *doc.Facts:
			b.Close = false
		case *doc.Paragraph:
			b.Close = false
		}
		break
	}
	return blocks
}

// findings lists what is wrong, worst first, each with value and limit. What helps, and where a limit comes from, is said where
// it first applies.
func findings(list []verdict.Finding, s quantity.System, verbose bool) *doc.Facts {
	out := &doc.Facts{Align: verdictHeads, Close: true}
	fine := 0
	said := map[string]bool{} // remedies and sources that stand above
	for i := range list {
		f := &list[i]
		head := doc.Name("caution").Toned(doc.Caution)
		switch f.Level {
		case verdict.Fault:
			head = doc.Name("FAULT").Toned(doc.Fault)
		case verdict.OK:
			if fine++; verbose {
				out.Add(doc.Name("ok"), findingSpans(f, s)...)
			}
			continue
		}
		it := doc.Item{Head: head, Text: findingSpans(f, s)}
		once := func(key, head, text string, t doc.Tone) {
			if text != "" && !said[key+text] {
				said[key+text] = true
				it.Under = append(it.Under, doc.Item{Head: doc.Cell{Words: head, Tone: t}, Text: doc.Sayf("{}", doc.Name(text))})
			}
		}
		once(f.Check, "What helps: ", f.Remedy, doc.Plain)
		once("", "Safety: ", f.Safety, doc.Caution)
		if !math.IsNaN(f.Limit) {
			once(f.Check, "The limit: ", f.Source, doc.Faint)
		}
		out.Items = append(out.Items, it)
	}
	if fine > 0 && !verbose {
		out.Add(doc.Name("ok"), doc.Say(plural(fine, "check", "checks")+" in order")...)
	}
	return out
}

// findingSpans is a finding on one line: what, where, value and limit, and how far it is past it.
func findingSpans(f *verdict.Finding, s quantity.System) []doc.Span {
	return findingWith(f, placeSpans(f, s))
}

// briefSpans is findingSpans without how far it is past its limit.
func briefSpans(f *verdict.Finding, s quantity.System) []doc.Span {
	text, _ := againstLimit(f, s)
	return findingWith(f, text)
}

// findingWith puts what a finding is before where it is and what it has.
func findingWith(f *verdict.Finding, place []doc.Span) []doc.Span {
	between := ": "
	if f.Where != "" {
		between = ", "
	}
	if f.Where == "" && math.IsNaN(f.Value) {
		between = ""
	}
	return append(doc.Sayf("{}"+between, doc.Name(f.Check)), place...)
}

// placeSpans is a finding without the name of its check.
func placeSpans(f *verdict.Finding, s quantity.System) []doc.Span {
	text, value := againstLimit(f, s)
	if f.Margin < 0 && !math.IsNaN(f.Value) && !math.IsNaN(f.Limit) {
		text = append(text, doc.Sayf(", past it by {}", doc.With(f.Quantity.Difference(),
			-f.Margin).Apart(0, s).Asked(derive.MarginName(f)))...)
	}
	return append(text, mixedSpans(f, value)...)
}

// againstLimit is where a finding is, its value and its limit; and the value as it is printed.
func againstLimit(f *verdict.Finding, s quantity.System) (text []doc.Span, value doc.Cell) {
	if f.Where != "" {
		text = doc.Sayf("{}", doc.Name(f.Where))
	}
	value = doc.With(f.Quantity, f.Value)
	limit := doc.With(f.Quantity, f.Limit)
	if f.Margin < 0 {
		value = value.Apart(f.Limit, s)
		limit.Places = value.Places
	}
	if !math.IsNaN(f.Value) {
		if f.Where != "" {
			text = append(text, doc.Say(": ")...)
		}
		if f.What != "" {
			text = append(text, doc.Say(f.What+" ")...)
		}
		text = append(text, valueSpans(f, value)...)
		if !math.IsNaN(f.Limit) {
			text = append(text, doc.Say(", limit ")...)
			if f.Quantity == verdict.Noise {
				limit.Unit = false
				text = append(text, doc.Say("NC ")...)
			}
			text = append(text, doc.Sayf("{}", limit)...)
		}
	}
	return text, value
}

// mixedSpans says what mixing does to a verdict: the value's band where it is no certain fault, and the share at which it flips.
func mixedSpans(f *verdict.Finding, like doc.Cell) []doc.Span {
	if f.Level == verdict.OK || !(f.Mixed.To > f.Mixed.From) && f.Mixed.Flip == 0 {
		return nil
	}
	low, high := like, like
	low.Value, low.Unit, high.Value = f.Mixed.Low, false, f.Mixed.High
	text := doc.Sayf("; {} mixed, {} with {} unmixed", low, high, wholeCell(f.Mixed.To))
	if f.Mixed.Flip == 0 {
		return text
	}
	verb := "trips"
	if f.Bounds == verdict.AtLeast {
		verb = "frosts"
	}
	return append(text, doc.Sayf("; "+verb+" if more than {} arrives unmixed", flipCell(f.Mixed.Flip))...)
}

// valueSpans is a finding's value with its unit, and its band where it has one: "NC 41 (33 to 53)".
func valueSpans(f *verdict.Finding, value doc.Cell) []doc.Span {
	if f.Quantity != verdict.Noise {
		return doc.Sayf("{}", value)
	}
	value.Unit = false
	switch {
	case !sound.OnCurves(f.Value):
		return doc.Say("NC " + sound.ShownWith(f.Value, f.Low, f.High))
	case !f.HasBand():
		return doc.Sayf("NC {}", value)
	}
	return doc.Sayf("NC {} ("+sound.ShownBand(f.Low, f.High)+")", value)
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// operatingPoints lists the airflows at which a blower whose curve rises on part of its range can run, where there are
// several, and says for which one everything else is; others is what is found at the other points.
func operatingPoints(o *state.Outcome, s quantity.System) (points *doc.Facts, others []doc.Block) {
	points = &doc.Facts{Align: verdictHeads, Close: true}
	if len(o.Blower.Points) < 2 {
		return points, nil
	}
	shown := 0
	for i, p := range o.Blower.Points {
		if math.Abs(p.Airflow-o.Blower.Airflow) < math.Abs(o.Blower.Points[shown].Airflow-o.Blower.Airflow) {
			shown = i
		}
	}
	var list [][]doc.Span
	for i, p := range o.Blower.Points {
		kind := "unstable: the blower leaves it"
		if p.Stable {
			kind = "stable"
		}
		if i == shown {
			kind += ", shown"
		}
		list = append(list, doc.Sayf("{} at {} ("+kind+")", withUnit(airflowCell(p.Airflow)), withUnit(dropCell(p.Static))))
	}
	points.Add(doc.Name("points"), slices.Concat(doc.Say(fmt.Sprintf("the blower's curve meets the ducts at %d airflows: ", len(list))), doc.Join(list, "; "),
		doc.Sayf(". Every figure and finding below is for {} unless it says otherwise; the blower can as well stay at another stable point, and which one depends on how it starts.",
			withUnit(airflowCell(o.Blower.Points[shown].Airflow))))...)
	for _, other := range o.Others {
		others = append(others, worse(o, other, s))
	}
	return points, others
}

// worse says what is found at another operating point and not, or less, at the one shown.
func worse(o, other *state.Outcome, s quantity.System) *doc.Paragraph {
	type place struct{ check, where string }
	weight := map[verdict.Level]int{verdict.Caution: 1, verdict.Fault: 2}
	shown := map[place]int{}
	for _, f := range verdict.Judge(o) {
		at := place{f.Check, f.Where}
		shown[at] = max(weight[f.Level], shown[at])
	}
	var found [][]doc.Span
	list := verdict.Judge(other)
	for i := range list {
		f := &list[i]
		if weight[f.Level] <= shown[place{f.Check, f.Where}] {
			continue
		}
		word := "caution "
		if f.Level == verdict.Fault {
			word = "FAULT "
		}
		found = append(found, append(doc.Say(word), findingSpans(f, s)...))
	}
	text := doc.Say("nothing is found that is not found below")
	if len(found) > 0 {
		text = append(doc.Say("found besides: "), doc.Join(found, "; ")...)
	}
	return &doc.Paragraph{Close: true, Text: slices.Concat(doc.Sayf("At {} ", withUnit(airflowCell(other.Blower.Airflow))), text, doc.Say("."))}
}

// ductBand is how well an airflow is known beside how well its equations are solved (METHOD, section 8: a damper's coefficient to ±30 %).
const ductBand = "the ducts themselves are known to about ±15 % of an airflow"

// certificate is the proof that goes with the numbers, in one line.
func certificate(o *state.Outcome, m trade) string {
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
	return text + "; " + ductBand
}

func at(place string) string {
	if place == "" {
		return ""
	}
	return " (worst: " + clean(place) + ")"
}
