package sheet

import (
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// asItStands is what a job without any of its alternatives is called.
const asItStands = "as it stands"

// Compare is the sheets of one job, as it stands and with its alternatives, as one table for each call state with a row for each
// alternative: the surplus and where most of it goes, the air at the machine, limit or frost, what the callers keep, the static and how
// many findings. A call state that a sheet lacks has no row of it.
func Compare(sheets []*Sheet) *Document {
	d := sheets[0].document()
	d.Blocks = append(append([]doc.Block{alternatives(sheets)}, compareStates(sheets, stateNames(sheets))...), legend(sheets)...)
	return d
}

// alternatives lists what is compared.
func alternatives(sheets []*Sheet) *doc.Section {
	facts := &doc.Facts{Align: 1}
	for _, s := range sheets {
		note := "the job without any alternative"
		for _, a := range s.Job.Alternatives {
			if a.Name == s.Job.Alternative {
				note = a.Note
			}
		}
		it := doc.Item{Head: doc.Cell{Words: alternativeName(s)}}
		if note != "" {
			it.Text = doc.Sayf("{}", doc.Name(note))
		}
		facts.Items = append(facts.Items, it)
	}
	return &doc.Section{Blocks: []doc.Block{facts}}
}

func alternativeName(s *Sheet) string {
	if s.Job.Alternative == "" {
		return asItStands
	}
	return clean(s.Job.Alternative)
}

// stateNames lists the call states of all sheets in the order in which they first appear.
func stateNames(sheets []*Sheet) []string {
	var names []string
	for _, s := range sheets {
		for _, r := range s.Reports {
			if !slices.Contains(names, r.Outcome.State.Name) {
				names = append(names, r.Outcome.State.Name)
			}
		}
	}
	return names
}

// compareStates is a table for each call state.
func compareStates(sheets []*Sheet, names []string) (blocks []doc.Block) {
	for _, name := range names {
		t := &doc.Table{Title: clean(name)}
		for _, s := range sheets {
			for _, r := range s.Reports {
				if r.Outcome.State.Name != name {
					continue
				}
				if t.Columns == nil {
					t.Columns = compareColumns(r.Outcome, s.Units)
				}
				t.Add(compareRow(alternativeName(s), r, s.Units)...)
			}
		}
		blocks = append(blocks, t)
	}
	return blocks
}

func compareColumns(o *state.Outcome, s quantity.System) []doc.Column {
	columns := []doc.Column{{Head: "alternative", Left: true}, {Head: "surplus"}, {Above: quantity.KindAirflow.Label(s), Head: "the most of it", Left: true},
		{Above: "recirc", Head: "%"}, {Above: "in", Kind: quantity.KindTemperature, Unit: true}, {Above: "out", Kind: quantity.KindTemperature, Unit: true}}
	switch o.State.Mode {
	case network.Heating:
		columns = append(columns, doc.Column{Above: "limit", Head: "sensor"})
	case network.Cooling:
		columns = append(columns, doc.Column{Above: "coil", Head: "frost"})
	}
	pressure := doc.Column{Above: "static", Kind: quantity.KindStatic, Unit: true}
	if first, last, two := strings.Cut(quantity.KindStatic.Label(s), " "); two {
		pressure = doc.Column{Above: first, Head: last}
	}
	return append(columns, doc.Column{Above: "callers", Head: "keep %"}, pressure, doc.Column{Head: "F/c"})
}

func compareRow(name string, r *Report, s quantity.System) []doc.Cell {
	o := r.Outcome
	a := accounts(o)
	row := []doc.Cell{{Words: name}, a.surplus(), a.mostOfIt(s), percentCell(o.Equipment.Recirculated), temperatureCell(o.Equipment.Entering), temperatureCell(o.Equipment.Leaving)}
	switch o.State.Mode {
	case network.Heating:
		row = append(row, limitCell(o, s))
	case network.Cooling:
		row = append(row, frostCell(o, s))
	}
	return append(row, percentCell(math.Min(zoning.CallerShare(o), 1)),
		staticCell(o.Blower.ExternalStatic),
		levelsCell(count(r.Findings, verdict.Fault), count(r.Findings, verdict.Caution)))
}

// kindWords are the kinds of surplus in the table of alternatives, in the order in which equals are named.
var kindWords = [...]struct {
	kind state.PathKind
	word string
}{{state.PathCalling, "extra"}, {state.PathBleed, "bleed"}, {state.PathBypass, "bypass"}, {state.PathDump, "dump"}, {state.PathLeakage, "leaks"}}

// limitCell says when the limit opens, how far below it the sensor settles, or from which unmixed share it trips.
func limitCell(o *state.Outcome, s quantity.System) doc.Cell {
	e := &o.Equipment
	if o.LimitBand() == state.Depends {
		return doc.Cell{Spans: doc.Sayf("at {}", flipCell(e.UnmixedAtSensor(e.Limit))), Tone: doc.Caution}
	}
	switch o.LimitFate() {
	case state.Reached:
		return doc.Cell{Spans: doc.Sayf("in {}", doc.After(e.TimeToLimit)), Tone: doc.Fault}
	case state.Never:
		return doc.Cell{Spans: doc.Sayf("{} below", spanCell(e.Limit-e.Sensor, s))}
	}
	return doc.None()
}

// frostCell says how far above or below freezing the coil settles to evaporate.
func frostCell(o *state.Outcome, s quantity.System) doc.Cell {
	switch o.FrostFate() {
	case state.Reached, state.Later, state.Never:
		if o.Equipment.FrostMargin < 0 {
			return doc.Cell{Spans: doc.Sayf("{} below", spanCell(-o.Equipment.FrostMargin, s)), Tone: doc.Caution}
		}
		return doc.Cell{Spans: doc.Sayf("{} above", spanCell(o.Equipment.FrostMargin, s))}
	}
	return doc.None()
}

// spanCell is a small span with a decimal and a great one without.
func spanCell(si float64, s quantity.System) doc.Cell {
	c := doc.Of(quantity.KindTemperatureSpan, si)
	if c.Kind.In(si, s) < 9.95 {
		return c.To(1)
	}
	return c.To(0)
}

// flipCell is a share at which a verdict flips, with a decimal where it is small.
func flipCell(share float64) doc.Cell {
	c := doc.With(quantity.KindFraction, share).To(0)
	if share < 0.0995 {
		return c.To(1)
	}
	return c
}

// legend explains the columns, and what recirculation does when some of the air does it.
func legend(sheets []*Sheet) []doc.Block {
	s := sheets[0].Units
	heats, cools, bypass := false, false, false
	for _, sheet := range sheets {
		for _, r := range sheet.Reports {
			mode := r.Outcome.State.Mode
			heats, cools = heats || mode == network.Heating, cools || mode == network.Cooling
			bypass = bypass || r.Outcome.Bypass > 0
		}
	}
	span := quantity.KindTemperatureSpan.Label(s)
	text := "extra: into calling zones beyond their want. recirc: share of the air in the machine that has just left it. in, out: air " +
		"before and behind it, once the loop is at rest."
	if heats {
		text += " limit sensor: time until the limit opens, " + span + " below the limit where its sensor settles, or (at %) the unmixed share of recirculated air above which it trips."
	}
	if cools {
		text += " coil frost: " + span + " above or below freezing where its evaporating temperature settles; ice forms " + doc.Plainly(warmerFins(), s) + " lower."
	}
	text += " callers keep: the part of the call's heat or cold that reaches the zones that call. F/c: faults/cautions."
	blocks := []doc.Block{&doc.Paragraph{Text: doc.Say(text)}}
	if bypass {
		why := "Why a bypass is hard on the machine: it hands leaving air straight back to the inlet."
		if heats {
			why += " With a share r of it the furnace's rise stays the same, but starts from return + r × rise / (1 − r) instead of from the return."
		}
		if cools {
			why += " A coil starts from air that is cold already, so that leaving air and refrigerant get colder yet."
		}
		blocks = append(blocks, &doc.Paragraph{Text: doc.Say(why + " Air that bleeds or is dumped into rooms comes back at room temperature.")})
	}
	return blocks
}
