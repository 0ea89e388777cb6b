package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/takeoff"
	"spillway/render/internal/doc"
	"spillway/solver/diagnose"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Deciding is what the page to decide and sign is made of.
type Deciding struct {
	*study.Decision
	Chosen   int // the choice whose settings are listed
	Readings []diagnose.Expectation
	Mark     string // of the file's bytes, so that the paper names the very file
}

// What the one page has room for.
const (
	mostChoices  = 6
	mostName     = 22
	mostSettings = 8 // rows of a table of settings
	mostOpen     = 5 // causes that are left
	mostHands    = 3 // rows of hand dampers
	mostWords    = 170
	fewWords     = 84 // where there are more than fewChoices
	fewChoices   = 4
)

// Decide is the page by which an installation is decided and signed: the options in rows, what is
// bought for them, and of the chosen one the settings, the readings and what is left to watch.
func Decide(head *Sheet, f *Deciding) *Document {
	d := head.document()
	d.Closing = nil
	chosen := &f.Choices[f.Chosen]
	d.Members = append(d.Members, doc.Member{Key: "chosen",
		Cell: doc.Cell{Words: choiceName(chosen)}},
		doc.Member{Key: "best", Cell: doc.Cell{Words: choiceName(&f.Choices[f.Best])}},
		doc.Member{Key: "sha256", Cell: doc.Cell{Words: f.Mark}})
	d.Blocks = append(d.Blocks, decideHead(head, f), decideVerdict(head, f), optionsTable(f),
		optionsDone(head, f), optionsData(f))
	settings := &doc.Section{Title: "Set, for " + clean(choiceName(chosen))}
	settings.Blocks = append(settings.Blocks, settingBlocks(chosen, head.Units)...)
	d.Blocks = append(d.Blocks, settings, readingsSection(head, f, chosen),
		leftSection(chosen, head.Units), signSection(chosen))
	return d
}

// choiceName is what a choice is called.
func choiceName(c *study.Choice) string {
	if c.Name == "" {
		return "as it stands"
	}
	return c.Name
}

// decideHead names the file, the machine and the conditions.
func decideHead(head *Sheet, f *Deciding) *doc.Paragraph {
	job := f.Choices[0].Result.Graph.Job
	text := doc.Sayf("File {}", doc.Name(head.File))
	if f.Mark != "" {
		text = append(text, doc.Sayf(", sha256 {}", doc.Name(f.Mark))...)
	}
	for _, it := range f.Choices[0].Parts.Items {
		if it.Rated > 0 {
			text = append(text, doc.Sayf("; {} {}", doc.Name(it.Name),
				doc.With(quantity.KindLoad, it.Rated))...)
		}
	}
	if p := float64(job.Equipment.MaxStatic); p > 0 {
		text = append(text, doc.Sayf("; rated for {} of static", withUnit(staticCell(p)))...)
	}
	for i := range job.Weather {
		if w := &job.Weather[i]; w.Outdoor != nil {
			text = append(text, doc.Sayf("; {} {}", doc.Name(w.Name),
				doc.With(quantity.KindTemperature, float64(*w.Outdoor)).To(0))...)
		}
	}
	return &doc.Paragraph{Text: append(text, doc.Say(".")...)}
}

