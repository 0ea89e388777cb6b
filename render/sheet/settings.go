package sheet

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/solver/diagnose"
)

// SettingTable is a table of what somebody sets on site, the same on every sheet.
type SettingTable struct {
	Caption string
	Head    []string
	Rows    [][]string
}

// The tables of Settings, in their order.
const (
	ZoneDampers    = "Zone dampers"
	WeightDampers  = "Weighted dampers"
	HoldingDampers = "Pressure-holding dampers"
	HandDampers    = "Hand and balancing dampers"
	BlowerSettings = "Blower"
	PanelSettings  = "Panel"
)

// Settings lists what is set on an installation: dampers as their actuators are marked, weights,
// taps, the panel. Tables without a row are left out.
func Settings(g *network.Graph, sys quantity.System) (tables []SettingTable) {
	p := NewPrinter(sys)
	u := p.Units()
	zones := SettingTable{Caption: ZoneDampers, Head: []string{"damper", "in", "size",
		"stop while its zone is satisfied", "open while it calls"}}
	weights := SettingTable{Caption: WeightDampers, Head: []string{"damper", "in", "size",
		"begins to open at " + u.Pressure, "wide open at " + u.Pressure,
		"weight arm below level, shut"}}
	holds := SettingTable{Caption: HoldingDampers, Head: []string{"damper", "in", "size",
		"holds " + u.Pressure, "at"}}
	hands := SettingTable{Caption: HandDampers, Head: []string{"damper", "in", "size", "open"}}
	for i := range g.Elements {
		e := &g.Elements[i]
		row := func(s network.Spec, more ...string) []string {
			section, _ := network.SectionOf(s)
			return append([]string{clean(e.Name), clean(e.Line),
				network.SizeText(section, sys)}, more...)
		}
		switch spec := e.Spec.(type) {
		case *network.DamperSpec:
			if spec.Hand || len(spec.Zones) == 0 {
				hands.Rows = append(hands.Rows, row(spec, Marks(spec.Open)))
				continue
			}
			zones.Rows = append(zones.Rows, row(spec, Marks(spec.Stop), Marks(spec.Open)))
		case *network.ReliefSpec:
			full, arm := "-", "-"
			if spec.FullyOpenAt > 0 {
				full = p.Drop(spec.FullyOpenAt)
			}
			if spec.Arm > 0 {
				arm = fmt.Sprintf("%.0f°", spec.Arm)
			}
			weights.Rows = append(weights.Rows, row(spec, p.Drop(spec.OpensAt), full, arm))
		case *network.RegulatorSpec:
			holds.Rows = append(holds.Rows, row(spec, p.Drop(spec.Holds),
				clean(g.Nodes[spec.Sensor].Name)))
		case *network.OpeningSpec:
			if spec.Balance != nil {
				hands.Rows = append(hands.Rows, row(spec, Marks(*spec.Balance)))
			}
		}
	}
	for _, t := range []SettingTable{zones, weights, holds, hands, blowerSettings(g, p),
		panelSettings(g.Job)} {
		if len(t.Rows) > 0 {
			tables = append(tables, t)
		}
	}
	return tables
}

// blowerSettings lists the tap or airflow of each mode and stage.
func blowerSettings(g *network.Graph, p Printer) SettingTable {
	t := SettingTable{Caption: BlowerSettings, Head: []string{"mode", "tap or airflow"}}
	eq := &g.Job.Equipment
	for _, m := range []struct {
		mode    string
		machine *network.Machine
	}{{"cooling", eq.Cooling}, {"heating", eq.Heating}, {"fan only", eq.Fan}} {
		if m.machine == nil {
			continue
		}
		for stage := range max(len(m.machine.Stages), 1) {
			s := m.machine.At(stage + 1)
			mode := m.mode
			if len(m.machine.Stages) > 1 {
				mode += fmt.Sprintf(", stage %d", stage+1)
			}
			t.Rows = append(t.Rows, []string{mode, tapText(p, s.Tap, float64(s.Airflow))})
		}
	}
	return t
}

