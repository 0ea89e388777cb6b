package starter

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"spillway/network/quantity"
)

// The velocities, fpm, of the sketch: common practice for quiet residential duct, lower than usual
// for zones, because a zone that calls alone gets more than it wants; our choice.
const (
	trunkVelocity   = 700
	zoneVelocity    = 600
	branchVelocity  = 450
	returnVelocity  = 500
	bypassVelocity  = 900
	mostPerRegister = 130 * quantity.CFM
)

func (w *writer) head() {
	w.line("# %s", strings.ReplaceAll(w.Title, "#", ""))
	w.line("#")
	w.line("# A first file: its sizes are rules of thumb. Put in what is installed, part by part.")
	w.line("# A part is one line, NAME = \"item, item, ...\". A number has its unit behind it; " +
		"the order")
	w.line("# of items is free. \"about 14 ft\", \"10 to 20 ft\" and \"unknown\" are values too.")
	w.line("#")
	w.line("#   spillway check FILE       lists all that is wrong, with the line and the likely " +
		"fix")
	w.line("#   spillway solve FILE       shows where the air goes, in every call state")
	w.line("#   spillway fittings         lists the names of fittings")
	if len(w.Remarks) > 0 {
		w.line("#")
		for _, r := range w.Remarks {
			for _, line := range wrap(r, 96) {
				w.line("# %s", line)
			}
		}
	}
	w.line("")
	w.line("title = %s", strconv.Quote(w.Title))
	if w.Units == quantity.SI {
		w.line("units = %q", w.Units.String())
	}
	w.line("")
	w.line("[weather]                    # the design days, and mild days, when zones seldom call " +
		"together")
	cold := w.Output > 0
	w.line("hot       = \"cooling, outdoor %s, indoor %s, humidity 50 %%\"", w.pick("92 F", "33 C"),
		w.pick("75 F", "24 C"))
	if cold {
		w.line("cold      = \"heating, outdoor %s, indoor %s\"", w.pick("10 F", "-12 C"),
			w.pick("70 F", "21 C"))
	}
	w.line("mild-warm = \"cooling, outdoor %s, indoor %s, humidity 55 %%\"", w.pick("78 F", "26 C"),
		w.pick("75 F", "24 C"))
	if cold {
		w.line("mild-cool = \"heating, outdoor %s, indoor %s\"", w.pick("45 F", "7 C"),
			w.pick("70 F", "21 C"))
	}
	w.line("")
}

// wrap divides a text into lines of at most so many characters.
func wrap(text string, most int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len(line)+1+len(word) > most {
			lines, line = append(lines, line), ""
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, line)
}

func (w *writer) equipment() {
	flow := w.flow(w.airflow())
	w.line("[equipment]                  # copy capacities and limits from the rating plates")
	w.line("cooling    = \"%s, sensible 75 %%, tap high\"",
		w.pick(fmt.Sprintf("%g ton", w.Tons), fmt.Sprintf("%.1f kW",
			w.Tons*quantity.TonOfCooling/1000)))
	if w.Output > 0 {
		output := fmt.Sprintf("%.0f kBtu/h", float64(w.Output)/quantity.BtuPerHour/1000)
		output = w.pick(output, fmt.Sprintf("%.1f kW", float64(w.Output)/1000))
		kind := ""
		if w.Heater != "furnace" {
			kind = w.Heater + ", "
		}
		low, high, tap := w.plate()
		if low == 0 {
			w.line("heating    = \"%s%s, tap %s\"", kind, output, tap)
		} else {
			w.line("heating    = \"%s%s, rise %s, tap %s\"", kind, output,
				w.pick(fmt.Sprintf("%d to %d F", low, high),
					fmt.Sprintf("%.0f to %.0f K", float64(low)/1.8, float64(high)/1.8)), tap)
		}
	}
	w.line("blower     = \"generic psc %g ton\"     # a usual shape; [blower] takes the maker's "+
		"table", w.Tons)
	w.line("max-static = %q", w.pick("0.50 inwc", "125 Pa"))
	w.line("filter     = \"%s at %s\"        # clean; loading 2 doubles it", w.pick("0.08 inwc",
		"20 Pa"), flow)
	w.line("coil       = \"%s at %s\"", w.pick("0.14 inwc", "35 Pa"), flow)
	w.line("")
}