// decideVerdict says in a few plain lines what there is to decide.
func decideVerdict(head *Sheet, f *Deciding) *doc.Paragraph {
	base := &f.Choices[0]
	states := plural(len(base.Result.Outcomes), "call state", "call states")
	text := doc.Say(fmt.Sprintf("As it stands, no limit is passed in %s.", states))
	if base.Effect.Faults > 0 {
		text = doc.Say(fmt.Sprintf("As it stands, %d of %s pass a limit, by %s.",
			base.Effect.Digest.Faulty, states, plural(base.Effect.Causes, "cause", "causes")))
	}
	best := &f.Choices[f.Best]
	switch {
	case len(f.Choices) == 1:
		text = append(text, doc.Say(" The file has no alternative to decide between.")...)
	case f.Best == 0:
		text = append(text, doc.Say(" No option leaves less at fault.")...)
	case best.Effect.Faults == 0:
		text = append(text, doc.Sayf(" With {} no limit is passed.", doc.Name(choiceName(best)))...)
	default:
		text = append(text, doc.Sayf(" {} ranks first, the gravest class first, with {} at fault; "+
			"none clears all.", doc.Name(choiceName(best)),
			doc.Cell{Words: plural(best.Effect.Causes, "cause", "causes")})...)
	}
	text = append(text, doc.Say(" Levels and numbers are the worst of all call states; * is "+
		"chosen below.")...)
	if f.Sought && len(f.Choices) > 1 && f.Choices[len(f.Choices)-1].Moves == nil {
		text = append(text, doc.Say(" No change of the catalog helps.")...)
	}
	return &doc.Paragraph{Text: text}
}

// levelWord is a level in a cell of the options.
func levelWord(l verdict.Level) doc.Cell {
	switch l {
	case verdict.Fault:
		return doc.Cell{Words: "FAULT", Tone: doc.Fault}
	case verdict.Caution:
		return doc.Cell{Words: "caution", Tone: doc.Caution}
	}
	return doc.Cell{Words: "ok"}
}

// optionsTable has a row for each way to build and set the house, by the worst of all call states.
func optionsTable(f *Deciding) *doc.Table {
	t := &doc.Table{For: doc.Text | doc.Page, Columns: []doc.Column{{Head: "Option", Left: true,
		Own: 8},
		{Head: "safety", Left: true}, {Head: "machine", Left: true}, {Head: "code", Left: true},
		{Head: "zoning", Left: true}, {Head: "comfort", Left: true}, {Above: "callers",
			Head: "keep"},
		{Above: "static", Kind: quantity.KindStatic, Unit: true},
		{Above: "loudest", Kind: quantity.KindNoise, Unit: true},
		{Above: "least", Kind: quantity.KindFlowPerHeat, Unit: true},
		{Above: "steel", Head: "+", Kind: quantity.KindMass, Unit: true}, {Above: "parts",
			Head: "+"}}}
	shown := f.shown()
	for _, i := range shown {
		c := &f.Choices[i]
		name := choiceName(c)
		if runes := []rune(name); len(runes) > mostName {
			name = string(runes[:mostName-1]) + "…"
		}
		if i == f.Chosen {
			name += " *"
		}
		keep := doc.None()
		if !math.IsNaN(c.Effect.Least) {
			keep = wholeCell(c.Effect.Least)
		}
		t.Add(doc.Name(name), levelWord(c.Level(verdict.SafetyClass)),
			levelWord(c.Level(verdict.Equipment)), levelWord(c.Level(verdict.Code)),
			levelWord(c.Level(verdict.Zoning)),
			levelWord(c.Level(verdict.Comfort, verdict.Guideline)), keep, staticCell(c.Static),
			noiseCell(c.Noise), doc.Of(quantity.KindFlowPerHeat, c.PerTon),
			addedSteel(f, c), partsCount(c))
	}
	if n := len(f.Choices) - len(shown); n > 0 {
		t.Line(doc.Cell{Words: fmt.Sprintf("and %d more: compare lists them", n)})
	}
	return t
}

// shown are the choices that there is room for: the chosen one and the best among them, in their
// order.
func (f *Deciding) shown() (list []int) {
	in := map[int]bool{0: true, f.Chosen: true, f.Best: true}
	for i := range f.Choices {
		if len(in) < mostChoices {
			in[i] = true
		}
	}
	for i := range f.Choices {
		if in[i] {
			list = append(list, i)
		}
	}
	return list
}

// addedSteel is the sheet steel that a choice takes beside that of the file as it stands.
func addedSteel(f *Deciding, c *study.Choice) doc.Cell {
	return doc.Of(quantity.KindMass, c.Parts.Steel-f.Choices[0].Parts.Steel).To(0)
}

