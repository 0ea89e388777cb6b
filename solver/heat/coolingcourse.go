package heat

import (
	"math"

	"spillway/solver/air"
	"spillway/solver/air/bracket"
)

// CoolingLoop is the time course of a cooling coil with recirculation from the moment the compressor starts.
//
//	C dT_s/dt = (1 − BF) m (h_in − h(T_s, W_s)) − q          coil metal at the surface temperature T_s
//	dq/dt     = (Q(entering, outdoors, airflow) − q)/τ        capacity builds up after the start
//	C_f dT_r/dt = (1 − r) m cp (T_out − T_r) − K (T_r − T_M) − UA (T_r − T_outdoor) + G
//
// W_s is saturation at T_s, or the return's humidity where that is drier (a dry coil). Mixing and the coil's bypass
// factor close the loop at every instant,
//
//	h_in = ((1 − r) h_return + r (1 − BF) h_s + fan/m)/(1 − r BF)
//
// so that at rest the state is that of the coil in a steady loop. The return's humidity ratio is held. Ice is not modelled:
// beyond FrostAt the course is that of a coil which stays free of it.
type CoolingLoop struct {
	Coil     *Coil
	Return   air.Moist // air from the zones
	MassFlow float64   // kg/s through the coil
	Outdoor  float64   // °C
	Pressure float64   // Pa
	FanHeat  float64   // W, added before the coil
	Share    float64   // recirculated, by mass
	Capacity float64   // J/K of the coil's metal and what clings to it
	// StartUp is the time constant τ of the capacity, s; 0: at once. 60 to 80 s is common (from memory).
	StartUp float64
	Room    *Room // nil: the return air stays as it is
	// Strip is the CoilShare of recirculated air that has not mixed: the evaporating temperature falls by that share of
	// entering air less evaporating temperature. 0 is perfect mixing.
	Strip float64
}

// CoolingSample is the loop at one instant.
type CoolingSample struct {
	Time        float64 // s
	Entering    air.Moist
	Supply      air.Moist
	Surface     float64 // °C
	Evaporating float64 // °C
	Strip       float64 // °C, evaporating temperature with what unmixed air takes away
	Capacity    float64 // W taken by the refrigerant
	Room, Mass  float64 // °C
	Dry         bool
}

// CoolingCourse is a run of a CoolingLoop.
type CoolingCourse struct {
	Samples []CoolingSample
	// FrostAt is when the evaporating temperature, less what unmixed air takes away, first reaches the limit asked for, s;
	// +Inf when it does not within the run.
	FrostAt float64
}

// TypicalCoilMetal is the heat capacity, J/K, of a cooling coil's metal for a rated capacity in W: about 9 kJ/K for
// three tons. Our estimate (15 kg of copper and aluminium), good to a factor of two; an assumption to show.
func TypicalCoilMetal(capacity float64) float64 { return 0.85 * capacity }

// Components of the state.
const (
	surfaceTemperature = iota
	capacityNow
	roomTemperature
	massTemperature
	coolingStates
)

// Tolerances of the integration: a millionth of a kelvin and a thousandth of a watt per step.
const courseTolerance = 1e-8

