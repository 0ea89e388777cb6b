// Package jet describes the air that leaves a register: how far it carries (throw), whether cold air falls into the room
// instead of crossing it (drop, separation from the ceiling, dumping), and whether somebody feels it (draught).
//
// Plain numbers in, plain numbers out, SI throughout (m³/s, m², m, m/s, Pa, °C and K as named). The package must not
// know of networks, call states or job files.
//
//	Pattern       what kind of outlet, its throw constant K and the area the constant belongs to
//	Outlet        flow, effective area, pattern: Velocity, Throws, Entrainment
//	Air           supply and room temperature; Archimedes, DropAt, Separation, VerticalThrow follow from it
//	Draught       effective draft temperature at a point and whether it is comfortable
//	Register      an outlet in its room; Assess puts all of it together
//
// The throw constants are generic, ±30 %; a maker's throw is better. The drop of a cold jet is ±40 %. At rest nothing is
// thrown: throws are 0, the Archimedes number and the drop stop at MaxArchimedes and MaxDrop, and Assess says Idle. No
// result is NaN or infinite; impossible inputs are errors, inputs outside a formula's range are notes.
//
// Sources: ASHRAE Handbook – Fundamentals (SI, 2013 to 2017 family), ch. 20, Space Air Diffusion, eqs. 4 to 13 and
// Table 1, and what each comment names. Not modelled: jets that meet, obstructions, stratification under a warm ceiling
// jet, windows and their downdraught.
package jet
