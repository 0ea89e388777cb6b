package state

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/quantity"
	"spillway/solver/heat"
)

// The figures that single parts bring: dampers, leaks, doors, registers, and the ratings of the machine.

// parts notes them in the order of the file's tables.
func (a *assumed) parts(g *network.Graph) {
	a.rating()
	a.blower(g)
	for i := range a.job.Dampers {
		a.damper(&a.job.Dampers[i])
	}
	a.lines(func(table string, l *network.Line) {
		path := []string{table, l.Name}
		if l.OpensAt > 0 {
			a.relief(path, false)
		}
		if l.Holds > 0 {
			a.note(network.PathText(table, l.Name, "holds"), quantity.Pressure(catalog.BypassBand).Text(a.job.Units)+" from shut to open", source("constant-pressure bypass band"))
			a.note(network.PathText(table, l.Name, "holds"), quantity.Fraction(catalog.DefaultDamperLeakage).Text(a.job.Units)+" leakage when shut", source("damper leakage"))
		}
		if l.Balance != nil {
			a.note(network.PathText(table, l.Name, "balance"), "no gap round its blade", "a hand damper is not meant to shut (our choice)")
		}
		a.register(table, "register", l, l.Register)
		a.register(table, "grille", l, l.Grille)
	})
	a.leaks()
	a.doors()
}

// lines calls back for every line of the job.
func (a *assumed) lines(see func(table string, l *network.Line)) {
	for _, t := range []struct {
		name  string
		lines []network.Line
	}{{"supply", a.job.Supply}, {"return", a.job.Return}, {"bypass", a.job.Bypass}, {"dump", a.job.Dump}} {
		for i := range t.lines {
			see(t.name, &t.lines[i])
		}
	}
}

// source is where a constant of the catalogue comes from.
func source(constant string) string {
	row, _ := catalog.LookupConstant(constant)
	return row.Source.String()
}

// rating notes at what conditions capacity and output are taken to be rated, and by what curve they change.
func (a *assumed) rating() {
	system := a.job.Units
	celsius := func(t float64) string { return quantity.Temperature(t).Text(system) }
	if m := a.job.Equipment.Cooling; m != nil && capacityOf(m) > 0 && a.computes(network.Cooling) {
		a.note("equipment.cooling.capacity", "rated at 400 cfm per ton, "+celsius(heat.RatedDryBulb)+" and "+celsius(heat.RatedWetBulb)+" wet bulb entering, "+celsius(heat.RatedOutdoor)+" outdoors",
			"where such units are rated (common practice)")
		a.note("equipment.cooling", celsius(heat.RatedEvaporating)+" evaporating at rating", "saturated suction of a usual unit (from memory)")
		a.note("equipment.cooling", "a generic curve of capacity", heat.GenericCurve().Source+"; a second estimate by "+heat.SingleSpeedCurve().Source)
	}
	m := a.job.Equipment.Heating
	if m == nil || !(output(m) > 0) {
		return
	}
	if m.Kind == "" {
		a.note("equipment.heating.kind", string(network.Furnace), "the commonest, when the file does not say")
	}
	switch {
	case m.Kind == network.HeatPump && a.computes(network.Heating):
		a.note("equipment.heating.output", "rated at "+celsius(heat.HeatPumpEntering)+" entering and "+celsius(heat.HeatPumpOutdoor)+" outdoors",
			"where heat pumps are rated; it changes by the curve of NREL/TP-5500-56354 (second-hand)")
	case a.job.Equipment.KindIn(network.Heating).HasLimit():
		a.note("equipment.heating", "limit closes "+quantity.TemperatureSpan(limitReset).Text(system)+" lower than it opens", "for the burner's course once it cycles on its limit (our choice)")
	}
}

// computes tells whether a weather of a mode leaves the supply temperature to the machine.
func (a *assumed) computes(mode network.Mode) bool {
	for i := range a.job.Weather {
		if w := &a.job.Weather[i]; w.Mode == mode && !w.SupplyAirGiven {
			return true
		}
	}
	return false
}

// blower notes a table of the catalogue, and how the power of a held airflow is taken.
func (a *assumed) blower(g *network.Graph) {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok {
		return
	}
	if row, ok := catalog.LookupBlower(a.job.Equipment.Blower.Table); ok && a.job.Blower == nil {
		a.note("equipment.blower", row.Name, row.Source.String())
	}
	if spec.Kind == constantAirflow {
		a.note("equipment.blower", quantity.Pressure(internalLoss).Text(a.job.Units)+" lost in its cabinet", "for its power where it holds less than its table's airflow (constructed with the catalogue's tables, our choice)")
	}
}

