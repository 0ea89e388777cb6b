package state

import (
	"fmt"
	"strings"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/heat"
)

// Assumptions are all figures that stand in for what a job file does not say: those of the reader, those of the graph, and those that
// the solver brings: temperatures round ducts, insulation, limits and mixing, capacities of metal and rooms. A path that is no key of
// the file names the part that the figure belongs to.
func Assumptions(g *network.Graph) []network.Assumption {
	list := append(append([]network.Assumption{}, g.Job.Assumptions...), g.Assumptions...)
	a := &assumed{job: g.Job}
	a.places()
	a.insulation()
	a.machine()
	a.parts(g)
	a.mixing()
	a.rooms()
	a.outdoors(g)
	return append(list, network.Grouped(a.list)...)
}

type assumed struct {
	job  *network.Job
	list []network.Assumption
}

func (a *assumed) note(path, value, why string) {
	a.list = append(a.list, network.Assumption{Path: path, Value: value, Why: why})
}

// exchanging calls back for every line that exchanges heat with what surrounds it.
func (a *assumed) exchanging(see func(table string, l *network.Line)) {
	a.lines(func(table string, l *network.Line) {
		if outside(l.Place) {
			see(table, l)
		}
	})
}

// outside tells whether a place is out of the conditioned space.
func outside(place string) bool { return place != "" && place != "inside" }

// places notes the air round ducts, per weather, where the file does not give it.
func (a *assumed) places() {
	used := map[string]bool{}
	a.exchanging(func(_ string, l *network.Line) { used[l.Place] = true })
	for i := range a.job.Weather {
		w := &a.job.Weather[i]
		if w.Indoor == nil || w.Outdoor == nil {
			continue
		}
		s := setting{state: CallState{Mode: w.Mode}, weather: w, indoor: float64(*w.Indoor), outdoor: float64(*w.Outdoor)}
		for _, place := range []string{"attic", "garage", "crawlspace", "basement"} {
			if !used[place] || w.Around(place) != nil {
				continue
			}
			why := fmt.Sprintf("%.0f %% of the way from indoors to outdoors (our choice)", 100*outdoorShare(place))
			switch {
			case place == "attic" && w.Mode == network.Cooling:
				why = "a vented attic stands " + quantity.TemperatureSpan(sunOnRoof).Text(a.job.Units) + " above outdoors on a summer afternoon (from memory)"
			case place == "attic":
				why = "as outdoors (our choice)"
			}
			a.note(network.PathText("weather", w.Name, place), quantity.Temperature(s.placeTemperature(place)).Text(a.job.Units), why)
		}
	}
}

// insulation notes the walls of ducts outside the conditioned space.
func (a *assumed) insulation() {
	bare := map[string][]string{} // names by table
	films := false
	a.exchanging(func(table string, l *network.Line) {
		films = true
		if l.Insulation == 0 {
			bare[table] = append(bare[table], l.Name)
		}
	})
	for _, table := range []string{"supply", "return", "bypass", "dump"} {
		value, why := quantity.Insulation(catalog.DuctInsulation).Text(a.job.Units), "as older codes ask (from memory)"
		if names := bare[table]; len(names) > 2 {
			a.note(table+".*.insulation", value, why+": "+strings.Join(names, ", "))
		} else {
			for _, name := range names {
				a.note(network.PathText(table, name, "insulation"), value, why)
			}
		}
	}
	if films {
		a.note("supply.*.place", "and "+quantity.Insulation(filmResistance).Text(a.job.Units)+" of air films", "inside and outside together (from memory)")
	}
}

// machine notes the limit and the metal that time courses are reckoned with.
func (a *assumed) machine() {
	if m := a.job.Equipment.Heating; m != nil && a.job.Equipment.KindIn(network.Heating).HasLimit() && output(m) > 0 {
		if m.LeavingLimit == nil {
			a.note("equipment.heating.leaving-limit", quantity.Temperature(defaultLimit).Text(a.job.Units), "low in the usual range of limits, 165 to 200 °F (common practice)")
		}
		metal := Exchanger(m)
		a.note("equipment.heating", a.capacity(metal.Capacity)+" of exchanger", "for the time to the limit: 7 Btu/°F at 64,000 Btu/h; our estimate from memory, good to a factor of 1.5")
	}
	if m := a.job.Equipment.Cooling; m != nil && capacityOf(m) > 0 {
		a.note("equipment.cooling", a.capacity(heat.TypicalCoilMetal(capacityOf(m)))+" of coil", "for the time to frost: 15 kg of copper and aluminium at three tons; our estimate, good to a factor of two")
		a.note("equipment.cooling", fmt.Sprintf("%.0f s of start-up", startUp), "the time constant of a compressor's capacity (from memory)")
	}
}

