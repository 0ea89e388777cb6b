package heat

import (
	"math"

	"spillway/solver/air"
	"spillway/solver/air/bracket"
)

// CoilRating is a cooling coil as its data sheet rates it. Zero values of Entering, Outdoor, Pressure and Evaporating
// mean the usual rating point: 80 °F dry bulb and 67 °F wet bulb entering, 95 °F outdoors, sea level, 45 °F saturated
// suction (the last from memory: an assumption to show).
type CoilRating struct {
	TotalCapacity float64   // W, gross (fan heat not deducted)
	SensibleRatio float64   // sensible over total
	MassFlow      float64   // kg/s of dry air
	Entering      air.Moist // rating state
	Outdoor       float64   // °C
	Pressure      float64   // Pa
	Evaporating   float64   // °C, saturated suction temperature at rating
	// EIR is electric power over total capacity at rating (1/COP, compressor and outdoor fan); 0 when not known, and
	// then no power is given.
	EIR float64
}

// The usual rating point, °C (80/67/95 °F), and the saturated suction temperature assumed there (45 °F, from memory).
const (
	RatedDryBulb     = (80.0 - 32) / 1.8
	RatedWetBulb     = (67.0 - 32) / 1.8
	RatedOutdoor     = (95.0 - 32) / 1.8
	RatedEvaporating = (45.0 - 32) / 1.8
)

// Coil is a cooling coil with its capacity curve, rated and ready. It is immutable and safe for concurrent use.
//
// The surface is represented by saturated air at one temperature, the apparatus dew point (ADP); a share BF of the air
// passes untouched. Off its rating point
//
//	BF     = exp(−Ao/m)                     Ao constant, from rating
//	Q      = rated · curve(EWB, ODB, m/m_rated)
//	h_adp  = h_in − (Q/m)/(1 − BF),         T_adp = T_sat(h_adp)
//	W_out  = W_in − (1 − BF)(W_in − W_adp)
//	h_out  = h_in − Q/m
//
// When W_adp ≥ W_in the coil is dry: W_out = W_in, and the surface is at T_in − (T_in − T_out)/(1 − BF).
//
// Source: the bypass-factor/apparatus-dew-point method of direct-expansion coil models (second-hand; probably
// Brandemuehl, Gabel, Andresen, ASHRAE HVAC 2 Toolkit, 1993). Here the line from entering to surface is straight in
// enthalpy and humidity, the coordinates that mix linearly, so the rated split comes back exactly. Weak where airflow
// is far below rating: the real Ao falls there, so BF is under-estimated.
type Coil struct {
	rating     CoilRating
	curve      *CoolingCurve
	ao         float64 // kg/s
	adp, ratio float64 // rated apparatus dew point °C, rated bypass factor
	approach   float64 // K/W: (ADP − evaporating)/Q at rating
}

// leastBypass and mostBypass bound a rated bypass factor that is taken seriously (our choice, after the common window of
// 0.01 to 0.5 in coil models).
const leastBypass, mostBypass = 0.01, 0.5

// NewCoil finds the apparatus dew point and bypass factor of a rating.
//
// Errors (ErrInput, with the numbers): figures out of range; a sensible ratio so high that the leaving air would be
// beyond saturation or that no saturated surface lies on the line from entering to leaving air; a bypass factor outside
// 0.01 to 0.5.
func NewCoil(r CoilRating, curve *CoolingCurve) (*Coil, error) {
	if r.Pressure == 0 {
		r.Pressure = air.StandardPressure
	}
	if r.Entering == (air.Moist{}) {
		m, err := air.FromWetBulb(RatedDryBulb, RatedWetBulb, r.Pressure)
		if err != nil {
			return nil, err
		}
		r.Entering = m
	}
	if r.Outdoor == 0 {
		r.Outdoor = RatedOutdoor
	}
	if r.Evaporating == 0 {
		r.Evaporating = RatedEvaporating
	}
	switch {
	case !(r.TotalCapacity > 0) || math.IsInf(r.TotalCapacity, 0):
		return nil, badInput("cooling capacity %g W", r.TotalCapacity)
	case !(r.MassFlow > 0) || math.IsInf(r.MassFlow, 0):
		return nil, badInput("rated airflow %g kg/s", r.MassFlow)
	case !(r.SensibleRatio > 0 && r.SensibleRatio <= 1):
		return nil, badInput("sensible ratio %g outside 0 to 1", r.SensibleRatio)
	case !(r.EIR >= 0):
		return nil, badInput("energy input ratio %g", r.EIR)
	case curve == nil:
		return nil, badInput("coil without a capacity curve")
	}
	adp, bf, err := rateCoil(r)
	if err != nil {
		return nil, err
	}
	c := &Coil{rating: r, curve: curve, adp: adp, ratio: bf, ao: -r.MassFlow * math.Log(bf)}
	c.approach = (adp - r.Evaporating) / r.TotalCapacity
	if c.approach < 0 {
		return nil, badInput("evaporating temperature %.1f °C is above the coil surface at rating, %.1f °C", r.Evaporating, adp)
	}
	return c, nil
}

