package derive

import (
	"math"
	"strconv"

	"spillway/network"
	"spillway/solver/air"
	"spillway/solver/heat"
	"spillway/solver/state"
)

// The cooling coil, by the bypass-factor and apparatus-dew-point method: its capacity by a generic curve through the rating, its surface by
// the air that touches it, and its refrigerant as much colder than the surface as the heat asks for. Both estimates go the same way.

const coilMethod = "generic direct-expansion curves through the rating (NREL/TP-5500-56354 and an older curve as the second estimate), at the air that enters the coil, in agreement with the whole loop"

func (x *Explainer) coolingCapacity() *Step {
	e := &x.o.Equipment
	if e.Coil == nil {
		return model("cooling capacity", "P", Heat, e.Output, coilMethod)
	}
	s := x.coilTotal("cooling capacity", e.Coil)
	s.Value = e.Output
	return s
}

func (x *Explainer) evaporating() *Step {
	return x.coilEvaporating("evaporating temperature", "tv", x.o.Equipment.Evaporating, x.o.Equipment.Coil)
}

func (x *Explainer) evaporatingSecond() *Step {
	return x.coilEvaporating("evaporating temperature second estimate", "tv2", x.o.Equipment.EvaporatingSecond, x.o.Equipment.CoilSecond)
}

// estimate tells the two apart in names.
func (x *Explainer) estimate(name string, c *state.CoilAtWork) string {
	if c == x.o.Equipment.CoilSecond {
		return name + ", second estimate"
	}
	return name
}

// ratedCapacity is the capacity of the stage that runs, at rating.
func (x *Explainer) ratedCapacity(r *heat.CoilRating) *Step {
	m := x.job.Equipment.Cooling
	path := []string{"equipment", "cooling", "capacity"}
	if n := x.o.State.Stage - 1; m != nil && n >= 0 && n < len(m.Stages) && m.Stages[n].Capacity > 0 && m.Stages[n].Capacity != m.Capacity {
		path = []string{"equipment", "cooling", "stage", m.Stages[n].Name, "capacity"}
	}
	return x.file("rated cooling", "Pr", Heat, r.TotalCapacity, path...)
}

// ratedMass is the airflow at rating.
func (x *Explainer) ratedMass(r *heat.CoilRating) *Step {
	return assumed("airflow at rating", "mr", MassFlow, r.MassFlow, "400 cfm per ton of rated cooling, where ratings are made (common practice)")
}

// polynomial writes a0 + a1 x + …, coefficients in full.
func polynomial(terms ...any) string {
	text := ""
	for k := 0; k+1 < len(terms); k += 2 {
		c, _ := terms[k].(float64)
		of, _ := terms[k+1].(string)
		if c == 0 {
			continue
		}
		sign := " + "
		if c < 0 {
			sign = " - "
		}
		if text == "" {
			sign = ""
			if c < 0 {
				sign = "0 - "
			}
		}
		text += sign + strconv.FormatFloat(math.Abs(c), 'f', -1, 64)
		if of != "" {
			text += " * " + of
		}
	}
	if text == "" {
		return "0"
	}
	return text
}

// coilTotal is what a coil takes out of the air that enters it.
func (x *Explainer) coilTotal(name string, c *state.CoilAtWork) *Step {
	r := c.Of.Rating()
	curve := c.Of.Curve()
	m := x.flow(x.g.Blower)
	const fahrenheit = "degrees Fahrenheit"
	temperature := func(name, symbol string, s *Step) *Step {
		if !curve.Fahrenheit {
			other := named(name, s)
			other.Symbol = symbol
			return other
		}
		return derived(name+" in °F", symbol, Plain, s.Value*1.8+32, "the curve takes "+fahrenheit, symbol+" = t * 1.8 + 32", Input{"t", s})
	}
	wet := temperature("wet bulb of the air that enters the coil", "w", solvedLeaf(x.estimate("wet bulb of the air that enters the coil", c), "t", Temperature, c.WetBulb, x.heatProof()))
	out := temperature("outdoor temperature", "o", x.outdoor())
	share := derived(x.estimate("airflow over that at rating", c), "a", Plain, abs(m.Value)/r.MassFlow, "mass flow over that at rating", "a = abs(m) / mr", Input{"m", m}, Input{"mr", x.ratedMass(&r)})
	p, q := curve.Capacity, curve.CapacityFlow
	factor := row(x.estimate("capacity over rated", c), "k", Plain, c.Factor.Capacity, curve.Source)
	held := q.C < 0 && share.Value > -q.B/(2*q.C)
	if !c.Factor.Clamped && !held {
		equation := "k = (" + polynomial(p.A, "", p.B, "w", p.C, "w^2", p.D, "o", p.E, "o^2", p.F, "w * o") + ") * (" + polynomial(q.A, "", q.B, "a", q.C, "a^2") + ")"
		factor = derived(factor.Name, "k", Plain, c.Factor.Capacity, "by wet bulb, outdoors and airflow: "+curve.Source, equation, Input{"w", wet}, Input{"o", out}, Input{"a", share})
	} else {
		factor.Words = "at the turning point of the curve, which no machine follows back up"
	}
	return derived(name, "P", Heat, c.Total, "the rating, by the curve of such units, at the air that enters the coil", "P = Pr * k", Input{"Pr", x.ratedCapacity(&r)}, Input{"k", factor})
}

