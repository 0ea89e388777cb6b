package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Tune is the settings that were found, with a piece of job file to paste.
func Tune(head *Sheet, t *study.Tuning) *Document {
	d := head.document()
	windows := map[string]study.Window{}
	for _, win := range t.Windows {
		windows[win.Path] = win
	}
	holds := "limits hold"
	if len(t.Never) > 0 || t.Dropped > study.DropNone {
		holds = "other limits hold" // but for those that no setting keeps, or that were given up
	}
	found := &doc.Table{Columns: []doc.Column{{Head: "Setting", Left: true}, {Head: "found"},
		{Head: holds, Left: true}}}
	ends := &doc.Facts{Step: 2}
	for i := range t.Values {
		path, hold := t.Goal.Moves[i].Path, ""
		if win, ok := windows[path]; ok {
			at, _ := valueOf(t.Values[i])
			hold = windowEnd(win.From, at, win.Unit, "") + " to " +
				windowEnd(win.To, at, win.Unit, win.Unit)
			for _, end := range []struct {
				word string
				at   float64
				f    *study.Fault
			}{{"below", win.From, win.Low}, {"above", win.To, win.High}} {
				if end.f != nil {
					ends.Add(doc.Cell{Words: clean(path) + " " + end.word + " " +
						windowEnd(end.at, at, win.Unit, win.Unit) + ": "},
						doc.Sayf("{} ({})", placeCell(end.f.Name, end.f.Where),
							doc.Name(end.f.State))...)
				}
			}
		}
		found.Add(doc.Name(path), doc.Name(t.Values[i]), doc.Cell{Words: hold})
	}
	d.Blocks = []doc.Block{head.alternative(), &doc.Paragraph{Text: doc.Say(TuneSentence(t))}}
	if !t.Infeasible {
		d.Blocks = append(d.Blocks, found, titled("What ends these ranges", ends),
			&doc.Paragraph{Text: doc.Say(tightWindows(t))}, &doc.Paragraph{Text: doc.Say(keeps(t))})
	}
	d.Blocks = append(d.Blocks, conflict(t), nevers("What no setting in the ranges puts right",
		t.Never), stays(t), beforeAfter(t),
		dueFilter(head, t), remedies(t))
	switch {
	case !t.Infeasible:
		d.Blocks = append(d.Blocks, toPaste(Override(head, t)))
	case len(t.Remedies) > 0 && t.Remedies[0].Tuned != nil:
		d.Blocks = append(d.Blocks, toPaste(override(head.Job, "tuned",
			t.Remedies[0].Tuned.Variant.Set)))
	}
	return d
}

// leastOver is the least value of a share over the call states of a report, with the state.
func leastOver(p *study.Report, name string) (least float64, state string) {
	least = math.NaN()
	for i := range p.States {
		if v := p.Value(i, name, ""); !math.IsNaN(v) && !(v >= least) {
			least, state = v, p.States[i].State.Name
		}
	}
	return least, state
}

// keeps says what of the calls reaches the callers, before and after.
func keeps(t *study.Tuning) string {
	before, _ := leastOver(t.Before, "delivered share")
	after, state := leastOver(t.Report, "delivered share")
	kept, where := leastOver(t.Report, "zoning kept")
	if math.IsNaN(after) || math.IsNaN(kept) {
		return ""
	}
	return fmt.Sprintf("The zones that call get at least %s of the heat or cold of their call (%s); as it came %s. At least %s of the possible zoning is kept (%s).",
		wholePercent(after), clean(state), wholePercent(before), wholePercent(max(0, kept)), clean(where))
}

// stays lists the faults that were given up for graver limits.
func stays(t *study.Tuning) *doc.Section {
	if t.Dropped == study.DropNone || t.Infeasible {
		return &doc.Section{}
	}
	var left []study.Fault
	for _, f := range t.Report.Faults(false) {
		same := func(n study.Fault) bool { return n.Name == f.Name && n.Where == f.Where }
		if !slices.ContainsFunc(left, same) && !slices.ContainsFunc(t.Never, same) {
			left = append(left, f)
		}
	}
	facts := &doc.Facts{}
	for _, f := range left {
		facts.Add(doc.Cell{}, doc.Sayf("{} ({}): {} against {}", placeCell(f.Name, f.Where), doc.Name(f.State),
			doc.Of(f.Finding.Quantity, f.Finding.Value), doc.With(f.Finding.Quantity, f.Finding.Limit))...)
	}
	return titled("What these settings leave", facts)
}