// plate is a usual range of the temperature rise on a furnace's plate, F, about the rise that this
// one has, with its tap; no range for what has none on its plate.
func (w *writer) plate() (low, high int, tap string) {
	if w.Heater != "furnace" {
		return 0, 0, "high"
	}
	// 1.08 Btu/h per cfm and F: common practice.
	rise := float64(w.Output) / quantity.BtuPerHour / (1.08 * w.airflow() / quantity.CFM)
	for _, middle := range []int{35, 40, 45, 50, 55, 60} {
		low, high = middle-15, middle+15
		if rise <= float64(middle)+4 {
			break
		}
	}
	return low, high, "high"
}

func (w *writer) zones() {
	w.line("[zone]                       # one line per thermostat: the airflow it wants when it " +
		"calls;")
	w.line("                             # floor, loss and gain come from the load calculation")
	width := w.widest("")
	for _, z := range w.Zones {
		items := []string{w.flow(float64(z.Wants))}
		if z.Floor > 0 {
			items = append(items, w.area(z.Floor))
		}
		if z.Loss > 0 {
			items = append(items, "loss "+w.heat(z.Loss))
		}
		if z.Gain > 0 {
			items = append(items, "gain "+w.heat(z.Gain))
		}
		w.line("%-*s = %q", width, z.Name, strings.Join(items, ", "))
	}
	w.line("")
	w.line("[damper]                     # stop: how far it stays open while only other zones " +
		"call;")
	w.line("                             # it lets surplus air into a zone that does not call")
	for _, z := range w.Zones {
		w.line("%-*s = \"stop %.0f %%, leakage 3 %%\"", width, z.Name, 100*z.Stop)
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

// place is what a run in the place of the ducts has besides.
func (w *writer) place() string {
	if w.Ducts == "inside" {
		return ""
	}
	return ", " + w.Ducts + w.pick(", R-8", ", RSI-1.4")
}

// climb is the height that a run gains, down for a return.
func (w *writer) climb(up quantity.Length, reversed bool) string {
	if up == 0 {
		return ""
	}
	word := "up"
	if (up < 0) != reversed {
		word = "down"
	}
	return ", " + word + " " + w.length(math.Abs(float64(up))/quantity.Foot)
}

func (w *writer) supply() {
	w.line("[supply]                     # in the order of the air: duct, length, fittings, damper")
	width := max(len("trunk"), w.widest("-trunk"))
	w.line("%-*s = \"%s, %s, takeoff%s\"", width, "trunk", w.duct(w.airflow(), trunkVelocity),
		w.length(8), w.place())
	for i, z := range w.Zones {
		takeoff := "wye"
		if i == len(w.Zones)-1 {
			takeoff = "straight on"
		}
		long := math.Ceil(math.Abs(float64(z.Up))/quantity.Foot) + 12 + 2*float64(i)
		w.line("%-*s = \"off trunk, %s, %s, %s, elbow%s, damper %s%s\"", width, z.Name+"-trunk",
			w.duct(float64(z.Wants), zoneVelocity), w.length(long), takeoff, w.climb(z.Up,
				false), z.Name,
			w.place())
	}
	w.line("")
	for i, z := range w.Zones {
		if i == 0 {
			w.line("[from.%s-trunk]%s# each: what every run below has; a run: duct, length, "+
				"elbows,",
				z.Name, strings.Repeat(" ", max(1, 29-len("[from.-trunk]")-len(z.Name))))
			w.line("%29s# register, airflow; a register's room has the run's name", "")
		} else {
			w.line("[from.%s-trunk]", z.Name)
		}
		runs, each := w.runs(z)
		widest := len("each")
		for _, r := range runs {
			widest = max(widest, len(r.name))
		}
		w.line("%-*s = \"wye, boot%s\"", widest, "each", w.place())
		for k, r := range runs {
			w.line("%-*s = \"%s, %s, elbow, %s, %s%s\"", widest, r.name, w.round(each,
				branchVelocity),
				w.length(10+2*float64(k%4)), w.register(each), w.flow(each), r.room)
		}
		w.line("")
	}
}

// run is a run of a zone by its name, and what says its room if that is not the name.
type run struct{ name, room string }

// runs are the runs of a zone and the airflow of each: one for each room, several where a register
// would get too much.
func (w *writer) runs(z Zone) ([]run, float64) {
	rooms := len(z.Rooms)
	perRoom := int(math.Ceil(float64(z.Wants)/float64(max(1, rooms))/mostPerRegister - 1e-9))
	var runs []run
	switch {
	case rooms > 0 && perRoom > 1:
		for _, room := range z.Rooms {
			for k := range perRoom {
				runs = append(runs, run{fmt.Sprintf("%s-%d", room, k+1), ", room " + room})
			}
		}
	case rooms > 0:
		for _, room := range z.Rooms {
			runs = append(runs, run{room, ""})
		}
	default:
		for k := range max(1, perRoom) {
			runs = append(runs, run{fmt.Sprintf("%s-%d", z.Name, k+1), ""})
		}
	}
	return runs, float64(z.Wants) / float64(len(runs))
}

func (w *writer) returns() {
	q := w.airflow()
	w.line("[return]                     # what the grilles join leads to the blower")
	w.line("drop = \"%s, %s, elbow\"", w.duct(q, returnVelocity), w.length(8))
	w.line("")
	w.line("[to.drop]")
	width := w.widest("-grille")
	for i, z := range w.Zones {
		join := "wye"
		if i == len(w.Zones)-1 {
			join = "straight on"
		}
		long := math.Ceil(math.Abs(float64(z.Up))/quantity.Foot) + 8 + 2*float64(i)
		share := float64(z.Wants) / float64(w.wanted()) * q
		w.line("%-*s = \"grille %s, %s, %s, %s%s, zone %s\"", width, z.Name+"-grille",
			w.grille(share),
			w.duct(share, returnVelocity), w.length(long), join, w.climb(z.Up, true), z.Name)
	}
	w.line("")
}

// wanted is what all zones want.
func (w *writer) wanted() (sum quantity.Airflow) {
	for _, z := range w.Zones {
		sum += z.Wants
	}
	return sum
}

func (w *writer) rest() {
	if w.Bypass {
		w.line("[bypass]                     # a weighted damper: where it begins to open, where " +
			"it is open")
		w.line("relief = \"from plenum to drop, %s, %s, takeoff, elbow, wye, opens %s\"",
			w.round(w.airflow()/2, bypassVelocity), w.length(12), w.pick("0.20 to 0.30 inwc",
				"50 to 75 Pa"))
		w.line("")
	}
	w.line("[leakage]                    # from a duct test; this is a guess")
	w.line("supply = %q", "4 % of blower at 25 Pa")
	w.line("return = %q", "2 % of blower at 25 Pa")
	w.line("")
	w.line("# What else could be: spillway compare FILE")
	if w.Bypass {
		w.line("[alternative.no-bypass]")
		w.line("note   = \"the bypass is taken out\"")
		w.line("remove = \"bypass.relief\"")
		return
	}
	w.line("[alternative.shut]")
	w.line("note            = \"every damper shuts tight while its zone does not call\"")
	w.line("\"damper.*.stop\" = \"0 %%\"")
}

// heat prints a load.
func (w *writer) heat(q quantity.Heat) string {
	if w.Units == quantity.SI {
		return fmt.Sprintf("%.1f kW", float64(q)/1000)
	}
	return fmt.Sprintf("%.1f kBtu/h", float64(q)/quantity.BtuPerHour/1000)
}

// area prints a floor.
func (w *writer) area(a quantity.Area) string {
	if w.Units == quantity.SI {
		return fmt.Sprintf("%.0f m2", float64(a))
	}
	return fmt.Sprintf("%.0f ft2", float64(a)/quantity.SquareFoot)
}
