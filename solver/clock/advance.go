package clock

import (
	"math"
	"slices"
)

// advance goes to the next event, or to the end of the step, and books what happened on the way.
func (r *run) advance(end float64) error {
	m, err := r.modes()
	if err != nil {
		return err
	}
	burning := r.mode == On || r.mode == Warming
	target := 0.0
	switch r.mode {
	case On:
		target = 1
	case Warming: // all that is made stays: d(held)/dt = Output − held/OffLag
		target = m.lag / r.lag(r.supply)
	}
	for i, z := range r.h.Zones {
		r.drive[i] = (z.AirLoss*r.now.Outdoor + r.now.ToAir[i]) / z.Air
		r.drive[r.n+i] = (z.MassLoss*r.now.Outdoor + r.now.ToMass[i]) / z.Mass
		c := -0.5
		if r.calls[i] {
			c = 0.5
		}
		r.offset[i] = r.way[i] * r.h.Thermostat.Anticipation * c
	}
	r.piece.begin(m, &r.x, r.drive, r.offset, target)
	length := max(0, min(end, r.scheduled())-r.t)
	whole := length
	r.watch(m)
	length = first(r.levels, m.rate, length, r.e, r.end)
	r.ledger.Pieces++
	if length == whole && r.t+length >= end-instant {
		r.ledger.Stepped++
	}
	r.sample(length)
	r.book(m, length, burning)
	r.piece.at(length, &r.x, r.e)
	r.t += length
	return nil
}

// modes are those of the supply, or of the house with the blower off.
func (r *run) modes() (*modes, error) {
	if r.mode == On || r.mode == Limited || r.mode == Purging {
		return r.modesOf(r.supply)
	}
	if m := r.off[r.season]; m != nil {
		return m, nil
	}
	lag := 600.0 // of a machine that is not there
	if r.side != nil {
		lag = r.side.OffLag
	}
	m, err := newModes(r.h, nil, lag)
	if err == nil {
		r.off[r.season] = m
	}
	return m, err
}

// scheduled is the next time at which a timer of panel or machine runs out, s; +Inf when none runs.
func (r *run) scheduled() float64 {
	asked := r.asked()
	next := math.Inf(1)
	later := func(t float64) {
		if t > r.t+instant {
			next = min(next, t)
		}
	}
	switch r.mode {
	case Off:
		if asked != 0 {
			later(r.okAt)
		}
		if r.calling(-r.sign) != 0 {
			later(r.restedAt())
		}
	case Starting:
		later(r.since + r.side.Start)
	case Warming:
		later(r.started + r.side.BlowerDelay)
	case On:
		if asked == 0 {
			later(r.since + r.side.MinimumOn)
		}
		later(r.ramp.next)
		if r.h.Panel.StageDelay > 0 && r.supply.NextPass && r.ramp.to == nil {
			later(r.staged + r.h.Panel.StageDelay)
		}
	case Limited:
		later(r.ramp.next)
		later(r.trip + r.side.Guards[r.guard].Hold)
	case Purging:
		later(r.since + r.side.Purge)
	}
	return next
}

// watch lists the levels that would end the piece: each thermostat's next switching, and the guards.
func (r *run) watch(m *modes) {
	size := 2 * r.n
	p := r.piece
	terms := len(m.rate)
	need := 2 * r.n * terms
	if r.side != nil {
		need += len(r.side.Guards) * terms
	}
	if cap(r.store) < need {
		r.store = make([]float64, need)
	}
	store := r.store[:need]
	r.levels = r.levels[:0]
	take := func() []float64 {
		w := store[:terms]
		store = store[terms:]
		return w
	}
	half := r.h.Thermostat.Band / 2
	for i := range r.n {
		way := r.way[i]
		watch := func(up, threshold float64) {
			w := take()
			for k, s := range p.sensor[i*(size+2) : (i+1)*(size+2)] {
				w[k] = up * s
			}
			r.levels = append(r.levels, level{up * (p.settled[i] - threshold), w})
		}
		set := r.setting(i, way)
		switch droop := r.h.Panel.StageDroop; {
		case r.calls[i]:
			watch(way, set+way*half)
			if droop > 0 && r.mode == On && r.call.Has(i) && r.supply.NextPass && r.ramp.to == nil {
				watch(-way, set-way*droop)
			}
			continue
		case r.h.machine(Season(way)) != nil:
			watch(-way, set-way*half)
		}
		if !math.IsInf(r.turned(i), -1) {
			watch(way, r.setting(i, -way)+way*(half-r.h.Thermostat.Anticipation))
		}
	}
	if r.mode != On && r.mode != Limited {
		return
	}
	for i, g := range r.side.Guards {
		up, threshold := r.sign, g.Opens
		if r.mode == Limited {
			if i != r.guard || r.t < r.trip+g.Hold-instant {
				continue
			}
			up, threshold = -r.sign, g.Closes
		}
		w := take()
		clear(w)
		constant := -threshold
		for j, share := range m.share {
			constant += share * p.base[j]
			for k, x := range p.w[j*(size+1) : (j+1)*(size+1)] {
				w[k] += share * x
			}
		}
		feels := r.supply.Guards[i]
		constant += feels * p.share
		w[size] += feels * p.swing
		for k := range w {
			w[k] *= up
		}
		r.levels = append(r.levels, level{up * constant, w})
	}
}

