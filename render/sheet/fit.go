package sheet

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
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

// readingKind is how a kind of reading is printed.
func readingKind(k network.ReadingKind) quantity.Kind {
	switch k {
	case network.StaticReading, network.TotalReading, network.DropReading:
		return quantity.KindPressure
	case network.AirflowReading:
		return quantity.KindAirflow
	case network.FaceReading:
		return quantity.KindVelocity
	case network.TemperatureReading:
		return quantity.KindTemperature
	case network.RiseReading:
		return quantity.KindTemperatureSpan
	case network.WattsReading:
		return quantity.KindElectricity
	}
	return quantity.KindLoudness
}

// measureOfReading is how a kind of reading is printed in a system.
func (t trade) measureOfReading(k network.ReadingKind) measure { return t.forQuantity(readingKind(k)) }

// spreadOf is a standard deviation of a kind of reading: a difference, without the offset of a temperature.
func spreadOf(k quantity.Kind, si float64, s quantity.System) doc.Cell {
	return doc.Of(k.Difference(), si).To(k.Rounded(s))
}

// Fit is what a set of readings says: how far the model is off, the causes that explain it, what to read next, what cannot be
// known, and what a remedy would give.
func Fit(head *Sheet, f *Fitted) *Document {
	d := head.document()
	d.Blocks = []doc.Block{
		&doc.Paragraph{Text: doc.Sayf(plural(len(f.Readings.List), "reading", "readings")+" of {} against the job as drawn", doc.Name(f.File)), Close: true},
		&doc.Paragraph{Text: noteOf(f.Readings.Note), Close: true},
		&doc.Section{Blocks: slices.Concat(fitReadings(f, head.Units), fitCauses(f), fitBad(f), []doc.Block{fitNext(f), fitUnknown(f), fitRemedy(f)})}}
	d.Closing = doc.Sayf("Weights rest on the odds and severities that each cause is given before any reading (our choice; --format json lists them), a chance of "+
		"{} for two faults at once and of 1 % for any one reading to be bad, and on how far houses differ from their drawings. A cause nobody thought of is not among them.",
		wholeCell(diagnose.PairShare))
	return d
}

// noteOf is a note of the user's, if there is one.
func noteOf(note string) []doc.Span {
	if note == "" {
		return nil
	}
	return doc.Sayf("{}", doc.Name(note))
}

// wholeCell is a share in whole percent.
func wholeCell(share float64) doc.Cell { return doc.With(quantity.KindFraction, share).To(0) }

