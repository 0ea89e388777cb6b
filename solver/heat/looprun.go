package heat

import "math"

// Course is the time course of a loop whose burner may cycle on its limit.
type Course struct {
	Samples []Sample
	// FirstTrip is when the limit opens first, s; +Inf when it does not within the run.
	FirstTrip float64
	Trips     int
	// Duty is the share of time the burner fires over the last full cycle from opening to opening; 1 when the limit never
	// opened, NaN when it opened but no cycle was completed. On and Off are the two parts of that cycle, s.
	Duty, On, Off float64
	// MeanLeaving is the mean temperature behind the exchanger over that cycle, °C; NaN without a full cycle.
	MeanLeaving float64
}

// mostSamples bounds a run; a run of hours at one second stays far below.
const mostSamples = 1_000_000

// Steady is the loop at rest with the burner on, as the Recirculation of its return temperature, the burner's and the
// fan's heat. It is where the loop tends when Room is nil; with a room the return keeps moving.
func (l Loop) Steady() (Recirculation, error) {
	if _, err := l.linear(); err != nil {
		return Recirculation{}, err
	}
	return Recirculation{Return: l.Return, Rise: (l.Output + l.FanHeat) / (l.MassFlow * l.SpecificHeat)}, nil
}

// TimeTo is when the sensor first reaches a temperature, s from the start with the burner on; +Inf when it does not
// within the horizon (s). With Room nil an infinite horizon is allowed, since the steady state decides.
func (l Loop) TimeTo(limit, horizon float64) (float64, error) {
	s, err := l.linear()
	if err != nil {
		return 0, err
	}
	if !finite(limit) || !(horizon > 0) || math.IsInf(horizon, 1) && l.Room != nil {
		return 0, badInput("time to %g °C within %g s", limit, horizon)
	}
	x := s.start
	if s.sensor.of(x) >= limit {
		return 0, nil
	}
	if l.Room == nil {
		steady, err := l.Steady()
		if err != nil {
			return 0, err
		}
		// The sensor rises towards its rest from below.
		rest := steady.Leaving(l.Share) + l.Strip*steady.Rise
		if l.Start <= 0 && rest <= limit {
			return math.Inf(1), nil
		}
		// Sixty times the loop's own time constant, closed form; what is not reached then differs from rest by rounding.
		e := l.Exchanger.effectiveness(l.MassFlow * l.SpecificHeat)
		slow := (l.Exchanger.Capacity + l.Coil.Capacity) / (l.MassFlow * l.SpecificHeat) * (1/e + l.Share/(1-l.Share))
		horizon = math.Min(horizon, 60*slow)
	}
	step := math.Min(s.fastest/4, horizon)
	advance := s.over(step, true)
	for t := 0.0; t < horizon; t += step {
		next := advance.apply(x)
		if s.sensor.of(next) >= limit {
			within, err := s.crossing(x, step, limit, true)
			if err != nil || t+within > horizon {
				return math.Inf(1), err
			}
			return t + within, nil
		}
		x = next
	}
	return math.Inf(1), nil
}

// Cycle follows the loop for a duration while its limit opens at one sensor temperature and closes again at a lower
// one (°C), with samples a step apart and at every switching (s). The instants of switching are found to the rounding
// of the exact solution. Fan and flow keep on.
//
// Errors: figures that cannot be, closing not below opening, more than a million samples.
func (l Loop) Cycle(opens, closes, duration, step float64) (Course, error) {
	s, err := l.linear()
	if err != nil {
		return Course{}, err
	}
	switch {
	case !(duration > 0 && step > 0) || math.IsInf(duration, 1) || duration/step > mostSamples:
		return Course{}, badInput("run of %g s in steps of %g s", duration, step)
	case math.IsNaN(opens) || math.IsNaN(closes) || !math.IsInf(opens, 1) && !(closes < opens):
		return Course{}, badInput("limit opens at %g °C and closes at %g °C", opens, closes)
	}
	run := loopRun{s: s, l: &l, opens: opens, closes: closes, course: Course{FirstTrip: math.Inf(1), Duty: 1, MeanLeaving: math.NaN()}}
	run.firing = s.sensor.of(s.start) < opens
	return run.follow(duration, step)
}

