package clock_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/solver/clock"
)

// plainHouse is a second program of the same house, for this test alone: it integrates the differential
// equations by a general fourth-order method in small steps, looks at every step whether something
// switches, and finds the instant by halving the step. It knows no exponentials and no modes.
type plainHouse struct {
	h      *clock.House
	source *fixed
	c      clock.Climate
	in     clock.Interval
	n      int
	x      []float64    // air, mass, sensor, share of the machine
	k      [4][]float64 // slopes of a step

	calls          []bool
	mode           clock.Mode
	open           uint32
	since, ok, cut float64
	log            []plainEvent
}

type plainEvent struct {
	at    float64
	mode  clock.Mode
	calls uint32
}

func (p *plainHouse) supply() *clock.Supply {
	s, _ := p.source.At(clock.Call{Season: p.in.Season, Zones: p.open, Stage: 1}, clock.Conditions{Outdoor: p.in.Outdoor})
	return s
}

func (p *plainHouse) side() *clock.Machine {
	if p.in.Season == clock.Cooling {
		return p.h.Cooling
	}
	return p.h.Heating
}

func (p *plainHouse) blows() bool {
	return p.mode == clock.On || p.mode == clock.Limited || p.mode == clock.Purging
}

// mixed is the return air, weighted by what each zone gives back.
func mixed(s *clock.Supply, x []float64) float64 {
	sum, total := 0.0, 0.0
	for i, g := range s.Rate {
		if s.Return != nil {
			g = s.Return[i]
		}
		sum += g * x[i]
		total += g
	}
	return sum / total
}

func (p *plainHouse) slope(x, d []float64) {
	n := p.n
	sign := float64(p.in.Season)
	for i, z := range p.h.Zones {
		air := z.AirLoss*(p.in.Outdoor-x[i]) + z.AirToMass*(x[n+i]-x[i]) + p.in.ToAir[i]
		for j := range p.h.Zones {
			air += p.h.Between[i][j] * (x[j] - x[i])
		}
		d[n+i] = (z.MassLoss*(p.in.Outdoor-x[n+i]) + z.AirToMass*(x[i]-x[n+i]) + p.in.ToMass[i]) / z.Mass
		call := -0.5
		if p.calls[i] {
			call = 0.5
		}
		d[2*n+i] = (x[i] + sign*p.h.Thermostat.Anticipation*call - x[2*n+i]) / p.h.Thermostat.Lag
		d[i] = air
	}
	y := x[3*n]
	side := p.side()
	if !p.blows() {
		d[3*n] = -y / side.OffLag
	} else {
		s := p.supply()
		back := mixed(s, x)
		total := 0.0
		over, lacking := make([]float64, n), 0.0
		for i, g := range s.Rate {
			d[i] += g * (back + y*s.Rise[i] - x[i])
			total += g
		}
		if s.Return != nil { // air walks from zones that are given more than they return
			for i, g := range s.Rate {
				over[i] = g - s.Return[i]*total
				lacking += max(0, -over[i])
			}
			for i := range over {
				for j := range over {
					if over[i] > 0 && over[j] < 0 && lacking > 0 {
						d[j] += over[i] * -over[j] / lacking * (x[i] - x[j])
					}
				}
			}
		}
		burn := 0.0
		if p.mode == clock.On {
			burn = 1
		}
		d[3*n] = (burn - y) / side.Lag
	}
	for i, z := range p.h.Zones {
		d[i] /= z.Air
	}
}

// step is the classical fourth-order step.
func (p *plainHouse) step(x []float64, h float64) []float64 {
	size := len(x)
	if p.k[0] == nil {
		for s := range p.k {
			p.k[s] = make([]float64, size)
		}
	}
	k, y := &p.k, make([]float64, size)
	for s, f := range [4]float64{0, 0.5, 0.5, 1} {
		copy(y, x)
		if s > 0 {
			for i := range y {
				y[i] += f * h * k[s-1][i]
			}
		}
		p.slope(y, k[s])
	}
	for i := range y {
		y[i] = x[i] + h/6*(k[0][i]+2*k[1][i]+2*k[2][i]+k[3][i])
	}
	return y
}

