// Package zoning measures how much of its zoning a system keeps: whether the heat or cold of a call
// reaches the zone that calls, how far two zones can be held apart, and which loads the house can
// have without a zone running past its set point.
//
//	Share, Kept   what of a call reaches its callers, and how much of that the dampers achieve
//	Bleed, Held   the airflow into a satisfied zone, and the temperature difference it leaves
//	Natural       a call state solved again with every zone damper open
//	Of            all of it for one call state
//	Range         the cone of loads that can be held, as shares of the house's load
//	Program       the least over-conditioning of a load that cannot be held, by linear programming
//	Houses        the cone and the diversity cases of every weather of a job
//
// No published index of residential zoning was found: the measures are derived here, and equations
// with a table computed by hand are in solver/METHOD.md. The package must not know limits or words.
package zoning

import (
	"iter"
	"math"

	"spillway/network"
)

// Side is the sign of what the equipment gives in a mode: +1 heating, −1 cooling, 0 neither.
func Side(mode network.Mode) float64 {
	switch mode {
	case network.Heating:
		return 1
	case network.Cooling:
		return -1
	}
	return 0
}

// Past is how far a drift goes past the set point on the machine's side: warmer in heating, colder
// in cooling. A zone that drifts the other way calls for itself, so that its drift does no harm and
// counts as 0. Past keeps the unit of the drift; it is NaN when the drift is.
func Past(mode network.Mode, drift float64) float64 { return max(0, Side(mode)*drift) }

// Share is the caller's share of a call: the part of the sensible heat or cold given to zones that
// calling zones get, 0 to 1. Each zone comes with what it is given, W, of one sign, and whether it
// calls; leakage and bypass do not count. It is NaN when nothing is given.
func Share(zones iter.Seq2[float64, bool]) float64 {
	callers, all := 0.0, 0.0
	for given, calls := range zones {
		all += given
		if calls {
			callers += given
		}
	}
	if all == 0 {
		return math.NaN()
	}
	return callers / all
}

// Kept is the part of the possible zoning that the dampers achieve in a call: 1 when all of the call
// reaches its callers, 0 when no more does than with every zone damper open, which natural is the
// caller's share of. It compares calls of large and small zones. It is NaN where there is nothing to
// gain, because every zone calls, and where natural is not positive, because it was not found.
func Kept(share, natural float64) float64 {
	if !(natural > 0 && natural < 1-1e-9) {
		return math.NaN()
	}
	return (share - natural) / (1 - natural)
}

// Held is how far a satisfied zone can be held from the set point of the zone that calls, K, on the
// side away from the machine, before it calls for itself or, when the difference is negative, by how
// much it is driven past that set point:
//
//	T₂ = (UA Tₒ + G + g Tₛ)/(UA + g),  Held = ±(T₁ − T₂)
//
// with UA its conductance, W/K, load the heat that it needs at the set point, W (negative in
// cooling), g the mean capacity rate of the air bled into it, W/K, and supply the temperature of that
// air over the set point, K. Without gains load is UA (T₁ − Tₒ).
func Held(mode network.Mode, conductance, load, rate, supply float64) float64 {
	if !(conductance+rate > 0) {
		return math.NaN()
	}
	return Side(mode) * (load - rate*supply) / (conductance + rate)
}