// rateCoil finds the saturated state on the straight line, in enthalpy and humidity ratio, through entering and leaving
// air, and the share of air that must bypass it.
func rateCoil(r CoilRating) (adp, bypass float64, err error) {
	in := r.Entering
	hin := in.Enthalpy()
	hout := hin - r.TotalCapacity/r.MassFlow
	// The latent share is removed at the entering temperature, the convention of ratings.
	wout := in.HumidityRatio - (1-r.SensibleRatio)*r.TotalCapacity/r.MassFlow/(air.VaporisationHeat+air.SpecificHeatVapour*in.Temperature)
	figures := func(what string, more ...any) error {
		args := append([]any{r.SensibleRatio, r.TotalCapacity, r.MassFlow, in.Temperature}, more...)
		return badInput("sensible ratio %.3f at %.0f W and %.3f kg/s from %.1f °C "+what, args...)
	}
	if wout < 0 {
		return 0, 0, figures("takes more water out of the air than it holds")
	}
	out := air.FromEnthalpy(hout, wout)
	sat, err := air.SaturationHumidity(out.Temperature, r.Pressure)
	if err != nil {
		return 0, 0, figures("leaves air that cannot be: %w", err)
	}
	if wout >= sat {
		return 0, 0, figures("leaves air beyond saturation (%.1f °C, %.5f kg/kg against %.5f)", out.Temperature, wout, sat)
	}
	slope := (in.HumidityRatio - wout) / (hin - hout)
	// beyond is how far saturated air at t is moister than the line at its enthalpy. It is convex in t, positive at the
	// leaving temperature, and the surface is its first zero below; none when its least value is positive.
	beyond := func(t float64) float64 {
		s, serr := air.Saturated(t, r.Pressure)
		if serr != nil {
			return math.NaN()
		}
		return s.HumidityRatio - (in.HumidityRatio + slope*(s.Enthalpy()-hin))
	}
	const coldest = -40.0
	low, least := out.Temperature, beyond(out.Temperature)
	for t := out.Temperature; t > coldest; t -= 0.05 {
		b := beyond(t)
		if b > least {
			break
		}
		low, least = t, b
		if b <= 0 {
			break
		}
	}
	if !(least <= 0) {
		return 0, 0, figures("has no coil surface temperature: the line from entering to leaving air (%.1f °C, %.5f kg/kg) misses saturation; the ratio is too low or too high for this capacity and airflow",
			out.Temperature, wout)
	}
	adp, err = bracket.Root(beyond, low, out.Temperature, 0)
	if err != nil {
		return 0, 0, figures("has no coil surface temperature: %w", err)
	}
	surface, err := air.Saturated(adp, r.Pressure)
	if err != nil {
		return 0, 0, err
	}
	bypass = (hout - surface.Enthalpy()) / (hin - surface.Enthalpy())
	if !(bypass >= leastBypass && bypass <= mostBypass) {
		return 0, 0, figures("needs a bypass factor of %.4f (surface %.1f °C), outside %g to %g", bypass, adp, leastBypass, mostBypass)
	}
	return adp, bypass, nil
}

// Rated returns the coil's apparatus dew point, °C, and bypass factor at rating.
func (c *Coil) Rated() (apparatusDewPoint, bypassFactor float64) { return c.adp, c.ratio }

// Curve is the capacity curve the coil was made with.
func (c *Coil) Curve() *CoolingCurve { return c.curve }

// CoilState is a coil at work. Heats are positive here: what is taken out of the air.
type CoilState struct {
	Total, Sensible, Latent float64 // W
	SensibleRatio           float64
	Condensate              float64 // kg/s of water
	Leaving                 air.Moist
	WetBulb                 float64 // °C, entering
	Surface                 float64 // °C: apparatus dew point, or the effective surface of a dry coil
	BypassFactor            float64
	Dry                     bool
	Evaporating             float64 // °C, saturated suction temperature
	FrostMargin             float64 // K, Evaporating above freezing
	Power                   float64 // W, 0 when the rating has no EIR
	Factor                  Factor  // of the curve, with its flags
}

// At is the coil with entering air, airflow (kg/s of dry air), outdoor temperature (°C) and absolute pressure (Pa).
//
// Errors: no airflow, entering air that cannot be, a capacity that would cool the air below −40 °C or a curve with no
// positive capacity there (ErrBeyondRange).
func (c *Coil) At(entering air.Moist, massFlow, outdoor, pressure float64) (CoilState, error) {
	return c.at(entering, massFlow, outdoor, pressure, false)
}

// Held is At where At has an answer; beyond that, where it returns ErrBeyondRange, the coil at the end of what its model reaches: a surface
// of −40 °C, or no capacity. The real coil is colder; what is left of the model is that it frosts.
func (c *Coil) Held(entering air.Moist, massFlow, outdoor, pressure float64) (CoilState, error) {
	return c.at(entering, massFlow, outdoor, pressure, true)
}

