package derive

import (
	"fmt"
	"math"

	"spillway/network"
	"spillway/solver/heat"
	"spillway/solver/state"
)

// equipment offers what happens to the air in the machine.
func (x *Explainer) equipment() {
	e := &x.o.Equipment
	const group = "Equipment"
	entering := solvedLeaf("entering air", "te", Temperature, e.Entering, x.heatProof())
	leaving := solvedLeaf("leaving air", "tl", Temperature, e.Leaving, x.heatProof())
	x.tell(group, state.EquipmentEntering, 0, func() *Step { return entering })
	x.offer(group, "entering wet bulb", e.EnteringWetBulb, x.wetBulb)
	x.tell(group, state.EquipmentLeaving, 0, func() *Step { return leaving })
	switch x.o.State.Mode {
	case network.Cooling:
		x.offer(group, "temperature drop", e.Rise, func() *Step {
			return derived("temperature drop", "ΔT", Span, -e.Rise, "entering less leaving", "ΔT = te - tl", Input{"te", entering}, Input{"tl", leaving})
		})
	default:
		x.tell(group, state.EquipmentRise, 0, func() *Step {
			return derived("temperature rise", "ΔT", Span, e.Rise, "leaving less entering", "ΔT = tl - te", Input{"tl", leaving}, Input{"te", entering})
		})
	}
	x.offer(group, "fan heat", e.FanHeat, func() *Step {
		if math.IsNaN(x.o.Blower.Power) {
			return constant("fan heat", "Pf", Heat, e.FanHeat, "not known: the blower's table has no watts")
		}
		return derived("fan heat", "Pf", Heat, e.FanHeat, "all of the blower's power ends in the air", "Pf = P", Input{"P", x.power()})
	})
	if e.Recirculated > 0 {
		x.tell(group, state.EquipmentRecirculated, 0, func() *Step {
			return solvedLeaf("recirculated", "r", Share, e.Recirculated, "share of the air in the machine that has just left it, followed through the solved flows")
		})
	}
	switch x.o.State.Mode {
	case network.Heating:
		x.heating()
	case network.Cooling:
		x.cooling()
	}
}

func (x *Explainer) heating() {
	e := &x.o.Equipment
	const group = "Equipment"
	x.offer(group, "output", e.Output, func() *Step {
		m := x.job.Equipment.Heating
		if m == nil || !e.Computed || m.Kind == network.HeatPump {
			return solvedLeaf("output", "P", Heat, e.Output, x.heatProof())
		}
		if n := x.o.State.Stage - 1; n >= 0 && n < len(m.Stages) && m.Stages[n].Output > 0 {
			return x.file("output", "P", Heat, e.Output, "equipment", "heating", "stage", m.Stages[n].Name, "output")
		}
		return x.file("output", "P", Heat, e.Output, "equipment", "heating", "output")
	})
	x.tell(group, state.EquipmentLimit, 0, func() *Step { return x.limitSetting() })
	x.tell(group, state.EquipmentSensor, 0, func() *Step {
		leaving := solvedLeaf("leaving air", "tl", Temperature, e.Leaving, x.heatProof())
		if e.Sensor == e.Leaving {
			return derived("limit sensor", "tsn", Temperature, e.Sensor, "well-mixed air", "tsn = tl", Input{"tl", leaving})
		}
		return x.sensorAt("limit sensor", e.Unmixed, e.Sensor)
	})
	if e.UnmixedLow < e.UnmixedHigh {
		x.tell(group, state.EquipmentSensorLow, 0, func() *Step { return x.sensorAt("limit sensor mixed", e.UnmixedLow, e.SensorLow) })
		x.tell(group, state.EquipmentSensorHigh, 0, func() *Step { return x.sensorAt("limit sensor least mixed", e.UnmixedHigh, e.SensorHigh) })
	}
	if u := e.UnmixedAtSensor(e.Limit); !math.IsNaN(u) {
		x.offer(group, "limit flips at", u, func() *Step {
			return derived("limit flips at", "u", Share, u, "the unmixed share at which the sensor comes to the limit", "tL = tl + "+heat.SensorFormula().Text+" * ΔT1",
				Input{"tL", x.limitSetting()}, Input{"tl", solvedLeaf("leaving air", "tl", Temperature, e.Leaving, x.heatProof())},
				Input{"r", x.recirculated()}, Input{"ΔT1", x.onePass()})
		})
	}
	if !math.IsInf(e.TimeToLimit, 0) {
		x.tell(group, state.EquipmentTimeToLimit, 0, func() *Step {
			return x.timeToLimit()
		})
	}
	x.offer(group, "margin to limit", e.Limit-e.Sensor, func() *Step {
		sensor, _ := x.Explain("limit sensor")
		if sensor == nil {
			return nil
		}
		return derived("margin to limit", "ΔT", Span, e.Limit-e.Sensor, "limit less sensor", "ΔT = tL - tsn", Input{"tL", x.limitSetting()}, Input{"tsn", sensor})
	})
	x.offer(group, "burner duty", e.BurnerDuty, func() *Step {
		s := model("burner duty", "d", Share, e.BurnerDuty, "share of the time that the burner is on, over the time course of the loop while the limit opens and closes")
		if _, ok := x.burner(); ok && !math.IsInf(e.TimeToLimit, 0) {
			s.Lines = x.courseLines(true)
		}
		return s
	})
}

