package clock

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
		above := r.sign * (r.x.sensor[i] - r.now.Set[i])
		zone := &r.ledger.Zones[i]
		switch {
		case !calling && above <= -half+near && r.side != nil:
			r.calls[i], r.began[i], again = true, r.t, true
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

// control changes the machine once, if anything is to change.
func (r *run) control() bool {
	asked := r.asked()
	switch r.mode {
	case Off:
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
		r.mode, r.since, r.started = On, r.t, r.t
		m := r.ledger.machine(r.season)
		m.Starts++
		m.Begun = append(m.Begun, r.t)
		r.enter()
		return true
	case On, Limited:
		if asked == 0 {
			if r.mode == On && r.t < r.since+r.side.MinimumOn-instant {
				return r.guards()
			}
			r.endRun()
			r.leave()
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
	r.open(c, s)
	if r.mode == On || r.mode == Limited {
		r.enter()
	}
	return true
}

// stageDue reports whether the run has lasted long enough for the next stage, which its supply must
// allow.
func (r *run) stageDue() bool {
	return r.mode == On && r.h.Panel.StageDelay > 0 && r.supply != nil && r.supply.NextPass &&
		r.t >= r.started+float64(r.call.Stage)*r.h.Panel.StageDelay-instant
}

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
	m.Runs = append(m.Runs, r.t-r.started)
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
	if length := r.t - r.visits; length > instant {
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
