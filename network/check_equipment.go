package network

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"spillway/network/catalog"
	"spillway/network/diag"
	"spillway/network/quantity"
)

// Defaults of the equipment, each noted as an assumption where it is used.
const (
	defaultMaxStatic     = 0.50 * quantity.InchWater // typical rating of a furnace or air handler (common practice)
	defaultSensible      = 0.75                      // sensible heat ratio at rating (common practice)
	airflowPerTon        = 400 * quantity.CFM        // of a constant-airflow blower without a set flow (common practice)
	defaultCoolingOut    = 95.0                      // °F, the outdoor condition of cooling ratings
	defaultCoolingIn     = 75.0                      // °F, indoor design (common practice)
	defaultHeatingOut    = 17.0                      // °F, the cold outdoor condition of heating ratings
	defaultHeatingIn     = 70.0                      // °F, indoor design (common practice)
	defaultCoolingSupply = 55.0                      // °F (common practice)
	defaultHeatingSupply = 120.0                     // °F, furnace (common practice)
	defaultHumidity      = 0.50                      // indoor design (common practice)

	defaultHeatingHumidity = 0.35 // indoors in winter (our choice)
)

// blower finds the blower and its taps.
func (c *checker) blower() {
	e := &c.job.Equipment
	own := c.job.Blower
	switch {
	case own != nil && e.Blower.Table != "":
		c.fail(c.at("equipment", "blower"), "keep one of the two", "the blower is named here and has a [blower] table too")
	case own != nil:
		c.blowerTable(own)
	case e.Blower.Table != "":
		row, ok := catalog.LookupBlower(e.Blower.Table)
		if !ok {
			at := c.at("equipment", "blower", "table")
			meant := c.unknown(at, "blower in the catalogue called", e.Blower.Table, catalog.Names(catalog.Blowers))
			if row, ok = catalog.LookupBlower(meant); !ok {
				return
			}
		}
		c.kind = row.Kind.String()
		for _, tap := range row.Taps {
			c.taps = append(c.taps, tap.Name)
			c.tapAirflow = append(c.tapAirflow, tap.Points[0].Airflow)
		}
	case c.given("equipment") && !c.given("equipment", "blower") && !c.given("blower"):
		c.fail(c.name("equipment", "blower"), `write blower = { table = "generic psc 3 ton" } under [equipment], or a [blower] table of your own`, "there is no blower")
	}
	for i, part := range e.Included {
		if part != "filter" && part != "coil" {
			c.unknown(c.item(i, "equipment", "included"), "part", part, []string{"filter", "coil"})
		}
	}
}

// blowerTable checks a table of one's own: rising statics, as many airflows, airflow that falls as the static rises.
func (c *checker) blowerTable(b *BlowerTable) {
	if b.Kind == "" {
		b.Kind = MultiTap
		c.assume(MultiTap, "the commonest kind, when the table does not say", "blower", "kind")
	} else {
		c.choice(c.at("blower", "kind"), "kind of blower", "BlowerTable", "kind", b.Kind)
	}
	c.kind = b.Kind
	if len(b.Static) < 2 {
		c.fail(c.at("blower", "static"), "list the external statics of the table, rising, such as static = [0.1, 0.3, 0.5, 0.7]", "the blower's table has %d external statics; it needs two at least", len(b.Static))
	}
	for i := 1; i < len(b.Static); i++ {
		if b.Static[i] <= b.Static[i-1] {
			c.fail(c.item(i, "blower", "static"), "list them in rising order, and the airflows with them", "the external statics of the blower's table are out of order")
			break
		}
	}
	if len(b.Taps) == 0 && !c.given("blower", "tap") {
		c.fail(c.name("blower", "tap"), "write [blower.tap] and NAME = { airflow = [...], watts = [...] } per tap", "the blower's table has no taps")
	}
	for i, part := range b.Includes {
		if part != "filter" && part != "coil" {
			c.unknown(c.item(i, "blower", "includes"), "part", part, []string{"filter", "coil"})
		}
	}
	for _, tap := range b.Taps {
		c.taps = append(c.taps, tap.Name)
		first := 0.0
		if len(tap.Airflow) > 0 {
			first = float64(tap.Airflow[0])
		}
		c.tapAirflow = append(c.tapAirflow, first)
		if len(tap.Airflow) != len(b.Static) {
			c.fail(c.at("blower", "tap", tap.Name, "airflow"), "give one airflow for each static", "tap %q has %d airflows for %d external statics", tap.Name, len(tap.Airflow), len(b.Static))
			continue
		}
		if len(tap.Watts) != 0 && len(tap.Watts) != len(b.Static) {
			c.fail(c.at("blower", "tap", tap.Name, "watts"), "give one for each static, or none", "tap %q has %d watts for %d external statics", tap.Name, len(tap.Watts), len(b.Static))
		}
		c.tapOrder(tap)
	}
}