// partsCount is how many parts other than duct are bought.
func partsCount(c *study.Choice) doc.Cell {
	n := 0
	for i := range c.Buys {
		if b := &c.Buys[i]; !b.Drop && b.Group != takeoff.Duct {
			n += b.Count
		}
	}
	return doc.Count(n)
}

// optionsDone says of each choice what is set and what is bought.
func optionsDone(head *Sheet, f *Deciding) *doc.Facts {
	facts := &doc.Facts{Align: 4, For: doc.Text | doc.Page}
	most := mostWords
	if len(f.Choices) > fewChoices {
		most = fewWords
	}
	for _, i := range f.shown() {
		if i == 0 {
			continue
		}
		c := &f.Choices[i]
		says := settingsChanged(&f.Choices[0], c, head.Units)
		if len(c.Buys) > 0 || len(says) == 0 {
			says = append(says, buysText(c.Buys, head.Units))
		}
		if len(c.Moves) > 0 {
			says = append(says, moveWords(c.Moves))
		}
		if c.Note != "" {
			says = append(says, c.Note)
		}
		facts.Add(doc.Name(choiceName(c)+": "), doc.Sayf("{}",
			doc.Name(cut(strings.Join(says, "; "), most)))...)
	}
	return facts
}

// settingsChanged lists what is set otherwise than as the file stands.
func settingsChanged(base, c *study.Choice, sys quantity.System) (says []string) {
	was := map[string][]string{}
	for _, t := range Settings(base.Result.Graph, sys) {
		for _, row := range t.Rows {
			was[t.Caption+row[0]] = row
		}
	}
	for _, t := range Settings(c.Result.Graph, sys) {
		for _, row := range t.Rows {
			old := was[t.Caption+row[0]]
			for i := 1; i < len(row) && len(old) == len(row); i++ {
				if head := t.Head[i]; row[i] != old[i] && head != "in" && head != "size" {
					says = append(says, "set "+row[0]+" to "+row[i])
				}
			}
		}
	}
	return says
}

// buysText says in a line what is bought and what falls away.
func buysText(changes []takeoff.Change, sys quantity.System) string {
	var buy, leave []string
	for i := range changes {
		if c := &changes[i]; c.Drop {
			leave = append(leave, changeText(&c.Item, sys))
		} else {
			buy = append(buy, changeText(&c.Item, sys))
		}
	}
	var says []string
	if len(buy) > 0 {
		says = append(says, "buy "+strings.Join(buy, ", "))
	}
	if len(leave) > 0 {
		says = append(says, "leave out "+strings.Join(leave, ", "))
	}
	if len(says) == 0 {
		return "nothing to buy"
	}
	return strings.Join(says, "; ")
}

// cut shortens a text at a word.
func cut(text string, most int) string {
	runes := []rune(text)
	if len(runes) <= most {
		return text
	}
	short := string(runes[:most])
	if at := strings.LastIndexByte(short, ' '); at > 0 {
		short = short[:at]
	}
	return strings.TrimRight(short, ",; ") + " …"
}