// remedies lists what else may be changed, each solved in every call state: alone, and with the
// settings that then serve.
func remedies(t *study.Tuning) *doc.Section {
	if len(t.Remedies) == 0 {
		return &doc.Section{}
	}
	at := func(r *study.Remedy, p *study.Report) []doc.Span {
		faults, _ := levels(p)
		share, _ := leastOver(p, "delivered share")
		text := doc.Sayf("{} at worst, callers keep {}, {}",
			doc.With(quantity.KindPressure, worstOver(p, "external static", false)),
			doc.Cell{Words: wholePercent(share)}, doc.Cell{Words: plural(faults, "fault", "faults")})
		if r == nil || !r.Bypass() {
			return text
		}
		// A bypass is paid for in the machine's margins.
		for _, margin := range []struct{ measure, text string }{
			{"below limit", ", {} below the limit"}, {"frost margin", ", {} above frost"},
		} {
			if x := worstOver(p, margin.measure, true); !math.IsNaN(x) {
				text = append(text, doc.Sayf(margin.text,
					doc.With(measureKind(p.Measures, margin.measure), x))...)
			}
		}
		return text
	}
	facts := &doc.Facts{Step: 2}
	facts.Add(doc.Cell{Words: "as it came: "}, at(nil, t.Before)...)
	for i := range t.Remedies {
		r := &t.Remedies[i]
		item := doc.Item{Text: doc.Say(clean(moveWords(r.Moves)))}
		item.Under = append(item.Under, doc.Item{Head: doc.Cell{Words: "alone: "}, Text: at(r,
			r.Report)})
		if r.Tuned == nil {
			item.Under = append(item.Under, doc.Item{Head: doc.Cell{Words: "no settings serve with it"}})
		} else {
			var values []string
			for k, v := range r.Values {
				values = append(values, shortPath(t.Goal.Moves[k].Path)+" "+v)
			}
			item.Under = append(item.Under, doc.Item{
				Head: doc.Cell{Words: "with " + clean(strings.Join(values, ", ")) + ": "},
				Text: at(r, r.Tuned),
			})
		}
		facts.Items = append(facts.Items, item)
	}
	title := "What else may be changed, solved in every call state"
	if t.Beyond {
		title = "What else may be changed, though not even all of it together lets settings serve"
	}
	return titled(title, facts)
}

// windowStep is the finest that a range of a setting is told in: a setting is not made closer.
func windowStep(unit string) float64 {
	switch unit {
	case "inwc":
		return 0.01
	case "%", "Pa", "deg from open", "deg from shut":
		return 1
	}
	return 0
}

// windowEnd prints an end of a range in whole steps, inward, so that the limits hold at what is
// printed too. Shown is the unit to print.
func windowEnd(x, inside float64, unit, shown string) string {
	step := windowStep(unit)
	if step == 0 {
		return settingEnd(x, inside, shown)
	}
	whole := x / step
	switch near := math.Round(whole); {
	case math.Abs(whole-near) < 1e-9:
		whole = near
	case x < inside:
		whole = min(math.Ceil(whole), inside/step)
	default:
		whole = max(math.Floor(whole), inside/step)
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(whole*step, 'g', 10, 64), 64)
	return settingEnd(rounded, inside, shown)
}

// tightWindows warns of ranges within which a setting cannot be made by hand.
func tightWindows(t *study.Tuning) string {
	var tight []string
	for i := range t.Windows {
		if w := &t.Windows[i]; w.Tight() {
			tight = append(tight, clean(shortPath(w.Path)))
		}
	}
	if len(tight) == 0 {
		return ""
	}
	return "The range of " + strings.Join(tight,
		" and of ") + " is narrower than a damper or weight " +
		"is set by hand: set it by a reading, or take a change with more room (spillway mend)."
}

