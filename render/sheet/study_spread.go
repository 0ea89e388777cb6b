package sheet

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"spillway/solver/study"
)

// spreadRows are the measures that the text of a spread shows; JSON and CSV have all of them.
var spreadRows = [...]string{"external static", "surplus", "recirculated", "below limit", "frost margin", "worst drift", "loudest register"}

// SpreadText writes how sure results are: 5, 50 and 95 % of what may be, where the spread comes from, and how likely limits hold.
func SpreadText(w io.Writer, head *Sheet, s *study.Spread, style Style) error {
	style.units = head.Units
	m := tradeOf(style.units)
	var b strings.Builder
	b.WriteString(style.paint(shorten(clean(head.title()), style.page()), heading) + "\n")
	if head.Job.Alternative != "" {
		paragraph(&b, 0, "Alternative: ", clean(head.Job.Alternative), style, plainTone)
	}
	b.WriteByte('\n')
	from := "the job's [spread]"
	if s.Assumed {
		from = "tolerances of ours, because the job has no [spread]"
	}
	var names []string
	for _, n := range s.Inputs {
		names = append(names, clean(n))
	}
	text := fmt.Sprintf("%s of %s: %s. In %s of them no limit is passed in any call state.", plural(s.Samples, "sample", "samples"), from, strings.Join(names, ", "),
		m.percent.with(s.Held))
	if s.Failed > 0 {
		text += fmt.Sprintf(" %s had no solution and %s left out.", plural(s.Failed, "sample", "samples"), map[bool]string{true: "is", false: "are"}[s.Failed == 1])
	}
	paragraph(&b, 0, "", text, style, plainTone)
	b.WriteByte('\n')
	t := table{columns: []column{{head: "Call state", left: true}, {head: "unit", left: true}, {head: "as it is"}, {head: "5 %"}, {head: "50 %"}, {head: "95 %"},
		{head: "most of it from", left: true, yields: true}}}
	for st, name := range s.States {
		t.add(cell{text: clean(name)})
		for _, row := range spreadRows {
			for k := range s.Measures {
				if s.Measures[k].Name != row || math.IsNaN(s.Bands[st][k].Low) {
					continue
				}
				band := &s.Bands[st][k]
				unit := m.forQuantity(s.Measures[k].Quantity)
				if band.Low == 0 && band.High == 0 {
					continue
				}
				t.addPlain("  "+row, unit.label, show(unit, band.As), show(unit, band.Low), show(unit, band.Middle), show(unit, band.High), mostFrom(s, band))
			}
		}
	}
	t.write(&b, 0, style)
	chances(&b, s, style)
	if !style.Continued {
		b.WriteString(Closing(style))
	}
	_, err := io.WriteString(w, b.String())
	return err
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
func chances(b *strings.Builder, s *study.Spread, style Style) {
	m := tradeOf(style.units)
	const most = 15
	t := table{columns: []column{{head: "Limits that may be passed", left: true}, {head: "call state", left: true}, {above: "holds", head: "%"}, {above: "clear", head: "%"},
		{head: "at worst", left: true}}}
	n := 0
	for _, c := range s.Chances {
		if c.Holds > 0.9995 {
			break
		}
		if n++; n > most {
			continue
		}
		unit := m.forQuantity(c.Finding.Quantity)
		t.addPlain(checkName(c.Name, c.Where), clean(c.State), m.percent.textTo(c.Holds, 1), m.percent.textTo(c.Clear, 1), unit.text(c.Finding.Value)+" against "+unit.with(c.Finding.Limit))
	}
	if n == 0 {
		return
	}
	if n > most {
		t.addPlain(fmt.Sprintf("and %d more; --format csv has them all", n-most))
	}
	b.WriteByte('\n')
	t.write(b, 0, style)
	b.WriteByte('\n')
	paragraph(b, 0, "", "holds: chance of no fault. clear: chance of no caution either. Shares are of the variance that an input brings by itself.", style, faint)
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
	_, err := w.Write(append(appendObject(nil, o, layout{}), '\n'))
	return err
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
		return string(appendNumber(nil, v))
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