// fitReadings is the table of model against readings.
func fitReadings(f *Fitted, units quantity.System) []doc.Block {
	table := &doc.Table{Columns: []doc.Column{{Head: "Readings", Left: true}, {Head: "at", Left: true, Yields: true}, {Head: "what", Left: true}, {Head: "read"}, {Head: "±"},
		{Head: "expected"}, {Head: "as built ±"}, {Head: "σ off"}, {Head: "unit", Left: true}, {Left: true}}}
	last, worst, most := "", 0, 0.0
	for i, r := range f.Readings.List {
		if r.State != last {
			table.Line(doc.Name(r.State).Toned(doc.Heading))
			last = r.State
		}
		off := doc.Name(fmt.Sprintf("%+.1f", f.Result.Off[i]))
		if math.Abs(f.Result.Off[i]) > 3 {
			off.Tone = doc.Caution
		}
		mark := doc.Cell{Tone: doc.Fault}
		if f.Result.Bad[i] > 0.5 {
			mark.Words = "bad?"
		}
		if math.Abs(f.Result.Off[i]) > most {
			worst, most = i, math.Abs(f.Result.Off[i])
		}
		k := readingKind(r.Kind)
		table.Add(doc.Name(r.Name), doc.Name(r.Place.Name), doc.Name(string(r.Kind)), doc.Of(k, r.Value), spreadOf(k, r.Sigma, units),
			doc.Of(k, f.Result.Base[i]), spreadOf(k, f.Result.AsBuilt[i], units), off, doc.Name(k.Label(units)), mark)
	}
	return []doc.Block{table, &doc.Paragraph{Close: true, Text: doc.Sayf(fmt.Sprintf("The model as drawn is off by up to %.1f standard deviations ({}); 2 happens by chance, 3 hardly.", most),
		doc.Name(f.Readings.List[worst].Name))}}
}

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
func fitCauses(f *Fitted) []doc.Block {
	t := &doc.Table{Columns: []doc.Column{{Head: ""}, {Head: "Causes", Left: true}, {Head: "weight"}, {Head: "χ²"}, {Head: "BIC"}, {Head: "how much", Left: true, Yields: true}}}
	for k := range min(f.Top, len(f.Result.Hypotheses)) {
		h := &f.Result.Hypotheses[k]
		if k > 1 && h.Weight < 0.005 {
			break
		}
		for n, c := range h.Causes {
			cause := &f.Bench.Causes()[c]
			amount := doc.Name(severityWords(cause, h.Severities[n], h.Low[n], h.High[n]))
			if n == 0 {
				t.Add(doc.Count(k+1), doc.Name(cause.Name()), doc.Name(weightText(h.Weight)), doc.Of(quantity.KindNumber, h.Chi2).To(1), doc.Of(quantity.KindNumber, h.BIC).To(1), amount)
			} else {
				t.Add(doc.Cell{}, doc.Name("and "+cause.Name()), doc.Cell{}, doc.Cell{}, doc.Cell{}, amount)
			}
		}
	}
	reading := &doc.Paragraph{Close: true}
	switch {
	case !f.Result.Fits:
		reading.Text = doc.Say(fmt.Sprintf("None of these explains the readings: even the first leaves χ² = %.0f for %d readings. Look for what was not thought of, or a job file that is not this house.",
			f.Result.Hypotheses[0].Chi2, len(f.Readings.List)))
	case len(f.Result.Twins) > 0:
		var names []string
		for _, k := range f.Result.Twins {
			names = append(names, fmt.Sprint(k+1))
		}
		reading.Text = doc.Say("These readings cannot tell 1 from " + strings.Join(names, ", ") + ": what they would show differs by less than two standard deviations.")
	case len(f.Result.Hypotheses) > 1:
		reading.Text = doc.Sayf("Runner-up: {}, {}.", doc.Name(causeName(f, &f.Result.Hypotheses[1])), doc.Name(weightText(f.Result.Hypotheses[1].Weight)))
	}
	return []doc.Block{t, reading}
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
func fitBad(f *Fitted) (blocks []doc.Block) {
	for i, chance := range f.Result.Bad {
		if chance > 0.5 {
			blocks = append(blocks, &doc.Paragraph{Close: true, Text: doc.Sayf("Reading {} is probably bad ({}): with the first cause all others predict it {} standard deviations away. It hardly counts in the ranking; take it again.",
				doc.Name(f.Readings.List[i].Name), doc.Name(weightText(chance)), doc.Of(quantity.KindNumber, math.Abs(f.Result.Left[i])).To(1))})
		}
	}
	return blocks
}

// fitNext names the reading that would part the leading causes best.
func fitNext(f *Fitted) *doc.Facts {
	facts := &doc.Facts{Title: "Read next", Align: 8}
	if len(f.Next) == 0 || !(f.Next[0].Apart > 0) {
		return facts
	}
	for k := range min(2, len(f.Next)) {
		n := &f.Next[k]
		var parts [][]doc.Span
		for i, h := range n.Hypotheses[:min(3, len(n.Hypotheses))] {
			parts = append(parts, doc.Sayf(fmt.Sprintf("{} if it is %d", h+1), doc.With(readingKind(n.Kind), n.Expected[i])))
		}
		facts.Add(doc.Name([]string{"best", "or"}[k]), slices.Concat(doc.Sayf("{} at {} in {}: ", doc.Name(string(n.Kind)), doc.Name(n.Place.Name), doc.Name(n.State)),
			doc.Join(parts, ", "), doc.Say(fmt.Sprintf("; the first two are %.1f standard deviations apart there", n.Apart)))...)
	}
	return facts
}

// fitUnknown says what the readings cannot determine.
func fitUnknown(f *Fitted) *doc.Facts {
	facts := &doc.Facts{Title: "What these readings determine"}
	k := f.Knowledge
	if k == nil {
		return facts
	}
	facts.Add(doc.Cell{}, doc.Sayf(fmt.Sprintf("%d of %d combinations of resistances, blower and leaks. Hardly improved on what drawings and tables say (±{}): {}.", k.Determined, len(k.Names)),
		wholeCell(diagnose.PriorSigma), doc.Name(cmp.Or(strings.Join(k.Undetermined(), ", "), "none")))...)
	if len(k.Together) > 0 {
		var pairs []string
		for _, p := range k.Together {
			pairs = append(pairs, k.Names[p[0]]+" with "+k.Names[p[1]])
		}
		facts.Add(doc.Cell{}, doc.Sayf("Known only together: {}.", doc.Name(strings.Join(pairs, "; ")))...)
	}
	return facts
}

// fitRemedy is what putting the first cause right would give.
func fitRemedy(f *Fitted) *doc.Table {
	table := &doc.Table{}
	if f.Remedy == nil || len(f.Remedy.States) == 0 {
		return table
	}
	first := &f.Result.Hypotheses[f.Remedy.Hypothesis]
	if f.Bench.Causes()[first.Causes[0]].Kind == diagnose.Nothing {
		return table
	}
	then := doc.Column{Head: "then"}
	table.Columns = []doc.Column{{Above: "Put right:", Head: clean(causeName(f, first)), Left: true, Yields: true},
		{Above: "blower", Kind: quantity.KindAirflow, Unit: true}, then, {Above: "static", Kind: quantity.KindStatic, Unit: true}, then,
		{Above: "surplus", Kind: quantity.KindAirflow, Unit: true}, then, {Above: "short", Kind: quantity.KindAirflow, Unit: true}, then,
		{Above: "fastest face", Kind: quantity.KindVelocity, Unit: true}, then}
	for _, s := range f.Remedy.States {
		table.Add(doc.Name(s.State), airflowCell(s.Airflow), airflowCell(s.AirflowAfter), staticCell(s.Static), staticCell(s.StaticAfter), airflowCell(s.Surplus),
			airflowCell(s.SurplusAfter), airflowCell(s.Shortfall), airflowCell(s.AfterShort), velocityCell(s.LoudestFace), velocityCell(s.FaceAfter))
	}
	return table
}
