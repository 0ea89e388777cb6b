package page

import (
	"fmt"
	"math"
	"strings"

	"spillway/network/quantity"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/state"
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

// overviewRow is one state in a line, and the group it belongs to.
func overviewRow(c *trial.Case, sys quantity.System) (string, rowView) {
	o := c.Outcome
	p := sheet.NewPrinter(sys)
	group, calls := splitName(o.State)
	row := rowView{Calls: calls, Static: p.Pressure(o.Blower.ExternalStatic), Leaving: p.Temperature(o.Equipment.Leaving), Recycled: "-"}
	zone, rate := o.WorstDrift()
	row.Drift = p.Drift(rate)
	if zone >= 0 {
		row.WhyDrift = sheet.Clean(o.Graph.Job.Zones[zone].Name + " zone drift")
	}
	if o.Equipment.Recirculated > 0 {
		row.Recycled = fmt.Sprintf("%.0f %%", 100*o.Equipment.Recirculated)
	}
	var lines []sheet.LedgerLine
	row.Blower, row.Surplus, lines = p.Ledger(o)
	most := -1
	for i, l := range lines {
		row.Bars = append(row.Bars, LedgerLine{LedgerLine: l, Surplus: l.Kind != state.PathWanted, Bar: fmt.Sprintf("%.1f", 100*math.Max(l.Share, 0))})
		if l.Kind != state.PathWanted && (most < 0 || l.Share > lines[most].Share) {
			most = i
		}
	}
	if most >= 0 {
		row.Most = lines[most].Airflow + " " + lines[most].Text
		row.WhyMost = sheet.Clean(pathOf(lines[most]))
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
