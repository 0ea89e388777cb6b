package calendar

import (
	"fmt"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/clock"
	"spillway/solver/heat"
	"spillway/solver/session"
	"spillway/solver/state"
)

// Units of the trade in which the sources give their figures.
const (
	btuPerFootDegree = 1899.10 / (0.3048 * 0.3048)  // J/(K·m²) per Btu/(°F·ft²)
	btuhPerFoot      = 0.293071 / (0.3048 * 0.3048) // W/m² per Btu/(h·ft²)
	btuhPerDegree    = 0.527528                     // W/K per Btu/(h·°F)
	degree           = 5.0 / 9                      // K per °F
)

// Defaults of what only time needs. Each is told as an assumption where it is used.
const (
	defaultBand         = 0.5 * degree // K, of the sensor (our choice)
	defaultAnticipation = 0.8 * degree // K (our choice: alone 3.4 cycles/h at half load)
	defaultLag          = 360.0        // s of a wall thermostat's sensor (our choice)
	airShare            = 2.0 / 3      // of a zone's loss that leaves its air: windows and leakage (our choice)
	doorway             = 150 * btuhPerDegree
	defaultDoors        = 1.0
	defaultGains        = 1.6 * btuhPerFoot                            // W/m², mean of a day (from memory: 77,800 Btu a day in 2,000 ft², three bedrooms)
	defaultSun          = 5.0 * btuhPerFoot                            // W/m², clear summer peak, where no heat gain is given (our choice)
	sunToAir            = 0.4                                          // the rest goes into the mass (our choice)
	defaultEfficiency   = 0.80                                         // fuel into heat, furnace (common practice)
	defaultEER          = 3.2                                          // W/W of cooling per compressor and outdoor fan at rating, 11 Btu/Wh (common practice)
	defaultCOP          = 3.0                                          // of a heat pump at its rated output (from memory)
	offLag              = 600.0                                        // s until a machine at rest has lost 63 % of what it holds (our choice; 300 to 1,200)
	defaultStageDelay   = 600.0                                        // s (common practice: 8 to 15 min)
	cutOutReset         = 20 * degree                                  // K below a cut-out of heating (common practice)
	coldReset           = 10 * degree                                  // K above a cut-out of cooling (common practice)
	iceClosedPerWatt    = 12.5 * 0.45359237 / (3 * 12000 * 0.29307107) // kg/W, see New
	cutOutHold          = 300.0                                        // s, short-cycle protection (common practice: 3 to 5 min)
)

// Defaults of how a machine starts, changes over and changes its stage.
const (
	defaultChangeover  = 600.0 // s (common practice: 5 to 20 min)
	defaultRamp        = 45.0  // s from one stage's airflow to another's (from memory: 30 to 60 s)
	defaultBlowerDelay = 30.0  // s of a burner before its blower (common practice: 30 to 45 s)
	// leastGap is from a set point of heating to one of cooling, K (common practice).
	leastGap = 3 * degree
	// airPerFloor is what a zone wants, m³/s per m² (common practice: a ton for 450 to 600 ft²).
	airPerFloor = 0.75 * 0.3048 / 60
)

// timers are the usual times of a machine, s (common practice): a furnace's prover and ignition take 30
// to 45 s beside the dampers' travel, its blower runs on for 60 to 180 s, a compressor stays off 3 to 5 min.
var timers = map[clock.Season][4]float64{
	clock.Heating: {45, 90, 120, 180},
	clock.Cooling: {30, 45, 300, 300},
}

// masses are the capacities of the classes, J/(K·m²) of floor (ISO 13790, Table 12, second-hand).
var masses = map[string]float64{"very light": 80e3, "light": 110e3, "medium": 165e3, "heavy": 260e3, "very heavy": 370e3}

// Options of a house in time.
type Options struct {
	// Mass multiplies what the zones hold, which is known to a factor of two; 0 is 1.
	Mass float64
	// Hours is a year hour by hour, for House.Year; nil: a synthetic year from the file.
	Hours []Hour
}

// House is a job ready to be run through time.
type House struct {
	Assumptions []network.Assumption

	job    *network.Job
	clock  clock.House
	zones  []zone
	lookup *lookup
	hours  []Hour
}

