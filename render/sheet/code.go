package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/verdict"
)

// codeOf is whose code the editions are.
const codeOf = "California Title 24 Part 6, zonally controlled central forced-air cooling"

// CodeSheet is how an installation stands to an edition of a building code, in each way in which
// its zones may call for cooling. The reports of head are those of the sheet's modes.
func CodeSheet(head *Sheet, c *verdict.CodeSheet) *Document {
	d := head.document()
	e := &c.Edition
	failing, unknown := c.Failing()
	d.Members = append(d.Members, doc.Member{Key: "edition", Cell: doc.Name(e.Name)},
		doc.Member{Key: "falls_short", Cell: doc.Count(failing)},
		doc.Member{Key: "not_known", Cell: doc.Count(unknown)},
		doc.Member{Key: "from_memory", Cell: doc.Truth(c.Remembered(), "memory")})
	d.Blocks = append(d.Blocks, head.alternativeNote(),
		&doc.Paragraph{Text: doc.Say(codeWords(c, failing, unknown))})
	d.Blocks = append(d.Blocks, modesTable(head, c)...)
	d.Blocks = append(d.Blocks, codeNotes(c), figuresData(c, head.Units))
	return d
}

// codeWords is the answer in a sentence or two.
func codeWords(c *verdict.CodeSheet, failing, unknown int) string {
	text := codeOf + ", edition " + c.Edition.Name + ". "
	asked := 0
	for i := range c.Modes {
		if c.Modes[i].Airflow != verdict.Unasked {
			asked++
		}
	}
	modes := plural(asked, "mode", "modes")
	all := "All " + modes + " that it asks about meet its figures"
	if asked == 1 {
		all = "The one mode that it asks about meets its figures"
	}
	switch {
	case len(c.Modes) == 0:
		return text + "No call state cools: there is nothing to hold against it."
	case asked == 0:
		return text + "Of the call states that cool, the edition asks about none: it asks about " +
			"all zones calling at the highest stage, so add that to the weather's calls."
	case failing > 0:
		text += fmt.Sprintf("Short of its figures: %d of %s that it asks about", failing, modes)
	case unknown > 0:
		return text + fmt.Sprintf("Of %s that it asks about none falls short, and %d cannot be "+
			"told.", modes, unknown)
	default:
		text += all
	}
	if unknown > 0 {
		text += fmt.Sprintf(", and %d cannot be told", unknown)
	}
	return text + "."
}

// mostModes is how many modes people are shown, of those that the edition does not ask about.
const mostModes = 12

// modesTable has a row for each mode. Of many modes those that the edition does not ask about are
// for programs only.
func modesTable(head *Sheet, c *verdict.CodeSheet) []doc.Block {
	shown := &doc.Table{For: doc.Text | doc.Page, Columns: []doc.Column{
		{Head: "Zones that call for cooling", Left: true, Yields: true},
		{Kind: quantity.KindFlowPerHeat, Unit: true}, {Head: "airflow", Left: true},
		{Kind: quantity.KindPowerPerFlow, Unit: true}, {Head: "fan", Left: true},
		{Above: "by-", Head: "passed %"}}}
	all := &doc.Table{Key: "modes", For: doc.Data, Columns: []doc.Column{{Key: "state"},
		{Key: "airflow", Kind: quantity.KindFlowPerHeat}, {Key: "airflow_answer"},
		{Key: "fan_power", Kind: quantity.KindPowerPerFlow}, {Key: "fan_answer"},
		{Key: "bypassed", Kind: quantity.KindFraction}}}
	left := 0
	for i := range c.Modes {
		m := &c.Modes[i]
		row := []doc.Cell{doc.Name(head.Reports[m.State].Outcome.State.Name),
			doc.Of(quantity.KindFlowPerHeat, m.PerTon), answerCell(m.Airflow),
			doc.Of(quantity.KindPowerPerFlow, m.Power), answerCell(m.Fan), percentCell(m.Bypass)}
		all.Add(row...)
		if m.Airflow == verdict.Unasked && len(c.Modes) > mostModes {
			left++
			continue
		}
		shown.Add(row...)
	}
	if left > 0 {
		shown.Line(doc.Cell{Words: plural(left, "further mode is", "further modes are") +
			" not asked about; --format csv lists all", Tone: doc.Faint})
	}
	return []doc.Block{shown, all}
}

func answerCell(a verdict.Answer) doc.Cell {
	cell := doc.Cell{Words: string(a)}
	switch a {
	case verdict.Short:
		cell.Tone = doc.Fault
	case verdict.NoFigure:
		cell.Tone = doc.Caution
	case verdict.Unasked:
		cell.Tone = doc.Faint
	}
	return cell
}