// tapOrder refuses airflows that rise with static from first to last, and cautions where only a piece does (a stall).
func (c *checker) tapOrder(tap BlowerTap) {
	n := len(tap.Airflow)
	if n < 2 {
		return
	}
	if tap.Airflow[n-1] > tap.Airflow[0] {
		c.fail(c.at("blower", "tap", tap.Name, "airflow"), "list the airflows in the order of the statics; a blower moves less against more static",
			"the airflows of tap %q are out of order: they rise with static", tap.Name)
		return
	}
	for i := 1; i < n; i++ {
		if tap.Airflow[i] > tap.Airflow[i-1] {
			c.warn(c.item(i, "blower", "tap", tap.Name, "airflow"), "is it a typing mistake? a rising piece is the blower's stall", "the airflow of tap %q rises here although the static rises", tap.Name)
		}
	}
	if tap.Airflow[0] <= 0 {
		c.fail(c.at("blower", "tap", tap.Name, "airflow"), "", "tap %q moves no air", tap.Name)
	}
}

func (c *checker) equipment() {
	e := &c.job.Equipment
	if !c.given("equipment") {
		c.fail(span{}, "write [equipment] with cooling, heating or both, and the blower", "the job has no [equipment]")
		return
	}
	if e.Cooling == nil && e.Heating == nil && e.Fan == nil {
		c.fail(c.name("equipment"), `write cooling = { capacity = "3 ton", tap = "high" } or heating = { output = "57 kBtu/h", tap = "medium" }`, "the equipment neither cools nor heats")
	}
	c.machine(Cooling, e.Cooling)
	c.machine(Heating, e.Heating)
	c.machine(Fan, e.Fan)
	if e.MaxStatic == 0 {
		e.MaxStatic = defaultMaxStatic
		c.assume(e.MaxStatic.Text(c.system), "the usual rating of a furnace or air handler (common practice)", "equipment", "max-static")
	}
	c.resistance("filter", e.Filter)
	c.resistance("coil", e.Coil)
	if e.Cooling != nil && e.Coil == nil && !c.included("coil") {
		c.warn(c.name("equipment"), `write coil = { drop = "0.20 inwc", at = "1200 cfm" }, or included = ["coil"] when the blower's table has it`, "the equipment cools but has no coil drop")
	}
	if e.Filter == nil && !c.included("filter") {
		c.warn(c.name("equipment"), `write filter = { drop = "0.10 inwc", at = "1200 cfm" }, or included = ["filter"]`, "the equipment has no filter drop")
	}
}

func (c *checker) included(part string) bool {
	return contains(c.job.Equipment.Included, part) || c.job.Blower != nil && contains(c.job.Blower.Includes, part)
}

func (c *checker) resistance(part string, r *Resistance) {
	if r == nil {
		return
	}
	c.unknownPart(part, r)
	if n, _ := c.root.find("equipment", part); n.table && (r.Drop == 0 && n.child("drop") == nil ||
		r.At == 0 && n.child("at") == nil) {
		c.fail(c.at("equipment", part), fmt.Sprintf(`write %s = { drop = "0.10 inwc", at = "1200 cfm" }`, part), "the %s needs a drop and the airflow at which it has it", part)
	}
	if r.Exponent != 0 && (r.Exponent < 1 || r.Exponent > 2) {
		c.fail(c.at("equipment", part, "exponent"), "1 for a medium that is all friction, 2 for one that is all shape; leave it out for the usual", "the exponent of the %s is %g; it lies between 1 and 2", part, r.Exponent)
	}
	if r.Exponent == 0 {
		row, _ := catalog.LookupConstant(part + " exponent")
		c.assume(fmt.Sprint(row.Value), row.Source.String(), "equipment", part, "exponent")
	}
	if wet := part == "coil" && r.Wet == nil && c.job.Equipment.Cooling != nil; wet {
		row, _ := catalog.LookupConstant("coil wet factor")
		c.assume(fmt.Sprintf("true, %g times its dry drop when cooling", row.Value), row.Source.String(), "equipment", part, "wet")
	}
	if b := plausibleBounds["loading"]; r.Loading != 0 && (r.Loading < b.least || r.Loading > b.most) {
		c.fail(c.at("equipment", part, "loading"), "2 is a filter due for change", "the loading of the %s is %g times its clean drop", part, r.Loading)
	}
	if c.included(part) {
		c.warn(c.at("equipment", part), "keep one of the two", "the %s has a drop of its own but is included in the blower's table", part)
	}
}

