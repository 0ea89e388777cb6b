package heat

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Mixing is how much of a bypass's air reaches the equipment as a strip that has not mixed: u, 0 for well mixed, 1 for not at all.
// With the range effectiveness E = 1 − (T_max − T_min)/(T_1 − T_2) of a mixing box, the strip is u (entering − leaving) from the mean:
//
//	u = 1 − E
type Mixing struct {
	Usual     float64
	Low, High float64 // the band in which it is to be expected; both equal Usual where a job gives the figure
}

// What separates a bypass from the equipment, by rows: the return plenum with coil or filter within a diameter; a duct of 2 to 4 diameters
// with one elbow or box; 8 to 10 diameters with two. In the middle row a jet slower than the return air hugs its wall.
//
// A mixing box right before its coil has E from 0.12 to 0.65 (Robinson, ASHRAE Transactions, abstract), u 0.35 to 0.88: the first row. Elbows
// and length after it: our inference from the decay of an uneven profile; straight duct alone hardly mixes (a coefficient of variation
// of 143 % at 19 diameters), so length counts only with an elbow and an elbow only with length.
var (
	mixingPlenum = Mixing{0.50, 0.30, 0.90}
	mixingElbow  = Mixing{0.30, 0.15, 0.60}
	mixingWeak   = Mixing{0.45, 0.20, 0.80}
	mixingTwo    = Mixing{0.15, 0.05, 0.35}
)

const (
	firstReach, secondReach = 3.0, 9.0 // diameters of the second and third row
	strongJet, weakJet      = 0.8, 0.5 // velocity of the bypass over that of the return air it joins
	pastBlower              = 0.4      // what a blower leaves of a strip, 0 to 1; a double-inlet wheel keeps two streams apart, so 0 is not to be counted on
)

// UnmixedBefore is the mixing of a bypass that joins with so many turns (elbows and boxes) and diameters of duct between it and
// the return plenum. The ratio of velocities is the bypass's over the return air's where they meet. Between the rows the figures go
// in a straight line of their logarithm; beyond the last they stay.
//
// Bands: first row published (a mixing box), the others inference.
func UnmixedBefore(turns, diameters, velocityRatio float64) Mixing {
	reach := diameters / firstReach
	if diameters > firstReach {
		reach = 1 + (diameters-firstReach)/(secondReach-firstReach)
	}
	steps := min(max(turns, 0), max(reach, 0), 2)
	weak := min(max((strongJet-velocityRatio)/(strongJet-weakJet), 0), 1)
	middle := mixingElbow.towards(mixingWeak, weak)
	if steps <= 1 {
		return mixingPlenum.towards(middle, steps)
	}
	return middle.towards(mixingTwo, steps-1)
}

// towards goes a share of the way to another row, in the logarithm.
func (m Mixing) towards(to Mixing, share float64) Mixing {
	between := func(a, b float64) float64 { return a * math.Pow(b/a, share) }
	return Mixing{between(m.Usual, to.Usual), between(m.Low, to.Low), between(m.High, to.High)}
}

// PastBlower is the mixing after the blower: 0.4 of the figure before it, from nothing to all of it (inference). The blower's range is
// the wider by far, and the band is its alone.
func (m Mixing) PastBlower() Mixing {
	return Mixing{pastBlower * m.Usual, 0, m.Usual}
}

// StripWidth is the part of the flow in which the strip of unmixed air runs, at a recirculated share r:
//
//	w = r/(r + u (1 − r))
//
// It carries all the bypass's air, at a share r + u (1 − r) of it. 0 without recirculation, 1 for well-mixed air.
func StripWidth(r, u float64) float64 {
	if !(r > 0) {
		return 0
	}
	return r / (r + u*(1-r))
}

// sensorWidth is the part of the flow over which a limit's sensor feels; a narrower strip reaches it in part. Our choice.
const sensorWidth = 0.1