// dueFilter says how the settings do when the filter has loaded.
func dueFilter(head *Sheet, t *study.Tuning) *doc.Section {
	f := head.Job.Equipment.Filter
	if t.Filter == nil || f == nil {
		return &doc.Section{}
	}
	facts := &doc.Facts{}
	if len(t.Filter.Faults) == 0 {
		facts.Add(doc.Cell{}, doc.Sayf("With a due filter, {} times its clean drop, the same "+
			"limits hold.",
			doc.Cell{Words: settingText(study.DueLoading, "")})...)
		return titled("Filter", facts)
	}
	loading := math.Floor(t.Filter.HoldsTo*10) / 10
	if loading <= max(f.Loading, 1) {
		facts.Add(doc.Cell{}, doc.Say("The limits hold with the filter as it is and not when it "+
			"loads: take a larger one, or --due.")...)
	} else {
		facts.Add(doc.Cell{}, doc.Sayf("The limits hold up to {} times its clean drop, which is "+
			"{} at {}: change it by then, or take a larger one.",
			doc.Cell{Words: settingText(loading, "")},
			doc.With(quantity.KindPressure, loading*float64(f.Drop)),
			doc.With(quantity.KindAirflow, float64(f.At)))...)
	}
	worst := t.Filter.Faults[0]
	for _, other := range t.Filter.Faults[1:] {
		if other.Name == worst.Name && other.Finding.Excess() > worst.Finding.Excess() {
			worst = other
		}
	}
	facts.Add(doc.Cell{}, doc.Sayf("When it is due, at {} times: {} ({}) {} against {}; {} in all.",
		doc.Cell{Words: settingText(study.DueLoading, "")}, placeCell(worst.Name, worst.Where),
		doc.Name(worst.State), doc.Of(worst.Finding.Quantity, worst.Finding.Value),
		doc.With(worst.Finding.Quantity, worst.Finding.Limit),
		doc.Cell{Words: plural(len(t.Filter.Faults), "fault", "faults")})...)
	return titled("Filter", facts)
}

// TuneSentence says in a sentence or two what tuning found.
func TuneSentence(t *study.Tuning) string {
	limits := "no fault"
	if t.Goal.Cautions {
		limits = "no fault and no caution"
	}
	ground := fmt.Sprintf("%s looked at by solving %s", plural(t.Solved, "variant was", "variants were"), plural(t.States, "call state", "call states"))
	switch {
	case t.Infeasible && t.Proved:
		ground = plural(t.States, "call state was", "call states were") + " solved to prove it"
	case t.Meets && t.Proved:
		ground += ", and none in the ranges serves better"
	case !t.Proved:
		ground += "; the search was cut short, so that something better may be left"
	}
	want := map[study.Priority]string{study.Least: "the dampers of satisfied zones open as little as can be",
		study.Quiet: "the loudest register is as quiet as can be", study.Comfort: "satisfied zones are driven past their set points as little as can be",
		study.Energy: "the blower takes least power for the heat that reaches calling zones", study.Static: "the greatest static is as low as can be"}[t.Goal.Priority]
	proof := "No settings in the ranges keep"
	if !t.Proved && len(t.Never) == 0 {
		proof = "No settings were found that keep"
	}
	switch {
	case t.Infeasible:
		return fmt.Sprintf("%s the hard limits and the zoning together, so none is proposed (%s). What keeps them from it, and what else can be done, is below.", proof, ground)
	case t.Dropped >= study.DropComfort:
		return fmt.Sprintf("%s every limit. These keep the hard limits and the zoning, give up comfort where it is against them, and %s (%s).", proof, want, ground)
	case t.Dropped == study.DropGuidelines:
		return fmt.Sprintf("%s every limit. These keep all but guidelines, and %s (%s).", proof, want, ground)
	case t.Meets && len(t.Never) == 0:
		return fmt.Sprintf("With these settings there is %s in any call state, and %s (%s).", limits, want, ground)
	}
	return fmt.Sprintf("With these settings every limit holds in every call state but for those below that no setting in the ranges keeps, and %s (%s).", want, ground)
}

// conflict says which limits exclude one another.
func conflict(t *study.Tuning) *doc.Section {
	c := t.Conflict
	if c == nil {
		return &doc.Section{}
	}
	title := "What cannot be kept together"
	if !c.Proved {
		title = "What was never seen kept together (not proved)"
	}
	facts := &doc.Facts{}
	for i, check := range c.Checks {
		text := doc.Sayf("{} ({})", placeCell(check.Name, check.Where), doc.Name(check.State))
		if at := &c.At[i]; !math.IsNaN(c.Beyond[i]) && !math.IsNaN(at.Limit) {
			text = append(text, doc.Sayf(": with the rest kept it comes no nearer than {} against {}",
				doc.Of(at.Quantity, at.Value), doc.With(at.Quantity, at.Limit))...)
		}
		facts.Add(doc.Cell{}, text...)
	}
	return titled(title, facts)
}

