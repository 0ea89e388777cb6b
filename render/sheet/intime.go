package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/calendar"
	"spillway/solver/clock"
)

// InTime is a house run through a day or a year, with what half and twice the thermal mass make of it: the
// mass is known to a factor of two. Light and Heavy may be nil.
type InTime struct {
	Result, Light, Heavy *calendar.Result
}

// kWh and kBtu in J, an hour in s.
const (
	kWh    = 3.6e6
	kBtu   = 1000 * 3600 * quantity.BtuPerHour
	anHour = 3600.0
)

// Time is a run on one screen, or, of several alternatives, one table with a row for each. With verbose it
// lists what was assumed.
func Time(heads []*Sheet, runs []*InTime, verbose bool) *Document {
	d := heads[0].document()
	m := tradeOf(heads[0].Units)
	if len(runs) > 1 {
		d.Blocks = timeBeside(heads, runs, m)
		return d
	}
	run, r := runs[0], runs[0].Result
	d.Blocks = []doc.Block{heads[0].alternative(), &doc.Paragraph{Text: doc.Say(TimeTitle(r, m.sys))}, &doc.Paragraph{Head: TimeVerdict(r), Tone: doc.Heading}}
	for _, line := range timeAgainstCalls(r) {
		d.Blocks = append(d.Blocks, &doc.Paragraph{Text: doc.Say(line), Close: true})
	}
	d.Blocks = append(d.Blocks, timeStates(r))
	d.Blocks = append(d.Blocks, timeZones(r, m)...)
	facts := &doc.Facts{}
	fact := func(head, text string) { facts.Add(doc.Cell{Words: head}, doc.Say(text)...) }
	for _, s := range r.Sides() {
		name := s.String()
		fact(strings.ToUpper(name[:1])+name[1:]+": ", timeMachine(r, s, m.sys))
	}
	if text := humidityText(r, m.sys); text != "" {
		fact("Humidity: ", text)
	}
	fact("Where the air went: ", timeFates(r))
	if band := timeBand(run, m); band != "" {
		fact("Half, as is, twice the mass: ", band+". The mass is known to a factor of two; what changes within that is not sure.")
	}
	fact("Checks: ", fmt.Sprintf("energy closes to %.0e; %s solved, interpolated to %.1g %% of airflow and capacity.",
		math.Max(1e-15, r.Ledger.Balance()), plural(r.Solved, "state was", "states were"), max(0.01, 100*r.Error)))
	d.Blocks = append(d.Blocks, facts)
	return withAssumptions(d, heads[0], verbose)
}

// withAssumptions ends a document with the defaults that stand in for what the file does not give.
func withAssumptions(d *Document, head *Sheet, verbose bool) *Document {
	if !verbose {
		d.Blocks = append(d.Blocks, &doc.Paragraph{Text: doc.Say(fmt.Sprintf("Where the file is silent, %s used; --verbose lists them.",
			plural(len(head.Assumptions), "default is", "defaults are")))})
		return d
	}
	facts := &doc.Facts{}
	for _, a := range head.Assumptions {
		text := clean(a.Value)
		if a.Why != "" {
			text += " (" + clean(a.Why) + ")"
		}
		facts.Add(doc.Name(a.Path+" = "), doc.Say(text)...)
	}
	d.Blocks = append(d.Blocks, &doc.Section{Title: "Assumed where the file is silent", Blocks: []doc.Block{facts}})
	return d
}