// due reports what would switch in a state at a time: the number of the zone or 100 and more for the
// machine, −1 nothing.
func (p *plainHouse) due(x []float64, t float64) int {
	sign := float64(p.in.Season)
	asked := false
	for i, c := range p.calls {
		above := sign * (x[2*p.n+i] - p.in.Set[i])
		if c && above >= p.h.Thermostat.Band/2 || !c && above <= -p.h.Thermostat.Band/2 {
			return i
		}
		asked = asked || c
	}
	side := p.side()
	const tick = 1e-9
	switch {
	case p.mode == clock.Off && asked && t >= p.ok-tick:
		return 100
	case p.mode == clock.Starting && t >= p.since+side.Start-tick:
		return 100
	case p.mode == clock.Purging && t >= p.since+side.Purge-tick:
		return 100
	}
	if p.mode != clock.On && p.mode != clock.Limited {
		return -1
	}
	if !asked && (p.mode == clock.Limited || t >= p.since+side.MinimumOn-tick) {
		return 100
	}
	s := p.supply()
	felt := mixed(s, x) + x[3*p.n]*s.Guards[0]
	g := side.Guards[0]
	if p.mode == clock.On && sign*(felt-g.Opens) >= 0 || p.mode == clock.Limited && t >= p.cut+g.Hold-tick && sign*(felt-g.Closes) <= 0 {
		return 101
	}
	return -1
}

func (p *plainHouse) asked() uint32 {
	var set uint32
	for i, c := range p.calls {
		if c {
			set |= 1 << i
		}
	}
	return set
}

func (p *plainHouse) change(what int, t float64) {
	side := p.side()
	switch {
	case what < 100:
		p.calls[what] = !p.calls[what]
		if set := p.asked(); set != 0 && (p.mode == clock.On || p.mode == clock.Limited) {
			p.open = set
		}
	case what == 101 && p.mode == clock.On:
		p.mode, p.cut = clock.Limited, t
	case what == 101:
		p.mode = clock.On
	case p.mode == clock.Off:
		p.mode, p.since, p.open = clock.Starting, t, p.asked()
	case p.mode == clock.Starting:
		p.mode, p.since = clock.On, t
		if set := p.asked(); set != 0 {
			p.open = set
		}
	case p.mode == clock.Purging:
		p.mode, p.ok = clock.Off, t+side.MinimumOff
	default:
		p.mode, p.since = clock.Purging, t
	}
	if e := (plainEvent{t, p.mode, p.asked()}); len(p.log) == 0 || e.at-p.log[len(p.log)-1].at > 1e-4 {
		p.log = append(p.log, e)
	} else {
		p.log[len(p.log)-1].mode, p.log[len(p.log)-1].calls = e.mode, e.calls
	}
}

const plainStep = 1.0 // s

func (p *plainHouse) run(steps int) {
	for k := range steps {
		p.c.At(k, &p.in)
		t, end := float64(k)*hours, float64(k+1)*hours
		for t < end-1e-9 {
			if what := p.due(p.x, t); what >= 0 {
				p.change(what, t)
				continue
			}
			h := min(plainStep, end-t)
			next := p.step(p.x, h)
			if p.due(next, t+h) < 0 {
				p.x, t = next, t+h
				continue
			}
			low, high := 0.0, h
			for high-low > 1e-9 {
				middle := (low + high) / 2
				if p.due(p.step(p.x, middle), t+middle) < 0 {
					low = middle
				} else {
					high = middle
				}
			}
			p.x, t = p.step(p.x, high), t+high
		}
	}
}

// randomHouse draws a house of one to four zones in heating or cooling, within and beyond what houses are.
func randomHouse(r *rand.Rand) (*clock.House, *fixed, *steady) {
	n := 1 + r.IntN(4)
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	h := &clock.House{Thermostat: clock.Thermostat{Lag: between(100, 900), Band: between(0.15, 0.6), Anticipation: between(0.3, 1.5)}}
	season := clock.Heating
	if r.IntN(2) == 0 {
		season = clock.Cooling
	}
	sign := float64(season)
	climate := &steady{season: season, out: 20 - sign*between(8, 30), air: make([]float64, n), mass: make([]float64, n)}
	source := &fixed{cfm: map[uint32][]float64{}, watts: map[uint32]float64{}}
	h.Between = make([][]float64, n)
	loss := 0.0
	for i := range n {
		h.Between[i] = make([]float64, n)
		for j := range i {
			k := between(5, 300)
			h.Between[i][j], h.Between[j][i] = k, k
		}
		floor := between(20, 150)
		h.Zones = append(h.Zones, clock.Zone{Air: floor * between(8e3, 25e3), Mass: floor * between(40e3, 300e3), AirLoss: floor * between(0.4, 1.5),
			MassLoss: floor * between(0.1, 1), AirToMass: floor * between(4, 15)})
		loss += h.Zones[i].Conductance()
		climate.set = append(climate.set, 20+sign*between(0.5, 3))
		climate.air[i], climate.mass[i] = floor*between(1, 5), floor*between(0.5, 5)
	}
	source.output = loss * math.Abs(climate.out-20) * between(1.1, 3) / btuh
	cfm := source.output / (1.08 * between(20, 60))
	for set := uint32(1); set < 1<<n; set++ {
		q := make([]float64, n)
		for i := range q {
			q[i] = cfm / float64(n) * between(0.02, 0.3)
			if set>>i&1 == 1 {
				q[i] = cfm / float64(n) * between(0.8, 1.6)
			}
		}
		source.cfm[set] = q
		source.watts[set] = 400
	}
	m := &clock.Machine{Lag: between(30, 200), OffLag: between(200, 1500), Start: between(5, 90), Purge: between(5, 150), MinimumOn: between(30, 400),
		MinimumOff: between(30, 400)}
	guard := clock.Guard{Name: "limit", Opens: 20 + sign*between(10, 50), Hold: []float64{0, between(10, 400)}[r.IntN(2)]}
	guard.Closes = 20 + sign*math.Abs(guard.Opens-20)*between(0.4, 0.9)
	m.Guards = []clock.Guard{guard}
	if season == clock.Heating {
		h.Heating = m
	} else {
		h.Cooling = m
	}
	return h, source, climate
}