// beforeAfter sets the job as it came beside the job as tuned, and with each blade 5 degrees off.
func beforeAfter(t *study.Tuning) *doc.Table {
	columns, cells := worstColumns([]*study.Report{t.Report})
	table := &doc.Table{Columns: append([]doc.Column{{Head: "Worst over all call states", Left: true}}, columns...)}
	row := func(name string, p *study.Report) { table.Add(append([]doc.Cell{doc.Name(name)}, cells(p)...)...) }
	row("as it came", t.Before)
	if !t.Infeasible {
		row("as found", t.Report)
	}
	for _, l := range t.Leeway {
		x, unit := valueOf(l.Value)
		row(fmt.Sprintf("%s %s (blade %+.0f°)", shortPath(l.Path), settingText(math.Round(x), unit),
			l.Degrees), l.Report)
	}
	if t.Filter != nil {
		row("as found, filter due", t.Filter.Report)
	}
	return table
}

// valueOf takes "75 %" apart.
func valueOf(text string) (x float64, unit string) {
	first, unit, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(first, 64)
	if err != nil {
		return math.NaN(), text
	}
	return x, unit
}

// shortPath leaves the table's name and the key out of "damper.main.stop".
func shortPath(path string) string {
	parts := strings.Split(path, ".")
	if len(parts) == 3 {
		return parts[1]
	}
	return path
}

// Override is the piece of job file that applies a tuning: an alternative of its own, like the one that was tuned.
func Override(head *Sheet, t *study.Tuning) string {
	return override(head.Job, "tuned", t.Variant.Set)
}

// override writes settings PATH=VALUE as an alternative in TOML, under a name that the job does not have yet.
func override(job *network.Job, name string, set []string) string {
	return network.AlternativeText(job.FreeAlternative(name), "", job.Alternative, set)
}

// TuneJSON writes a tuning as one document.
func TuneJSON(w io.Writer, head *Sheet, t *study.Tuning) error {
	m := tradeOf(head.Units)
	o := studyObject(head)
	settings, pasted := list{}, ""
	if !t.Infeasible {
		pasted = Override(head, t)
	}
	for i, move := range t.Goal.Moves {
		var value any // null where none is proposed
		if !t.Infeasible {
			value = t.Values[i]
		}
		s := object{{"path", move.Path}, {"value", value}, {"unit", move.Unit()}, {"holds_from", math.NaN()}, {"holds_to", math.NaN()}}
		for _, win := range t.Windows {
			if win.Path == move.Path {
				s[3].value, s[4].value = win.From, win.To
			}
		}
		settings = append(settings, s)
	}
	o = append(o, member{"priority", string(t.Goal.Priority)}, member{"meets", t.Meets}, member{"proved", t.Proved}, member{"solved", t.Solved}, member{"solved_states", t.States}, member{"settings", settings},
		member{"override", pasted})
	conflict := list{}
	if t.Conflict != nil {
		o = append(o, member{"conflict_proved", t.Conflict.Proved})
		for i, c := range t.Conflict.Checks {
			unit := m.forQuantity(t.Conflict.At[i].Quantity)
			conflict = append(conflict, object{{"state", c.State}, {"check", c.Name}, {"where", c.Where}, {"nearest", unit.of(t.Conflict.At[i].Value)},
				{"limit", unit.of(t.Conflict.At[i].Limit)}, {"unit", unit.plain}})
		}
	}
	nevers := list{}
	for _, f := range t.Never {
		nevers = append(nevers, findingObject(f.State, f.Finding, m))
	}
	leeway := list{}
	for _, l := range t.Leeway {
		faults, cautions := levels(l.Report)
		leeway = append(leeway, object{{"path", l.Path}, {"value", l.Value}, {"degrees", l.Degrees}, {"faults", faults}, {"cautions", cautions},
			{"static_moves" + m.pressure.key, m.pressure.of(l.StaticMoves)}})
	}
	return writeObject(w, append(o, member{"conflict", conflict}, member{"never", nevers},
		member{"blade_off", leeway}, member{"due_filter", dueObject(t, m)},
		member{"beyond_catalog", t.Beyond},
		member{"states", stateObjects(t.Report, m)}, member{"remedies", remedyObjects(head, t, m)}))
}

// dueObject is how the settings do with a due filter; null where none was tried.
func dueObject(t *study.Tuning, m trade) any {
	if t.Filter == nil {
		return nil
	}
	faults, cautions := levels(t.Filter.Report)
	return object{{"loading", study.DueLoading}, {"holds_to_loading", t.Filter.HoldsTo},
		{"worst_static" + m.pressure.key,
			m.pressure.of(worstOver(t.Filter.Report, "external static", false))},
		{"faults", faults}, {"cautions", cautions}}
}