// TimeTitle says what was run, in a sentence.
func TimeTitle(r *calendar.Result, sys quantity.System) string {
	m := tradeOf(sys)
	if r.Days > 1 {
		return fmt.Sprintf("%s, simulated hour by hour and event by event.", clean(r.Title))
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, h := range r.Hours {
		low, high = min(low, h.Outdoor), max(high, h.Outdoor)
	}
	return fmt.Sprintf("A day of %s, %s to %s outdoors, as it settles when such days follow each other; simulated.", clean(r.Title), m.temperature.text(low),
		m.temperature.with(high))
}

// TimeVerdict is the finding of a run in words: what stops the machine, and when.
func TimeVerdict(r *calendar.Result) string {
	l := r.Ledger
	var parts []string
	heating, cooling := &l.Heating, &l.Cooling
	if r.House.Heating != nil && len(r.House.Heating.Guards) > 0 && heating.On > 0 {
		settled, recovery := heating.Opening[0], heating.Opening[1]
		switch {
		case settled+recovery == 0:
			parts = append(parts, "The limit never opens.")
		case settled == 0:
			parts = append(parts, fmt.Sprintf("The limit opens %s, always in recovery from a set-back.", plural(recovery, "time", "times")))
		case recovery == 0:
			parts = append(parts, fmt.Sprintf("The limit opens %s, in settled cycling.", plural(settled, "time", "times")))
		default:
			parts = append(parts, fmt.Sprintf("The limit opens %s, %d of them in recovery from a set-back and %d in settled cycling.",
				plural(settled+recovery, "time", "times"), recovery, settled))
		}
	}
	if n := heating.CutOuts + cooling.CutOuts; n > 0 {
		parts = append(parts, fmt.Sprintf("The panel's cut-out stops the machine %s.", plural(n, "time", "times")))
	}
	switch {
	case cooling.Iced > 0:
		parts = append(parts, fmt.Sprintf("The coil is iced for %s.", duration(cooling.Iced)))
	case cooling.On > 0:
		parts = append(parts, "The coil does not ice.")
	}
	if l.Unsolved > 0 {
		parts = append(parts, fmt.Sprintf("For %s a call had no solution and the machine was held off: %v.", duration(l.Unsolved), l.Failures[0].Err))
	}
	return strings.Join(parts, " ")
}

// humidityText says how humid the house is that is cooled, and where the coil's water goes.
func humidityText(r *calendar.Result, sys quantity.System) string {
	l := r.Ledger
	sum, most, humid, at := 0.0, 0.0, 0.0, 0
	for i := range l.Zones {
		z := &l.Zones[i]
		if sum += z.MeanHumidity; z.MostHumid > most {
			most, humid, at = z.MostHumid, z.Humid, i
		}
	}
	if most == 0 || l.Cooling.On == 0 {
		return ""
	}
	percent := func(x float64) string { return quantity.KindFraction.Short(x, sys) }
	text := fmt.Sprintf("%s indoors in the mean, %s at most (%s)",
		percent(sum/float64(len(l.Zones))), percent(most), clean(r.Job.Zones[at].Name))
	if humid > 0 {
		text += ", above 60 % for " + duration(humid)
	}
	text += "."
	if c := &l.Cooling; c.Water > 0 {
		text += fmt.Sprintf(" The coil drains %s of water and gives %s back to the house "+
			"while the blower runs on.", quantity.KindMass.Number(c.Water,
			sys)+" "+quantity.KindMass.Label(sys),
			quantity.KindMass.Number(c.Evaporated, sys)+" "+quantity.KindMass.Label(sys))
	}
	return text
}

func settled(v clock.Visit) bool    { return !v.Recovery }
func recovering(v clock.Visit) bool { return v.Recovery }
func always(clock.Visit) bool       { return true }

// timeAgainstCalls judges the time to a guard against the calls that occur.
func timeAgainstCalls(r *calendar.Result) []string {
	var lines []string
	for i := range r.Ledger.States {
		s := &r.Ledger.States[i]
		t := r.ToGuard(s.Call)
		if math.IsInf(t, 1) || math.IsNaN(t) {
			continue
		}
		calls := func(keep func(clock.Visit) bool) string {
			longest := s.Longest(keep)
			if longest == 0 {
				return "none"
			}
			return "up to " + duration(longest)
		}
		line := fmt.Sprintf("%s: the limit is reached %s after a cold start, sooner in a machine that is warm; calls in recovery last %s, settled ones %s", clean(r.Name(s.Call)), duration(t),
			calls(recovering), calls(settled))
		switch inRecovery, otherwise := timeTrips(s); {
		case inRecovery+otherwise == 0:
			line += ": never."
		default:
			line += fmt.Sprintf(": %s.", plural(inRecovery+otherwise, "trip", "trips"))
		}
		lines = append(lines, line)
	}
	return lines
}

func timeTrips(s *clock.StateTime) (recovery, otherwise int) {
	for _, t := range s.Trips {
		if t.Recovery {
			recovery++
		} else {
			otherwise++
		}
	}
	return recovery, otherwise
}

func timeStates(r *calendar.Result) *doc.Table {
	t := &doc.Table{Columns: []doc.Column{{Head: "Call state", Left: true, Yields: true}, {Head: "time"}, {Head: "share"}, {Head: "calls"}, {Head: "median"},
		{Head: "longest"}, {Above: "longest", Head: "settled"}, {Above: "trips in", Head: "recovery"}, {Above: "trips", Head: "settled"}}}
	on := 0.0
	for i := range r.Ledger.States {
		on += r.Ledger.States[i].Hours()
	}
	for i := range r.Ledger.States {
		s := &r.Ledger.States[i]
		recovery, otherwise := timeTrips(s)
		t.Add(doc.Name(r.Name(s.Call)), hoursCell(s.Hours()), shareCell(s.Hours()/r.Ledger.Time), doc.Count(len(s.Visits)), doc.After(s.Median(always)),
			afterOrDash(s.Longest(always)), afterOrDash(s.Longest(settled)), tripCell(recovery, doc.Caution), tripCell(otherwise, doc.Fault))
	}
	t.Add(doc.Cell{Words: "machine off"}, hoursCell(r.Ledger.Time-on), shareCell(1-on/r.Ledger.Time), doc.Cell{}, doc.Cell{}, doc.Cell{}, doc.Cell{}, doc.Cell{}, doc.Cell{})
	return t
}

// hoursCell is a time in hours where it is long.
func hoursCell(seconds float64) doc.Cell {
	if seconds < 24*anHour {
		return doc.After(seconds)
	}
	return doc.Cell{Words: quantity.Grouped(fmt.Sprintf("%.0f", seconds/anHour)) + " h"}
}

func shareCell(share float64) doc.Cell { return doc.Cell{Words: shareText(share)} }

// afterOrDash is a time; none is a dash.
func afterOrDash(seconds float64) doc.Cell {
	if seconds == 0 {
		seconds = math.NaN()
	}
	return doc.After(seconds)
}

// tripCell is a number that is colored when there is something to count.
func tripCell(n int, t doc.Tone) doc.Cell {
	if n == 0 {
		return doc.Cell{Words: quantity.Absent}
	}
	return doc.Count(n).Toned(t)
}

func shareText(share float64) string {
	if share > 0 && share < 0.005 {
		return "< 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

func timeZones(r *calendar.Result, m trade) []doc.Block {
	degreeHours := m.span.label + "·h"
	t := &doc.Table{Columns: []doc.Column{{Head: "Zone", Left: true, Yields: true}, {Head: "set point, " + m.temperature.label}, {Head: "mean"}, {Head: "lowest"},
		{Head: "highest"}, {Head: "short, " + degreeHours}, {Head: "over, " + degreeHours}, {Head: "recovery"}, {Head: "calls"}}}
	season := clock.Heating
	if sides := r.Sides(); len(sides) == 1 {
		season = sides[0]
	}
	degrees := func(si float64) doc.Cell { return doc.Of(quantity.KindTemperature, si).To(1) }
	for i := range r.Ledger.Zones {
		z := &r.Ledger.Zones[i]
		low, high := r.Settings(i, season)
		set := m.temperature.text(low)
		if high != low {
			set += " to " + m.temperature.text(high)
		}
		t.Add(doc.Name(r.Job.Zones[i].Name), doc.Cell{Words: set}, degrees(z.Mean), degrees(z.Low), degrees(z.High), doc.Cell{Words: degreeHoursText(m, z.Short)},
			doc.Cell{Words: degreeHoursText(m, z.Over)}, doc.Cell{Words: recoveryText(z)}, doc.Count(len(z.Calls)))
	}
	return []doc.Block{t, &doc.Paragraph{Close: true, Text: doc.Say(fmt.Sprintf("Short: further than %s from the set point on the wrong side, recovery included. "+
		"Over: as far beyond it while the zone did not call and air was blown into it.", m.span.with(clock.Tolerance)))}}
}

func degreeHoursText(m trade, ks float64) string {
	return quantity.Grouped(fmt.Sprintf("%.1f", m.span.of(ks)/anHour))
}

// longestRecovery is the longest recovery of a zone, s; NaN when there was none.
func longestRecovery(z *clock.ZoneTime) float64 {
	most := math.NaN()
	for _, t := range z.Recoveries {
		if !(t <= most) {
			most = t
		}
	}
	return most
}

func recoveryText(z *clock.ZoneTime) string {
	text := duration(longestRecovery(z))
	if z.Unreached > 0 {
		text += fmt.Sprintf(", %d not", z.Unreached)
	}
	return text
}

func timeMachine(r *calendar.Result, s clock.Season, sys quantity.System) string {
	m := r.Machine(s)
	text := fmt.Sprintf("%s starts, %d in the busiest hour; runs of %s to %s. ", quantity.Grouped(fmt.Sprint(m.Starts)), m.Busiest(), duration(shortest(m.Runs)), duration(longest(m.Runs)))
	if m.Starts == 0 {
		text = fmt.Sprintf("on for %s without a stop: it just meets the load or falls short. ",
			duration(m.On))
	}
	if s == clock.Heating && r.Fuel {
		text += fuelText(m.Input, sys) + " of fuel, "
	} else {
		text += fmt.Sprintf("%s kWh of electricity, ", energy(m.Input/kWh))
	}
	if math.IsNaN(m.Blower) {
		text += "the blower's electricity is not known. "
	} else {
		text += fmt.Sprintf("blower %s kWh. ", energy(m.Blower/kWh))
	}
	return text + fmt.Sprintf("%s of the heat is left in the machine and lost between runs.", shareText(m.Lost/m.Made))
}

func fuelText(joules float64, sys quantity.System) string {
	if sys == quantity.SI {
		return energy(joules/kWh) + " kWh"
	}
	return energy(joules/kBtu) + " kBtu"
}

// energy prints an amount with three digits or more.
func energy(x float64) string {
	switch {
	case x < 10:
		return fmt.Sprintf("%.2f", x)
	case x < 100:
		return fmt.Sprintf("%.1f", x)
	}
	return quantity.Grouped(fmt.Sprintf("%.0f", x))
}

func shortest(all []float64) float64 {
	low := math.NaN()
	for _, x := range all {
		if !(x >= low) {
			low = x
		}
	}
	return low
}

func longest(all []float64) float64 {
	high := math.NaN()
	for _, x := range all {
		if !(x <= high) {
			high = x
		}
	}
	return high
}

// fateShares is the share of the air by fate, in the order of calendar.Fates; nil when no air moved.
func fateShares(r *calendar.Result) []float64 {
	total := 0.0
	for _, q := range r.Ledger.Air {
		total += q
	}
	if total == 0 {
		return nil
	}
	shares := make([]float64, len(r.Ledger.Air))
	for k, q := range r.Ledger.Air {
		shares[k] = q / total
	}
	return shares
}

func timeFates(r *calendar.Result) string {
	words := []string{"asked for", "more than asked for into calling zones", "bled into satisfied zones", "through bypasses", "into dumps", "out of leaks"}
	var parts []string
	for k, share := range fateShares(r) {
		if share >= 0.0005 {
			parts = append(parts, fmt.Sprintf("%.1f %% %s", 100*share, words[k]))
		}
	}
	if len(parts) == 0 {
		return "no air was moved."
	}
	return strings.Join(parts, ", ") + "."
}

// timeBand says what half and twice the mass change.
func timeBand(run *InTime, m trade) string {
	if run.Light == nil || run.Heavy == nil {
		return ""
	}
	three := func(of func(r *calendar.Result) string) string {
		return of(run.Light) + " / " + of(run.Result) + " / " + of(run.Heavy)
	}
	parts := []string{
		three(func(r *calendar.Result) string { return fmt.Sprint(starts(r)) }) + " starts",
		three(func(r *calendar.Result) string { return fmt.Sprint(trips(r)) }) + " trips",
		three(func(r *calendar.Result) string { return energy(inputOf(r) / kBtu) }) + " kBtu in",
	}
	if style := m.sys; style == quantity.SI {
		parts[2] = three(func(r *calendar.Result) string { return energy(inputOf(r) / kWh) }) + " kWh in"
	}
	if !math.IsNaN(slowest(run.Result)) {
		parts = append(parts, three(func(r *calendar.Result) string { return duration(slowest(r)) })+" of recovery")
	}
	return strings.Join(parts, "; ")
}

func starts(r *calendar.Result) int { return r.Ledger.Heating.Starts + r.Ledger.Cooling.Starts }

func trips(r *calendar.Result) int {
	l := r.Ledger
	return l.Heating.Opening[0] + l.Heating.Opening[1] + l.Heating.CutOuts + l.Cooling.CutOuts
}

func inputOf(r *calendar.Result) float64 { return r.Ledger.Heating.Input + r.Ledger.Cooling.Input }

// slowest is the longest recovery of any zone.
func slowest(r *calendar.Result) float64 {
	most := math.NaN()
	for i := range r.Ledger.Zones {
		if t := longestRecovery(&r.Ledger.Zones[i]); !(t <= most) && !math.IsNaN(t) {
			most = t
		}
	}
	return most
}

// timeBeside sets alternatives side by side.
func timeBeside(heads []*Sheet, runs []*InTime, m trade) []doc.Block {
	fuel, per := "kBtu", kBtu
	if m.sys == quantity.SI {
		fuel, per = "kWh", kWh
	}
	t := &doc.Table{Columns: []doc.Column{{Head: "Alternative", Left: true, Yields: true}, {Above: "trips in", Head: "recovery"}, {Above: "trips", Head: "settled"},
		{Above: "cut-", Head: "outs"}, {Above: "coil", Head: "iced"}, {Head: "starts"}, {Above: "median", Head: "run"}, {Above: "energy", Head: fuel}, {Above: "blower", Head: "kWh"},
		{Above: "short", Head: m.span.label + "·h"}, {Above: "over", Head: m.span.label + "·h"}, {Head: "recovery"}, {Above: "surplus", Head: "air"}}}
	bands := &doc.Facts{Title: "Half, as is, twice the mass"}
	for k, run := range runs {
		r := run.Result
		l := r.Ledger
		short, over := 0.0, 0.0
		for i := range l.Zones {
			short += l.Zones[i].Short
			over += l.Zones[i].Over
		}
		surplus := quantity.Absent
		if shares := fateShares(r); shares != nil {
			surplus = shareText(1 - shares[0])
		}
		name := doc.Name(alternativeName(heads[k]))
		t.Add(name, tripCell(l.Heating.Opening[1], doc.Caution), tripCell(l.Heating.Opening[0], doc.Fault), tripCell(l.Heating.CutOuts+l.Cooling.CutOuts, doc.Caution),
			afterOrDash(l.Cooling.Iced), doc.Count(starts(r)), doc.After(medianRun(l)), doc.Cell{Words: energy(inputOf(r) / per)},
			doc.Cell{Words: energy((l.Heating.Blower + l.Cooling.Blower) / kWh)}, doc.Cell{Words: degreeHoursText(m, short)}, doc.Cell{Words: degreeHoursText(m, over)},
			doc.After(slowest(r)), doc.Cell{Words: surplus})
		if band := timeBand(run, m); band != "" {
			name.Words += ": "
			bands.Add(name, doc.Say(band)...)
		}
	}
	return []doc.Block{&doc.Paragraph{Text: doc.Say(TimeTitle(runs[0].Result, m.sys))}, t, bands,
		&doc.Paragraph{Text: doc.Say("Energy and comfort belong together: a stopped burner saves nothing that the rooms do not miss. " +
			"An order that turns within the band of the mass is not sure.")}}
}

func medianRun(l *clock.Ledger) float64 {
	s := clock.StateTime{}
	for _, runs := range [][]float64{l.Heating.Runs, l.Cooling.Runs} {
		for _, length := range runs {
			s.Visits = append(s.Visits, clock.Visit{Length: length})
		}
	}
	return s.Median(always)
}
