package page

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/html"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
	"spillway/solver/study"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// overview sets the states side by side, those of one weather and stage together.
func overview(cases []*trial.Case, id string, d *Dossier) []groupView {
	var groups []groupView
	for i, c := range cases {
		name, row := overviewRow(c, d.Units)
		row.ID = fmt.Sprintf("%ss%d", id, i)
		if len(groups) == 0 || groups[len(groups)-1].Name != name {
			groups = append(groups, groupView{Name: name})
		}
		g := &groups[len(groups)-1]
		g.Rows = append(g.Rows, row)
	}
	return groups
}

// digestOf is what to do about a house, as the text report has it; cures may be nil.
func digestOf(cases []*trial.Case, cures *study.Tried, sys quantity.System) (HTML, error) {
	if len(cases) == 0 {
		return "", nil
	}
	s := &sheet.Sheet{Units: sys, Job: cases[0].Outcome.Graph.Job, Cures: cures}
	outcomes := make([]*state.Outcome, len(cases))
	for i, c := range cases {
		outcomes[i] = c.Outcome
		s.Reports = append(s.Reports, &sheet.Report{Outcome: c.Outcome, Findings: c.Findings})
	}
	var err error
	if s.Houses, err = verdict.Houses(outcomes); err != nil {
		return "", err
	}
	var b strings.Builder
	err = html.Blocks(&b, sheet.DigestBlocks(s), sys, 3, html.Style{Means: sheet.Means})
	return HTML(b.String()), err // the writer escapes every name
}

// overviewRow is one state in a line, and the group it belongs to.
func overviewRow(c *trial.Case, sys quantity.System) (string, rowView) {
	o := c.Outcome
	p := sheet.NewPrinter(sys)
	group, calls := splitName(o.State)
	row := rowView{Calls: calls, Static: p.Pressure(o.Blower.ExternalStatic), Leaving: p.Temperature(o.Equipment.Leaving), Recycled: "-"}
	row.Drift = p.Drift(math.NaN())
	if zone, _ := zoning.WorstDrift(o); zone >= 0 {
		row.Drift = p.Drift(o.Zones[zone].DriftRate) // positive warmer, as its derivation has it
		row.WhyDrift = sheet.Clean(o.Graph.Job.Zones[zone].Name + " zone drift")
	}
	if o.Equipment.Recirculated > 0 {
		row.Recycled = fmt.Sprintf("%.0f %%", 100*o.Equipment.Recirculated)
	}
	row.Blower, row.Surplus, row.Bars = p.Ledger(o)
	most := -1
	for i, l := range row.Bars {
		if !l.Wanted && (most < 0 || l.Share > row.Bars[most].Share) {
			most = i
		}
	}
	if most >= 0 {
		row.Most = row.Bars[most].Airflow + " " + row.Bars[most].Text
		row.WhyMost = sheet.Clean(row.Bars[most].Ask)
	}
	row.Level, row.Verdict = verdictOf(c.Findings)
	return group, row
}

// splitName parts the name of a call state into its weather and stage, and who calls.
func splitName(s state.CallState) (group, calls string) {
	name := sheet.Clean(s.Name)
	group, calls, ok := strings.Cut(name, ": ")
	if !ok {
		return string(s.Mode), name
	}
	return group, calls
}
