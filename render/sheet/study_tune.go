package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// TuneText writes the settings that were found, as text for people with a piece of job file to paste.
func TuneText(w io.Writer, head *Sheet, t *study.Tuning, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n")
	if head.Job.Alternative != "" {
		paragraph(&b, 0, "Alternative: ", clean(head.Job.Alternative), style, plainTone)
	}
	b.WriteByte('\n')
	paragraph(&b, 0, "", TuneSentence(t), style, plainTone)
	b.WriteByte('\n')
	windows := map[string]study.Window{}
	for _, win := range t.Windows {
		windows[win.Path] = win
	}
	holds := "limits hold"
	if len(t.Never) > 0 {
		holds = "other limits hold" // but for those that no setting keeps
	}
	table1 := table{columns: []column{{head: "Setting", left: true}, {head: "found"}, {head: holds, left: true}, {head: "until", left: true, yields: true}}}
	for i, move := range t.Goal.Moves {
		win, ok := windows[move.Path]
		hold, until := "", ""
		if ok {
			found, _ := valueOf(t.Values[i])
			hold = settingEnd(win.From, found, "") + " to " + settingEnd(win.To, found, win.Unit)
			var ends []string
			for _, f := range []*study.Fault{win.Low, win.High} {
				if f != nil {
					ends = append(ends, checkName(f.Name, f.Where)+" ("+clean(f.State)+")")
				}
			}
			until = strings.Join(ends, "; ")
		}
		table1.add(cell{text: clean(move.Path)}, cell{text: clean(t.Values[i])}, cell{text: hold}, cell{text: until})
	}
	table1.write(&b, 0, style)
	conflictText(&b, t, m, style)
	tuneNever(&b, t, m, style)
	beforeAfter(&b, t, m, style)
	paste(&b, head, t, style)
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
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

func conflictText(b *strings.Builder, t *study.Tuning, m trade, style Style) {
	c := t.Conflict
	if c == nil {
		return
	}
	title := "What cannot be kept together"
	if !c.Proved {
		title = "What was never seen kept together (not proved)"
	}
	b.WriteString("\n" + style.paint(title, heading) + "\n")
	for i, check := range c.Checks {
		text := checkName(check.Name, check.Where) + " (" + clean(check.State) + ")"
		if !math.IsNaN(c.Beyond[i]) && !math.IsNaN(c.At[i].Limit) {
			unit := m.forQuantity(c.At[i].Quantity)
			text += ": with the rest kept it comes no nearer than " + unit.text(c.At[i].Value) + " against " + unit.with(c.At[i].Limit)
		}
		paragraph(b, 2, "", text, style, plainTone)
	}
}

func tuneNever(b *strings.Builder, t *study.Tuning, m trade, style Style) {
	if len(t.Never) == 0 {
		return
	}
	b.WriteString("\n" + style.paint("What no setting in the ranges puts right", heading) + "\n")
	for _, f := range t.Never {
		paragraph(b, 2, "", "at best "+against(f.Finding, m)+" ("+clean(f.State)+")", style, plainTone)
	}
}

// beforeAfter sets the job as it came beside the job as tuned, and with each blade 5 degrees off.
func beforeAfter(b *strings.Builder, t *study.Tuning, m trade, style Style) {
	tab := table{columns: []column{{head: "Worst over all call states", left: true}}}
	type shown struct {
		name string
		more bool
		unit measure
	}
	var columns []shown
	for _, c := range sweepColumns {
		for i := range t.Report.Measures {
			if q := &t.Report.Measures[i]; q.Name == c.measure && !math.IsNaN(worstOver(t.Report, c.measure, c.more)) {
				unit := m.forQuantity(q.Quantity)
				columns = append(columns, shown{c.measure, c.more, unit})
				tab.columns = append(tab.columns, column{above: c.head, head: unit.label})
			}
		}
	}
	tab.columns = append(tab.columns, column{head: "F/c"})
	row := func(name string, p *study.Report) {
		cells := plain(name)
		for _, c := range columns {
			cells = append(cells, cell{text: show(c.unit, worstOver(p, c.name, c.more))})
		}
		tab.add(append(cells, levelCell(levels(p)))...)
	}
	row("as it came", t.Before)
	row("as found", t.Report)
	for _, l := range t.Leeway {
		row(fmt.Sprintf("%s at %s (%+.0f° of blade)", clean(shortPath(l.Path)), settingText(valueOf(l.Value)), l.Degrees), l.Report)
	}
	b.WriteByte('\n')
	tab.write(b, 0, style)
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

// paste writes the settings as they go into the job file.
func paste(b *strings.Builder, head *Sheet, t *study.Tuning, style Style) {
	b.WriteString("\n" + style.paint("To paste into the job file", heading) + "\n")
	b.WriteString(indent(Override(head, t)))
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

func indent(text string) string {
	var b strings.Builder
	for line := range strings.Lines(text) {
		b.WriteString("  " + line)
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
				from, to = string(appendNumber(nil, win.From)), string(appendNumber(nil, win.To))
			}
		}
		_ = out.Write([]string{guard(move.Path), guard(t.Values[i]), move.Unit(), from, to, fmt.Sprint(t.Meets)})
	}
	out.Flush()
	return out.Error()
}

// ReachText says where a setting must stand for a target, with the line to paste.
func ReachText(w io.Writer, head *Sheet, r Reached, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n\n")
	paragraph(&b, 0, "", fmt.Sprintf("With %s at %s, %s goes into %s in %s.", clean(r.Path), settingText(r.X, r.Unit), m.airflow.textTo(r.Airflow, 1)+" "+m.airflow.label,
		clean(r.Zone), clean(r.State)), style, plainTone)
	faults, cautions := count(r.Findings, verdict.Fault), count(r.Findings, verdict.Caution)
	paragraph(&b, 0, "", fmt.Sprintf("That call state then has %s and %s.", plural(faults, "fault", "faults"), plural(cautions, "caution", "cautions")), style, plainTone)
	b.WriteString("\n" + style.paint("To paste into the job file", heading) + "\n")
	b.WriteString(indent(override(head.Job, "tuned", []string{r.Path + "=" + r.Value})))
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
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