// loopRun is one run of Cycle: where it stands, and the cycle under way.
type loopRun struct {
	s             *linearLoop
	l             *Loop
	opens, closes float64
	course        Course
	firing        bool
	time          float64
	x             [loopNodes]float64
	small         float64       // s, the step of the search
	full, half    [2]propagator // over small and half of it; idle, firing
	opened        float64       // when the limit last opened
	closed        float64       // when it last closed
	integral      float64       // of the leaving temperature since it last opened, K·s
}

func (r *loopRun) follow(duration, step float64) (Course, error) {
	s := r.s
	r.x = s.start
	r.record()
	// The step of the search must resolve the fastest lump, whatever the samples' spacing.
	parts := int(math.Ceil(step / (s.fastest / 4)))
	parts = max(1, min(parts, mostSamples))
	small := step / float64(parts)
	r.small = small
	for i, firing := range []bool{false, true} {
		r.full[i], r.half[i] = s.over(small, firing), s.over(small/2, firing)
	}
	count := int(math.Round(duration / step))
	for i := range count {
		for j := range parts {
			target := (float64(i) + float64(j+1)/float64(parts)) * step
			for range 64 { // switchings within one small step
				next := r.advance(target - r.time)
				if !r.switches(s.sensor.of(next)) {
					r.move(next, target)
					break
				}
				if err := r.toggle(target); err != nil {
					return Course{}, err
				}
			}
		}
		r.record()
	}
	return r.course, nil
}

// advance is the state a time from now. The whole and half steps that make up nearly all of a run are ready.
func (r *loopRun) advance(time float64) [loopNodes]float64 {
	i := 0
	if r.firing {
		i = 1
	}
	switch {
	case math.Abs(time-r.small) <= 1e-9*r.small:
		return r.full[i].apply(r.x)
	case math.Abs(time-r.small/2) <= 1e-9*r.small:
		return r.half[i].apply(r.x)
	}
	p := r.s.over(time, r.firing)
	return p.apply(r.x)
}

func (r *loopRun) switches(sensor float64) bool {
	if r.firing {
		return sensor >= r.opens
	}
	return sensor <= r.closes
}

// toggle moves to the instant before target at which the limit switches, and switches.
func (r *loopRun) toggle(target float64) error {
	limit := r.closes
	if r.firing {
		limit = r.opens
	}
	within := 0.0
	if now := r.s.sensor.of(r.x); r.firing && now < limit || !r.firing && now > limit {
		t, err := r.s.crossing(r.x, target-r.time, limit, r.firing)
		if err != nil {
			return err
		}
		within = t
	}
	r.move(r.advance(within), r.time+within)
	r.record()
	c := &r.course
	if r.firing {
		if c.Trips > 0 {
			c.Off, c.On = r.closed-r.opened, r.time-r.closed
			c.Duty = c.On / (c.On + c.Off)
			c.MeanLeaving = r.integral / (r.time - r.opened)
		} else {
			c.FirstTrip, c.Duty = r.time, math.NaN()
		}
		c.Trips++
		r.opened, r.integral = r.time, 0
	} else {
		r.closed = r.time
	}
	r.firing = !r.firing
	r.record()
	return nil
}

// move advances to a state and integrates the leaving temperature by Simpson's rule with the exact midpoint.
func (r *loopRun) move(next [loopNodes]float64, time float64) {
	if h := time - r.time; h > 0 && r.course.Trips > 0 {
		middle := r.advance(h / 2)
		r.integral += h / 6 * (r.s.leaving.of(r.x) + 4*r.s.leaving.of(middle) + r.s.leaving.of(next))
	}
	r.x, r.time = next, time
}

func (r *loopRun) record() {
	r.course.Samples = append(r.course.Samples, r.s.sample(r.time, r.x, r.l, r.firing))
}
