package heat

import "spillway/solver/air"

// SweatMargin is how far, K, the outer surface of a supply duct or register stays above the dew point of the air
// around it; below zero water condenses on it. The surface lies between the two airs by its share of the thermal
// resistance,
//
//	T_surface = T_around − (R_outer/R_total)(T_around − T_supply)
//
// outerShare = R_outer/R_total: the outside film over the whole wall with insulation and films; 1 is the worst case, a
// bare register at supply temperature. One-dimensional steady conduction. Errors: a share outside 0 to 1; surroundings
// without a dew point.
func SweatMargin(supply float64, around air.Moist, outerShare, pressure float64) (float64, error) {
	if !(outerShare >= 0 && outerShare <= 1) {
		return 0, badInput("outer share %g of the thermal resistance outside 0 to 1", outerShare)
	}
	dew, err := around.DewPoint(pressure)
	if err != nil {
		return 0, err
	}
	return around.Temperature - outerShare*(around.Temperature-supply) - dew, nil
}