// optionsData holds the options for programs.
func optionsData(f *Deciding) *doc.Table {
	t := &doc.Table{Key: "options", For: doc.Data, Columns: []doc.Column{{Key: "name"},
		{Key: "note"},
		{Key: "safety"}, {Key: "machine"}, {Key: "code"}, {Key: "zoning"}, {Key: "comfort"},
		{Key: "faults"}, {Key: "causes"}, {Key: "caller_share"},
		{Key: "external_static", Kind: quantity.KindStatic}, {Key: "worst_state"},
		{Key: "loudest", Kind: quantity.KindNoise},
		{Key: "airflow_per_ton", Kind: quantity.KindFlowPerHeat},
		{Key: "steel_added", Kind: quantity.KindMass}, {Key: "parts_added"}, {Key: "set"}}}
	for i := range f.Choices {
		c := &f.Choices[i]
		level := func(classes ...verdict.Class) doc.Cell {
			return doc.Cell{Words: string(c.Level(classes...))}
		}
		t.Add(doc.Name(c.Name), doc.Name(c.Note), level(verdict.SafetyClass),
			level(verdict.Equipment),
			level(verdict.Code), level(verdict.Zoning), level(verdict.Comfort, verdict.Guideline),
			doc.Count(c.Effect.Faults), doc.Count(c.Effect.Causes),
			doc.Of(quantity.KindNumber, c.Effect.Least), staticCell(c.Static),
			doc.Name(c.Result.Outcomes[c.WorstCall].State.Name), doc.Of(quantity.KindNoise,
				c.Noise),
			doc.Of(quantity.KindFlowPerHeat, c.PerTon), addedSteel(f, c), partsCount(c),
			doc.Cell{Words: strings.Join(c.Effect.Set, "\n")})
	}
	return t
}

// settingBlocks are the settings of a choice, the same rows as on the installer's sheet, with a
// place for what was set.
func settingBlocks(c *study.Choice, sys quantity.System) (blocks []doc.Block) {
	const asSet = "as set"
	others := &doc.Facts{Align: 14}
	units := NewPrinter(sys).Units()
	for _, s := range Settings(c.Result.Graph, sys) {
		switch {
		case s.Caption == ZoneDampers:
			t := &doc.Table{Columns: []doc.Column{{Head: "Zone damper", Left: true},
				{Head: "size", Left: true}, {Head: "while satisfied", Left: true},
				{Head: "while its zone calls", Left: true}, {Head: asSet, Left: true}}}
			for i, row := range s.Rows {
				if i == mostSettings {
					t.Line(doc.Cell{Words: fmt.Sprintf("and %d more: see the installer's sheet",
						len(s.Rows)-i)})
					break
				}
				t.Add(doc.Name(row[0]), doc.Name(row[2]), doc.Name(row[3]), doc.Name(row[4]),
					doc.Cell{Words: blank})
			}
			blocks = append(blocks, t, &doc.Paragraph{Close: true,
				Text: doc.Say(stopNote + camText(c.Result.Graph))})
		case s.Caption == BlowerSettings:
			var says []string
			for _, row := range s.Rows {
				says = append(says, strings.Join(row, " "))
			}
			others.Add(doc.Cell{Words: "blower: "}, doc.Sayf("{} "+blank,
				doc.Name(strings.Join(says, "; ")))...)
		case len(s.Rows) > mostSettings || s.Caption == HandDampers && len(s.Rows) > mostHands:
			others.Add(doc.Cell{Words: s.Caption + ": "}, doc.Say(fmt.Sprintf("%d, as the "+
				"installer's sheet lists them %s", len(s.Rows), blank))...)
		default:
			for _, row := range s.Rows {
				others.Add(doc.Cell{Words: row[0] + ": "}, doc.Sayf("{} "+blank,
					doc.Name(rowText(&s, row, units)))...)
			}
		}
	}
	return append(blocks, others)
}

// blank is a place to write.
const blank = "________"

// stopNote says how a stop is set.
const stopNote = "Degrees are of the blade: 0° at the actuator's shut mark, 90° at its open " +
	"mark. Set the stop the way the actuator's arrow opens, clockwise or counterclockwise."