// zone is what the climate needs of a zone.
type zone struct {
	heat, cool []network.Scheduled // never empty
	floor      float64             // m²
	gains      float64             // W, mean of internal gains
	sun        float64             // W, clear summer peak
	faces      string
}

// Error says that a job cannot be put into time.
type Error struct{ Reason string }

func (e *Error) Error() string { return e.Reason }

// New makes the house of a session's job. It returns an *Error for a job that says too little.
func New(s *session.Session, opt Options) (*House, error) {
	if opt.Mass == 0 {
		opt.Mass = 1
	}
	job := s.Graph().Job
	h := &House{job: job, hours: opt.Hours, lookup: newLookup(s)}
	c := &h.clock
	for i := range job.Zones {
		h.zone(&job.Zones[i], opt.Mass)
	}
	h.between()
	t := job.Thermostat
	c.Thermostat = clock.Thermostat{
		Band:         h.span(t.Band, defaultBand, "usual of electronic ones (our choice)", "thermostat", "band"),
		Anticipation: h.span(t.Anticipation, defaultAnticipation, "by itself 3.4 cycles an hour at half load (our choice)", "thermostat", "anticipation"),
		Lag:          float64(t.Lag),
	}
	if t.Lag == 0 {
		c.Thermostat.Lag = defaultLag
		h.note(quantity.Time(defaultLag).Text(job.Units), "a sensor on the wall behind the room's air (our choice)", "thermostat", "lag")
	}
	c.Heating, c.Cooling = h.machine(clock.Heating), h.machine(clock.Cooling)
	if c.Heating == nil && c.Cooling == nil {
		return nil, &Error{"the equipment neither heats nor cools"}
	}
	c.Panel.Changeover = defaultChangeover
	if d := job.Panel.Changeover; d != nil {
		c.Panel.Changeover = float64(*d)
	}
	h.moisture()
	if staged(job) {
		c.Panel.StageDelay = defaultStageDelay
		if d := job.Panel.StageDelay; d != nil {
			c.Panel.StageDelay = float64(*d)
		} else {
			h.note(quantity.Time(defaultStageDelay).Text(job.Units), "after which the next stage runs (common practice)", "panel", "stage-delay")
		}
	}
	h.lookup.guards = map[clock.Season][]guardOf{clock.Heating: guardsOf(c.Heating), clock.Cooling: guardsOf(c.Cooling)}
	h.Assumptions = network.Grouped(h.Assumptions)
	return h, nil
}

func staged(job *network.Job) bool {
	for _, m := range []*network.Machine{job.Equipment.Heating, job.Equipment.Cooling} {
		if m != nil && len(m.Stages) > 1 {
			return true
		}
	}
	return false
}

func (h *House) note(value, why string, path ...string) {
	h.Assumptions = append(h.Assumptions, network.Assumption{Path: network.PathText(path...), Value: value, Why: why})
}

func (h *House) span(given quantity.TemperatureSpan, usual float64, why string, path ...string) float64 {
	if given != 0 {
		return float64(given)
	}
	h.note(quantity.TemperatureSpan(usual).Text(h.job.Units), why, path...)
	return usual
}