// panelSettings lists what the zone panel is told beside the taps.
func panelSettings(job *network.Job) SettingTable {
	t := SettingTable{Caption: PanelSettings, Head: []string{"setting", "value"}}
	add := func(name, value string) { t.Rows = append(t.Rows, []string{name, value}) }
	if n := job.Panel.SecondStageNeeds; n > 1 {
		add("second stage", fmt.Sprintf("from %d calling zones", n))
	}
	if d := job.Panel.StageDelay; d != nil {
		add("stage delay", doc.After(float64(*d)).Text(job.Units))
	}
	for i := range job.Panel.Calls {
		c := &job.Panel.Calls[i]
		var says []string
		if c.Tap != "" {
			says = append(says, "tap "+clean(c.Tap))
		}
		if c.Airflow > 0 {
			says = append(says, c.Airflow.Text(job.Units))
		}
		if len(c.Stages) > 0 {
			says = append(says, "stages "+strings.Trim(fmt.Sprint(c.Stages), "[]"))
		}
		for _, d := range c.Damper {
			says = append(says, clean(d.Name)+" "+Marks(d.Position))
		}
		if len(c.Open) > 0 {
			says = append(says, "also open "+clean(strings.Join(c.Open, ", ")))
		}
		if len(says) > 0 {
			add("call of "+clean(strings.Join(c.Zones, ", ")), strings.Join(says, "; "))
		}
	}
	for _, m := range []struct {
		mode    string
		machine *network.Machine
	}{{"cooling", job.Equipment.Cooling}, {"heating", job.Equipment.Heating}} {
		if m.machine == nil {
			continue
		}
		if m.machine.CutOut != nil {
			add(m.mode+" cut-out, leaving air", m.machine.CutOut.Text(job.Units))
		}
		if m.machine.Purge != nil {
			add(m.mode+" purge", doc.After(float64(*m.machine.Purge)).Text(job.Units))
		}
	}
	return t
}

// tapText is what the blower is set to.
func tapText(p Printer, tap string, airflow float64) string {
	text := clean(tap)
	if airflow > 0 {
		if text != "" {
			text += ", "
		}
		text += p.Airflow(airflow) + " " + p.Units().Airflow
	}
	if text == "" {
		return "by its table"
	}
	return text
}

// Marks is a position of a damper as actuators and sector plates are marked: percent open, degrees
// of the blade from shut and from open. 0° is shut and 90° open, and the blade turns evenly.
func Marks(open network.Position) string {
	share := math.Min(math.Max(float64(open), 0), 1)
	switch share {
	case 0:
		return "shut (0 %, 0°)"
	case 1:
		return "open (100 %, 90°)"
	}
	return fmt.Sprintf("%s = %s from shut, %s from open",
		quantity.KindFraction.Short(share, quantity.IP), halfDegrees(90*share),
		halfDegrees(90*(1-share)))
}

// halfDegrees is an angle to half a degree, finer than any plate is marked.
func halfDegrees(degrees float64) string {
	half := math.Round(2 * degrees)
	if int(half)%2 == 0 {
		return fmt.Sprintf("%.0f°", half/2)
	}
	return fmt.Sprintf("%.1f°", half/2)
}

// CamStop is the position of a stop cam in degrees from shut, in the steps of 5° that cams have, to
// the open side.
func CamStop(open network.Position) float64 {
	share := math.Min(math.Max(float64(open), 0), 1)
	return 5 * math.Ceil(90*share/5-1e-9)
}

// ReadingName is what is read, in words.
func ReadingName(g *network.Graph, q *diagnose.Query) string {
	at := &q.Place
	switch {
	case at.Register >= 0:
		r := &g.Registers[at.Register]
		name := clean(registerName(g, r))
		if r.Room != "" && r.Room != r.Line {
			name += ", " + clean(r.Room)
		}
		return name
	case q.Kind == network.StaticReading:
		for i := range g.Job.Ports {
			if p := &g.Job.Ports[i]; p.Name == at.Name {
				return "static, " + clean(p.Name) + " (" + clean(p.At) + ")"
			}
		}
		return "static, " + clean(at.Name)
	case q.Kind == network.TemperatureReading:
		return "air, " + clean(at.Name)
	}
	return clean(at.Name) + " airflow"
}