// SensorShare is how far the limit's sensor is from well-mixed leaving air, in terms of the rise of one pass. A heat exchanger adds about the same
// rise everywhere, so a strip keeps its excess in full:
//
//	s = u min(1, w/0.1)
//
// It rises with u and with r.
func SensorShare(r, u float64) float64 {
	return u * min(1, StripWidth(r, u)/sensorWidth)
}

func share(name string) formula.Symbol {
	return formula.Symbol{Name: name, Kind: quantity.KindFraction, Low: 0.01, High: 0.99}
}

// SensorFormula is SensorShare.
func SensorFormula() *formula.Formula {
	return &formula.Formula{Name: "how far a strip of unmixed air reaches the sensor",
		Text: formula.Write("u * min(1, (r / (r + u * (1 - r))) / #)", sensorWidth), Result: share("s"),
		In: []formula.Symbol{share("u"), share("r")}, Eval: func(in []float64) float64 { return SensorShare(in[1], in[0]) }}
}

// How an uneven coil loses suction temperature: 0.05 of entering less evaporating for a strip of 0.3 and more of the flow.
const (
	coilLoss  = 0.05
	coilWidth = 0.3
	coilFull  = 0.3 // the unmixed figure from which the loss counts in full
)

// CoilShare is how far a strip of unmixed air lowers a coil's evaporating temperature, in terms of entering less evaporating. All
// circuits boil at one suction pressure: a colder strip does not boil colder by its own deficit, the coil as a whole loses
// capacity, and the suction falls with it:
//
//	c = 0.05 min(1, w/0.3) min(1, u/0.3),   w at u, at most at u = 0.3
//
// Uneven air cost a three-circuit coil at most 8.7 % of its capacity (published; ASHRAE, abstract): 0.05 is ample, our inference. The factor in u
// makes well-mixed air lose nothing, and the width is held at u = 0.3 so that worse mixing never counts for less; both our choice.
func CoilShare(r, u float64) float64 {
	u = min(u, coilFull)
	return coilLoss * min(1, StripWidth(r, u)/coilWidth) * u / coilFull
}

// CoilFormula is CoilShare.
func CoilFormula() *formula.Formula {
	return &formula.Formula{
		Name:   formula.Write("what an unevenly loaded coil loses in suction: at most # of entering less evaporating (inference from 8.7 % of capacity, published)", coilLoss),
		Text:   formula.Write("# * min(1, (r / (r + min(u, #) * (1 - r))) / #) * min(u, #) / #", coilLoss, coilFull, coilWidth, coilFull, coilFull),
		Result: share("c"), In: []formula.Symbol{share("u"), share("r")}, Eval: func(in []float64) float64 { return CoilShare(in[1], in[0]) }}
}

// UnmixedForSensor is the unmixed figure at which the sensor's share of the rise of one pass is s, the inverse of SensorShare; NaN where
// no figure up to 1 brings it there, or none is needed.
func UnmixedForSensor(r, s float64) float64 {
	return unmixedFor(r, s, sensorWidth*s, 1)
}

// UnmixedForCoil is the unmixed figure at which the coil's share of entering less evaporating is c, the inverse of CoilShare; NaN where
// no figure brings it there, or none is needed.
func UnmixedForCoil(r, c float64) float64 {
	return unmixedFor(r, c*coilFull/coilLoss, coilWidth*c*coilFull/coilLoss, coilFull)
}

// unmixedFor is the least u, up to a greatest, at which u ≥ a and u w ≥ b.
func unmixedFor(r, a, b, greatest float64) float64 {
	if !(a > 0) || !(r > 0) {
		return math.NaN()
	}
	room := r - b*(1-r) // u w = u r/(r + u (1 − r)) never passes r/(1 − r)
	if !(room > 0) {
		return math.NaN()
	}
	u := max(a, b*r/room)
	const roundOff = 1e-9 // room is a difference of near equals where little recirculates: 1e-16/r of u
	if u > greatest*(1+roundOff) {
		return math.NaN()
	}
	return min(u, greatest)
}
