package sheet

import (
	"fmt"
	"io"
	"math"
	"spillway/network/quantity"
	"strings"

	"spillway/network"
	"spillway/solver/diagnose"
)

// Fitted is what was found out about a set of readings, for paper.
type Fitted struct {
	File      string // of the readings
	Graph     *network.Graph
	Readings  *network.Readings
	Bench     *diagnose.Bench
	Result    *diagnose.Result
	Next      []diagnose.Next
	Knowledge *diagnose.Knowledge
	Remedy    *diagnose.Remedy
	// Top is how many causes are listed.
	Top int
}

// measureOfReading is how a kind of reading is printed.
func (t trade) measureOfReading(k network.ReadingKind) measure {
	switch k {
	case network.StaticReading, network.TotalReading, network.DropReading:
		return t.drop
	case network.AirflowReading:
		return t.airflow
	case network.FaceReading:
		return t.velocity
	case network.TemperatureReading:
		return t.temperature
	case network.RiseReading:
		return t.span
	case network.WattsReading:
		return t.power
	}
	return measureIn(quantity.KindLoudness, t.sys)
}

// spread prints a standard deviation of a kind of reading: a difference, without the offset of a temperature.
func (m measure) spread(si float64) string {
	m.kind = m.kind.Difference()
	return m.text(si)
}

// FitText writes what a set of readings says: how far the model is off, the causes that explain it, what to read next, what cannot be
// known, and what a remedy would give.
func FitText(w io.Writer, head *Sheet, f *Fitted, style Style) error {
	var b strings.Builder
	t := tradeOf(head.Units)
	b.WriteString(style.paint(clean(head.title()), heading) + "\n")
	paragraph(&b, 0, "", fmt.Sprintf("%s of %s against the job as drawn", plural(len(f.Readings.List), "reading", "readings"), clean(f.File)), style, faint)
	if f.Readings.Note != "" {
		paragraph(&b, 0, "", clean(f.Readings.Note), style, faint)
	}
	fitReadings(&b, f, t, style)
	fitCauses(&b, f, style)
	fitBad(&b, f, style)
	fitNext(&b, f, t, style)
	fitUnknown(&b, f, style)
	fitRemedy(&b, f, t, style)
	b.WriteByte('\n')
	paragraph(&b, 0, "", "Weights rest on the odds and severities that each cause is given before any reading (our choice; --format json lists them), a chance of "+
		wholePercent(diagnose.PairShare)+" for two faults at once and of 1 % for any one reading to be bad, and on how far houses differ from their drawings. A cause nobody thought of is not among them.", style, faint)
	_, err := io.WriteString(w, b.String())
	return err
}

// fitReadings is the table of model against readings.
func fitReadings(b *strings.Builder, f *Fitted, t trade, style Style) {
	table := table{columns: []column{{head: "Readings", left: true}, {head: "at", left: true, yields: true}, {head: "what", left: true}, {head: "read"}, {head: "±"}, {head: "expected"}, {head: "as built ±"}, {head: "σ off"},
		{head: "unit", left: true}, {left: true}}}
	last := ""
	for i, r := range f.Readings.List {
		if r.State != last {
			table.add(cell{text: clean(r.State), tone: heading})
			last = r.State
		}
		m := t.measureOfReading(r.Kind)
		mark := ""
		off := cell{text: signedSigma(f.Result.Off[i])}
		if math.Abs(f.Result.Off[i]) > 3 {
			off.tone = cautionTone
		}
		if f.Result.Bad[i] > 0.5 {
			mark = "bad?"
		}
		table.add(cell{text: clean(r.Name)}, cell{text: clean(r.Place.Name)}, cell{text: string(r.Kind)}, cell{text: m.text(r.Value)}, cell{text: m.spread(r.Sigma)},
			cell{text: m.text(f.Result.Base[i])}, cell{text: m.spread(f.Result.AsBuilt[i])}, off, cell{text: m.label}, cell{text: mark, tone: faultTone})
	}
	block(b, &table, style)
	worst, most := 0, 0.0
	for i, off := range f.Result.Off {
		if math.Abs(off) > most {
			worst, most = i, math.Abs(off)
		}
	}
	words := fmt.Sprintf("The model as drawn is off by up to %.1f standard deviations (%s); 2 happens by chance, 3 hardly.", most, clean(f.Readings.List[worst].Name))
	paragraph(b, 2, "", words, style, faint)
}

func signedSigma(v float64) string { return fmt.Sprintf("%+.1f", v) }

// causeName is a hypothesis in words.
func causeName(f *Fitted, h *diagnose.Hypothesis) string {
	var words []string
	for _, c := range h.Causes {
		words = append(words, f.Bench.Causes()[c].Name())
	}
	return strings.Join(words, " and ")
}

// severityWords says how bad a cause is.
func severityWords(c *diagnose.Cause, at, low, high float64) string {
	if c.Means == "" || len(c.Knots) < 2 {
		return ""
	}
	number := func(v float64) string {
		switch {
		case strings.HasPrefix(c.Means, "open") || strings.HasPrefix(c.Means, "of "):
			return fmt.Sprintf("%.0f %%", 100*v)
		case v >= 20:
			return fmt.Sprintf("%.0f", v)
		}
		return fmt.Sprintf("%.2g", v)
	}
	if number(low) == number(high) {
		return number(at) + " " + c.Means
	}
	return fmt.Sprintf("%s %s (%s to %s)", number(at), c.Means, number(low), number(high))
}

