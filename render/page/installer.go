package page

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/units"
	"spillway/render/page/trial"
	"spillway/render/sheet"
)

// Tolerances of readings in the field. They are customary figures of commissioning practice from memory, and our choice where several
// are in use; hoods on house registers read 5 to 30 % off.
const (
	registerShare   = 0.20                    // of a register's airflow,
	registerLeast   = 25 * units.CFM          // or this much, whichever is more (residential quality-installation practice, from memory)
	blowerShare     = 0.15                    // of the blower's airflow (the same practice, from memory)
	staticShare     = 0.10                    // of a static pressure (our choice),
	staticLeast     = 0.03 * units.InchWater  // or this much: what a probe in a turbulent plenum is good for, 0.02 to 0.05 (from memory)
	temperatureSpan = 3 * units.FahrenheitDeg // of an air temperature (our choice)
)

// InstallerSheet is the page for the van: what to set, what to read afterwards, room for what was read.
type InstallerSheet struct {
	Settings []SettingTable
	Readings []ReadingTable
	Note     string
}

// SettingTable is a table of settings with a blank at the end of each row.
type SettingTable struct {
	Caption string
	Head    []string
	Rows    [][]string
}

// ReadingTable is what should be read in a few call states.
type ReadingTable struct {
	States []string
	Rows   []ReadingRow
}

// ReadingRow is one place and what should be read there, parallel to the states.
type ReadingRow struct {
	Name, Unit, Within string
	Expected           []string
}

// statesAcross is how many call states stand side by side in a table of readings.
const statesAcross = 4

func newInstallerSheet(v *Variant, sys units.System) *InstallerSheet {
	p := sheet.NewPrinter(sys)
	u := p.Units()
	s := &InstallerSheet{}
	s.settings(v.In, sys)
	for from := 0; from < len(v.Cases); from += statesAcross {
		group := v.Cases[from:min(from+statesAcross, len(v.Cases))]
		t := ReadingTable{}
		for _, c := range group {
			t.States = append(t.States, sheet.Clean(c.Outcome.State.Name))
		}
		row := func(name, unit, within string, read func(c *trial.Case) string) {
			r := ReadingRow{Name: name, Unit: unit, Within: within}
			for _, c := range group {
				r.Expected = append(r.Expected, read(c))
			}
			t.Rows = append(t.Rows, r)
		}
		row("blower airflow", u.Airflow, fmt.Sprintf("±%.0f %%", 100*blowerShare), func(c *trial.Case) string { return p.Airflow(c.Outcome.Blower.Airflow) })
		within := fmt.Sprintf("±%.0f %%, at least ±%s", 100*staticShare, p.Pressure(staticLeast))
		row("external static", u.Pressure, within, func(c *trial.Case) string { return p.Pressure(c.Outcome.Blower.ExternalStatic) })
		for i, port := range p.Ports(group[0].Outcome) {
			name := "static, " + sheet.Clean(port.Name)
			if port.At != "" {
				name += " (" + sheet.Clean(port.At) + ")"
			}
			row(name, u.Pressure, within, func(c *trial.Case) string {
				ports := p.Ports(c.Outcome)
				if i >= len(ports) {
					return "-"
				}
				return p.Pressure(ports[i].Static)
			})
		}
		warm := "±" + p.Span(temperatureSpan)
		row("air before the blower", u.Temperature, warm, func(c *trial.Case) string { return p.Temperature(c.Outcome.Equipment.Entering) })
		row("air in the supply plenum", u.Temperature, warm, func(c *trial.Case) string { return p.Temperature(c.Outcome.Equipment.Leaving) })
		air := fmt.Sprintf("±%.0f %%, at least ±%s", 100*registerShare, p.Airflow(registerLeast))
		for i := range v.In.Graph.Registers {
			g := &v.In.Graph.Registers[i]
			name := sheet.Clean(sheet.RegisterName(v.In.Graph, g))
			if g.Room != "" && g.Room != g.Line {
				name += ", " + sheet.Clean(g.Room)
			}
			row(name, u.Airflow, air, func(c *trial.Case) string { return p.Airflow(c.Outcome.Registers[i].Airflow) })
		}
		s.Readings = append(s.Readings, t)
	}
	s.Note = "Let each call run until pressures stand still; with a bypass or a dump, until temperatures do. Static is against the house, read away from bends, " +
		"dampers and take-offs. Expected values are a model's; the widths beside them are customary in commissioning (from memory) or our choice. " +
		"Do not re-set equipment on a difference smaller than the width."
	return s
}