// mostCompared is how many events of a house are compared. Some switch every twenty seconds; a difference of
// the integrator's grows from event to event there.
const mostCompared = 150

// 200 random houses switch in the same order at the same times as a general integrator has them, and
// their energy closes.
func TestRandomHousesAgainstAnIntegrator(t *testing.T) {
	houses, span := 200, 3
	if testing.Short() {
		houses = 30
	}
	events, limited, worst := 0, 0, 0.0
	for seed := range uint64(houses) {
		r := rand.New(rand.NewPCG(seed, 15))
		h, source, climate := randomHouse(r)
		start := make([]float64, len(h.Zones))
		for i := range start {
			start[i] = climate.set[i] + r.Float64()*4 - 2
		}
		if len(h.Zones) == 2 { // zones that return something else than they are given; between two no temperature can swing
			share := make([]float64, len(h.Zones))
			total := 0.0
			for i := range share {
				share[i] = 0.05 + r.Float64()
				total += share[i]
			}
			for i := range share {
				share[i] /= total
			}
			for set := range source.cfm {
				s, err := source.At(clock.Call{Season: climate.season, Zones: set, Stage: 1}, clock.Conditions{Outdoor: climate.out})
				require.NoError(t, err)
				s.Return = share
			}
		}
		var log []plainEvent
		l, err := clock.Run(h, source, climate, clock.Options{Steps: span, Start: start, Event: func(e clock.Event) {
			if n := len(log); n > 0 && e.Time-log[n-1].at <= 1e-4 {
				log[n-1].mode, log[n-1].calls = e.Mode, e.Calling
				return
			}
			log = append(log, plainEvent{e.Time, e.Mode, e.Calling})
		}})
		require.NoError(t, err, "house %d", seed)
		assert.Less(t, l.Balance(), 1e-8, "house %d", seed)
		assert.Zero(t, l.Simplified, "house %d", seed)

		n := len(h.Zones)
		p := &plainHouse{h: h, source: source, c: climate, n: n, calls: make([]bool, n), ok: math.Inf(-1), cut: math.Inf(-1),
			in: clock.Interval{Set: make([]float64, n), ToAir: make([]float64, n), ToMass: make([]float64, n)}}
		p.x = append(append(append(append(p.x, start...), start...), start...), 0)
		p.run(span)
		for i, e := range p.log[:min(len(p.log), mostCompared)] {
			require.Less(t, i, len(log), "house %d", seed)
			require.Equal(t, e.mode, log[i].mode, "house %d, event %d at %g s after %v and %v", seed, i, e.at, p.log[max(0, i-3):i+1], log[max(0, i-3):i+1])
			require.Equal(t, e.calls, log[i].calls, "house %d, event %d at %g s", seed, i, e.at)
			require.InDelta(t, e.at, log[i].at, 0.01, "house %d, event %d of %d zones, after %v", seed, i, n, log[max(0, i-2):i+1])
			worst = max(worst, math.Abs(e.at-log[i].at))
		}
		events += len(log)
		limited += len(trips(l))
	}
	assert.Less(t, worst, 0.01, "s")
	assert.Greater(t, events, houses*15)
	assert.Greater(t, limited, houses/4, "trips")
	t.Logf("%d events of %d houses, %d trips, worst difference %.2g s", events, houses, limited, worst)
}