// zone adds a zone: what it loses, holds and is given, and its set points.
func (h *House) zone(z *network.Zone, mass float64) {
	units := h.job.Units
	conductance, gains, ok := state.Conductance(h.job, z)
	if !ok { // every zone of a job that is read wants air
		like := *z
		like.Floor = quantity.Area(float64(z.Wants) / airPerFloor)
		z = &like
		conductance, gains, _ = state.Conductance(h.job, z)
		h.note(z.Floor.Text(units), "by the air that it wants, 0.75 cfm/ft²: 400 cfm a ton and a ton for 530 ft² "+
			"(common practice)", "zone", z.Name, "floor")
	}
	floor := float64(z.Floor)
	if floor == 0 {
		floor = conductance / heat.ConductancePerArea
		h.note(quantity.Area(floor).Text(units), "what its heat loss suggests (our choice)", "zone", z.Name, "floor")
	}
	if z.HeatLoss == 0 {
		h.note(quantity.Heat(conductance).Text(units)+" per K", "a usual house of its floor area (our choice)", "zone", z.Name, "heat-loss")
	}
	capacity := heat.WholeCapacityPerArea
	if z.Mass == "" {
		h.note("3.75 Btu/(°F·ft²) of floor", "a light frame house (our choice); a run says what half and double it does", "zone", z.Name, "mass")
	} else {
		capacity = masses[z.Mass]
	}
	air := min(heat.FastCapacityPerArea, capacity/2)
	between := heat.BetweenPerArea * floor
	through := (1 - airShare) * conductance // of the steady loss, through the mass
	h.clock.Zones = append(h.clock.Zones, clock.Zone{
		Air: mass * air * floor, Mass: mass * (capacity - air) * floor, AirToMass: between,
		AirLoss: airShare * conductance, MassLoss: through * between / (between - through),
	})

	out := zone{floor: floor, gains: float64(z.Gains), faces: z.Faces, heat: z.Heat, cool: z.Cool}
	if z.Gains == 0 {
		out.gains = defaultGains * floor
		h.note(quantity.Heat(out.gains).Text(units), "people and appliances of a usual house, mean of a day (from memory)", "zone", z.Name, "gains")
	}
	if z.HeatGain > 0 {
		out.sun = max(0, gains-out.gains*peakHour)
	} else {
		out.sun = defaultSun * floor
		h.note(quantity.Heat(out.sun).Text(units)+" of sun", "at a clear summer peak (our choice)", "zone", z.Name, "heat-gain")
	}
	if z.Faces == "" {
		out.faces = network.Faces()[0]
		h.note(out.faces, "glass all round", "zone", z.Name, "faces")
	}
	h.settings(&out.heat, network.Heating, z.Name, "heat")
	h.settings(&out.cool, network.Cooling, z.Name, "cool")
	h.zones = append(h.zones, out)
}

// settings fills in a set point where the file has none: the design temperature indoors.
func (h *House) settings(list *[]network.Scheduled, mode network.Mode, zone, key string) {
	if len(*list) > 0 {
		return
	}
	usual := quantity.FromFahrenheit(70)
	if mode == network.Cooling {
		usual = quantity.FromFahrenheit(75)
	}
	if w := h.design(mode); w != nil && w.Indoor != nil {
		usual = *w.Indoor
	}
	*list = []network.Scheduled{{Temperature: usual}}
	if side(h.job, mode) != nil {
		h.note(usual.Text(h.job.Units), "the design temperature indoors, day and night", "zone", zone, key)
	}
}

// design is the weather row of a mode that asks most of the machine; nil when there is none.
func (h *House) design(mode network.Mode) *network.Weather {
	var worst *network.Weather
	for i := range h.job.Weather {
		w := &h.job.Weather[i]
		if w.Mode != mode || w.Outdoor == nil {
			continue
		}
		if worst == nil || (mode == network.Cooling) == (*w.Outdoor > *worst.Outdoor) {
			worst = w
		}
	}
	return worst
}

func side(job *network.Job, mode network.Mode) *network.Machine {
	switch mode {
	case network.Heating:
		return job.Equipment.Heating
	case network.Cooling:
		return job.Equipment.Cooling
	}
	return nil
}

// between couples the zones' air.
func (h *House) between() {
	n := len(h.job.Zones)
	k := make([][]float64, n)
	for i := range k {
		k[i] = make([]float64, n)
	}
	index := func(name string) int {
		return slices.IndexFunc(h.job.Zones, func(z network.Zone) bool { return z.Name == name })
	}
	couple := func(i, j int, doors float64) { k[i][j] += doors * doorway; k[j][i] += doors * doorway }
	for _, b := range h.job.Between {
		couple(index(b.Zones[0]), index(b.Zones[1]), b.Doors)
	}
	if len(h.job.Between) == 0 && n > 1 {
		for i := 1; i < n; i++ {
			couple(i-1, i, defaultDoors)
		}
		h.note("one open doorway", "between each zone and the next, 150 Btu/h per °F (our choice; 120 to 270 by the flow through a doorway)", "between")
	}
	h.clock.Between = k
}