// Run follows the loop for a duration with samples a step apart, s, and finds when the evaporating temperature reaches
// frostLimit (°C; 0 is frost, warmer for a margin). At the start metal and room are at the return temperature and the
// refrigerant takes nothing. Where the coil, frosted by then, gets colder than its model can follow, the samples end.
//
// Errors: figures that cannot be; a state the coil's model cannot evaluate.
func (l CoolingLoop) Run(duration, step, frostLimit float64) (CoolingCourse, error) {
	if err := l.check(duration, step, frostLimit); err != nil {
		return CoolingCourse{}, err
	}
	r := coolingRun{l: &l, bypass: math.Exp(-l.Coil.ao / l.MassFlow), lagged: l.StartUp > 0, wet: l.Return.Temperature}
	y := make([]float64, coolingStates)
	y[surfaceTemperature], y[roomTemperature], y[massTemperature] = l.Return.Temperature, l.Return.Temperature, l.Return.Temperature
	absolute := []float64{1e-6, 1e-3, 1e-6, 1e-6}
	g := newIntegrator(r.derive, courseTolerance, absolute)
	probe := newIntegrator(r.derive, courseTolerance, absolute)

	course := CoolingCourse{FrostAt: math.Inf(1)}
	first, err := r.sample(0, y)
	if err != nil {
		return CoolingCourse{}, err
	}
	course.Samples = append(course.Samples, first)
	each := func(t0 float64, y0 []float64, t1 float64, y1 []float64) (bool, error) {
		if !math.IsInf(course.FrostAt, 1) {
			return false, nil
		}
		s, err := r.sample(t1, y1)
		if err != nil || s.Strip > frostLimit {
			return false, err
		}
		course.FrostAt, err = r.frost(probe, t0, y0, t1, frostLimit)
		return false, err
	}
	h := math.Min(step, 0.1)
	count := int(math.Round(duration / step))
	for i := range count {
		h, err = g.advance(float64(i)*step, float64(i+1)*step, y, h, each)
		var s CoolingSample
		if err == nil {
			s, err = r.sample(float64(i+1)*step, y)
		}
		if err != nil && !math.IsInf(course.FrostAt, 1) {
			return course, nil // what the model cannot follow lies beyond the frost, where it means nothing
		}
		if err != nil {
			return CoolingCourse{}, err
		}
		course.Samples = append(course.Samples, s)
	}
	return course, nil
}

func (l *CoolingLoop) check(duration, step, frostLimit float64) error {
	switch {
	case l.Coil == nil:
		return badInput("cooling loop without a coil")
	case !(l.MassFlow > 0) || !(l.Share >= 0 && l.Share < 1):
		return badInput("cooling loop with %g kg/s and a recirculated share of %g", l.MassFlow, l.Share)
	case !(l.Capacity > 0) || !(l.StartUp >= 0):
		return badInput("coil metal of %g J/K starting up in %g s", l.Capacity, l.StartUp)
	case !(l.Strip >= 0 && l.Strip <= 1):
		return badInput("strip's share %g outside 0 to 1", l.Strip)
	case !(duration > 0 && step > 0) || math.IsInf(duration, 1) || duration/step > mostSamples || math.IsNaN(frostLimit):
		return badInput("run of %g s in steps of %g s to %g °C", duration, step, frostLimit)
	}
	if l.Room != nil {
		if err := l.Room.check(); err != nil {
			return err
		}
	}
	return l.Return.Check(l.Pressure)
}

// coolingRun evaluates the equations of one run.
type coolingRun struct {
	l      *CoolingLoop
	bypass float64
	lagged bool
	// wet is the wet bulb found last, where the search for the next begins.
	wet float64
}

// closed is the loop closed at one instant: entering air behind the fan, leaving air, the heat the air gives up (W).
type closed struct {
	entering, leaving air.Moist
	given             float64
	dry               bool
}

func (r *coolingRun) close(surface, room float64) (closed, error) {
	l, b := r.l, r.bypass
	back := air.Moist{Temperature: room, HumidityRatio: l.Return.HumidityRatio}
	var c closed
	ws, err := air.SaturationHumidity(surface, l.Pressure)
	if err != nil {
		return c, err
	}
	if ws >= back.HumidityRatio {
		ws, c.dry = back.HumidityRatio, true
	}
	hs := air.Moist{Temperature: surface, HumidityRatio: ws}.Enthalpy()
	loop := 1 - l.Share*b
	hin := ((1-l.Share)*back.Enthalpy() + l.Share*(1-b)*hs + l.FanHeat/l.MassFlow) / loop
	win := ((1-l.Share)*back.HumidityRatio + l.Share*(1-b)*ws) / loop
	c.entering = air.FromEnthalpy(hin, win)
	c.leaving = air.FromEnthalpy(hs+b*(hin-hs), ws+b*(win-ws))
	c.given = (1 - b) * l.MassFlow * (hin - hs)
	return c, nil
}