// sensorAt explains the limit's sensor with a share of the recirculated air unmixed.
func (x *Explainer) sensorAt(name string, u, value float64) *Step {
	e := &x.o.Equipment
	leaving := solvedLeaf("leaving air", "tl", Temperature, e.Leaving, x.heatProof())
	return derived(name, "tsn", Temperature, value, "a strip of recirculated air that has not mixed reaches it, warmer by the rise of one pass as far as it is unmixed; a strip narrower than a tenth of the flow in part (our choice)",
		"tsn = tl + "+heat.SensorFormula().Text+" * ΔT1", Input{"tl", leaving}, Input{"u", x.unmixed(u)}, Input{"r", x.recirculated()}, Input{"ΔT1", x.onePass()})
}

func (x *Explainer) onePass() *Step {
	return solvedLeaf("rise of one pass", "ΔT1", Span, x.o.Equipment.OnePass, "output and fan heat over m cp")
}

func (x *Explainer) recirculated() *Step {
	return solvedLeaf("recirculated", "r", Share, x.o.Equipment.Recirculated, "share of the air in the machine that has just left it, followed through the solved flows")
}

// unmixed is a mixing figure: the job's, or from the band by where the bypass joins.
func (x *Explainer) unmixed(u float64) *Step {
	e := &x.o.Equipment
	words := "share of the recirculated air that arrives unmixed, as the job gives it"
	if e.UnmixedLow < e.UnmixedHigh {
		words = fmt.Sprintf("share of the recirculated air that arrives unmixed, assumed by where the bypass joins: %.0f %%, %.0f to %.0f %% (mixing boxes published, the rest our choice; see the assumptions)",
			100*e.Unmixed, 100*e.UnmixedLow, 100*e.UnmixedHigh)
	}
	return model("unmixed figure", "u", Share, u, words)
}

func (x *Explainer) limitSetting() *Step {
	e := &x.o.Equipment
	if e.LimitGiven {
		return x.file("limit", "tL", Temperature, e.Limit, "equipment", "heating", "leaving-limit")
	}
	return assumed("limit", "tL", Temperature, e.Limit, "170 °F, low in the usual range of 165 to 200 °F (common practice); see the rating plate")
}