// machine is one side of the equipment, nil where there is none.
func (h *House) machine(season clock.Season) *clock.Machine {
	mode := modeOf(season)
	m := side(h.job, mode)
	if m == nil || h.design(mode) == nil {
		return nil
	}
	usual := timers[season]
	timer := func(given *quantity.Time, usual float64, key, why string) float64 {
		if given != nil {
			return float64(*given)
		}
		h.note(quantity.Time(usual).Text(h.job.Units), why, "equipment", string(mode), key)
		return usual
	}
	out := &clock.Machine{Lag: state.StartUp, OffLag: offLag,
		Start:      timer(m.Start, usual[0], "start", "dampers, and in a furnace prover and ignition (common practice)"),
		Purge:      timer(m.Purge, usual[1], "purge", "of the blower after a run (common practice)"),
		MinimumOn:  timer(m.MinimumOn, usual[2], "minimum-on", "short-cycle protection (common practice)"),
		MinimumOff: timer(m.MinimumOff, usual[3], "minimum-off", "short-cycle protection (common practice)"),
	}
	if len(m.Stages) > 1 {
		out.Ramp = timer(m.Ramp, defaultRamp, "ramp",
			"of the blower from one stage to another (from memory: 30 to 60 s)")
	}
	if h.job.Equipment.KindIn(mode).BurnsFuel() {
		out.BlowerDelay = timer(m.BlowerDelay, defaultBlowerDelay, "blower-delay",
			"of the burner before its blower (common practice: 30 to 45 s)")
	}
	if h.job.Equipment.KindIn(mode).HasLimit() {
		limit := quantity.FromFahrenheit(170)
		if m.LeavingLimit != nil {
			limit = *m.LeavingLimit
		}
		out.Guards = append(out.Guards, clock.Guard{Name: "limit", Opens: float64(limit), Closes: float64(limit) - state.LimitReset})
	}
	if m.CutOut != nil {
		g := clock.Guard{Name: "cut-out", Opens: float64(*m.CutOut), Closes: float64(*m.CutOut) - cutOutReset, Hold: cutOutHold, CutOut: true}
		if season == clock.Cooling {
			g.Closes = float64(*m.CutOut) + coldReset
		}
		out.Guards = append(out.Guards, g)
		h.note(fmt.Sprintf("held for %s, reset %s nearer the room", quantity.Time(cutOutHold).Text(h.job.Units),
			quantity.TemperatureSpan(math.Abs(g.Opens-g.Closes)).Text(h.job.Units)), "usual of panels (common practice)", "equipment", string(mode), "cut-out")
	}
	if season == clock.Cooling {
		out.IceClosed = iceClosedPerWatt * float64(m.Capacity)
		h.note("12.5 lb of ice close a 3-ton coil", "300 ft² of fins, 14 an inch, frost of 15 lb/ft³ (our estimate, to a factor of two)", "equipment", "coil")
	}
	h.input(season, m)
	return out
}

// input finds what the machine takes in for what it gives.
func (h *House) input(season clock.Season, m *network.Machine) {
	path := []string{"equipment", string(modeOf(season)), "input"}
	in := intake{}
	switch kind := h.job.Equipment.KindIn(modeOf(season)); {
	case !kind.HasCompressor():
		in.fuel, in.efficiency = kind.BurnsFuel(), float64(m.Efficiency)
		if m.Efficiency == 0 {
			in.efficiency = defaultEfficiency
			path[2] = "efficiency"
			if !in.fuel {
				in.efficiency = 1
			}
			h.note(quantity.Fraction(in.efficiency).Text(h.job.Units), "usual (common practice); a rating plate goes before it", path...)
		}
	default:
		rated, usual, why := float64(m.Capacity), defaultEER, "11 Btu/h for each watt at rating (common practice)"
		if season == clock.Heating {
			rated, usual, why = float64(m.Output), defaultCOP, "three times as much heat as electricity (from memory)"
		}
		in.power, in.rated = float64(m.Input), rated
		if m.Input == 0 {
			in.power = rated / usual
			h.note(quantity.Electricity(in.power).Text(h.job.Units), why, path...)
		}
	}
	h.lookup.intake[season] = in
}

func modeOf(s clock.Season) network.Mode {
	if s == clock.Cooling {
		return network.Cooling
	}
	return network.Heating
}
