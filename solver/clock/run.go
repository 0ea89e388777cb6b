package clock

import (
	"errors"
	"fmt"
	"math"
)

// Options of a run.
type Options struct {
	Step  float64 // s of the climate, > 0; 0: an hour
	Steps int     // how many steps are counted
	// Warm is how many steps go before those, uncounted: a house's mass takes days to forget its
	// start. The climate is asked for steps −Warm to −1.
	Warm int
	// Start is the temperature of the zones, their mass and sensors, °C; nil: the first set points.
	Start []float64
	// StartHumidity is the humidity ratio of the zones, kg/kg; nil: as outdoors.
	StartHumidity []float64
	// Event is told of every change, Sample of the zones' air every so many seconds; both may be nil.
	// Slices that they are given are only good until they return.
	Event       func(Event)
	Sample      func(Sample)
	SampleEvery float64
}

// Event is one change of the controls.
type Event struct {
	Time    float64 // s
	Mode    Mode
	Calling uint32
	Stage   int
	Guard   int // that opened, −1 none
}

// Sample is the house at one time.
type Sample struct {
	Time    float64
	Air     []float64 // °C per zone
	Set     []float64
	Mode    Mode
	Call    Call // whose dampers are open
	Calling uint32
	Supply  *Supply // nil: blower off
}

// Mode is what the machine does.
type Mode uint8

// The modes. In Limited and Purging only the blower runs.
const (
	Off Mode = iota
	Starting
	Warming // burner or compressor on, blower not yet
	On
	Limited
	Purging
)

func (m Mode) String() string {
	return [...]string{"off", "starting", "warming", "on", "limited", "purging"}[m]
}

// ErrChatter is returned when the controls do not come to rest at one instant.
var ErrChatter = errors.New("the controls switch without end")

// Tolerances of the transitions: K and s. Events of a piece end it within reached of their level.
const (
	near    = 1e-9
	instant = 1e-6
	// rounds is how often the controls may change at one instant.
	rounds = 20
	// afterRise is how long after a set point's step calls count as recovery at least, s: 2 h, while
	// the mass is still cold (our choice).
	afterRise = 7200.0
	// step that counts as coming back from a set-back, K (our choice).
	setBack = 0.5
)

// Run takes a house through a climate. The house must not change meanwhile. It returns an error for a
// house that cannot be, and ErrChatter; a call without an answer is none, see Source.
func Run(h *House, source Source, climate Climate, opt Options) (*Ledger, error) {
	if err := h.check(); err != nil {
		return nil, err
	}
	if opt.Step == 0 {
		opt.Step = 3600
	}
	if !positive(opt.Step) || opt.Steps <= 0 || opt.Warm < 0 {
		return nil, fmt.Errorf("%d steps of %g s after %d", opt.Steps, opt.Step, opt.Warm)
	}
	r := newRun(h, source, climate, opt)
	for k := -opt.Warm; k < opt.Steps; k++ {
		if k == 0 {
			r.count()
		}
		if err := r.interval(k); err != nil {
			return nil, err
		}
	}
	return r.close(), nil
}

// run is one simulation in progress.
type run struct {
	h       *House
	source  Source
	climate Climate
	opt     Options
	n       int

	t     float64
	x     point
	now   Interval
	sign  float64
	calls []bool
	way   []float64 // +1 where the thermostat heats, −1 where it cools
	set   []float64 // °C, scratch of Sample
	began []float64 // s, of each zone's call
	rose  []float64 // s, when its set point last stepped towards the load
	back  []bool    // it has not been content since

	mode    Mode
	since   float64 // s, of the mode, except that On and Limited keep that of the run
	okAt    float64 // s, from which the machine may start again
	trip    float64 // s, of the last opening
	guard   int     // that is open, −1 none
	started float64 // s, burner on
	staged  float64 // s, from which the run is in its stage
	ramp    ramp
	call    Call // whose dampers are open
	side    *Machine
	season  Season // of side
	supply  *Supply

	blocked bool // the zones' call has no answer
	known   map[*Supply]*modes
	lastOf  map[Call]*Supply
	off     map[Season]*modes
	visit   int // into ledger.States, −1 none
	visits  float64
	visitIn bool
	index   map[Call]int
	failed  map[Call]int
	skipped float64 // next sample
	ice     float64 // kg on the coil
	wet     moisture

	ledger *Ledger
	from   float64   // J in zones at the start of the count
	mean   []float64 // K·s
	piece  *piece
	drive  []float64
	offset []float64
	levels []level
	store  []float64 // weights of the levels
	e, end []float64
	nodes  []float64
	mid    point
}