// fitCauses ranks what explains the readings.
func fitCauses(b *strings.Builder, f *Fitted, style Style) {
	b.WriteByte('\n')
	t := table{columns: []column{{head: ""}, {head: "Causes", left: true}, {head: "weight"}, {head: "χ²"}, {head: "BIC"}, {head: "how much", left: true, yields: true}}}
	for k := range min(f.Top, len(f.Result.Hypotheses)) {
		h := &f.Result.Hypotheses[k]
		if k > 1 && h.Weight < 0.005 {
			break
		}
		for n, c := range h.Causes {
			cause := &f.Bench.Causes()[c]
			amount := severityWords(cause, h.Severities[n], h.Low[n], h.High[n])
			if n == 0 {
				t.addPlain(fmt.Sprint(k+1), clean(cause.Name()), weightText(h.Weight), fmt.Sprintf("%.1f", h.Chi2), fmt.Sprintf("%.1f", h.BIC), amount)
			} else {
				t.addPlain("", "and "+clean(cause.Name()), "", "", "", amount)
			}
		}
	}
	t.write(b, 2, style)
	first := &f.Result.Hypotheses[0]
	switch {
	case !f.Result.Fits:
		paragraph(b, 2, "", fmt.Sprintf("None of these explains the readings: even the first leaves χ² = %.0f for %d readings. Look for what was not thought of, or a job file that is not this house.", first.Chi2, len(f.Readings.List)), style, faultTone)
	case len(f.Result.Twins) > 0:
		var names []string
		for _, k := range f.Result.Twins {
			names = append(names, fmt.Sprintf("%d", k+1))
		}
		paragraph(b, 2, "", "These readings cannot tell 1 from "+strings.Join(names, ", ")+": what they would show differs by less than two standard deviations.", style, cautionTone)
	case len(f.Result.Hypotheses) > 1:
		paragraph(b, 2, "", "Runner-up: "+clean(causeName(f, &f.Result.Hypotheses[1]))+", "+weightText(f.Result.Hypotheses[1].Weight)+".", style, faint)
	}
}

func weightText(w float64) string {
	switch {
	case w > 0.995:
		return ">99 %"
	case w < 0.005:
		return "<1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*w)
}

// fitBad flags a reading that does not go with the others.
func fitBad(b *strings.Builder, f *Fitted, style Style) {
	for i, chance := range f.Result.Bad {
		if chance > 0.5 {
			paragraph(b, 2, "", fmt.Sprintf("Reading %s is probably bad (%s): with the first cause all others predict it %.1f standard deviations away. It hardly counts in the ranking; take it again.",
				clean(f.Readings.List[i].Name), weightText(chance), math.Abs(f.Result.Left[i])), style, faultTone)
		}
	}
}

// fitNext names the reading that would part the leading causes best.
func fitNext(b *strings.Builder, f *Fitted, t trade, style Style) {
	if len(f.Next) == 0 || !(f.Next[0].Apart > 0) {
		return
	}
	b.WriteString("\n  " + style.paint("Read next", faint) + "\n")
	for k := range min(2, len(f.Next)) {
		n := &f.Next[k]
		m := t.measureOfReading(n.Kind)
		var parts []string
		for i, h := range n.Hypotheses[:min(3, len(n.Hypotheses))] {
			parts = append(parts, fmt.Sprintf("%s if it is %d", m.with(n.Expected[i]), h+1))
		}
		head := "best      "
		if k > 0 {
			head = "or        "
		}
		paragraph(b, 2, head, fmt.Sprintf("%s at %s in %s: %s; the first two are %.1f standard deviations apart there", n.Kind, clean(n.Place.Name), clean(n.State), strings.Join(parts, ", "), n.Apart), style, plainTone)
	}
}

// fitUnknown says what the readings cannot determine.
func fitUnknown(b *strings.Builder, f *Fitted, style Style) {
	k := f.Knowledge
	if k == nil {
		return
	}
	b.WriteString("\n  " + style.paint("What these readings determine", faint) + "\n")
	paragraph(b, 2, "", fmt.Sprintf("%d of %d combinations of resistances, blower and leaks. Hardly improved on what drawings and tables say (±%s): %s.", k.Determined, len(k.Names),
		wholePercent(diagnose.PriorSigma), orNone(k.Undetermined())), style, plainTone)
	if len(k.Together) > 0 {
		var pairs []string
		for _, p := range k.Together {
			pairs = append(pairs, k.Names[p[0]]+" with "+k.Names[p[1]])
		}
		paragraph(b, 2, "", "Known only together: "+clean(strings.Join(pairs, "; "))+".", style, plainTone)
	}
}

func orNone(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	return clean(strings.Join(names, ", "))
}

// fitRemedy is what putting the first cause right would give.
func fitRemedy(b *strings.Builder, f *Fitted, t trade, style Style) {
	if f.Remedy == nil || len(f.Remedy.States) == 0 {
		return
	}
	first := &f.Result.Hypotheses[f.Remedy.Hypothesis]
	if f.Bench.Causes()[first.Causes[0]].Kind == diagnose.Nothing {
		return
	}
	table := table{columns: []column{{above: "Put right:", head: clean(causeName(f, first)), left: true, yields: true}, {above: "blower", head: t.airflow.label}, {head: "then"}, {above: "static", head: t.pressure.label}, {head: "then"},
		{above: "surplus", head: t.airflow.label}, {head: "then"}, {above: "short", head: t.airflow.label}, {head: "then"}, {above: "fastest face", head: t.velocity.label}, {head: "then"}}}
	for _, s := range f.Remedy.States {
		table.addPlain(clean(s.State), t.airflow.text(s.Airflow), t.airflow.text(s.AirflowAfter), t.pressure.text(s.Static), t.pressure.text(s.StaticAfter), t.airflow.text(s.Surplus), t.airflow.text(s.SurplusAfter),
			t.airflow.text(s.Shortfall), t.airflow.text(s.AfterShort), t.velocity.text(s.LoudestFace), t.velocity.text(s.FaceAfter))
	}
	block(b, &table, style)
}
