package heat

import "math"

// Closed forms that the network is held against in tests.

// DuctOutlet is the temperature, °C, of air that has passed a duct in surroundings at one temperature:
//
//	T_out = T∞ + (T_in − T∞) exp(−UA / (m cp))
//
// conductance UA in W/K (area over total thermal resistance, films included), capacityRate m cp in W/K. With no flow the
// air takes the temperature of the surroundings; with no conductance it keeps its own. The well-known solution for a
// heat exchanger with one side at constant temperature.
func DuctOutlet(inlet, surroundings, conductance, capacityRate float64) float64 {
	if conductance == 0 {
		return inlet
	}
	if !(capacityRate > 0) {
		return surroundings
	}
	return surroundings + (inlet-surroundings)*math.Exp(-conductance/capacityRate)
}

// Delivery is one system's supply and return ducts for the delivery effectiveness of ASHRAE Standard 152: the heat that
// reaches the rooms over the heat the equipment gives.
//
// The leakage shares say how much of the fan's air is lost from the supply and drawn in by the return. Ambients are the
// temperatures around the ducts and enthalpy that of the air around the return, which leaks in.
type Delivery struct {
	Capacity                             float64 // W, output in heating, total capacity in cooling (positive)
	MassFlow                             float64 // kg/s of dry air at the fan
	SpecificHeat                         float64 // J/(kg·K)
	SupplyConductance, ReturnConductance float64 // W/K
	SupplyLeakage, ReturnLeakage         float64 // shares of MassFlow, 0 to 1
	Room                                 float64 // °C
	SupplyAmbient, ReturnAmbient         float64 // °C
}

func (d Delivery) check() error {
	switch {
	case !(d.Capacity > 0) || !(d.MassFlow > 0) || !(d.SpecificHeat > 0):
		return badInput("delivery of %g W at %g kg/s and %g J/(kg·K)", d.Capacity, d.MassFlow, d.SpecificHeat)
	case !(d.SupplyConductance >= 0 && d.ReturnConductance >= 0):
		return badInput("duct conductances of %g and %g W/K", d.SupplyConductance, d.ReturnConductance)
	case !(d.SupplyLeakage >= 0 && d.SupplyLeakage <= 1 && d.ReturnLeakage >= 0 && d.ReturnLeakage <= 1):
		return badInput("leakage shares of %g and %g", d.SupplyLeakage, d.ReturnLeakage)
	}
	return nil
}

// kept are the conduction fractions B of supply and return, exp(−UA/(m cp)).
func (d Delivery) kept() (supply, back float64) {
	c := d.MassFlow * d.SpecificHeat
	return math.Exp(-d.SupplyConductance / c), math.Exp(-d.ReturnConductance / c)
}

// Heating is the delivery effectiveness of a heating system:
//
//	DE = as Bs − as Bs (1 − ar Br) ΔTr/ΔTe − as (1 − Bs) ΔTs/ΔTe
//
// with as, ar one less the leakage shares, B the conduction fractions, ΔTe the rise at the equipment, ΔTs and ΔTr room
// less surroundings. ASHRAE Standard 152, eq. 6-23. Errors: figures out of range.
func (d Delivery) Heating() (float64, error) {
	if err := d.check(); err != nil {
		return 0, err
	}
	bs, br := d.kept()
	as, ar := 1-d.SupplyLeakage, 1-d.ReturnLeakage
	rise := d.Capacity / (d.MassFlow * d.SpecificHeat)
	return as*bs - as*bs*(1-ar*br)*(d.Room-d.ReturnAmbient)/rise - as*(1-bs)*(d.Room-d.SupplyAmbient)/rise, nil
}

// Cooling is the delivery effectiveness of a cooling system with the room's and the return surroundings' enthalpies in
// J/kg and the supply temperature at the equipment in °C:
//
//	DE = (as m/(−q)) [ −q/m + (1 − ar)(h_amb,r − h_room) + ar cp (Br − 1) ΔTr + cp (Bs − 1)(T_supply − T_amb,s) ]
//
// ASHRAE Standard 152, eq. 6-25. Errors: figures out of range.
func (d Delivery) Cooling(supply, roomEnthalpy, returnAmbientEnthalpy float64) (float64, error) {
	if err := d.check(); err != nil {
		return 0, err
	}
	bs, br := d.kept()
	as, ar := 1-d.SupplyLeakage, 1-d.ReturnLeakage
	specific := d.Capacity / d.MassFlow
	sum := -specific + (1-ar)*(returnAmbientEnthalpy-roomEnthalpy) +
		ar*d.SpecificHeat*(br-1)*(d.Room-d.ReturnAmbient) + d.SpecificHeat*(bs-1)*(supply-d.SupplyAmbient)
	return as * sum / -specific, nil
}

// Regained corrects a delivery effectiveness for the part of the losses that the house gets back, with regain factors for
// supply and return surroundings (0: lost, 1: fully regained) and the equipment's rise (K, negative in cooling):
//
//	DE' = DE + Fs (1 − DE) − (Fs − Fr − Br (ar Fs − Fr)) ΔTr/ΔTe
//
// ASHRAE Standard 152, eq. 6-40, limited to 0.25 to 1 (our choice).
func (d Delivery) Regained(effectiveness, supplyRegain, returnRegain, rise float64) float64 {
	_, br := d.kept()
	ar := 1 - d.ReturnLeakage
	e := effectiveness + supplyRegain*(1-effectiveness) -
		(supplyRegain-returnRegain-br*(ar*supplyRegain-returnRegain))*(d.Room-d.ReturnAmbient)/rise
	return math.Min(1, math.Max(0.25, e))
}
