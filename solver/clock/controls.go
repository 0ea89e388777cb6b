package clock

import "math"

// settle lets the controls change until nothing changes any more, in a fixed order: thermostats by
// zone, panel, machine, guards.
func (r *run) settle() error {
	for range rounds {
		again := r.thermostats()
		if r.side != nil {
			again = r.control() || again
		}
		if !again {
			return nil
		}
		r.ledger.Settles++
		if r.opt.Event != nil {
			r.opt.Event(Event{Time: r.t, Mode: r.mode, Calling: r.asked(), Stage: r.call.Stage, Guard: r.guard})
		}
	}
	return ErrChatter
}

func (r *run) thermostats() (again bool) {
	half := r.h.Thermostat.Band / 2
	for i, calling := range r.calls {
		way := r.way[i]
		above := way * (r.x.sensor[i] - r.setting(i, way))
		zone := &r.ledger.Zones[i]
		switch {
		case !calling && above <= -half+near && r.h.machine(Season(way)) != nil:
			r.calls[i], r.began[i], again = true, r.t, true
		case !calling && r.turned(i) >= half-near:
			r.x.sensor[i] += way * r.h.Thermostat.Anticipation
			r.way[i], r.calls[i], r.began[i], r.back[i], again = -way, true, r.t, false, true
		case calling && above >= half-near:
			r.calls[i], again = false, true
			zone.Calls = append(zone.Calls, r.t-r.began[i])
		}
		if r.back[i] && above >= half-near {
			zone.Recoveries = append(zone.Recoveries, r.t-r.rose[i])
			r.back[i] = false
		}
	}
	return again
}

// turned is how far an idle zone's sensor is beyond the set point of the other way, K; −Inf where
// there is no other way. The sensor reads as it would then, with the anticipation of that way.
func (r *run) turned(i int) float64 {
	way := r.way[i]
	if r.now.Season != Auto || r.h.machine(Season(-way)) == nil {
		return math.Inf(-1)
	}
	return way*(r.x.sensor[i]-r.setting(i, -way)) + r.h.Thermostat.Anticipation
}

// control changes the machine once, if anything is to change.
func (r *run) control() bool {
	asked := r.asked()
	switch r.mode {
	case Off:
		if other := r.earliest(-r.sign); other < r.earliest(r.sign) {
			if r.t < r.restedAt()-instant {
				return false
			}
			r.turn(-r.season)
			return true
		}
		if asked == 0 || r.t < r.okAt-instant {
			r.blocked = false
			return false
		}
		c := Call{Season: r.season, Zones: asked, Stage: 1}
		s := r.answer(c)
		if r.blocked = s == nil; r.blocked {
			return false
		}
		r.open(c, s)
		r.mode, r.since = Starting, r.t
		return true
	case Starting:
		if r.t < r.since+r.side.Start-instant {
			return false
		}
		r.follow(asked)
		r.mode, r.since, r.started, r.staged = On, r.t, r.t, r.t
		m := r.ledger.machine(r.season)
		m.Starts++
		m.Begun = append(m.Begun, r.t)
		if r.side.BlowerDelay > 0 {
			r.mode = Warming
			return true
		}
		r.enter()
		return true
	case Warming:
		if r.t < r.started+r.side.BlowerDelay-instant {
			return false
		}
		r.mode = On
		r.enter()
		r.visits = r.started
		return true
	case On, Limited:
		if r.ramp.step(r) {
			return true
		}
		if asked == 0 {
			if r.mode == On && r.t < r.since+r.side.MinimumOn-instant {
				return r.guards()
			}
			r.endRun()
			r.leave()
			r.ramp.to = nil
			r.mode, r.since, r.guard = Purging, r.t, -1
			return true
		}
		changed := r.follow(asked)
		return r.guards() || changed
	case Purging:
		if r.t < r.since+r.side.Purge-instant {
			return false
		}
		r.mode, r.since, r.okAt = Off, r.t, r.t+r.side.MinimumOff
		return true
	}
	return false
}

