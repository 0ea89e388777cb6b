package heat

// Furnace is a heater of constant output: gas burner, electric element, or one stage of either (the caller picks the
// stage). Its output does not depend on the entering air.
//
//	rise = Q / (m cp)
//
// with m the dry-air mass flow and cp the specific heat per kg of dry air. In the trade's form rise = Q/(1.08 CFM) at
// standard air, which is the same equation with 1.08 Btu/(h·°F·CFM) = 60 · 0.075 lb/ft³ · 0.240 Btu/(lb·°F).
//
// The limits come from the rating plate; a zero limit means that none was given.
type Furnace struct {
	Output       float64 // W into the air
	LeastRise    float64 // K
	GreatestRise float64 // K
	LeavingLimit float64 // °C, greatest leaving temperature
}
