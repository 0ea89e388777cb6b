// Package resist holds the pressure laws of everything air passes through: one small type per element, all with the
// method
//
//	Drop(q) (drop, slope)
//
// where q is the mass flow from tail to head (kg/s, negative when the air runs backwards), drop the loss of TOTAL
// pressure (Pa) and slope its derivative (Pa·s/kg). They satisfy flow.Law. A junction of three ducts, whose losses
// depend on how the flow divides, is a flow.Coupling instead.
//
// Every passive law is continuous and strictly increasing, passes through the origin and has a positive slope
// everywhere, rest included. It is odd unless the element passes one way by nature (Backdraft, Relief, a capped
// take-off). Drop and slope are finite for |q| up to 1e90 kg/s. Square laws are rounded off near rest over a knee flow d,
//
//	Δp = R q (q² + d²)^½        bias d²/(2q²) of the pure law
//
// which stands for the laminar creep that every real passage has; each type says how its knee is chosen.
//
// The package must not know of zones, registers, job files or call states: it gets plain SI numbers, and the air
// (density, viscosity) of the one element it describes. It does not look anything up: coefficients come from
// network/catalog by way of the caller. Not modelled: compressibility (pressures stay under a few kPa), unsteady flow,
// the interaction of fittings closer than a few diameters.
package resist