func newRun(h *House, source Source, climate Climate, opt Options) *run {
	n := len(h.Zones)
	r := &run{h: h, source: source, climate: climate, opt: opt, n: n, calls: make([]bool, n),
		way: make([]float64, n), set: make([]float64, n), began: make([]float64, n),
		rose: make([]float64, n), back: make([]bool, n), guard: -1, visit: -1, known: map[*Supply]*modes{}, lastOf: map[Call]*Supply{},
		off: map[Season]*modes{}, index: map[Call]int{}, failed: map[Call]int{}, ledger: &Ledger{Zones: make([]ZoneTime, n)},
		mean: make([]float64, n), piece: newPiece(n), drive: make([]float64, 2*n), offset: make([]float64, n),
		e: make([]float64, 2*n+2), end: make([]float64, 2*n+2), nodes: make([]float64, 2*n)}
	newPoint := func() point { return point{node: make([]float64, 2*n), sensor: make([]float64, n)} }
	r.x, r.mid = newPoint(), newPoint()
	r.now = Interval{Set: make([]float64, n), Cool: make([]float64, n), Vapor: make([]float64, n),
		ToAir:  make([]float64, n),
		ToMass: make([]float64, n)}
	r.t = float64(-opt.Warm) * opt.Step
	r.okAt, r.since, r.trip = math.Inf(-1), math.Inf(-1), math.Inf(-1)
	climate.At(-opt.Warm, &r.now)
	for i := range n {
		start := r.now.Set[i]
		if opt.Start != nil {
			start = opt.Start[i]
		}
		r.x.node[i], r.x.node[n+i], r.x.sensor[i] = start, start, start
		r.rose[i] = math.Inf(-1)
	}
	r.ramp.mixed = map[rampKey]*Supply{}
	r.wet = moisture{w: make([]float64, n), half: make([]float64, n), flow: make([]float64, n)}
	for i := range r.wet.w {
		if r.wet.w[i] = r.now.OutdoorHumidity; opt.StartHumidity != nil {
			r.wet.w[i] = opt.StartHumidity[i]
		}
	}
	season := r.now.Season
	if season == Auto {
		if season = Heating; h.Heating == nil {
			season = Cooling
		}
	}
	r.turn(season)
	for i := range r.way {
		r.way[i] = r.sign
	}
	r.reset()
	return r
}

// reset begins the ledger.
func (r *run) reset() {
	before := *r.ledger
	*r.ledger = Ledger{Zones: make([]ZoneTime, r.n), Pieces: before.Pieces, Stepped: before.Stepped, Settles: before.Settles,
		Decompose: before.Decompose, Simplified: before.Simplified}
	for i := range r.ledger.Zones {
		r.ledger.Zones[i].Low, r.ledger.Zones[i].High = math.Inf(1), math.Inf(-1)
		r.mean[i] = 0
	}
	r.index = map[Call]int{}
	r.failed = map[Call]int{}
	r.from, r.wet.start = r.held(), r.vapor()
	r.ledger.machine(r.season).held = r.inMachine()
	if r.visit >= 0 {
		r.visit = r.state(r.call)
	}
}

// count ends the warm-up.
func (r *run) count() {
	if r.opt.Warm > 0 {
		r.reset()
	}
	r.skipped = 0
}