// output and capacityOf are the greatest of a machine or its stages, W.
func output(m *network.Machine) float64 {
	most := float64(m.Output)
	for i := range m.Stages {
		most = max(most, float64(m.Stages[i].Output))
	}
	return most
}

func capacityOf(m *network.Machine) float64 {
	most := float64(m.Capacity)
	for i := range m.Stages {
		most = max(most, float64(m.Stages[i].Capacity))
	}
	return most
}

// capacity writes a heat capacity in J/K.
func (a *assumed) capacity(perKelvin float64) string {
	if a.job.Units == quantity.SI {
		return quantity.Fixed(perKelvin/1000, 1) + " kJ/K"
	}
	return quantity.Fixed(perKelvin*quantity.FahrenheitDeg/btu, 1) + " Btu/°F"
}

// btu is a Btu (international table), J.
const btu = quantity.BtuPerHour * hour

// rooms notes what the drift of zones is reckoned with.
func (a *assumed) rooms() {
	floors := false
	for i := range a.job.Zones {
		z := &a.job.Zones[i]
		if z.Floor == 0 {
			continue
		}
		floors = true
		if z.HeatLoss == 0 || designDifference(a.job, network.Heating) <= 0 {
			a.note(network.PathText("zone", z.Name, "heat-loss"), a.perFloor(heat.ConductancePerArea, true), "for the drift: a usual house by its floor area (from memory)")
		}
	}
	if floors {
		a.note("zone.*.floor", a.perFloor(heat.WholeCapacityPerArea, false),
			fmt.Sprintf("for the drift: a light frame house, %.0f %% of it at once (from memory and our choice)", 100*heat.FastCapacityPerArea/heat.WholeCapacityPerArea))
		a.note("zone.*.floor", a.perFloor(heat.BetweenPerArea, true)+" between air and mass", "for the drift: about 4 W/(m²·K) on 2.5 m² of surface (our choice)")
		a.note("zone.*", "calls "+quantity.TemperatureSpan(CallBand).Text(a.job.Units)+" off its setpoint",
			"for the drift: electronic thermostats 0.5 to 1.5 °F, mechanical ones 1 to 3 °F (from memory); 1 °F is our choice")
	}
}

// perFloor writes a conductance in W/K or a capacity in J/K, both per m² of floor.
func (a *assumed) perFloor(x float64, conductance bool) string {
	switch si := a.job.Units == quantity.SI; {
	case conductance && si:
		return quantity.Fixed(x, 1) + " W/K per m² of floor"
	case conductance:
		return quantity.Fixed(x*quantity.FahrenheitDeg*quantity.SquareFoot/quantity.BtuPerHour, 2) + " Btu/h per °F and ft² of floor"
	case si:
		return quantity.Fixed(x/1000, 0) + " kJ/K per m² of floor"
	}
	return quantity.Fixed(x*quantity.FahrenheitDeg*quantity.SquareFoot/btu, 2) + " Btu/°F per ft² of floor"
}

// outdoors notes how moist the air is that leaks in.
func (a *assumed) outdoors(g *network.Graph) {
	leaks := false
	for i := range g.Elements {
		leaks = leaks || g.Elements[i].Kind == network.KindLeak
	}
	if !leaks {
		return
	}
	for i := range a.job.Weather {
		w := &a.job.Weather[i]
		share, why := quantity.Fraction(summerHumidity), "a summer afternoon, for air that leaks in (our choice)"
		if w.Mode == network.Heating {
			share, why = winterHumidity, "winter, for air that leaks in (our choice)"
		}
		a.note(network.PathText("weather", w.Name), share.Text(a.job.Units)+" relative humidity outdoors", why)
	}
}