// camText says where a cam with steps of 5° stands, of the stops that are between two steps.
func camText(g *network.Graph) string {
	var names []string
	for i := range g.Elements {
		spec, ok := g.Elements[i].Spec.(*network.DamperSpec)
		if !ok || spec.Hand || len(spec.Zones) == 0 {
			continue
		}
		if at := CamStop(spec.Stop); at > 90*float64(spec.Stop)+1e-6 {
			names = append(names, fmt.Sprintf("%s %.0f°", clean(g.Elements[i].Name), at))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " On a cam with steps of 5°, the next step on the open side: " +
		strings.Join(names, ", ") + "."
}

// rowText puts a row of a table of settings on a line, without its name.
func rowText(t *SettingTable, row []string, units Units) string {
	if len(row) == 2 {
		return row[1]
	}
	var says []string
	for i := 2; i < len(row); i++ {
		switch unit := " " + units.Pressure; {
		case i == 2 || strings.HasPrefix(t.Head[i], "open"):
			says = append(says, row[i])
		case row[i] == "-":
		case strings.HasSuffix(t.Head[i], unit):
			says = append(says, strings.TrimSuffix(t.Head[i], unit)+" "+row[i]+unit)
		default:
			says = append(says, t.Head[i]+" "+row[i])
		}
	}
	return strings.Join(says, ", ")
}

// readingsSection lists the few readings by which the settings are confirmed.
func readingsSection(head *Sheet, f *Deciding, c *study.Choice) *doc.Section {
	t := &doc.Table{Columns: []doc.Column{{Head: "Reading", Left: true},
		{Head: "in call state", Left: true, Yields: true}, {Head: "expected"}, {Head: "within"},
		{Head: "unit", Left: true}, {Head: "read", Left: true}}}
	p := NewPrinter(head.Units)
	for i := range f.Readings {
		r := &f.Readings[i]
		value, within := p.Expected(r.Kind, r.Value, r.Tolerance)
		t.Add(doc.Name(ReadingName(c.Result.Graph, &r.Query)), doc.Name(r.State),
			doc.Cell{Words: value},
			doc.Cell{Words: within}, doc.Cell{Words: p.ReadingUnit(r.Kind)}, doc.Cell{Words: blank})
	}
	if len(t.Rows) == 0 {
		return &doc.Section{}
	}
	return &doc.Section{Title: "Read, then sign", Blocks: []doc.Block{t}}
}

// leftSection lists what is still at fault with a choice, and what to watch.
func leftSection(c *study.Choice, sys quantity.System) *doc.Section {
	facts := &doc.Facts{Align: verdictHeads}
	for _, cause := range c.Gravest(mostOpen) {
		level := doc.Name("caution").Toned(doc.Caution)
		if cause.Level == verdict.Fault {
			level = doc.Name("FAULT").Toned(doc.Fault)
		}
		facts.Add(level, causeSpans(cause, sys)...)
	}
	left := 0
	for i := range c.Effect.Digest.Causes {
		left += len(c.Effect.Digest.Causes[i].Members)
	}
	if n := len(c.Effect.Digest.Causes) - len(facts.Items); n > 0 {
		facts.Add(doc.Name("also").Toned(doc.Faint),
			doc.Say(fmt.Sprintf("%s, %s in all: solve lists "+
				"them", plural(n, "more to look at", "more to look at"),
				plural(left, "finding", "findings")))...)
	}
	if len(facts.Items) == 0 {
		facts.Add(doc.Cell{Words: "nothing"}, doc.Say("all checks are in order in every call "+
			"state")...)
	}
	return &doc.Section{Title: "Left to watch", Blocks: []doc.Block{facts}}
}

// signSection is the place to sign.
func signSection(c *study.Choice) *doc.Section {
	const long = "________________________"
	return &doc.Section{Title: "Decided", Blocks: []doc.Block{
		&doc.Paragraph{Text: doc.Sayf("Option {}, settings and readings as above.   Date "+long,
			doc.Name(choiceName(c)))},
		&doc.Paragraph{Text: doc.Say("Designer " + long + "   Owner " + long)},
		&doc.Paragraph{Close: true, Text: doc.Say(decideCaution)}}}
}

// decideCaution is what has to stand over a signature.
const decideCaution = "Expected values are a model's, and readings carry 5 to 30 %. " +
	"Rating plate, maker's instructions, adopted code and licensed practice govern. Never " +
	"defeat or move a limit switch. No return, bypass or dump may pull on a room with a " +
	"natural-draft appliance; fit carbon monoxide alarms."
