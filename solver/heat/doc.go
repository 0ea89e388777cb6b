// Package heat says how warm and how moist the air is: along a solved duct network, through furnace, coil and fan, round
// the recirculation loop of a bypass, and in the zones it is delivered to.
//
// The rooms of the package:
//
//   - Network and Solver carry enthalpy and humidity through given mass flows to the true steady state, with a
//     certificate of the energy balance.
//   - Furnace, Coil and HeatPump are the equipment, each a steady model of one machine.
//   - Recirculation holds the closed forms of a loop with a bypass; Loop is its time course in heating, CoolingLoop in
//     cooling.
//   - Zone is the drift of a zone that is fed more or less than it needs.
//
// Everything is SI (W, W/K, kg/s, K or °C as named, Pa, s). Mass flow is of DRY air, the stream that humidity and
// enthalpy are counted per kg of; taking the mass flow of a flow solution for it is right to the humidity ratio (about
// 1 %). Heat is positive when it warms the air: a cooling coil has negative heat.
//
// The package must not know job files, zones by name, dampers, printing, or how the flows were found. Not modelled:
// condensation on ducts, heat stored in duct walls, radiation between rooms, refrigerant charge and metering, defrost.
package heat

import (
	"errors"
	"fmt"
)

var (
	// ErrInput is wrapped by every error about a figure that cannot be: the text names it and its value.
	ErrInput = errors.New("impossible figure")
	// ErrNoSteadyState is wrapped when the loop cannot come to rest at the given flows and outputs.
	ErrNoSteadyState = errors.New("no steady state")
	// ErrCertificate is wrapped when a state was found but does not meet its balance: a fault of this package or of
	// figures too far apart for float64.
	ErrCertificate = errors.New("balance not met")
	// ErrBeyondRange is wrapped when a published curve would have to be used where it says nothing.
	ErrBeyondRange = errors.New("beyond the range of the model")
)

func badInput(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrInput}, args...)...)
}

func outOfRange(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrBeyondRange}, args...)...)
}