// follow opens the dampers of the zones that call now, and takes the next stage when it is due. A call
// without an answer leaves the dampers as they are.
func (r *run) follow(asked uint32) (changed bool) {
	c := r.call
	if asked != 0 {
		c.Zones = asked
	}
	if r.mode != On && r.mode != Limited {
		c.Stage = 1 // a run begins low; another zone that calls in it keeps the stage
	}
	if r.stageDue() {
		c.Stage = max(c.Stage, r.call.Stage+1)
	}
	if c == r.call {
		return false
	}
	s := r.answer(c)
	if s == nil && c.Stage > 1 {
		c.Stage = 1
		if c == r.call {
			return false
		}
		s = r.answer(c)
	}
	if s == nil {
		return false
	}
	if r.mode == On || r.mode == Limited {
		r.leave()
	}
	if c.Stage != r.call.Stage {
		r.staged = r.t
	}
	r.open(c, s)
	if r.mode == On || r.mode == Limited {
		r.enter()
	}
	return true
}

// stageDue reports whether the run has been long enough in its stage for the next one, or a zone is
// far enough from its set point; the supply must allow it.
func (r *run) stageDue() bool {
	if r.mode != On || r.supply == nil || !r.supply.NextPass || r.ramp.to != nil {
		return false
	}
	p := &r.h.Panel
	if p.StageDelay > 0 && r.t >= r.staged+p.StageDelay-instant {
		return true
	}
	for i := range r.calls {
		if p.StageDroop > 0 && r.call.Has(i) && r.calls[i] && r.droop(i) >= p.StageDroop-near {
			return true
		}
	}
	return false
}

// droop is how far a zone's sensor is short of its set point, K.
func (r *run) droop(i int) float64 { return r.way[i] * (r.setting(i, r.way[i]) - r.x.sensor[i]) }

// restedAt is when the machine may start in the other season, s.
func (r *run) restedAt() float64 { return max(r.okAt, r.since+r.h.Panel.Changeover) }

// guards opens or closes the machine's guards.
func (r *run) guards() bool {
	back := dot(r.known[r.supply].share, r.x.node)
	at := func(i int) float64 { return back + r.x.share*r.supply.Guards[i] }
	switch r.mode {
	case On:
		for i, g := range r.side.Guards {
			if r.sign*(at(i)-g.Opens) < -near {
				continue
			}
			r.mode, r.guard, r.trip = Limited, i, r.t
			recovery := r.recovering()
			s := &r.ledger.States[r.visit]
			s.Trips = append(s.Trips, Trip{Time: r.t, Guard: i, Recovery: recovery})
			m := r.ledger.machine(r.season)
			switch {
			case g.CutOut:
				m.CutOuts++
			case recovery:
				m.Opening[1]++
			default:
				m.Opening[0]++
			}
			return true
		}
	case Limited:
		g := r.side.Guards[r.guard]
		if r.t < r.trip+g.Hold-instant || r.sign*(at(r.guard)-g.Closes) > near {
			return false
		}
		r.mode, r.guard = On, -1
		return true
	}
	return false
}

// recovering reports whether a zone that calls is coming back from a set-back, or did so lately.
func (r *run) recovering() bool {
	for i := range r.calls {
		if r.call.Has(i) && (r.back[i] || r.t < r.rose[i]+afterRise) {
			return true
		}
	}
	return false
}

func (r *run) endRun() {
	m := r.ledger.machine(r.season)
	m.Runs = append(m.Runs, min(r.t-r.started, r.whole()))
}

// enter begins a visit of the call state whose dampers are open, leave ends it.
func (r *run) enter() {
	r.visit, r.visits, r.visitIn = r.state(r.call), r.t, r.recovering()
}

func (r *run) leave() {
	if r.visit < 0 {
		return
	}
	s := &r.ledger.States[r.visit]
	if length := min(r.t-r.visits, r.whole()); length > instant {
		s.Visits = append(s.Visits, Visit{Start: r.visits, Length: length, Recovery: r.visitIn})
	}
	r.visit = -1
}

// state is the place of a call in the ledger.
func (r *run) state(c Call) int {
	i, seen := r.index[c]
	if !seen {
		i = len(r.ledger.States)
		r.index[c] = i
		r.ledger.States = append(r.ledger.States, StateTime{Call: c})
	}
	return i
}