// damper notes what a damper of the [damper] table is taken for.
func (a *assumed) damper(d *network.Damper) {
	switch d.Drive {
	case network.Barometric:
		a.relief([]string{"damper", d.Name}, d.Leakage.Given)
		return
	case network.Backdraft:
		if !d.Leakage.Given {
			row, _ := catalog.LookupDamperLeakage("backdraft")
			a.note(network.PathText("damper", d.Name, "leakage"), "class "+row.Name, row.Source.String())
		}
		a.note(network.PathText("damper", d.Name), fmt.Sprintf("a loss of %g velocity pressures blown open", OpenBackdraft), "as a multi-blade damper fully open (our choice)")
		return
	case network.Hand:
		if !d.Leakage.Given {
			a.note(network.PathText("damper", d.Name, "leakage"), quantity.Fraction(catalog.DefaultDamperLeakage).Text(a.job.Units), source("damper leakage"))
		}
	}
	if row, ok := catalog.LookupBlade(d.Blade); ok && (row.Kind == catalog.ParallelBlades || row.Kind == catalog.OpposedBlades) {
		a.note(network.PathText("damper", d.Name, "blade"), fmt.Sprintf("blades of N W/(2 (H + W)) = %g", catalog.BladeProportion), "two blades in a house duct; the printed rows are 0.3 to 1.5 (our choice)")
	}
}

// relief notes the stop and the leak of a weighted damper.
func (a *assumed) relief(path []string, leakGiven bool) {
	a.note(network.PathText(path...), fmt.Sprintf("blade stops at %g° from shut", catalog.ReliefFullOpen), source("relief full opening"))
	if !leakGiven {
		a.note(network.PathText(append(path, "leakage")...), quantity.Fraction(catalog.ReliefLeakArea).Text(a.job.Units)+" of its area when shut", source("relief leak area"))
	}
}

// register notes the register's own damper, and how it throws where that is judged.
func (a *assumed) register(table, key string, l *network.Line, o *network.Opening) {
	if o == nil {
		return
	}
	if o.Balance != nil {
		a.note(network.PathText(table, l.Name, key+".balance"), fmt.Sprintf("opposed blades of N W/(2 (H + W)) = %g in its neck", catalog.RegisterBladeProportion), "the usual damper of a register (common practice)")
	}
	if key != "register" || o.Pattern == "" {
		return
	}
	h := a.job.RoomOf(l.Room, l.Zone)
	if o.Height == nil {
		a.note(network.PathText(table, l.Name, "register.height"), quantity.Length(math.Min(network.OutletHeight(o.Pattern, h.Ceiling), h.Ceiling)).Text(a.job.Units), "by its pattern (our choice)")
	}
	if o.Reach == 0 {
		a.note(network.PathText(table, l.Name, "register.reach"), quantity.Length(math.Sqrt(h.Floor)).Text(a.job.Units), "the side of a square room of its floor (our choice)")
	}
}

// leaks notes the exponent of every leak, and where there is none at all.
func (a *assumed) leaks() {
	leaks := &a.job.Leakage
	supply, back := leaks.Supply != nil, leaks.Return != nil
	a.leak(leaks.Supply, "leakage", "supply")
	a.leak(leaks.Return, "leakage", "return")
	a.lines(func(table string, l *network.Line) {
		if l.Leakage == nil {
			return
		}
		supply, back = supply || table != "return", back || table == "return"
		a.leak(l.Leakage, table, l.Name, "leakage")
	})
	const tight = "ducts are taken as tight where the file gives no leak"
	if !supply {
		a.note("leakage.supply", "none", tight)
	}
	if !back {
		a.note("leakage.return", "none", tight)
	}
	if leaks.Envelope == nil {
		a.note("leakage.envelope", "none", "the open house stands at the pressure outdoors, whatever leaks")
	}
	a.leak(leaks.Envelope, "leakage", "envelope")
	for i := range a.job.Rooms {
		a.leak(a.job.Rooms[i].Envelope, "room", a.job.Rooms[i].Name, "envelope")
	}
}

func (a *assumed) leak(l *network.Leak, path ...string) {
	if l == nil {
		return
	}
	at := network.PathText(path...)
	switch {
	case l.Exponent != 0:
	case l.Class > 0:
		a.note(at+".exponent", fmt.Sprint(catalog.DuctLeakageExponent), source("duct leakage exponent"))
	default:
		a.note(at+".exponent", fmt.Sprint(catalog.TestLeakageExponent), source("leakage test exponent"))
	}
}

// doors notes the gap round doors that are shut.
func (a *assumed) doors() {
	for i := range a.job.Rooms {
		r := &a.job.Rooms[i]
		if r.Door == nil || r.Door.Shut != nil && !*r.Door.Shut {
			continue
		}
		if r.Door.Width == 0 {
			a.note(network.PathText("room", r.Name, "door.width"), quantity.Length(network.UsualDoor).Text(a.job.Units), "an inner door (common practice)")
		}
		cracks := quantity.Fixed(catalog.CrackAllowance/(quantity.Inch*quantity.Inch), 0) + " in²"
		if a.job.Units == quantity.SI {
			cracks = quantity.Fixed(catalog.CrackAllowance*1e4, 0) + " cm²"
		}
		a.note(network.PathText("room", r.Name, "door"), cracks+" of cracks round it", source("crack allowance"))
	}
}