// settings lists what an installer sets.
func (s *InstallerSheet) settings(in *trial.Installation, sys units.System) {
	g := in.Graph
	p := sheet.NewPrinter(sys)
	u := p.Units()
	dampers := SettingTable{Caption: "Zone dampers", Head: []string{"damper", "in", "size", "stop while its zone is satisfied", "open while it calls"}}
	weights := SettingTable{Caption: "Weighted dampers", Head: []string{"damper", "in", "size", "begins to open at " + u.Pressure, "wide open at " + u.Pressure, "weight arm below level, shut"}}
	holds := SettingTable{Caption: "Pressure-holding dampers", Head: []string{"damper", "in", "size", "holds " + u.Pressure, "at"}}
	hands := SettingTable{Caption: "Hand and balancing dampers", Head: []string{"damper", "in", "size", "open"}}
	for i := range g.Elements {
		e := &g.Elements[i]
		name := sheet.Clean(e.Name)
		switch spec := e.Spec.(type) {
		case *network.DamperSpec:
			size := network.SizeText(spec.Section, sys)
			if spec.Hand || len(spec.Zones) == 0 {
				hands.Rows = append(hands.Rows, []string{name, sheet.Clean(e.Line), size, positionText(spec.Open)})
				continue
			}
			dampers.Rows = append(dampers.Rows, []string{name, sheet.Clean(e.Line), size, positionText(spec.Stop), positionText(spec.Open)})
		case *network.ReliefSpec:
			full, arm := "-", "-"
			if spec.FullyOpenAt > 0 {
				full = p.Drop(spec.FullyOpenAt)
			}
			if spec.Arm > 0 {
				arm = fmt.Sprintf("%.0f°", spec.Arm)
			}
			weights.Rows = append(weights.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), p.Drop(spec.OpensAt), full, arm})
		case *network.RegulatorSpec:
			holds.Rows = append(holds.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), p.Drop(spec.Holds), sheet.Clean(g.Nodes[spec.Sensor].Name)})
		case *network.OpeningSpec:
			if spec.Balance != nil {
				hands.Rows = append(hands.Rows, []string{name, sheet.Clean(e.Line), network.SizeText(spec.Section, sys), positionText(*spec.Balance)})
			}
		}
	}
	blower := SettingTable{Caption: "Blower", Head: []string{"mode", "tap or airflow"}}
	eq := &g.Job.Equipment
	for _, m := range []struct {
		mode    string
		machine *network.Machine
	}{{"cooling", eq.Cooling}, {"heating", eq.Heating}, {"fan only", eq.Fan}} {
		if m.machine == nil {
			continue
		}
		stages := m.machine.Stages
		for i := range stages {
			tap, flow := stages[i].Tap, stages[i].Airflow
			if tap == "" {
				tap = m.machine.Tap
			}
			if flow == 0 {
				flow = m.machine.Airflow
			}
			mode := m.mode
			if len(stages) > 1 {
				mode += fmt.Sprintf(", stage %d", i+1)
			}
			blower.Rows = append(blower.Rows, []string{mode, tapText(p, tap, float64(flow))})
		}
		if len(stages) == 0 {
			blower.Rows = append(blower.Rows, []string{m.mode, tapText(p, m.machine.Tap, float64(m.machine.Airflow))})
		}
	}
	for _, t := range []SettingTable{dampers, weights, holds, hands, blower} {
		if len(t.Rows) > 0 {
			s.Settings = append(s.Settings, t)
		}
	}
}

func tapText(p sheet.Printer, tap string, airflow float64) string {
	text := sheet.Clean(tap)
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

// positionText is a position in percent open and in blade degrees from open, which turn evenly.
func positionText(open network.Position) string {
	share := math.Min(math.Max(float64(open), 0), 1)
	return fmt.Sprintf("%s open, blade %.0f°", units.KindFraction.Short(share, units.IP), 90*(1-share))
}
