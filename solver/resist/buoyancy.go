package resist

import "spillway/solver/air"

// Buoyancy is the pressure source of a riser whose air is not as dense as the surroundings,
//
//	h = 9.81 (ρ_ref − ρ) (z2 − z1)
//
// in Pa, for an edge that rises from z1 to z2 (m) in its own direction. It belongs to the edge's source: positive helps
// the flow from tail to head. reference is the density (kg/m³) of the air against which all pressures are measured,
// the same for every edge of a network. Handbook of fundamentals (2021 SI), duct design chapter, eq. 14.
func Buoyancy(reference, density, rise float64) float64 {
	return air.Gravity * (reference - density) * rise
}