// machine checks one side of the equipment and fills in what its stages share, so that every machine has at least one
// stage and every stage stands for itself.
func (c *checker) machine(mode Mode, m *Machine) {
	if m == nil {
		return
	}
	side := string(mode)
	path := []string{"equipment", side}
	switch {
	case mode == Cooling && m.Output != 0:
		c.fail(c.at("equipment", side, "output"), "write capacity", "cooling has a capacity; output is heating's word")
	case mode == Heating && m.Capacity != 0:
		c.fail(c.at("equipment", side, "capacity"), "write output", "heating has an output; capacity is cooling's word")
	}
	if m.Kind != "" {
		c.choice(c.at("equipment", side, "kind"), "kind of machine", "Machine", "kind", string(m.Kind))
	}
	if len(m.Rise) != 0 && (len(m.Rise) != 2 || m.Rise[0] >= m.Rise[1]) {
		if !c.refusedWithin("equipment", side, "rise") {
			c.fail(c.at("equipment", side, "rise"), `write the plate's least and greatest rise, such as rise = ["35 F", "65 F"]`, "the rise is not a range")
		}
		m.Rise = nil
	}
	if mode == Cooling && m.Sensible == 0 {
		m.Sensible = defaultSensible
		c.assume("75 %", "usual sensible heat ratio of residential cooling at rating (common practice)", "equipment", side, "sensible")
	}
	own := len(m.Stages) == 0
	if own {
		m.Stages = []Stage{{Name: "1", Capacity: m.Capacity, Output: m.Output, Sensible: m.Sensible, Tap: m.Tap, Airflow: m.Airflow}}
	}
	for i := range m.Stages {
		s := &m.Stages[i]
		at := path
		if !own {
			at = []string{"equipment", side, "stage", s.Name}
		}
		c.stage(mode, m, s, own, at)
		if i > 0 && s.Capacity+s.Output > 0 && (s.Capacity < m.Stages[i-1].Capacity || s.Output < m.Stages[i-1].Output) {
			c.fail(c.name(at...), "list the stages from the lowest to the highest", "stage %q is smaller than the stage before it", s.Name)
		}
	}
	if own {
		m.Tap, m.Airflow = m.Stages[0].Tap, m.Stages[0].Airflow
	}
	// The machine's own figures are those of its highest stage when only the stages give them.
	top := m.Stages[len(m.Stages)-1]
	if m.Capacity == 0 {
		m.Capacity = top.Capacity
	}
	if m.Output == 0 {
		m.Output = top.Output
	}
}

func (c *checker) stage(mode Mode, m *Machine, s *Stage, only bool, at []string) {
	where := string(mode)
	if !only {
		where += " stage " + s.Name
	}
	lone := len(m.Stages) == 1
	switch {
	case mode == Cooling && s.Capacity == 0 && lone && m.Capacity != 0:
		s.Capacity = m.Capacity
	case mode == Cooling && s.Capacity == 0 && c.given(append(slices.Clone(at), "capacity")...): // refused already
	case mode == Heating && s.Output == 0 && c.given(append(slices.Clone(at), "output")...):
	case s.Capacity+s.Output != 0 && (s.Capacity == 0) == (mode == Cooling): // the wrong word; reported
	case mode == Cooling && s.Capacity == 0:
		c.fail(c.at(append(at, "capacity")...), `write capacity = "3 ton"`, "%s has no capacity", where)
	case mode == Heating && s.Output == 0 && lone && m.Output != 0:
		s.Output = m.Output
	case mode == Heating && s.Output == 0:
		c.fail(c.at(append(at, "output")...), `write output = "57 kBtu/h"`, "%s has no output", where)
	}
	if s.Sensible == 0 {
		s.Sensible = m.Sensible
	}
	if s.Tap == "" {
		s.Tap = m.Tap
	}
	if s.Airflow == 0 {
		s.Airflow = m.Airflow
	}
	c.tapOf(mode, s, at, where)
}

