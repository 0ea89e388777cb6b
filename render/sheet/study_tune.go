package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
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
	if len(t.Never) > 0 {
		holds = "other limits hold" // but for those that no setting keeps
	}
	found := &doc.Table{Columns: []doc.Column{{Head: "Setting", Left: true}, {Head: "found"}, {Head: holds, Left: true},
		{Head: "until", Left: true, Yields: true}}}
	for i, move := range t.Goal.Moves {
		win, ok := windows[move.Path]
		hold, until := "", ""
		if ok {
			at, _ := valueOf(t.Values[i])
			hold = settingEnd(win.From, at, "") + " to " + settingEnd(win.To, at, win.Unit)
			var ends []string
			for _, f := range []*study.Fault{win.Low, win.High} {
				if f != nil {
					ends = append(ends, checkName(f.Name, f.Where)+" ("+clean(f.State)+")")
				}
			}
			until = strings.Join(ends, "; ")
		}
		found.Add(doc.Name(move.Path), doc.Name(t.Values[i]), doc.Cell{Words: hold}, doc.Cell{Words: until})
	}
	d.Blocks = []doc.Block{head.alternative(), &doc.Paragraph{Text: doc.Say(TuneSentence(t))}, found, conflict(t),
		nevers("What no setting in the ranges puts right", t.Never), beforeAfter(t), toPaste(Override(head, t))}
	return d
}

// TuneSentence says in a sentence or two what tuning found.
func TuneSentence(t *study.Tuning) string {
	limits := "no fault"
	if t.Goal.Cautions {
		limits = "no fault and no caution"
	}
	ground := fmt.Sprintf("%s looked at by solving %s", plural(t.Solved, "variant was", "variants were"), plural(t.States, "call state", "call states"))
	switch {
	case t.Meets && t.Proved:
		ground += ", and none in the ranges serves better"
	case !t.Proved:
		ground += "; the search was cut short, so that something better may be left"
	}
	want := map[study.Priority]string{study.Quiet: "the loudest register is as quiet as can be", study.Comfort: "satisfied zones drift as little as can be",
		study.Energy: "the blower takes least power for the heat that reaches calling zones", study.Static: "the greatest static is as low as can be"}[t.Goal.Priority]
	switch {
	case t.Meets && len(t.Never) == 0:
		return fmt.Sprintf("With these settings there is %s in any call state, and %s (%s).", limits, want, ground)
	case t.Meets:
		return fmt.Sprintf("With these settings every limit holds in every call state but for those below that no setting in the ranges keeps, and %s (%s).", want, ground)
	}
	return fmt.Sprintf("No settings in the ranges keep every limit. These are the best compromise: least beyond the limits, all together (%s).", ground)
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
	row("as found", t.Report)
	for _, l := range t.Leeway {
		row(fmt.Sprintf("%s at %s (%+.0f° of blade)", shortPath(l.Path), settingText(valueOf(l.Value)), l.Degrees), l.Report)
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
	var b strings.Builder
	fmt.Fprintf(&b, "[alternative.%s]\n", job.FreeAlternative(name))
	if job.Alternative != "" {
		fmt.Fprintf(&b, "like = %s\n", TOMLText(job.Alternative))
	}
	last := map[string]string{}
	var order []string
	for _, assignment := range set {
		path, value, _ := strings.Cut(assignment, "=")
		if _, again := last[path]; !again {
			order = append(order, path)
		}
		last[path] = value
	}
	for _, path := range order {
		fmt.Fprintf(&b, "%s = %s\n", path, TOMLValue(last[path]))
	}
	return b.String()
}

// TuneJSON writes a tuning as one document.
func TuneJSON(w io.Writer, head *Sheet, t *study.Tuning) error {
	m := tradeOf(head.Units)
	o := studyObject(head)
	settings := list{}
	for i, move := range t.Goal.Moves {
		s := object{{"path", move.Path}, {"value", t.Values[i]}, {"unit", move.Unit()}, {"holds_from", math.NaN()}, {"holds_to", math.NaN()}}
		for _, win := range t.Windows {
			if win.Path == move.Path {
				s[3].value, s[4].value = win.From, win.To
			}
		}
		settings = append(settings, s)
	}
	o = append(o, member{"priority", string(t.Goal.Priority)}, member{"meets", t.Meets}, member{"proved", t.Proved}, member{"solved", t.Solved}, member{"solved_states", t.States}, member{"settings", settings},
		member{"override", Override(head, t)})
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
	return writeObject(w, append(o, member{"conflict", conflict}, member{"never", nevers}, member{"blade_off", leeway}, member{"states", stateObjects(t.Report, m)}))
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
		_ = out.Write([]string{guard(move.Path), guard(t.Values[i]), move.Unit(), from, to, fmt.Sprint(t.Meets)})
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