// coilBypass is the share of the air that passes a coil untouched.
func (x *Explainer) coilBypass(c *state.CoilAtWork) *Step {
	return x.remembered(x.estimate("coil bypass", c), func() *Step {
		r := c.Of.Rating()
		_, rated := c.Of.Rated()
		return derived(x.estimate("bypass factor", c), "B", Share, c.BypassFactor, "less air is touched longer: exp(-Ao/m), Ao constant", "B = Br^(mr / abs(m))",
			Input{"Br", row("bypass factor at rating", "Br", Share, rated, "the line through entering and leaving air of the rating to saturation (bypass-factor method, second-hand)")},
			Input{"mr", x.ratedMass(&r)}, Input{"m", x.flow(x.g.Blower)})
	})
}

// coilEvaporating is the saturated suction temperature.
func (x *Explainer) coilEvaporating(name, symbol string, value float64, c *state.CoilAtWork) *Step {
	return x.remembered("evaporating\x00"+name, func() *Step {
		if c == nil {
			return model(name, symbol, Temperature, value, coilMethod)
		}
		r := c.Of.Rating()
		rated, _ := c.Of.Rated()
		total := x.coilTotal(x.estimate("cooling capacity", c), c)
		if c == x.o.Equipment.Coil {
			total = x.coolingCapacity()
			if total.Leaf() {
				return model(name, symbol, Temperature, value, coilMethod)
			}
		}
		return derived(name, symbol, Temperature, value, "colder than the surface by what the heat needs to pass, as at rating", symbol+" = ts - (ta - tr) / Pr * P", Input{"ts", x.coilSurface(c, total)},
			Input{"ta", row("surface at rating", "ta", Temperature, rated, "where the line through entering and leaving air of the rating meets saturation (apparatus dew point)")},
			Input{"tr", assumed("evaporating at rating", "tr", Temperature, r.Evaporating, "45 °F of saturated suction (from memory)")},
			Input{"Pr", x.ratedCapacity(&r)}, Input{"P", total})
	})
}

// coilSurface is the temperature of a coil's surface.
func (x *Explainer) coilSurface(c *state.CoilAtWork, total *Step) *Step {
	name := x.estimate("coil surface", c)
	bypass := x.coilBypass(c)
	in := solvedLeaf(x.estimate("air that enters the coil", c), "ti", Temperature, c.Entering.Temperature, x.heatProof())
	if c.Dry {
		return derived(name, "ts", Temperature, c.Surface, "dry: the temperature that the touched air comes to", "ts = ti - (ti - to) / (1 - B)", Input{"ti", in},
			Input{"to", solvedLeaf(x.estimate("air that leaves the coil", c), "to", Temperature, c.Leaving.Temperature, x.heatProof())}, Input{"B", bypass})
	}
	m := x.flow(x.g.Blower)
	enthalpy := c.Entering.Enthalpy()
	humidity := solvedLeaf(x.estimate("humidity ratio of the air that enters the coil", c), "W", Plain, c.Entering.HumidityRatio, x.heatProof())
	h := air.EnthalpyFormula()
	hin := derived(x.estimate("enthalpy of the air that enters the coil", c), "hi", Enthalpy, enthalpy, h.Words(), "hi = "+h.With("ti", "W"), Input{"ti", in}, Input{"W", humidity})
	touched := enthalpy - c.Total/abs(m.Value)/(1-c.BypassFactor)
	hs := derived(x.estimate("enthalpy at the coil surface", c), "hs", Enthalpy, touched, "of the air that is touched", "hs = hi - P / (abs(m) * (1 - B))", Input{"hi", hin}, Input{"P", total}, Input{"m", m}, Input{"B", bypass})
	// The enthalpy shows at which row the saturation table was read.
	read := row(x.estimate("saturation temperature at that enthalpy", c), "r", Temperature, c.Surface, "saturated air at the pressure of the job (ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 5, 6, 20, 30)")
	return derived(name, "ts", Temperature, c.Surface, "wet: saturated air of that enthalpy", "ts = r + 0 * hs", Input{"r", read}, Input{"hs", hs})
}

// sensibleCooling is the part of a coil's capacity that cools the air, the rest drying it.
func (x *Explainer) sensibleCooling() *Step {
	e := &x.o.Equipment
	c := e.Coil
	total := x.coolingCapacity()
	if c == nil || total.Leaf() || x.o.State.Mode != network.Cooling {
		return model("sensible cooling", "Ps", Heat, e.Sensible, coilMethod)
	}
	if c.Dry {
		return derived("sensible cooling", "Ps", Heat, e.Sensible, "all of it: the coil is dry", "Ps = P", Input{"P", total})
	}
	in := solvedLeaf("air that enters the coil", "ti", Temperature, c.Entering.Temperature, x.heatProof())
	water := derived("condensate", "mw", MassFlow, c.Condensate, "what the touched air loses on its way to saturation", "mw = abs(m) * (1 - B) * (W - Ws)", Input{"m", x.flow(x.g.Blower)}, Input{"B", x.coilBypass(c)},
		Input{"W", solvedLeaf("humidity ratio of the air that enters the coil", "W", Plain, c.Entering.HumidityRatio, x.heatProof())},
		Input{"Ws", row("saturation at the coil surface", "Ws", Plain, c.Entering.HumidityRatio-c.Condensate/(abs(x.flow(x.g.Blower).Value)*(1-c.BypassFactor)), "at the surface's temperature and the pressure of the job (ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 5, 6 and 20)")})
	return derived("sensible cooling", "Ps", Heat, e.Sensible, "what does not dry the air", "Ps = P - mw * (hv + cv * ti)", Input{"P", total}, Input{"mw", water},
		Input{"hv", constant("heat of vaporisation at 0 °C", "hv", Enthalpy, air.VaporisationHeat, "ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 30")},
		Input{"cv", constant("specific heat of vapour", "cv", SpecificHeat, air.SpecificHeatVapour, "ASHRAE Handbook – Fundamentals 2017, ch. 1, eq. 30")}, Input{"ti", in})
}