// held is the heat in air and mass, J above 0 °C.
func (r *run) held() float64 {
	sum := 0.0
	for i, z := range r.h.Zones {
		sum += z.Air*r.x.node[i] + z.Mass*r.x.node[r.n+i]
	}
	return sum
}

// inMachine is the heat that the machine holds, J.
func (r *run) inMachine() float64 {
	if r.supply == nil {
		return 0
	}
	return r.supply.Output * r.lag(r.supply) * r.x.share
}

func (r *run) lag(s *Supply) float64 {
	if m := r.known[s]; m != nil {
		return m.lag
	}
	if s.Lag > 0 {
		return s.Lag
	}
	return r.side.Lag
}

// machine is the ledger of one side.
func (l *Ledger) machine(s Season) *MachineTime {
	if s == Cooling {
		return &l.Cooling
	}
	return &l.Heating
}

// interval runs one step of the climate.
func (r *run) interval(k int) error {
	for i := range r.set {
		r.set[i] = r.setting(i, r.way[i])
	}
	r.climate.At(k, &r.now)
	end := float64(k+1) * r.opt.Step
	if r.now.Season != Auto && r.now.Season != r.season {
		r.changeSeason()
	} else {
		for i, old := range r.set {
			r.moved(i, old, r.setting(i, r.way[i]))
		}
	}
	r.renew()
	for r.t < end-instant {
		if err := r.settle(); err != nil {
			return fmt.Errorf("%w at %.6g s: %v, zones %b", err, r.t, r.mode, r.asked())
		}
		if err := r.advance(end); err != nil {
			return err
		}
	}
	r.t = end
	return nil
}

// moved notes what a new set point means to a zone.
func (r *run) moved(i int, old, set float64) {
	switch step := r.way[i] * (set - old); {
	case step > setBack:
		r.rose[i], r.back[i] = r.t, true
	case step < -setBack && r.back[i]:
		r.back[i] = false
		r.ledger.Zones[i].Unreached++
	}
}

// changeSeason ends all calls; what the machine holds is given up.
func (r *run) changeSeason() {
	for i := range r.calls {
		if r.calls[i] {
			r.ledger.Zones[i].Calls = append(r.ledger.Zones[i].Calls, r.t-r.began[i])
		}
		r.calls[i], r.back[i], r.rose[i] = false, false, math.Inf(-1)
	}
	if r.mode == On || r.mode == Limited {
		r.endRun()
	}
	r.leave()
	r.mode, r.since = Off, r.t
	r.turn(r.now.Season)
	for i := range r.way {
		r.way[i] = r.sign
	}
}

// turn sets the machine to a season. What it held of the other one is lost.
func (r *run) turn(s Season) {
	if r.supply != nil {
		r.forget()
	}
	r.season, r.sign, r.okAt = s, float64(s), r.t
	r.side, r.supply, r.guard = r.h.machine(s), nil, -1
}

// setting is the set point of a zone for one way, °C.
func (r *run) setting(i int, way float64) float64 {
	if r.now.Season == Auto && way < 0 {
		return r.now.Cool[i]
	}
	return r.now.Set[i]
}

// forget books what the machine holds as lost.
func (r *run) forget() {
	m := r.ledger.machine(r.season)
	m.Lost += r.inMachine()
	r.x.share = 0
}

// asked is the set of zones that call for the season of the machine.
func (r *run) asked() uint32 { return r.calling(r.sign) }

// calling is the set of zones that call one way.
func (r *run) calling(way float64) uint32 {
	var set uint32
	for i, c := range r.calls {
		if c && r.way[i] == way {
			set |= 1 << i
		}
	}
	return set
}

// earliest is when the first of the calls one way began, s; +Inf when there is none.
func (r *run) earliest(way float64) float64 {
	at := math.Inf(1)
	for i, c := range r.calls {
		if c && r.way[i] == way {
			at = min(at, r.began[i])
		}
	}
	return at
}