// remedyObjects are the changes beside the settings: alone, and with the settings that then serve,
// null where none do.
func remedyObjects(head *Sheet, t *study.Tuning, m trade) list {
	figures := func(p *study.Report) object {
		faults, cautions := levels(p)
		share, _ := leastOver(p, "delivered share")
		return object{
			{"worst_static" + m.pressure.key, m.pressure.of(worstOver(p, "external static", false))},
			{"least_delivered_share", share}, {"faults", faults}, {"cautions", cautions},
		}
	}
	all := list{}
	for i := range t.Remedies {
		r := &t.Remedies[i]
		o := object{{"set", r.Set}, {"alone", figures(r.Report)}, {"with_settings", nil}}
		if r.Tuned != nil {
			var values object
			for k, v := range r.Values {
				values = append(values, member{t.Goal.Moves[k].Path, v})
			}
			o[2].value = append(append(object{{"values", values}}, figures(r.Tuned)...),
				member{"override", override(head.Job, "tuned", r.Tuned.Variant.Set)})
		}
		all = append(all, o)
	}
	return all
}

// TuneCSV writes the settings that were found: path, value, holds from, holds to.
func TuneCSV(w io.Writer, t *study.Tuning) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"path", "value", "unit", "holds_from", "holds_to", "meets"}) // the error stays in the writer
	for i, move := range t.Goal.Moves {
		from, to := "", ""
		for _, win := range t.Windows {
			if win.Path == move.Path {
				from, to = figure(win.From), figure(win.To)
			}
		}
		value := ""
		if !t.Infeasible {
			value = t.Values[i]
		}
		_ = out.Write([]string{guard(move.Path), guard(value), move.Unit(), from, to, fmt.Sprint(t.Meets)})
	}
	out.Flush()
	return out.Error()
}

// Reach says where a setting must stand for a target, with the line to paste.
func Reach(head *Sheet, r Reached) *Document {
	d := head.document()
	faults, cautions := count(r.Findings, verdict.Fault), count(r.Findings, verdict.Caution)
	d.Blocks = []doc.Block{
		&doc.Paragraph{Text: doc.Sayf("With {} at {}, {} goes into {} in {}.", doc.Name(r.Path), doc.Name(settingText(r.X, r.Unit)),
			doc.With(quantity.KindAirflow, r.Airflow).To(1), doc.Name(r.Zone), doc.Name(r.State))},
		&doc.Paragraph{Close: true, Text: doc.Say(fmt.Sprintf("That call state then has %s and %s.",
			plural(faults, "fault", "faults"), plural(cautions, "caution", "cautions")))},
		toPaste(override(head.Job, "tuned", []string{r.Path + "=" + r.Value}))}
	return d
}

// ReachJSON says as one document where a setting must stand for a target.
func ReachJSON(w io.Writer, head *Sheet, r Reached) error {
	m := tradeOf(head.Units)
	findings := list{}
	for _, f := range r.Findings {
		findings = append(findings, findingObject(r.State, f, m))
	}
	return writeObject(w, append(studyObject(head), member{"state", r.State}, member{"path", r.Path}, member{"value", r.Value}, member{"zone", r.Zone},
		member{"gets" + m.airflow.key, m.airflow.of(r.Airflow)}, member{"findings", findings},
		member{"override", override(head.Job, "tuned", []string{r.Path + "=" + r.Value})}))
}

// ReachCSV writes one row: the setting, its value, and what then goes into the zone.
func ReachCSV(w io.Writer, head *Sheet, r Reached) error {
	m := tradeOf(head.Units)
	return csv.NewWriter(w).WriteAll([][]string{{"state", "path", "value", "zone", "gets" + m.airflow.key},
		{guard(r.State), guard(r.Path), guard(r.Value), guard(r.Zone), figure(m.airflow.of(r.Airflow))}})
}

// Reached is a setting at which an airflow into a zone was reached.
type Reached struct {
	Path, Value, Unit, State, Zone string
	X, Airflow                     float64 // in Unit; m³/s
	Findings                       []verdict.Finding
}

// wholePercent prints a share, "79 %".
func wholePercent(share float64) string {
	return quantity.KindFraction.NumberTo(share, quantity.IP, 0) + " %"
}
