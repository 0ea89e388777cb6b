package calendar

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/clock"
)

// Result is a run of a house through time.
type Result struct {
	Title  string // "design-heating"
	Days   float64
	Ledger *clock.Ledger
	House  *clock.House
	Job    *network.Job

	Solved int     // call states that were solved for it, corners and centers of the look-up
	Error  float64 // the largest share by which an interpolated airflow or capacity was off at the center of a cell
	Fuel   bool    // heating burns fuel
	Hours  []Hour  // of a day, its outdoor temperatures

	zones  []zone
	lookup *lookup
}

// warmDays are how many days run before the one that counts: a house's mass has a time constant of a day
// or two.
const warmDays = 5

// Rows lists the weather rows that a day can be made of, in file order.
func (h *House) Rows() []string {
	var names []string
	for i := range h.job.Weather {
		w := &h.job.Weather[i]
		if h.sideOf(w.Mode) != nil && w.Outdoor != nil {
			names = append(names, w.Name)
		}
	}
	return names
}

func (h *House) sideOf(mode network.Mode) *clock.Machine {
	switch mode {
	case network.Heating:
		return h.clock.Heating
	case network.Cooling:
		return h.clock.Cooling
	}
	return nil
}

// Day runs a weather row as a day that has repeated for some days. An empty name is the row that asks
// most: of heating, else of cooling. The options' Event and Sample are passed on.
func (h *House) Day(name string, opt clock.Options) (*Result, error) {
	if name == "" {
		for _, mode := range []network.Mode{network.Heating, network.Cooling} {
			if w := h.design(mode); name == "" && w != nil && h.sideOf(mode) != nil {
				name = w.Name
			}
		}
	}
	if !slices.Contains(h.Rows(), name) {
		return nil, &Error{fmt.Sprintf("there is no weather row %q that is heated or cooled", name)}
	}
	row := &h.job.Weather[slices.IndexFunc(h.job.Weather, func(w network.Weather) bool { return w.Name == name })]
	step := h.step()
	d := &designDay{house: h, row: row, season: clock.Heating, spread: winterRange, steps: int(network.Day / step), day: 15}
	if row.Mode == network.Cooling {
		d.season, d.spread, d.clear, d.day = clock.Cooling, summerRange, 1, 196
	}
	why := "of a usual summer day (common practice)"
	if d.season == clock.Heating {
		why = "of a cold day (our choice), without sun, as heat losses are reckoned"
	}
	if r := h.job.Year.Range; r != 0 {
		d.spread = float64(r)
	} else {
		h.note(quantity.TemperatureSpan(d.spread).Text(h.job.Units), why, "year", "range")
	}
	if h.clock.Cooling != nil {
		h.dewPoint()
	}
	opt.Step, opt.Steps, opt.Warm = step, d.steps, warmDays*d.steps
	l, err := clock.Run(&h.clock, h.lookup, d, opt)
	if err != nil {
		return nil, err
	}
	r := h.result(name, 1, l)
	for hour := range 24 {
		r.Hours = append(r.Hours, Hour{Outdoor: d.outdoor(hour), Sun: d.clear})
	}
	return r, nil
}

func (h *House) result(title string, days float64, l *clock.Ledger) *Result {
	h.tellSimplified(l)
	return &Result{Title: title, Days: days, Ledger: l, House: &h.clock, Job: h.job, Solved: h.lookup.solved, Error: h.lookup.worst,
		Fuel: h.lookup.intake[clock.Heating].fuel, zones: h.zones, lookup: h.lookup}
}

// tellSimplified tells as an assumption that a run took zones to return what they are given.
func (h *House) tellSimplified(l *clock.Ledger) {
	if l.Simplified > 0 {
		h.note("each zone returns the air that it is given",
			fmt.Sprintf("in %d of %d sets of airflows the air circles through the zones, so that "+
				"temperatures would oscillate; events are not searched for in that (our choice)",
				l.Simplified, l.Decompose), "return")
	}
}

// Sides are the sides of the machine that ran.
func (r *Result) Sides() []clock.Season {
	var sides []clock.Season
	for _, s := range []clock.Season{clock.Heating, clock.Cooling} {
		if m := r.Machine(s); m.Starts > 0 || m.On > 0 {
			sides = append(sides, s)
		}
	}
	return sides
}

// Machine is the ledger of one side of the machine.
func (r *Result) Machine(s clock.Season) *clock.MachineTime {
	if s == clock.Cooling {
		return &r.Ledger.Cooling
	}
	return &r.Ledger.Heating
}

// Settings is the lowest and the highest set point of a zone in a season, °C.
func (r *Result) Settings(zone int, s clock.Season) (low, high float64) {
	list := r.zones[zone].heat
	if s == clock.Cooling {
		list = r.zones[zone].cool
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, set := range list {
		low, high = min(low, float64(set.Temperature)), max(high, float64(set.Temperature))
	}
	return low, high
}

// ToGuard is how long a call that starts with a cold machine runs, s, until the first guard opens, at the
// design temperatures; +Inf when it never does, NaN when that is not known.
func (r *Result) ToGuard(c clock.Call) float64 {
	mode := modeOf(c.Season)
	h := House{job: r.Job}
	row := h.design(mode)
	m := r.House.Heating
	if c.Season == clock.Cooling {
		m = r.House.Cooling
	}
	if row == nil || m == nil {
		return math.NaN()
	}
	back := float64(*row.Indoor)
	s, err := r.lookup.At(c, clock.Conditions{Outdoor: float64(*row.Outdoor), Return: back})
	if err != nil {
		return math.NaN()
	}
	lag := s.Lag
	if lag == 0 {
		lag = m.Lag
	}
	soonest := math.Inf(1)
	for i, g := range m.Guards {
		if share := (g.Opens - back) / s.Guards[i]; share > 0 && share < 1 {
			soonest = min(soonest, -lag*math.Log1p(-share))
		}
	}
	return soonest
}

// Name is a call state by its zones and stage, as "solve" names it within its weather.
func (r *Result) Name(c clock.Call) string {
	name := ""
	n := 0
	for i := range r.Job.Zones {
		if c.Has(i) {
			if name != "" {
				name += " + "
			}
			name += r.Job.Zones[i].Name
			n++
		}
	}
	if n == len(r.Job.Zones) && n > 1 {
		name = "all zones"
	}
	label := c.Season.String()
	if m := side(r.Job, modeOf(c.Season)); m != nil && len(m.Stages) > 1 {
		label += fmt.Sprintf(" stage %d", c.Stage)
	}
	return label + ": " + name
}