// tapOf finds the tap, or the set airflow, with which a stage runs.
func (c *checker) tapOf(mode Mode, s *Stage, at []string, where string) {
	if c.taps == nil {
		return // no blower; reported
	}
	c.unknownTap(s, at)
	tapAt := c.at(append(slices.Clone(at), "tap")...)
	if s.Tap != "" && !contains(c.taps, s.Tap) {
		c.fail(tapAt, diag.DidYouMean(s.Tap, c.taps), "the blower has no tap %q", s.Tap)
		return
	}
	if c.kind == ConstantAirflow && s.Airflow == 0 && s.Tap == "" && len(c.taps) > 1 && mode == Cooling && s.Capacity > 0 {
		s.Airflow = quantity.Airflow(float64(s.Capacity) / quantity.TonOfCooling * airflowPerTon)
		c.assume(s.Airflow.Text(c.system), "400 cfm per ton (common practice)", append(slices.Clone(at), "airflow")...)
	}
	if s.Tap == "" {
		switch {
		case len(c.taps) == 1:
			s.Tap = c.taps[0]
			c.assume(s.Tap, "the blower's only tap", append(slices.Clone(at), "tap")...)
		case c.kind == ConstantAirflow && s.Airflow != 0:
			s.Tap = c.nearestTap(float64(s.Airflow))
			c.assume(s.Tap, "the tap nearest to the set airflow", append(slices.Clone(at), "tap")...)
		default:
			c.fail(tapAt, "known here: "+joined(c.taps), "%s does not say which blower tap runs", where)
		}
	}
	if c.kind != ConstantAirflow && s.Airflow != 0 {
		c.warn(c.at(append(slices.Clone(at), "airflow")...), "leave it out, or choose a constant airflow blower", "%s sets an airflow, but the blower only has taps", where)
	}
	if c.kind == ConstantAirflow && s.Airflow != 0 {
		c.heldOver(s, where)
	}
}

// heldOver refuses a set airflow over a table that rises with the static: where the motor reaches the table it can no
// longer hold the airflow, and what it then moves is not one airflow at each static.
func (c *checker) heldOver(s *Stage, where string) {
	if c.job.Blower == nil {
		return
	}
	b := c.job.Blower
	i := slices.IndexFunc(b.Taps, func(tap BlowerTap) bool { return tap.Name == s.Tap })
	if i < 0 || len(b.Taps[i].Airflow) != len(b.Static) || c.heldTaps[s.Tap] {
		return
	}
	airflow := b.Taps[i].Airflow
	for k := 1; k < len(airflow); k++ {
		if airflow[k] <= airflow[k-1] {
			continue
		}
		if c.heldTaps == nil {
			c.heldTaps = map[string]bool{}
		}
		c.heldTaps[s.Tap] = true
		c.fail(c.item(k, "blower", "tap", s.Tap, "airflow"), "correct the airflow, or set none, so that the blower follows its table",
			"%s sets an airflow of %s, but the airflow of tap %q rises from %s to %s where the static rises from %s to %s", where, s.Airflow.Text(c.system), s.Tap,
			airflow[k-1].Text(c.system), airflow[k].Text(c.system), b.Static[k-1].Text(c.system), b.Static[k].Text(c.system))
		return
	}
}

// nearestTap is the tap whose airflow at the lowest static is nearest to a set airflow.
func (c *checker) nearestTap(airflow float64) string {
	best := 0
	for i := range c.tapAirflow {
		if math.Abs(c.tapAirflow[i]-airflow) < math.Abs(c.tapAirflow[best]-airflow) {
			best = i
		}
	}
	return c.taps[best]
}

func joined(words []string) string { return strings.Join(words, ", ") }