// steadyCapacity is what the coil would take with this entering air, W.
func (r *coolingRun) steadyCapacity(entering air.Moist) (float64, error) {
	l := r.l
	wet, err := entering.WetBulbNear(r.wet, l.Pressure)
	if err != nil {
		if rh, rerr := entering.RelativeHumidity(l.Pressure); rerr != nil || rh <= 1 {
			return 0, err
		}
		wet = entering.Temperature
	}
	r.wet = wet
	f := l.Coil.curve.At(wet, l.Outdoor, l.MassFlow/l.Coil.rating.MassFlow)
	if !(f.Capacity > 0) {
		return 0, outOfRange("capacity factor %.3f at %.1f °C wet bulb and %.1f °C outdoors", f.Capacity, wet, l.Outdoor)
	}
	return l.Coil.rating.TotalCapacity * f.Capacity, nil
}

func (r *coolingRun) derive(_ float64, y, dy []float64) error {
	l := r.l
	c, err := r.close(y[surfaceTemperature], y[roomTemperature])
	if err != nil {
		return err
	}
	target, err := r.steadyCapacity(c.entering)
	if err != nil {
		return err
	}
	q := target
	dy[capacityNow] = 0
	if r.lagged {
		q = y[capacityNow]
		dy[capacityNow] = (target - q) / l.StartUp
	}
	dy[surfaceTemperature] = (c.given - q) / l.Capacity
	dy[roomTemperature], dy[massTemperature] = 0, 0
	if room := l.Room; room != nil {
		t := y[roomTemperature]
		gain := (1-l.Share)*l.MassFlow*c.leaving.SpecificHeat()*(c.leaving.Temperature-t) + room.Conductance*(room.Outdoor-t) + room.Gain
		if room.Mass > 0 {
			flow := room.Between * (y[massTemperature] - t)
			gain += flow
			dy[massTemperature] = -flow / room.Mass
		}
		dy[roomTemperature] = gain / room.Fast
	}
	return nil
}

func (r *coolingRun) sample(t float64, y []float64) (CoolingSample, error) {
	c, err := r.close(y[surfaceTemperature], y[roomTemperature])
	if err != nil {
		return CoolingSample{}, err
	}
	q := y[capacityNow]
	if !r.lagged {
		if q, err = r.steadyCapacity(c.entering); err != nil {
			return CoolingSample{}, err
		}
	}
	s := CoolingSample{Time: t, Entering: c.entering, Supply: c.leaving, Surface: y[surfaceTemperature], Capacity: q,
		Evaporating: y[surfaceTemperature] - r.l.Coil.approach*q, Room: y[roomTemperature], Mass: y[massTemperature], Dry: c.dry}
	s.Strip = s.Evaporating - r.l.Strip*math.Max(0, c.entering.Temperature-s.Evaporating)
	return s, nil
}

// frost is the instant between t0 and t1 at which the strip reaches the limit, found by steps of trial lengths from t0.
func (r *coolingRun) frost(g *integrator, t0 float64, y0 []float64, t1, limit float64) (float64, error) {
	if err := g.f(t0, y0, g.k[0]); err != nil {
		return 0, err
	}
	var failed error
	strip := func(t float64) float64 {
		y := y0
		if t > t0 {
			if _, failed = g.step(t0, y0, t-t0); failed != nil {
				return math.NaN()
			}
			y = g.next
		}
		s, err := r.sample(t, y)
		if err != nil {
			failed = err
			return math.NaN()
		}
		return s.Strip - limit
	}
	if strip(t0) <= 0 {
		return t0, failed
	}
	t, err := bracket.Root(strip, t0, t1, 1e-6)
	if failed != nil {
		err = failed
	}
	return t, err
}