// at is At; held keeps the coil at the end of what the model reaches instead of refusing: at a surface of −40 °C, or giving nothing
// where the curve has no positive capacity.
func (c *Coil) at(entering air.Moist, massFlow, outdoor, pressure float64, held bool) (CoilState, error) {
	if !(massFlow > 0) {
		return CoilState{}, badInput("coil with an airflow of %g kg/s", massFlow)
	}
	wet, err := entering.WetBulb(pressure)
	if err != nil {
		// Air on the wet side of saturation (fog carried over from mixing) enters at its own temperature.
		if rh, rerr := entering.RelativeHumidity(pressure); rerr != nil || rh <= 1 {
			return CoilState{}, err
		}
		wet = entering.Temperature
	}
	s := CoilState{WetBulb: wet, Factor: c.curve.At(wet, outdoor, massFlow/c.rating.MassFlow)}
	if !(s.Factor.Capacity > 0) {
		if held {
			return CoilState{WetBulb: wet, Factor: s.Factor, Leaving: entering, Surface: entering.Temperature}, nil
		}
		return CoilState{}, outOfRange("capacity factor %.3f at %.1f °C wet bulb and %.1f °C outdoors", s.Factor.Capacity, wet, outdoor)
	}
	s.Total = c.rating.TotalCapacity * s.Factor.Capacity
	s.Power = c.rating.EIR * s.Factor.EIR * s.Total
	s.BypassFactor = math.Exp(-c.ao / massFlow)
	if held {
		coldest, err := air.Saturated(coldestSurface, pressure)
		if err != nil {
			return CoilState{}, err
		}
		most := massFlow * (1 - s.BypassFactor) * (entering.Enthalpy() - coldest.Enthalpy())
		s.Total = max(min(s.Total, most), 0)
		if s.Total == 0 {
			return CoilState{WetBulb: wet, Factor: s.Factor, Leaving: entering, Surface: entering.Temperature}, nil
		}
	}
	if err := c.split(&s, entering, massFlow, pressure, held); err != nil {
		return CoilState{}, err
	}
	s.Evaporating = s.Surface - c.approach*s.Total
	s.FrostMargin = s.Evaporating - freezing
	return s, nil
}

// split divides the total into sensible and latent and finds surface and leaving air.
func (c *Coil) split(s *CoilState, in air.Moist, massFlow, pressure float64, held bool) error {
	hin, drop := in.Enthalpy(), s.Total/massFlow
	surface := hin - drop/(1-s.BypassFactor)
	adp, err := air.SaturationTemperature(surface, pressure)
	if err != nil || adp < coldestSurface && !held {
		return outOfRange("%.0f W at %.3f kg/s would cool air of %.1f °C below a surface of %g °C", s.Total, massFlow, in.Temperature, coldestSurface)
	}
	sat, err := air.SaturationHumidity(adp, pressure)
	if err != nil {
		return err
	}
	s.Surface = adp
	wout := in.HumidityRatio - (1-s.BypassFactor)*(in.HumidityRatio-sat)
	if sat >= in.HumidityRatio {
		s.Dry = true
		wout = in.HumidityRatio
	}
	s.Leaving = air.FromEnthalpy(hin-drop, wout)
	if s.Dry {
		s.Surface = in.Temperature - (in.Temperature-s.Leaving.Temperature)/(1-s.BypassFactor)
	}
	s.Condensate = massFlow * (in.HumidityRatio - wout)
	s.Latent = s.Condensate * (air.VaporisationHeat + air.SpecificHeatVapour*in.Temperature)
	s.Sensible = s.Total - s.Latent
	s.SensibleRatio = s.Sensible / s.Total
	return nil
}

const (
	freezing       = 0.0   // °C
	coldestSurface = -40.0 // °C, far below any comfort coil; the model means nothing there
)

// Cooler is a Coil at work in a network branch, a Device.
type Cooler struct {
	Coil    *Coil
	Outdoor float64 // °C
}

var _ Device = Cooler{}

// Exchange implements Device. Where the coil's model refuses, its last answer stands in (a surface of −40 °C, or no capacity), for
// the solver's trials only.
func (c Cooler) Exchange(entering air.Moist, massFlow, pressure float64) (heat, water float64, err error) {
	s, err := c.Coil.at(entering, massFlow, c.Outdoor, pressure, true)
	return -s.Total, -s.Condensate, err
}

// Check implements Device. A curve used outside its stated range is a flag in CoilState.Factor, not an error.
func (c Cooler) Check(entering air.Moist, massFlow, pressure float64) error {
	_, err := c.Coil.At(entering, massFlow, c.Outdoor, pressure)
	return err
}

// Estimates are two coils of one rating: the default and a second opinion. Run both; the truth is likely between them.
type Estimates struct {
	Default *Coil // generic curve: lower capacity in cool air, conservative for comfort
	Second  *Coil // single-speed curve, clamped: colder coil, conservative for frost
}

// NewEstimates rates a coil with GenericCurve and with SingleSpeedCurve. Errors as NewCoil.
func NewEstimates(r CoilRating) (Estimates, error) {
	first, err := NewCoil(r, GenericCurve())
	if err != nil {
		return Estimates{}, err
	}
	second, err := NewCoil(r, SingleSpeedCurve())
	return Estimates{first, second}, err
}
