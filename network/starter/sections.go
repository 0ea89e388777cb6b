package starter

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// The velocities, fpm, and lengths, ft, of the sketch: common practice for quiet residential duct, and our choice.
const (
	trunkVelocity   = 900
	zoneVelocity    = 750
	branchVelocity  = 600
	returnVelocity  = 650
	bypassVelocity  = 900
	mostPerRegister = 130 * quantity.CFM
)

func (w *writer) head() {
	w.line("# %s", strings.ReplaceAll(w.Title, "#", ""))
	w.line("#")
	w.line("# A starter: every size here is a rule of thumb. Put in what is really there, part by part, then:")
	w.line("#")
	w.line("#   spillway check FILE       is it in order?")
	w.line("#   spillway solve FILE       where does the air go, in every call state?")
	w.line("#   spillway draw FILE -o pictures/")
	w.line("#")
	w.line("# Each part is one line and its name is yours to choose. A number may carry its unit in quotes; a bare number is in the file's units.")
	w.line("")
	w.line("title = %s", strconv.Quote(w.Title))
	w.line("units = %q%s# %s", w.Units.String(), strings.Repeat(" ", 22), w.pick("bare numbers: ft, in, cfm, inwc, F, Btu/h", "bare numbers: m, mm, l/s, Pa, C, W"))
	w.line("")
	w.line("[weather]                         # one line per condition to look at")
	w.line("cooling = { mode = \"cooling\", outdoor = %q, indoor = %q, humidity = \"50 %%\" }", w.pick("92 F", "33 C"), w.pick("75 F", "24 C"))
	if w.Output > 0 {
		w.line("heating = { mode = \"heating\", outdoor = %q, indoor = %q }", w.pick("10 F", "-12 C"), w.pick("70 F", "21 C"))
	}
	w.line("")
}

func (w *writer) equipment() {
	flow := w.flow(w.airflow())
	w.line("[equipment]                       # capacities and limits: from the rating plates")
	w.line("cooling    = { capacity = %q, sensible = \"75 %%\", tap = \"high\" }", w.pick(fmt.Sprintf("%g ton", w.Tons), fmt.Sprintf("%.1f kW", w.Tons*quantity.TonOfCooling/1000)))
	if w.Output > 0 {
		output := fmt.Sprintf("%.0f kBtu/h", float64(w.Output)/quantity.BtuPerHour/1000)
		w.line("heating    = { output = %q, rise = [%q, %q], tap = \"medium\" }", w.pick(output, fmt.Sprintf("%.1f kW", float64(w.Output)/1000)), w.pick("35 F", "20 K"), w.pick("65 F", "36 K"))
	}
	w.line("blower     = { table = \"generic psc %g ton\" }     # a generic shape; put the maker's table into [blower] when you have it", w.Tons)
	w.line("max-static = %q", w.pick("0.50 inwc", "125 Pa"))
	w.line("filter     = { drop = %q, at = %q }", w.pick("0.08 inwc", "20 Pa"), flow)
	w.line("coil       = { drop = %q, at = %q }", w.pick("0.14 inwc", "35 Pa"), flow)
	w.line("")
}

func (w *writer) zones() {
	w.line("[zone]                            # one line per thermostat; wants: the airflow its rooms should get when it calls")
	width := w.widest("")
	for _, z := range w.Zones {
		w.line("%-*s = { wants = %q, damper = %q }", width, z.Name, w.flow(float64(z.Wants)), z.Name)
	}
	w.line("")
	w.line("[damper]                          # stop: how far it stays open when its zone does not call; this is what bleeds")
	for i, z := range w.Zones {
		stop := "0 %"
		if i == 0 {
			stop = "20 %"
		}
		w.line("%-*s = { stop = %q, leakage = \"3 %%\" }", width, z.Name, stop)
	}
	w.line("")
}

// widest is the width of the zones' names with an ending.
func (w *writer) widest(ending string) int {
	width := 0
	for _, z := range w.Zones {
		width = max(width, len(z.Name+ending))
	}
	return width
}

func (w *writer) supply() {
	w.line("[supply]                          # air order: the trunk, then zone by zone; size, length and fittings of every run")
	width := max(len("trunk"), w.widest("-trunk"))
	w.line("%-*s = { from = \"supply plenum\", size = %q, length = %q, fittings = [\"plenum takeoff\"] }", width, "trunk", w.round(w.airflow(), trunkVelocity), w.length(8))
	for i, z := range w.Zones {
		wants := float64(z.Wants)
		takeoff := "wye 45"
		if i == len(w.Zones)-1 {
			takeoff = "straight on"
		}
		trunk := z.Name + "-trunk"
		w.line("")
		w.line("%-*s = { from = \"trunk\", size = %q, length = %q, fittings = [%q, \"elbow 90 smooth\"], damper = %q }", width, trunk, w.round(wants, zoneVelocity), w.length(12+2*float64(i)), takeoff, z.Name)
		count := max(1, int(math.Ceil(wants/mostPerRegister-1e-9)))
		each := wants / float64(count)
		for k := range count {
			w.line("%-*s = { from = %q, size = %q, length = %q, fittings = [\"wye 45\", \"elbow 90 smooth\", \"boot\"], register = %q, room = %q }", width, fmt.Sprintf("%s-%d", z.Name, k+1),
				trunk, w.round(each, branchVelocity), w.length(10+2*float64(k%4)), w.register(each), fmt.Sprintf("%s %d", strings.ReplaceAll(z.Name, "-", " "), k+1))
		}
	}
	w.line("")
}

func (w *writer) returns() {
	q := w.airflow()
	w.line("[return]                          # air order: grilles first, then what leads to the blower")
	w.line("grille-1 = { to = \"drop\", grille = %q, size = %q, length = %q, fittings = [\"wye 45\"] }", w.grille(q/2), w.round(q/2, returnVelocity), w.length(8))
	w.line("grille-2 = { to = \"drop\", grille = %q, size = %q, length = %q, fittings = [\"straight on\", \"elbow 90 smooth\"] }", w.grille(q/2), w.round(q/2, returnVelocity), w.length(14))
	w.line("drop     = { to = \"return plenum\", size = %q, length = %q, fittings = [\"elbow 90 smooth\"] }", w.round(q, returnVelocity+150), w.length(8))
	w.line("")
}

func (w *writer) rest() {
	w.line("[leakage]                         # from a duct test, or a guess")
	w.line("supply = %q", "4 % of blower at 25 Pa")
	w.line("return = %q", "2 % of blower at 25 Pa")
	if !w.Bypass {
		return
	}
	w.line("")
	w.line("# What if a weighted bypass took the surplus instead? spillway solve FILE --alternative all --summary")
	w.line("[alternative.bypass]")
	w.line("note = \"no bleed; a weighted bypass from plenum to return drop\"")
	w.line("damper.%s.stop = \"0 %%\"", w.Zones[0].Name)
	w.line("bypass.relief = { from = \"supply plenum\", to = \"drop\", size = %q, length = %q, fittings = [\"plenum takeoff\", \"elbow 90 smooth\", \"wye 45\"], opens-at = %q, fully-open-at = %q }",
		w.round(w.airflow()/2, bypassVelocity), w.length(12), w.pick("0.20 inwc", "50 Pa"), w.pick("0.30 inwc", "75 Pa"))
}
