package catalog

import "math"

// DefaultDamperLeakage is the leakage of a shut zone damper as LeakZeta defines it, when the file does not say. Our
// choice: trade convention says a few percent up to 10 %, and no laboratory source is known. It lies between classes 1 and 2
// of EN 1751, beside class 3 of AMCA.
const DefaultDamperLeakage = 0.03

// DamperLeakageDeviation is the standard deviation of ln ζ of a shut damper whose leakage is a default: two of them either
// way lead from 3 % to a little over 1 and to 8 %. Our choice.
const DamperLeakageDeviation = 1.0

// DamperLeakageBand says the same in words.
const DamperLeakageBand = "1 to 8 %"

// The conditions at which the leakage of a damper is a share of the nominal flow: 700 fpm in the duct and 0.25 in. of
// water across the shut blade. Our choice, about what a shut zone damper sees.
const (
	LeakVelocity = 700.0 // fpm
	LeakPressure = 0.25  // in. of water
)

// LeastDamperLeakage keeps the loss of a shut damper finite: no damper is tighter than this.
const LeastDamperLeakage = 1e-4

// LeakZeta turns the leakage of a shut damper into a loss coefficient on the duct's velocity pressure. fraction is the
// share of the flow at 700 fpm that passes at a drop of 0.25 in. of water:
//
//	ζ = 0.25 / (700 fraction / 4005)²  =  8.18 / fraction²
//
// 3 % gives about 9,000, near class 3 of LookupDamperLeakage. A fraction below 0.01 % (0 too) counts as 0.01 %, one
// above 1 as 1. A share of the flow of the OPEN damper at the same drop would say nothing: an open blade at 0.25 in. of
// water passes more than any duct carries.
func LeakZeta(fraction float64) float64 {
	velocity := LeakVelocity * min(max(fraction, LeastDamperLeakage), 1) / UnitVelocity
	return LeakPressure / (velocity * velocity)
}

// DamperLeakage is a leakage class of dampers.
type DamperLeakage struct {
	Row
	// Velocity is the leakage per face area at 1 in. of water, m/s (m³/s per m²).
	Velocity float64
}

// ClosedZeta is the loss coefficient of the shut damper, for Setting.ClosedZeta:
//
//	ζ = (4005 / q₁)²,  q₁ in cfm per ft² at 1 in. of water
func (l DamperLeakage) ClosedZeta() float64 {
	root := UnitVelocity * fpm / l.Velocity
	return root * root
}

// LookupDamperLeakage returns the leakage class of that name: "1A", "class 2", "backdraft".
func LookupDamperLeakage(name string) (DamperLeakage, bool) { return find(damperLeakages, name) }

const damperClasses = "damper leakage classes of AMCA 500-D and 511"

// european is a class of EN 1751 by its limit at 100 Pa, m³/s per m², brought to 1 in. of water by the square root, as the
// standard has it.
func european(class string, limit float64) DamperLeakage {
	return DamperLeakage{Row{Name: "en 1751 class " + class, Aliases: []string{"en " + class, "en class " + class},
		Source: published("BS EN 1751:1999, closed damper leakage at 100 Pa (second-hand, an engineering data page)")}, limit * math.Sqrt(inwc/100)}
}

var damperLeakages = []DamperLeakage{
	{Row{Name: "backdraft", Aliases: []string{"gravity backdraft"}, Source: published("ASHRAE 90.1, gravity backdraft dampers, 20 cfm/ft² at 1 in. of water, as quoted in a secondary text (weak)")}, 20 * fpm},
	{Row{Name: "class 1", Aliases: []string{"1"}, Source: memory(damperClasses + ": 4 cfm/ft² at 1 in. of water")}, 4 * fpm},
	{Row{Name: "class 1a", Aliases: []string{"1a"}, Source: memory(damperClasses + ": 3 cfm/ft² at 1 in. of water")}, 3 * fpm},
	{Row{Name: "class 2", Aliases: []string{"2"}, Source: memory(damperClasses + ": 10 cfm/ft² at 1 in. of water")}, 10 * fpm},
	{Row{Name: "class 3", Aliases: []string{"3"}, Source: memory(damperClasses + ": 40 cfm/ft² at 1 in. of water")}, 40 * fpm},
	european("1", 0.2),
	european("2", 0.04),
	european("3", 0.008),
	european("4", 0.0015),
}
