package sheet

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"spillway/render/internal/doc"
	"spillway/solver/study"
)

// spreadRows are the measures that the text of a spread shows; JSON and CSV have all of them.
var spreadRows = [...]string{"external static", "surplus", "recirculated", "below limit", "frost margin", "worst drift", "loudest register"}

// Spread is how sure results are: 5, 50 and 95 % of what may be, where the spread comes from, and how likely limits hold.
func Spread(head *Sheet, s *study.Spread) *Document {
	from := "the job's [doubt]"
	if s.Assumed {
		from = "usual tolerances, because the job has no [doubt] table"
	}
	var names []string
	for _, n := range s.Inputs {
		names = append(names, clean(n))
	}
	text := doc.Sayf("{} of "+from+": {}. In {} of them no limit is passed in any call state.", doc.Name(plural(s.Samples, "sample", "samples")),
		doc.Cell{Words: strings.Join(names, ", ")}, withUnit(percentCell(s.Held)))
	if s.Failed > 0 {
		text = append(text, doc.Say(fmt.Sprintf(" %s had no solution and %s left out.", plural(s.Failed, "sample", "samples"), map[bool]string{true: "is", false: "are"}[s.Failed == 1]))...)
	}
	t := &doc.Table{Columns: []doc.Column{{Head: "Call state", Left: true}, {Head: "unit", Left: true}, {Head: "as it is"}, {Head: "5 %"}, {Head: "50 %"}, {Head: "95 %"},
		{Head: "most of it from", Left: true, Yields: true}}}
	for st, name := range s.States {
		t.Line(doc.Name(name))
		for _, row := range spreadRows {
			for k := range s.Measures {
				band := &s.Bands[st][k]
				if s.Measures[k].Name != row || math.IsNaN(band.Low) || band.Low == 0 && band.High == 0 {
					continue
				}
				kind := s.Measures[k].Quantity
				t.Add(doc.Name("  "+row), doc.Cell{Words: kind.Label(head.Units)}, showCell(kind, band.As), showCell(kind, band.Low), showCell(kind, band.Middle),
					showCell(kind, band.High), doc.Cell{Words: mostFrom(s, band)})
			}
		}
	}
	d := head.document()
	d.Blocks = append([]doc.Block{head.alternative(), &doc.Paragraph{Text: text}, t}, chances(s)...)
	return d
}

// mostFrom names the two inputs that bring most of a spread.
func mostFrom(s *study.Spread, band *study.Band) string {
	if len(band.Shares) == 0 {
		return ""
	}
	order := make([]int, len(band.Shares))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(band.Shares[b], band.Shares[a]) })
	var parts []string
	for _, i := range order[:min(2, len(order))] {
		if band.Shares[i] > 0.02 {
			parts = append(parts, fmt.Sprintf("%s %.0f %%", clean(s.Inputs[i]), 100*band.Shares[i]))
		}
	}
	return strings.Join(parts, ", ")
}

// chances lists the limits that do not always hold.
func chances(s *study.Spread) []doc.Block {
	const most = 15
	t := &doc.Table{Columns: []doc.Column{{Head: "Limits that may be passed", Left: true}, {Head: "call state", Left: true}, {Above: "holds", Head: "%"},
		{Above: "clear", Head: "%"}, {Head: "at worst", Left: true}}}
	n := 0
	for _, c := range s.Chances {
		if c.Holds > 0.9995 {
			break
		}
		if n++; n > most {
			continue
		}
		worst := doc.Sayf("{} against {}", doc.Of(c.Finding.Quantity, c.Finding.Value), doc.With(c.Finding.Quantity, c.Finding.Limit))
		t.Add(placeCell(c.Name, c.Where), doc.Name(c.State), percentCell(c.Holds).To(1), percentCell(c.Clear).To(1), doc.Cell{Spans: worst})
	}
	if n == 0 {
		return nil
	}
	if n > most {
		t.Line(doc.Name(fmt.Sprintf("and %d more; --format csv has them all", n-most)))
	}
	return []doc.Block{t, &doc.Paragraph{Text: doc.Say("holds: chance of no fault. clear: chance of no caution either. Shares are of the variance that an input brings by itself.")}}
}

// SpreadJSON writes a spread as one document, with all measures of all call states.
func SpreadJSON(w io.Writer, head *Sheet, s *study.Spread) error {
	m := tradeOf(head.Units)
	states := list{}
	for st, name := range s.States {
		bands := list{}
		for k := range s.Measures {
			band := &s.Bands[st][k]
			if math.IsNaN(band.Low) {
				continue
			}
			unit := m.forQuantity(s.Measures[k].Quantity)
			shares := list{}
			for i, share := range band.Shares {
				shares = append(shares, object{{"input", s.Inputs[i]}, {"share", share}})
			}
			bands = append(bands, object{{"measure", s.Measures[k].Name}, {"where", s.Measures[k].Where}, {"unit", unit.plain}, {"as_it_is", unit.paper(band.As)},
				{"p5", unit.paper(band.Low)}, {"p50", unit.paper(band.Middle)}, {"p95", unit.paper(band.High)}, {"shares", shares}})
		}
		states = append(states, object{{"name", name}, {"bands", bands}})
	}
	limits := list{}
	for _, c := range s.Chances {
		limits = append(limits, append(object{{"holds", c.Holds}, {"clear", c.Clear}}, findingObject(c.State, c.Finding, m)...))
	}
	o := append(studyObject(head), member{"samples", s.Samples}, member{"failed", s.Failed}, member{"assumed", s.Assumed}, member{"inputs", s.Inputs}, member{"all_limits_hold", s.Held},
		member{"states", states}, member{"limits", limits})
	return writeObject(w, o)
}

// SpreadCSV writes bands, shares and chances as one table: state, kind (band, share or chance), measure, where, input, unit, as it is, p5,
// p50, p95, share.
func SpreadCSV(w io.Writer, head *Sheet, s *study.Spread) error {
	m := tradeOf(head.Units)
	out := csv.NewWriter(w)
	num := func(v float64) string {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return ""
		}
		return figure(v)
	}
	_ = out.Write([]string{"state", "kind", "measure", "where", "input", "unit", "as_it_is", "p5", "p50", "p95", "share"}) // the error stays in the writer
	for st, name := range s.States {
		for k := range s.Measures {
			band := &s.Bands[st][k]
			if math.IsNaN(band.Low) {
				continue
			}
			unit := m.forQuantity(s.Measures[k].Quantity)
			_ = out.Write([]string{guard(name), "band", s.Measures[k].Name, guard(s.Measures[k].Where), "", unit.plain, num(unit.paper(band.As)), num(unit.paper(band.Low)),
				num(unit.paper(band.Middle)), num(unit.paper(band.High)), ""})
			for i, share := range band.Shares {
				_ = out.Write([]string{guard(name), "share", s.Measures[k].Name, guard(s.Measures[k].Where), guard(s.Inputs[i]), "", "", "", "", "", num(share)})
			}
		}
	}
	for _, c := range s.Chances {
		_ = out.Write([]string{guard(c.State), "chance", c.Name, guard(c.Where), "", "", "", "", "", "", num(c.Holds)})
	}
	out.Flush()
	return out.Error()
}