// sample tells of the zones every so many seconds of the piece that is about to be booked.
func (r *run) sample(length float64) {
	if r.opt.Sample == nil || r.opt.SampleEvery <= 0 || r.t < 0 {
		return
	}
	for r.skipped < r.t+length-instant {
		r.piece.at(max(0, r.skipped-r.t), &r.mid, r.e)
		for i := range r.set {
			r.set[i] = r.setting(i, r.way[i])
		}
		s := Sample{Time: r.skipped, Air: r.mid.node[:r.n], Set: r.set, Mode: r.mode, Call: r.call,
			Calling: r.asked()}
		if r.mode == On || r.mode == Limited || r.mode == Purging {
			s.Supply = r.supply
		}
		r.opt.Sample(s)
		r.skipped += r.opt.SampleEvery
	}
}

// book adds a piece up.
func (r *run) book(m *modes, length float64, burning bool) {
	if length <= 0 {
		return
	}
	l := r.ledger
	machine := l.machine(r.season)
	share := r.piece.integral(length, r.nodes, r.e)
	l.Time += length
	blowing := m.supply != nil
	switch s := m.supply; {
	case blowing:
		given := s.Output * share
		toZones := 0.0
		for i, g := range s.Rate {
			toZones += g * s.Rise[i] * share
		}
		machine.Given += given
		l.ToZones += toZones
		l.Ducts += given - r.sign*toZones
		machine.Blower += s.Blower * length
		for k, q := range s.Airflow {
			if k == len(l.Air) {
				l.Air = append(l.Air, 0)
			}
			l.Air[k] += q * length
		}
		if burning {
			machine.On += length
			machine.Input += s.Input * length
			machine.Made += s.Output * length
		}
	case r.supply != nil:
		machine.Lost += r.supply.Output * r.lag(r.supply) * share / m.lag
		if burning {
			machine.On += length
			machine.Input += r.supply.Input * length
			machine.Made += r.supply.Output * length
		}
	}
	if r.moist() {
		r.bookMoisture(m, length, burning)
	}
	r.bookMode(length)
	r.bookZones(m, length)
	if r.h.Cooling != nil && r.h.Cooling.IceClosed > 0 {
		r.bookIce(m, length, burning)
	}
}

// freezeStep is the longest part of a piece in which the coil is taken to be frozen or not throughout, s.
const freezeStep = 30.0

// bookIce lets ice grow or melt.
func (r *run) bookIce(m *modes, length float64, burning bool) {
	machine, closed := &r.ledger.Cooling, r.h.Cooling.IceClosed
	cold := burning && r.season == Cooling && m.supply != nil && m.supply.Coil < 0 &&
		m.supply.Latent > 0
	if !cold && r.ice == 0 {
		return
	}
	parts := 1.0
	if cold {
		parts = math.Ceil(length / freezeStep)
	}
	h := length / parts
	for part := 0.0; part < parts; part++ {
		rate := -meltStill
		if m.supply != nil {
			rate = -meltBlown
		}
		if cold {
			r.piece.at((part+0.5)*h, &r.mid, r.e)
			if dot(m.share, r.mid.node)+r.mid.share*m.supply.Coil < 0 {
				rate = r.mid.share * r.latent(m) / freezing
			}
		}
		r.ice = min(max(0, r.ice+rate*h), closed)
		machine.MostIce = max(machine.MostIce, r.ice)
		if r.ice > icedShare*closed {
			machine.Iced += h
		}
	}
}

