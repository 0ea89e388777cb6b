package jet

import (
	"math"

	"spillway/solver/sound/validity"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
)

// Where numbers that grow without bound towards rest stop, so that they stay finite. Each is far past any room.
const (
	MaxArchimedes = 1e6
	MaxDrop       = 100.0 // m
	MaxSeparation = 100.0 // m: the jet does not separate
)

const (
	gravity     = 9.81
	zeroCelsius = 273.15
)

// Air is the temperature on either side of an outlet, °C.
type Air struct{ Supply, Room float64 }

// Difference of supply over room, K; negative when cooling.
func (a Air) Difference() float64 { return a.Supply - a.Room }

func (a Air) kelvin() float64 { return a.Room + zeroCelsius }

// temperatureDifference over which the non-isothermal rules are used.
var temperatureDifference = validity.Range{Quantity: "supply less room temperature", Low: -20, High: 20, Unit: "K",
	Of: "non-isothermal jets (ASHRAE Fundamentals, ch. 20; range ours)"}

// Archimedes number of an outlet for a characteristic length (m),
//
//	Ar = g L (T_o − T_A)/(V_o² T_A)
//
// T_A in kelvin; negative when the air is colder than the room. ASHRAE Handbook – Fundamentals (SI), ch. 20, eq. 11, has
// the hydraulic diameter as L; Drop wants √A_o. Held within ±MaxArchimedes, where it is at rest; 0 for no difference.
func (a Air) Archimedes(velocity, length float64) float64 {
	difference := a.Difference()
	if difference == 0 {
		return 0
	}
	if velocity == 0 {
		return math.Copysign(MaxArchimedes, difference)
	}
	number := gravity * length * difference / a.kelvin() / velocity / velocity
	return min(max(number, -MaxArchimedes), MaxArchimedes)
}

// DropAt is how far a horizontal FREE jet has fallen at a distance (m), m; negative for a warm jet, which rises,
//
//	y/√A_o = −(0.8/(3K)) Ar (X/√A_o)³        Ar with L = √A_o
//
// Our derivation: the axis keeps (T_x − T_A)/(T_o − T_A) = 0.8 V_x/V_o (from memory), buoyancy accelerates it, and dt =
// dx/V_x. Koestel (1955), from memory, has 0.065 where 0.8/(3K) is 0.047 to 0.07: ±40 %. A jet along a ceiling falls much
// less until it separates. Held within ±MaxDrop.
func (a Air) DropAt(o Outlet, distance float64) float64 {
	size := math.Sqrt(o.Area)
	relative := max(distance, 0) / size
	drop := -0.8 / (3 * o.K) * a.Archimedes(o.Velocity(), size) * relative * relative * relative * size
	return min(max(drop, -MaxDrop), MaxDrop)
}

// fallDistance is where a free jet has fallen by a height (m): the inverse of DropAt. MaxSeparation for a jet that does
// not fall.
func (a Air) fallDistance(o Outlet, height float64) float64 {
	size := math.Sqrt(o.Area)
	number := -a.Archimedes(o.Velocity(), size)
	if number <= 0 {
		return MaxSeparation
	}
	return min(size*math.Cbrt(3*o.K/0.8*max(height, 0)/size/number), MaxSeparation)
}

// Separation is the distance at which a cold jet leaves the ceiling, m,
//
//	x_s = 0.313 K^½ (|ΔT|/T_A)^−½ Q^¼ Δp^⅜
//
// with Q in m³/s and the static drop across the outlet Δp in Pa. ASHRAE Handbook – Fundamentals (SI), ch. 20, eq. 13
// (Kirkpatrick and Elleson), with C_s = 1.2 for feet, cfm and inches of water (from memory); 0.313 is the conversion with
// C_s in it. At a fixed outlet x_s is proportional to flow. A jet that is not colder than the room does not separate:
// MaxSeparation.
func (a Air) Separation(o Outlet, drop float64) float64 {
	difference := a.Difference()
	if difference >= 0 {
		return MaxSeparation
	}
	distance := 0.313 * math.Sqrt(o.K) / math.Sqrt(-difference/a.kelvin()) *
		math.Pow(math.Abs(o.Flow), 0.25) * math.Pow(math.Abs(drop), 0.375)
	return min(distance, MaxSeparation)
}

// VerticalFactor is what temperature does to the throw of a vertical jet:
//
//	1 + 0.018 ΔT     up; warm air goes farther, cold air less far
//	1 − 0.018 ΔT     down
//
// that is 1 % per °F. ASHRAE Journal, April 1999 (Int-Hout and Kloostra), for the throw to 0.38 m/s
// (75 fpm) and differences up to 20 °F; the signs in these words are ours. The factor stops at 0.80
// and 1.20, where the published range ends; see Beyond. 1 for a horizontal jet, which only bends.
func (a Air) VerticalFactor(d Direction) float64 {
	change := min(max(PerKelvin*a.Difference(), -MostChange), MostChange)
	switch d {
	case Up:
		return 1 + change
	case Down:
		return 1 - change
	}
	return 1
}

// PerKelvin is the change of a vertical jet's throw for each kelvin between supply and room, and
// MostChange the greatest that is published.
const (
	PerKelvin  = 0.018
	MostChange = 0.20
)

// VerticalFormula is VerticalFactor of a jet that starts up or down.
func VerticalFormula(d Direction) *formula.Formula {
	way, sign := "up", "+"
	if d == Down {
		way, sign = "down", "-"
	}
	temperature := func(name string) formula.Symbol {
		return formula.Symbol{Name: name, Kind: quantity.KindTemperature, Low: 0, High: 60}
	}
	return &formula.Formula{
		Name: "temperature changes the throw of a jet that starts " + way +
			formula.Write(" by # % per K (1 % per °F), up to # %", 100*PerKelvin, 100*MostChange),
		Source: "ASHRAE Journal, April 1999",
		Text:   formula.Write("1 "+sign+" min(max(# * (ts - ti), -#), #)", PerKelvin, MostChange, MostChange),
		Result: formula.Symbol{Name: "c", Kind: quantity.KindNumber}, In: []formula.Symbol{temperature("ts"), temperature("ti")},
		Eval: func(in []float64) float64 { return Air{Supply: in[0], Room: in[1]}.VerticalFactor(d) }}
}

// Beyond reports which way the throw of a vertical jet differs from what VerticalFactor gives,
// where the temperatures are past its range: 1 farther, -1 less far, 0 within the range.
func (a Air) Beyond(d Direction) int {
	change := PerKelvin * a.Difference()
	switch {
	case d == Horizontal || math.Abs(change) <= MostChange:
		return 0
	case (change > 0) == (d == Up):
		return 1
	}
	return -1
}
