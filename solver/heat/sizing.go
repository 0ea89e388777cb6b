package heat

import (
	"math"

	"spillway/solver/air"
)

// AirflowForLoad is the dry-air mass flow, kg/s, that carries a sensible load (W) at a temperature difference (K)
// between room and supply:
//
//	m = q/(cp ΔT)
//
// In the trade: CFM = q/(1.08 ACF ΔT), where 1.08 ACF falls with the pressure at elevation because a CFM there holds less
// air; the MASS needed does not change, which is why this function takes no elevation. ActualAirflow turns it into
// volume. Errors: load and difference not positive.
func AirflowForLoad(load, difference, specificHeat float64) (float64, error) {
	if !(load >= 0 && difference > 0 && specificHeat > 0) || math.IsInf(load, 0) {
		return 0, badInput("airflow for %g W at a difference of %g K and %g J/(kg·K)", load, difference, specificHeat)
	}
	return load / (difference * specificHeat), nil
}

// ActualAirflow is the volume, m³/s, that a dry-air mass flow takes up in a state and at an absolute pressure (Pa).
func ActualAirflow(massFlow float64, m air.Moist, pressure float64) float64 {
	return massFlow * m.SpecificVolume(pressure)
}

// SensibleFactor is the sensible heat that a unit of volume flow of standard air carries per kelvin at an absolute
// pressure, J/(m³·K): ρ cp p/p₀ with the standard density. In the trade's units it is the 1.08 of Btu/(h·CFM·°F),
// times the pressure ratio at elevation.
func SensibleFactor(pressure float64) float64 {
	return air.StandardDensity * air.SpecificHeatDry * pressure / air.StandardPressure
}

// CoolingDifference is the customary difference between room and supply air in cooling, K, by the sensible ratio of the
// load: 21 °F below 0.80, 19 °F to 0.85, 17 °F above. From memory.
func CoolingDifference(sensibleRatio float64) float64 {
	switch {
	case sensibleRatio < 0.80:
		return 21 * 5.0 / 9
	case sensibleRatio <= 0.85:
		return 19 * 5.0 / 9
	}
	return 17 * 5.0 / 9
}

// ton of cooling, W.
const ton = 12000 * 0.29307107

// HalfTons is the number of half tons that a capacity (W) is nominally sold as: the nearest. Unitary equipment comes in
// half-ton steps (common practice).
func HalfTons(capacity float64) int { return int(math.Round(capacity / ton * 2)) }

// ZonePlausibility compares the least zone with one stage of the equipment.
type ZonePlausibility struct {
	SmallestZone float64 // kg/s, design airflow of the smallest zone
	Blower       float64 // kg/s at the stage
	// Share of the blower's air the smallest zone can take; the rest is surplus when it calls alone.
	Share, Surplus float64
}

// CompareZone says how much of a stage's airflow the smallest zone takes. Errors: no blower airflow, negative zone.
func CompareZone(zone, blower float64) (ZonePlausibility, error) {
	if !(zone >= 0 && blower > 0) || math.IsInf(zone, 0) || math.IsInf(blower, 0) {
		return ZonePlausibility{}, badInput("zone of %g kg/s against a blower of %g kg/s", zone, blower)
	}
	return ZonePlausibility{SmallestZone: zone, Blower: blower, Share: zone / blower, Surplus: math.Max(0, blower-zone)}, nil
}

// AreaPerTon is floor area over nominal cooling, m²/W. ROUGH: a plausibility figure only, a load calculation governs; see
// AreaPerTonBand.
func AreaPerTon(floor, capacity float64) float64 { return floor / capacity }

// AreaPerTonBand is the rough band of floor area per cooling capacity, m²/W, from 400 ft²/ton (old or hot) to 1000
// ft²/ton (new and tight). From memory: print it only with the word ROUGH beside it.
func AreaPerTonBand() Range {
	const squareFoot = 0.3048 * 0.3048
	return Range{400 * squareFoot / ton, 1000 * squareFoot / ton}
}

// Ventilation is the whole-house outdoor airflow, m³/s, for a floor area in m² and a number of bedrooms:
//
//	Q = 0.03 A + 7.5 (Nbr + 1)   CFM, A in ft²
//
// ASHRAE 62.2, editions since 2013 (second-hand; the 2010 form had 0.01 A). Air drawn in through the return is a third
// stream at the equipment's inlet.
func Ventilation(floor float64, bedrooms int) float64 {
	const squareFoot, cfm = 0.3048 * 0.3048, 4.719474432e-4
	return (0.03*floor/squareFoot + 7.5*float64(bedrooms+1)) * cfm
}