// codeNotes says what the figures are, what is known of them and what the sheet does not settle.
func codeNotes(c *verdict.CodeSheet) *doc.Facts {
	e := &c.Edition
	out := &doc.Facts{Align: 10}
	put := func(head string, text []doc.Span) {
		out.Add(doc.Cell{Words: head, Tone: doc.Faint}, text...)
	}
	put("airflow", doc.Sayf("at least {} of nominal cooling, to and from the dwelling: what a "+
		"bypass moves is left out; standard air{}",
		doc.With(quantity.KindFlowPerHeat, e.Airflow.Value),
		memoryMark(e.Airflow)))
	fan := doc.Sayf("at most {}", doc.With(quantity.KindPowerPerFlow, c.Power.Value))
	if c.Gas && !math.IsNaN(e.Gas.Value) {
		fan = append(fan, doc.Say(", the air handler being a gas furnace")...)
	}
	put("fan", append(fan, doc.Sayf("{}", memoryMark(c.Power))...))
	if !math.IsNaN(e.Existing.Value) {
		n := 0
		for i := range c.Modes {
			if c.Modes[i].Altered {
				n++
			}
		}
		put("altered", doc.Sayf("where existing ducts are altered at least {}{}: {} of {} give it",
			doc.With(quantity.KindFlowPerHeat, e.Existing.Value), memoryMark(e.Existing),
			doc.Count(n), doc.Name(plural(len(c.Modes), "mode", "modes"))))
	}
	put("modes", doc.Say(modeWords(c)))
	if len(c.Missing) > 0 {
		put("missing", doc.Sayf("no call state has {}: add it to the calls of a weather",
			doc.Name(missingWords(c.Missing))))
	}
	barred, has := bypassWords(c)
	put("bypass", doc.Sayf("{}{}; {}", doc.Name(barred), memoryMark(e.Barred), doc.Name(has)))
	source := "figures without a mark were read second-hand, in manuals, appendices and the " +
		"trade press"
	if c.Remembered() || e.Barred.Memory {
		source += "; those marked are from memory and decide nothing before the edition's text " +
			"is in hand"
	}
	put("source", doc.Say(source+". The code is passed on site, by a verified measurement in each "+
		"mode: this sheet only says beforehand what to expect. Confirm the edition in force"))
	return out
}

func memoryMark(f verdict.Figure) doc.Cell {
	if f.Memory {
		return doc.Cell{Words: " (from memory)", Tone: doc.Caution}
	}
	return doc.Cell{Words: ""}
}

// modeWords says in which modes the edition asks.
func modeWords(c *verdict.CodeSheet) string {
	switch {
	case !c.Edition.Every:
		return "measured with all zones calling and no bypass"
	case c.Staged:
		return "every zonal mode, except that a machine of several speeds is measured at its " +
			"highest with all zones calling"
	}
	return "every zonal mode: the machine has one speed (the performance way measures with all " +
		"zones calling only)"
}

func bypassWords(c *verdict.CodeSheet) (barred, has string) {
	has = "the job has none"
	if len(c.Bypass) > 0 {
		has = "the job has " + strings.Join(c.Bypass, ", ")
	}
	if c.Edition.Barred.Value == 0 {
		return "not barred", has
	}
	return "no bypass duct by the prescriptive way (section 150.1(c)13); the performance way may " +
		"allow it, without the credit for zoning", has
}

const mostMissing = 4 // combinations that are named

func missingWords(list [][]string) string {
	var names []string
	for i, zones := range list {
		if i == mostMissing {
			names = append(names, fmt.Sprintf("%d more", len(list)-i))
			break
		}
		names = append(names, strings.Join(zones, " + "))
	}
	return strings.Join(names, ", ")
}

// figuresData is the figures of the edition for programs.
func figuresData(c *verdict.CodeSheet, units quantity.System) *doc.Table {
	t := &doc.Table{Key: "figures", For: doc.Data, Columns: keyed("name", "value", "unit",
		"from_memory")}
	e := &c.Edition
	for _, row := range []struct {
		name string
		kind quantity.Kind
		of   verdict.Figure
	}{{"least airflow", quantity.KindFlowPerHeat, e.Airflow},
		{"least airflow, altered ducts", quantity.KindFlowPerHeat, e.Existing},
		{"most fan power", quantity.KindPowerPerFlow, e.Power},
		{"most fan power, gas furnace", quantity.KindPowerPerFlow, e.Gas}} {
		if !math.IsNaN(row.of.Value) {
			t.Add(doc.Name(row.name), doc.Of(row.kind, row.of.Value),
				doc.Name(row.kind.Symbol(units)), doc.Truth(row.of.Memory, "from_memory"))
		}
	}
	return t
}
