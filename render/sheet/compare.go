package sheet

import (
	"fmt"
	"io"
	"math"
	"slices"
	"spillway/network/quantity"
	"strings"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// asItStands is what a job without any of its alternatives is called.
const asItStands = "as it stands"

// Compare writes the sheets of one job, as it stands and with its alternatives, as one table for each call state with a row for each
// alternative: the surplus and where most of it goes, the air at the machine, limit or frost, the worst drift, the static and how
// many findings. A call state that a sheet lacks has no row of it. Of the style, Color and Continued apply.
func Compare(w io.Writer, sheets []*Sheet, style Style) error {
	if len(sheets) == 0 {
		return nil
	}
	style.units = sheets[0].Units
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(sheets[0].title()), style.page()), heading) + "\n\n")
	alternatives(&b, sheets, style)
	for _, name := range stateNames(sheets) {
		b.WriteByte('\n')
		b.WriteString(style.paint(shorten(clean(name), style.page()), heading) + "\n")
		compareState(&b, sheets, name, style)
	}
	legend(&b, sheets, style)
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// alternatives lists what is compared.
func alternatives(b *strings.Builder, sheets []*Sheet, style Style) {
	widest := 0
	for _, s := range sheets {
		widest = max(widest, displayWidth(alternativeName(s)))
	}
	widest = min(widest, style.page()/2)
	for _, s := range sheets {
		name, note := shorten(alternativeName(s), widest), "the job without any alternative"
		for _, a := range s.Job.Alternatives {
			if a.Name == s.Job.Alternative {
				note = a.Note
			}
		}
		if note == "" {
			b.WriteString("  " + name + "\n")
			continue
		}
		paragraph(b, 2, name+strings.Repeat(" ", widest-displayWidth(name)+gap), clean(note), style, plainTone)
	}
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

// compareState is the table of one call state.
func compareState(b *strings.Builder, sheets []*Sheet, name string, style Style) {
	m := tradeOf(style.units)
	var t table
	for _, s := range sheets {
		for _, r := range s.Reports {
			if r.Outcome.State.Name != name {
				continue
			}
			if t.columns == nil {
				t.columns = compareColumns(r.Outcome, m)
			}
			t.add(compareRow(alternativeName(s), r, m)...)
		}
	}
	t.write(b, 0, style)
}

func compareColumns(o *state.Outcome, m trade) []column {
	columns := []column{{head: "alternative", left: true}, {head: "surplus"}, {above: m.airflow.label, head: "the most of it", left: true},
		{above: "recirc", head: "%"}, {above: "in", head: m.temperature.label}, {above: "out", head: m.temperature.label}}
	switch o.State.Mode {
	case network.Heating:
		columns = append(columns, column{above: "limit", head: "sensor"})
	case network.Cooling:
		columns = append(columns, column{above: "coil", head: "frost"})
	}
	pressure := column{above: "static", head: m.pressure.label}
	if first, last, two := strings.Cut(m.pressure.label, " "); two {
		pressure = column{above: first, head: last}
	}
	return append(columns, column{above: "drift", head: m.drift.label}, pressure, column{head: "F/c"})
}

func compareRow(name string, r *Report, m trade) []cell {
	o := r.Outcome
	a := newAccount(o, m.airflow.factor())
	row := plain(name, quantity.Grouped(fmt.Sprint(a.surplus)), mostByKind(a), m.percent.text(o.Equipment.Recirculated),
		m.temperature.text(o.Equipment.Entering), m.temperature.text(o.Equipment.Leaving))
	switch o.State.Mode {
	case network.Heating:
		row = append(row, limitCell(o, m))
	case network.Cooling:
		row = append(row, frostCell(o, m))
	}
	faults, cautions := count(r.Findings, verdict.Fault), count(r.Findings, verdict.Caution)
	found := cell{text: fmt.Sprintf("%d/%d", faults, cautions)}
	switch {
	case faults > 0:
		found.tone = faultTone
	case cautions > 0:
		found.tone = cautionTone
	}
	return append(row, cell{text: m.drift.signed(worstDrift(o))}, cell{text: m.pressure.text(o.Blower.ExternalStatic)}, found)
}

// kindWords are the kinds of surplus in the table of alternatives, in the order in which equals are named.
var kindWords = [...]struct {
	kind state.PathKind
	word string
}{{state.PathCalling, "extra"}, {state.PathBleed, "bleed"}, {state.PathBypass, "bypass"}, {state.PathDump, "dump"}, {state.PathLeakage, "leaks"}}

// mostByKind names the two biggest kinds of surplus.
func mostByKind(a account) string {
	type part struct {
		word  string
		whole int64
	}
	parts := make([]part, 0, len(kindWords))
	for _, k := range kindWords {
		p := part{word: k.word}
		for _, l := range a.lines {
			if l.Kind == k.kind {
				p.whole += l.whole
			}
		}
		if p.whole > 0 {
			parts = append(parts, p)
		}
	}
	slices.SortStableFunc(parts, func(a, b part) int { return int(b.whole - a.whole) })
	var words []string
	for _, p := range parts[:min(2, len(parts))] {
		words = append(words, quantity.Grouped(fmt.Sprint(p.whole))+" "+p.word)
	}
	if len(words) == 0 {
		return "-"
	}
	return strings.Join(words, ", ")
}

// limitCell says when the limit opens, how far below it the sensor settles, or from which unmixed share it trips.
func limitCell(o *state.Outcome, m trade) cell {
	if limitBand(o) == depends {
		return cell{text: "at " + flipPercent(o.Equipment.UnmixedAtSensor(o.Equipment.Limit)), tone: cautionTone}
	}
	switch limitFate(o) {
	case reached:
		return cell{text: "in " + duration(o.Equipment.TimeToLimit), tone: faultTone}
	case never:
		return cell{text: short(m.span, o.Equipment.Limit-o.Equipment.Sensor) + " below"}
	}
	return cell{text: "-"}
}

// frostCell says how far above or below freezing the coil settles to evaporate.
func frostCell(o *state.Outcome, m trade) cell {
	switch frostFate(o) {
	case reached, later, never:
		if o.Equipment.FrostMargin < 0 {
			return cell{text: short(m.span, -o.Equipment.FrostMargin) + " below", tone: cautionTone}
		}
		return cell{text: short(m.span, o.Equipment.FrostMargin) + " above"}
	}
	return cell{text: "-"}
}

// short prints a small span with a decimal and a great one without.
func short(m measure, si float64) string {
	if m.of(si) < 9.95 {
		return m.textTo(si, 1)
	}
	return m.textTo(si, 0)
}

// worstDrift is the drift of the satisfied zone that drifts fastest, K/s, or NaN.
func worstDrift(o *state.Outcome) float64 {
	worst := math.NaN()
	for i := range o.Zones {
		if z := &o.Zones[i]; !z.Calling && (math.IsNaN(worst) || math.Abs(z.DriftRate) > math.Abs(worst)) {
			worst = z.DriftRate
		}
	}
	return worst
}

// legend explains the columns, and what recirculation does when some of the air does it.
func legend(b *strings.Builder, sheets []*Sheet, style Style) {
	m := tradeOf(style.units)
	heats, cools, bypass := false, false, false
	for _, s := range sheets {
		for _, r := range s.Reports {
			mode := r.Outcome.State.Mode
			heats, cools = heats || mode == network.Heating, cools || mode == network.Cooling
			bypass = bypass || r.Outcome.Bypass > 0
		}
	}
	text := "extra: into calling zones beyond their want. recirc: share of the air in the machine that has just left it. in, out: air " +
		"before and behind it, once the loop is at rest."
	if heats {
		text += " limit sensor: time until the limit opens, " + m.span.label + " below the limit where its sensor settles, or (at %) the unmixed share of recirculated air above which it trips."
	}
	if cools {
		text += " coil frost: " + m.span.label + " above or below freezing where its evaporating temperature settles; ice forms " + warmerFins(m) + " lower."
	}
	text += " drift: of the satisfied zone that drifts fastest, while the call runs. F/c: faults/cautions."
	b.WriteByte('\n')
	paragraph(b, 0, "", text, style, faint)
	if bypass {
		b.WriteByte('\n')
		why := "Why a bypass is hard on the machine: it hands leaving air straight back to the inlet."
		if heats {
			why += " With a share r of it the furnace's rise stays the same, but starts from return + r × rise / (1 − r) instead of from the return."
		}
		if cools {
			why += " A coil starts from air that is cold already, so that leaving air and refrigerant get colder yet."
		}
		why += " Air that bleeds or is dumped into rooms comes back at room temperature."
		paragraph(b, 0, "", why, style, plainTone)
	}
}