// whole is the time that is counted, s.
func (r *run) whole() float64 { return float64(r.opt.Steps) * r.opt.Step }

// returning is the temperature of the air that the zones would give back to a supply, °C.
func (r *run) returning(s *Supply) float64 {
	sum, total := 0.0, 0.0
	for i := range r.n {
		w := 1.0
		if s != nil {
			w = s.Rate[i]
			if s.Return != nil {
				w = s.Return[i]
			}
		}
		sum += w * r.x.node[i]
		total += w
	}
	return sum / total
}

// answer is what the ducts give in a call now; nil when that is not known.
func (r *run) answer(c Call) *Supply {
	s, err := r.source.At(c, Conditions{Outdoor: r.now.Outdoor, Return: r.returning(r.lastOf[c]),
		Iced: r.iced()})
	if err == nil {
		err = s.check(r.n, len(r.side.Guards))
	}
	if err == nil {
		_, err = r.modesOf(s)
	}
	if err != nil && c.Stage > 1 {
		return nil // the call goes on in the first stage
	}
	if err != nil {
		i, seen := r.failed[c]
		if !seen {
			i = len(r.ledger.Failures)
			r.failed[c] = i
			r.ledger.Failures = append(r.ledger.Failures, Failure{Call: c, Time: r.t, Err: err})
		}
		r.ledger.Failures[i].Count++
		return nil
	}
	r.lastOf[c] = s
	return s
}

func (s *Supply) check(zones, guards int) error {
	if len(s.Rate) != zones || len(s.Rise) != zones || len(s.Guards) != guards || !positive(s.Output) {
		return fmt.Errorf("a supply of %d zones and %d guards at %g W", len(s.Rate), len(s.Guards), s.Output)
	}
	total := 0.0
	for i, g := range s.Rate {
		if !(g >= 0) || math.IsNaN(s.Rise[i]) {
			return fmt.Errorf("zone %d is given %g W/K at %g K", i+1, g, s.Rise[i])
		}
		total += g
	}
	if !positive(total) {
		return errors.New("no zone is given air")
	}
	return nil
}

func (r *run) modesOf(s *Supply) (*modes, error) {
	if m := r.known[s]; m != nil {
		return m, nil
	}
	lag := s.Lag
	if lag == 0 {
		lag = r.side.Lag
	}
	m, err := newModes(r.h, s, lag)
	if err != nil {
		return nil, err
	}
	r.ledger.Decompose++
	if m.simplified {
		r.ledger.Simplified++
	}
	r.known[s] = m
	return m, nil
}

// renew asks for the supply anew, because the conditions have changed. The share of the capacity that
// reaches the air stays, what the machine holds follows.
func (r *run) renew() {
	if r.mode != On && r.mode != Limited || r.ramp.to != nil {
		return
	}
	if s := r.answer(r.call); s != nil && s != r.supply {
		before := r.inMachine()
		r.supply = s
		r.ledger.machine(r.season).booked += r.inMachine() - before
	}
}

// open moves the dampers to a call. Of a machine that goes on in its stage with its lag the share of
// the capacity that reaches the air stays; else what the machine holds does.
func (r *run) open(c Call, s *Supply) {
	if r.supply != nil {
		if r.mode != Off && c.Stage != r.call.Stage && r.side.Ramp > 0 {
			s = r.ramp.begin(r, s)
		} else {
			r.ramp.to = nil
		}
		r.swap(s, c.Stage != r.call.Stage)
	}
	r.call, r.supply = c, s
}

// swap keeps what the machine holds, or the share of its capacity, when another supply is at hand.
func (r *run) swap(s *Supply, keep bool) {
	held := r.inMachine()
	if keep || r.lag(s) != r.lag(r.supply) {
		r.x.share = held / (s.Output * r.lag(s))
	} else {
		r.ledger.machine(r.season).booked += s.Output*r.lag(s)*r.x.share - held
	}
}