// latent is the heat of the water that a supply takes from the air now, W.
func (r *run) latent(m *modes) float64 {
	s := m.supply
	if !r.moist() || s.Contact == 0 {
		return s.Latent
	}
	return s.Contact * max(0, dot(m.share, r.wet.w)-s.Surface) * r.airMass(m) * vaporHeat
}

// iced is how far ice closes the coil, in whole steps.
func (r *run) iced() float64 {
	if r.season != Cooling || r.ice == 0 || r.side.IceClosed == 0 {
		return 0
	}
	return min(1-IceStep, math.Floor(r.ice/r.side.IceClosed/IceStep)*IceStep)
}

func (r *run) bookMode(length float64) {
	l := r.ledger
	switch r.mode {
	case Off:
		l.Off += length
		if r.blocked {
			l.Unsolved += length
		}
	case Starting, Warming:
		l.Starting += length
	case On:
		l.States[r.visit].On += length
	case Limited:
		l.States[r.visit].Limited += length
	case Purging:
		l.Purging += length
		l.States[r.state(r.call)].Purging += length
	}
}

// longest piece over which a zone's distance from its set point is taken by Simpson's rule, s.
const simpson = 600.0

func (r *run) bookZones(m *modes, length float64) {
	l, out := r.ledger, r.now.Outdoor
	for i, z := range r.h.Zones {
		l.Envelope += z.AirLoss*(out*length-r.nodes[i]) + z.MassLoss*(out*length-r.nodes[r.n+i])
		l.Gains += (r.now.ToAir[i] + r.now.ToMass[i]) * length
		r.mean[i] += r.nodes[i]
		zone := &l.Zones[i]
		zone.Low, zone.High = min(zone.Low, r.x.node[i]), max(zone.High, r.x.node[i])
		if m.supply != nil && m.supply.Rate[i] > 0 && !r.served(i) {
			zone.Blown += length
		}
	}
	parts := math.Ceil(length / simpson)
	h := length / parts
	for part := 0.0; part < parts; part++ {
		for q, weight := range [...]float64{1, 4, 1} {
			r.piece.at((part+float64(q)/2)*h, &r.mid, r.e)
			for i := range r.n {
				way := r.way[i]
				above := way * (r.mid.node[i] - r.setting(i, way))
				zone := &l.Zones[i]
				zone.Short += weight / 6 * h * max(0, -above-Tolerance)
				if m.supply != nil && m.supply.Rate[i] > 0 && !r.served(i) {
					above = r.sign * (r.mid.node[i] - r.setting(i, r.sign))
					zone.Over += weight / 6 * h * max(0, above-Tolerance)
				}
			}
		}
	}
}

// served reports whether a zone calls for what the machine gives.
func (r *run) served(i int) bool { return r.calls[i] && r.way[i] == r.sign }

// close ends the count. What is still going on was booked where it began, in the settled days
// before; what has lasted all the time is booked now.
func (r *run) close() *Ledger {
	l := r.ledger
	if r.visit >= 0 && (r.opt.Warm == 0 || r.visits <= 0) {
		r.leave()
	}
	if (r.mode == On || r.mode == Limited) && r.opt.Warm > 0 && r.started <= 0 {
		r.endRun()
	}
	l.States = slices.DeleteFunc(l.States, func(s StateTime) bool {
		return s.Hours()+s.Purging == 0 && len(s.Trips) == 0
	})
	for i := range l.Zones {
		z := &l.Zones[i]
		z.Mean = r.mean[i] / l.Time
		z.MeanRatio, z.MeanHumidity = z.vapor/l.Time, z.humidity/l.Time
	}
	if r.moist() {
		l.VaporStored = r.vapor() - r.wet.start
	}
	l.Stored = r.held() - r.from
	l.Energy = math.Abs(l.ToZones + l.Gains + l.Envelope - l.Stored)
	for _, s := range []Season{Heating, Cooling} {
		m := l.machine(s)
		held := 0.0
		if s == r.season {
			held = r.inMachine()
		}
		l.Energy += math.Abs(m.Made + m.booked + m.held - m.Given - m.Lost - held)
		l.Moved += m.Made
	}
	l.Moved += math.Abs(l.Envelope) + math.Abs(l.Gains)
	return l
}
