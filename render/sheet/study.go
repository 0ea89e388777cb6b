package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spillway/render/internal/doc"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// settingText prints a number of a setting with its unit, to three significant digits, four from 1000 on.
func settingText(x float64, unit string) string {
	digits := 3
	if math.Abs(x) >= 1000 {
		digits = 4
	}
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
	text := strconv.FormatFloat(rounded, 'f', -1, 64)
	if unit == "" {
		return text
	}
	return text + " " + unit
}

// settingEnd prints an end of a range within which something holds, as settingText does but rounded towards inside, so
// that it holds at what is printed. It takes as many digits as it needs to stay on the inner side of inside.
func settingEnd(x, inside float64, unit string) string {
	digits := 3
	if math.Abs(x) >= 1000 {
		digits = 4
	}
	for ; digits < 15; digits++ {
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', digits, 64), 64)
		if outside := rounded < x == (x < inside); outside && rounded != x {
			step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-float64(digits-1))
			rounded += math.Copysign(step, inside-x)
			rounded, _ = strconv.ParseFloat(strconv.FormatFloat(rounded, 'g', digits, 64), 64)
		}
		if (x <= rounded && rounded <= inside) || (inside <= rounded && rounded <= x) {
			return strings.TrimSpace(strconv.FormatFloat(rounded, 'f', -1, 64) + " " + unit)
		}
	}
	return strings.TrimSpace(strconv.FormatFloat(x, 'f', -1, 64) + " " + unit)
}

// checkName is a check with its place: "register face velocity of loft-bed".
func checkName(name, where string) string {
	if where == "" {
		return clean(name)
	}
	return clean(name) + " of " + clean(where)
}

// worstOver is the worst value of a measure over the call states of a report.
func worstOver(p *study.Report, name string, more bool) float64 {
	worst := math.NaN()
	for i := range p.States {
		v := p.Value(i, name, "")
		if math.IsNaN(v) {
			continue
		}
		if math.IsNaN(worst) || more && v < worst || !more && v > worst {
			worst = v
		}
	}
	return worst
}

// levels counts the findings of a report.
func levels(p *study.Report) (faults, cautions int) { return p.Count() }

// levelsCell is faults and cautions, "2/6".
func levelsCell(faults, cautions int) doc.Cell {
	c := doc.Name(fmt.Sprintf("%d/%d", faults, cautions))
	switch {
	case faults > 0:
		c.Tone = doc.Fault
	case cautions > 0:
		c.Tone = doc.Caution
	}
	return c
}

// findingObject is a finding for JSON.
func findingObject(state string, f verdict.Finding, t trade) object {
	m := t.forQuantity(f.Quantity)
	return object{{"state", state}, {"check", f.Check}, {"where", f.Where}, {"level", string(f.Level)}, {"value", m.paper(f.Value)}, {"limit", m.of(f.Limit)},
		{"unit", m.plain}}
}

// studyObject begins a JSON document of a study.
func studyObject(head *Sheet) object {
	return object{{"spillway", head.Version}, {"job", head.title()}, {"file", head.File}, {"alternative", head.Job.Alternative}, {"units", unitsName(head.Units)}}
}
