// Package sound estimates the noise that moving air makes on its way into a room: what a register, a damper or a
// take-off radiates, what the ducts take away again, and how loud the rest is where somebody sits. The jet that leaves
// the register (throw, drop, draught) is in the package sound/jet.
//
// Plain numbers in, plain numbers out. Everything is SI (m³/s, m², m, Pa, m/s); levels are decibels, sound power re 1 pW
// and sound pressure re 20 µPa, in the eight octave bands 63 to 8000 Hz. The package must not know of networks, call
// states, job files or units of the trade: an adapter feeds it from a solved network and judges what comes back.
//
// # How the parts go together
//
//	Spectrum        eight octave levels: Plus (energy sum), Less (attenuation), Overall, DBA
//
//	sources         Power() (Spectrum, []validity.Note, error)
//	  Outlet        register, grille or diffuser from its pressure drop
//	  Rated         the same from a catalogue's NC at one flow; where there is one, it wins over Outlet
//	  Damper        zone or hand damper from its pressure drop
//	  TakeOff       branch of a junction
//
//	losses          Loss() (Spectrum, []validity.Note, error), positive = quieter
//	  BareDuct, LinedDuct, FlexDuct, Bend, Split, DuctEnd
//
//	Throttled       decibels that a damper adds to an outlet when it is throttled close by
//	Room            from sound power to the level at a listener
//	RateNC          NC by tangency with its governing band; RateRC; Spectrum.DBA
//	Judge           what is heard of an opening in a room, with the band of the estimate
//
// # What to believe
//
// The formulas start from the pressure drop and describe an outlet with a clean entry; fittings near it can add 10 dB. A
// maker's measured rating, when there is one, is better. The bands of both are EstimateBand and RatingBand. Velocity
// tables of handbooks are limits for a room with all its ducts and dampers; they are not the noise of an outlet.
//
// # Worked examples
//
// Held to a printed example of the source: Outlet (Long, Table 14.9, with the outer face as its size), the constriction
// velocity of Damper, Split, DuctEnd, the losses of ducts, Room, RateNC. No printed answer is known, so only
// the arithmetic is checked: the spectra of Damper and TakeOff, and Rated.
//
// # Silence, ranges, errors
//
// A level never falls below Floor (−100 dB, inaudible by any measure): that is what a source at rest radiates, and sums
// and differences stay finite. Levels are continuous in flow down to rest (unless PeakInBand asks for steps) and do not depend on its direction. Inputs
// outside a formula's published range give the formula's value, clamped where its comment says so, and a validity.Note;
// impossible inputs (negative area, NaN) give an error. No result is NaN or infinite.
//
// # Not modelled
//
// Blower noise (give its octave sound power as a Spectrum and take the losses from it), plenum losses (give the row, as a
// measured or tabulated loss), tones and whistles, breakout through duct walls, rattles, and the quality index of RC
// Mark II, which needs the 16 and 31.5 Hz bands that no formula here supplies.
//
// # Sources
//
// Each formula names its own. Those named most: M. Long, Architectural Acoustics, 2nd ed. (2014), ch. 13 and 14, which
// prints the formulas of Reynolds and Bledsoe, Algorithms for HVAC Acoustics (1991); SMACNA, HVAC Systems – Duct Design,
// 3rd ed. (1990), ch. 11; an application guide on sound in ventilation systems (June 2009); Bies, Hansen and Howard,
// Engineering Noise Control, 5th ed., ch. 8; ASHRAE Handbook – HVAC Applications
// (2019), ch. 49. Constants that sources print in feet and inches were converted by us.
package sound