func (x *Explainer) cooling() {
	e := &x.o.Equipment
	const group = "Equipment"
	x.offer(group, "cooling capacity", e.Output, func() *Step { return x.coolingCapacity() })
	if e.Computed && e.Output > 0 {
		x.offer(group, "sensible share", e.Sensible/e.Output, func() *Step {
			return derived("sensible share", "s", Share, e.Sensible/e.Output, "sensible over total", "s = Ps / P", Input{"Ps", x.sensibleCooling()}, Input{"P", x.coolingCapacity()})
		})
	}
	x.offer(group, "evaporating temperature", e.Evaporating, x.evaporating)
	x.offer(group, "evaporating temperature second estimate", e.EvaporatingSecond, x.evaporatingSecond)
	x.tell(group, state.EquipmentStrip, 0, func() *Step { return x.strip() })
	if e.UnmixedLow < e.UnmixedHigh {
		x.tell(group, state.EquipmentStripLow, 0, func() *Step {
			return x.stripAt("coldest strip mixed", e.UnmixedLow, e.StripLow, x.evaporating(), x.evaporatingSecond())
		})
		x.tell(group, state.EquipmentStripHigh, 0, func() *Step {
			return x.stripAt("coldest strip least mixed", e.UnmixedHigh, e.StripHigh, x.evaporating(), x.evaporatingSecond())
		})
	}
	x.tell(group, state.EquipmentFrostMargin, 0, func() *Step {
		return derived("frost margin", "ΔT", Span, e.FrostMargin, "evaporating temperature, unmixed air counted, above freezing", "ΔT = tst - t0", Input{"tst", x.strip()},
			Input{"t0", constant("freezing", "t0", Temperature, 0, "water freezes at 0 °C")})
	})
	if !math.IsInf(e.TimeToFrost, 0) {
		x.offer(group, "time to frost", e.TimeToFrost, func() *Step {
			s := model("time to frost", "T", Time, e.TimeToFrost, "time course of the loop with the coil's metal, from the start of the call, until it evaporates at 0 °C; that is not yet ice, which takes half an hour to two hours of unbroken running")
			s.Lines = x.courseLines(false)
			return s
		})
	}
}

func (x *Explainer) strip() *Step {
	e := &x.o.Equipment
	a, b := x.evaporating(), x.evaporatingSecond()
	if e.Unmixed == 0 {
		return derived("coldest strip", "tst", Temperature, e.EvaporatingStrip, "the colder of two estimates; all the air is mixed", "tst = min(tv, tv2)", Input{"tv", a}, Input{"tv2", b})
	}
	return x.stripAt("coldest strip", e.Unmixed, e.EvaporatingStrip, a, b)
}

// stripAt explains the evaporating temperature with a share of the recirculated air unmixed.
func (x *Explainer) stripAt(name string, u, value float64, a, b *Step) *Step {
	e := &x.o.Equipment
	over := e.EnteringColder() - min(e.Evaporating, e.EvaporatingSecond)
	return derived(name, "tst", Temperature, value, "the colder of two estimates, less "+heat.CoilFormula().Words(),
		"tst = min(tv, tv2) - "+heat.CoilFormula().Text+" * ΔT",
		Input{"tv", a}, Input{"tv2", b}, Input{"u", x.unmixed(u)}, Input{"r", x.recirculated()},
		Input{"ΔT", solvedLeaf("air before the coil over evaporating, of that estimate", "ΔT", Span, max(0, over), x.heatProof())})
}

// dampers offers where every damper stands.
func (x *Explainer) dampers() {
	const group = "Dampers"
	for k := range x.o.Dampers {
		d := &x.o.Dampers[k]
		i := d.Element
		name := x.g.Elements[i].Name
		x.tell(group, state.DamperPosition, k, func() *Step { return x.position(i) })
		x.offer(group, name+" blade", d.Blade, func() *Step {
			if x.g.Elements[i].Kind == network.KindRelief {
				return x.reliefBlade(i, name+" blade", d.Blade)
			}
			return derived(name+" blade", "θ", Angle, d.Blade, "degrees from open", "θ = 90 * (1 - x)", Input{"x", x.position(i)})
		})
		x.tell(group, state.DamperAirflow, k, func() *Step { return x.airflow(i) })
		x.tell(group, state.DamperDrop, k, func() *Step { return x.drop(i) })
		if _, ok := x.law(i); ok && x.g.Elements[i].Kind != network.KindRelief {
			x.offer(group, name+" loss coefficient", x.damperLoss(i).Value, func() *Step { return x.damperLoss(i) })
		}
	}
}

// ports offers the statics that a gauge would show.
func (x *Explainer) ports() {
	const group = "Static at the ports"
	for k := range x.o.Ports {
		p := &x.o.Ports[k]
		x.tell(group, state.PortStatic, k, func() *Step {
			if p.At == "" {
				return x.static(p.Spot.Node)
			}
			return x.portStep(p.Name+" static", p.Spot)
		})
	}
}