// weather checks the conditions and gives every mode of the equipment at least one.
func (c *checker) weather() {
	e := &c.job.Equipment
	machines := []struct {
		mode Mode
		m    *Machine
	}{{Cooling, e.Cooling}, {Heating, e.Heating}, {Fan, e.Fan}}
	has := map[Mode]bool{}
	for i := range c.job.Weather {
		w := &c.job.Weather[i]
		if w.Mode == "" {
			c.fail(c.name("weather", w.Name), `write mode = "cooling" or mode = "heating"`, "weather %q does not say for which mode", w.Name)
			continue
		}
		has[w.Mode] = true
		for _, x := range machines {
			if x.mode == w.Mode && x.m == nil && c.given("equipment") {
				c.fail(c.at("weather", w.Name, "mode"), fmt.Sprintf("add %s = { ... } under [equipment] or take the weather out", w.Mode), "weather %q is for %s, which the equipment does not have", w.Name, w.Mode)
			}
		}
		c.condition(w, true)
	}
	for _, x := range machines {
		if x.m == nil || has[x.mode] {
			continue
		}
		name := "design " + string(x.mode)
		c.job.Weather = append(c.job.Weather, Weather{Name: name, Mode: x.mode})
		c.condition(&c.job.Weather[len(c.job.Weather)-1], false)
	}
}

// site notes where the job stands when the file does not say.
func (c *checker) site() {
	if !c.given("site", "elevation") {
		c.assume(c.job.Site.Elevation.Text(c.system), "sea level", "site", "elevation")
	}
}

// condition fills in what a weather row leaves open.
func (c *checker) condition(w *Weather, inFile bool) {
	outdoor, indoor, supply := defaultCoolingOut, defaultCoolingIn, defaultCoolingSupply
	why := "outdoor condition of cooling ratings"
	switch w.Mode {
	case Heating:
		outdoor, indoor, supply = defaultHeatingOut, defaultHeatingIn, defaultHeatingSupply
		why = "cold outdoor condition of heating ratings"
	case Fan:
		outdoor, indoor = defaultHeatingIn, defaultHeatingIn
		why = "mild weather"
	}
	set := func(t **quantity.Temperature, fahrenheit float64, key, why string) {
		if *t == nil {
			value := quantity.FromFahrenheit(fahrenheit)
			*t = &value
			c.assume(value.Text(c.system), why, "weather", w.Name, key)
		}
	}
	set(&w.Outdoor, outdoor, "outdoor", why)
	set(&w.Indoor, indoor, "indoor", "usual indoor design (common practice)")
	if w.Humidity == 0 {
		w.Humidity = defaultHumidity
		why := "usual indoor design (common practice)"
		if w.Mode == Heating {
			w.Humidity, why = defaultHeatingHumidity, "a heated house in winter (our choice)"
		}
		c.assume(w.Humidity.Text(c.system), why, "weather", w.Name, "humidity")
	}
	w.SupplyAirGiven = w.SupplyAir != nil
	if w.Mode == Fan && !w.SupplyAirGiven {
		value := *w.Indoor
		w.SupplyAir = &value
		c.assume(value.Text(c.system), "the fan alone moves room air", "weather", w.Name, "supply-air")
	}
	set(&w.SupplyAir, supply, "supply-air", "usual supply air in "+string(w.Mode)+" (common practice), until it is computed")
	if !inFile {
		return
	}
	const coldToCool = 10.0 // °C: below it nothing in a house is cooled by its air conditioner (our choice)
	if w.Mode == Cooling && *w.Outdoor < coldToCool {
		c.warn(c.at("weather", w.Name, "outdoor"), "is the unit right? is it heating weather?", "cooling weather with %s outdoors", w.Outdoor.Text(c.system))
	}
	if heats := w.Mode == Heating; w.SupplyAirGiven && w.Mode != Fan && heats == (*w.SupplyAir <= *w.Indoor) {
		c.warn(c.at("weather", w.Name, "supply-air"), "is the unit right?", "supply air of %s does not serve %s with %s indoors",
			w.SupplyAir.Text(c.system), w.Mode, w.Indoor.Text(c.system))
	}
	if w.Mode == Heating && *w.Outdoor > *w.Indoor {
		c.warn(c.at("weather", w.Name, "outdoor"), "is it cooling weather?", "heating weather that is warmer outdoors than indoors")
	}
}