// portStep is the static at the place of a port.
func (x *Explainer) portStep(name string, spot network.Spot) *Step {
	if spot.Start < 0 {
		return named(name, x.static(spot.Node))
	}
	static, _ := x.o.Static(spot)
	return derived(name, "ps", Pressure, static, "total pressure before the line less the velocity pressure in it", "ps = p - ρ * V^2 / 2",
		Input{"p", x.total(spot.Node)}, Input{"ρ", x.density(spot.Start)}, Input{"V", x.velocity(spot.Start)})
}

// elements offers every duct and part.
func (x *Explainer) elements() {
	for i := range x.g.Elements {
		e, o := &x.g.Elements[i], &x.o.Elements[i]
		group := "Parts"
		if e.Kind == network.KindDuct {
			group = "Ducts"
		}
		register := e.Kind == network.KindRegister
		damper := network.BladeOf(e.Spec) != nil
		if !register && !damper && i != x.g.Blower {
			x.tell(group, state.ElementAirflow, i, func() *Step { return x.airflow(i) })
		}
		x.tell(group, state.ElementSurplus, i, func() *Step { return x.surplusOf(i) })
		x.offer(group, e.Name+" mass flow", o.Flow, func() *Step { return x.flowExplained(i) })
		if !register {
			x.tell(group, state.ElementVelocity, i, func() *Step { return x.velocity(i) })
		}
		if !damper {
			x.tell(group, state.ElementDrop, i, func() *Step { return x.drop(i) })
		}
		if !register {
			x.tell(group, state.ElementTemperature, i, func() *Step { return x.temperature(i) })
		}
		if spec, ok := e.Spec.(*network.DuctSpec); ok && spec.Length > 0 {
			x.offer(group, e.Name+" friction", o.Friction, func() *Step {
				return derived(e.Name+" friction", "R", Friction, o.Friction, "friction over length", "R = Δpf / L", Input{"Δpf", x.frictionLoss(i, spec)}, Input{"L", x.length(i, spec)})
			})
		}
	}
	for n := range x.g.Nodes {
		if k := x.g.Nodes[n].Kind; k == network.Joint || k == network.Chamber {
			name := x.g.Nodes[n].Name
			if x.offered(name + " static") {
				continue
			}
			x.tell("Nodes", state.NodeStatic, n, func() *Step { return x.static(n) })
		}
	}
}

func (x *Explainer) offered(name string) bool {
	for k := range x.entries {
		if x.entries[k].name == name {
			return true
		}
	}
	return false
}

// course offers the rows of the time course that are printed.
func (x *Explainer) course() {
	for _, minutes := range []float64{0, 1, 2, 5, 10, 20, 30} {
		for k := range x.o.Equipment.Course {
			m := &x.o.Equipment.Course[k]
			if abs(m.Time-60*minutes) > 1e-6 {
				continue
			}
			for _, c := range []struct {
				what  string
				value float64
			}{{"entering air", m.Entering}, {"leaving air", m.Supply}, {"critical temperature", m.Critical}} {
				name := fmt.Sprintf("%s after %g min", c.what, minutes)
				x.offer("Time course", name, c.value, func() *Step {
					return x.moment(name, c.what, m.Time, c.value)
				})
			}
			break
		}
	}
}

// proof offers the certificate.
func (x *Explainer) proof() {
	c := &x.o.Certificate
	const group = "Proof"
	x.offer(group, "air imbalance", c.MassResidual, func() *Step {
		return solvedLeaf("air imbalance", "ε", MassFlow, abs(c.MassResidual), "worst sum of flows at a node: "+c.MassNode)
	})
	x.offer(group, "pressure imbalance", c.PressureResidual, func() *Step {
		return solvedLeaf("pressure imbalance", "ε", Pressure, abs(c.PressureResidual), "worst difference between a part's law and the pressures at its ends: "+c.PressureElement)
	})
	x.offer(group, "airflow bound", c.FlowBound, func() *Step {
		return solvedLeaf("airflow bound", "ε", Airflow, c.FlowBound, "widest half-interval in which a true airflow is proven to lie, by the duality gap: "+c.FlowElement)
	})
	x.offer(group, "heat imbalance", x.o.Equipment.EnergyResidual, func() *Step {
		return solvedLeaf("heat imbalance", "ε", Heat, abs(x.o.Equipment.EnergyResidual), "what comes into the heat network less what goes out")
	})
}
