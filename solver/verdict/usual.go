package verdict

import "spillway/network/quantity"

// UsualFigure is a bound that is common in the trade. No check uses it; it is there to compare a rating plate or a setting with.
type UsualFigure struct {
	Name, What string
	Quantity   Quantity
	Low, High  float64 // SI; the band the figure is found in, equal for a single figure
	Source     string  // with "(from memory)" or "(our choice)" where it was not read
}

// UsualFaceLow and UsualFaceHigh bound the face velocity that is usual at supply registers in
// houses, m/s: 500 to 750 fpm, an old design rule (from memory).
const (
	UsualFaceLow  = 500 * quantity.FPM
	UsualFaceHigh = 750 * quantity.FPM
)

// Usual lists the figures in a fixed order.
func Usual() []UsualFigure {
	const (
		notes    = "trade training notes on furnace temperature rise"
		practice = "common practice (from memory)"
		older    = "ACCA Manual S, older edition, quoted second-hand (2012)"
		newer    = "ACCA Manual S, newer edition (from memory)"
	)
	level := func(name, what string, low, high float64, source string) UsualFigure {
		return UsualFigure{name, what, Temperature, fahrenheit(low), fahrenheit(high), source}
	}
	span := func(name, what string, low, high float64, source string) UsualFigure {
		return UsualFigure{name, what, Span, degreesF(low), degreesF(high), source}
	}
	size := func(name string, low, high float64, source string) UsualFigure {
		return UsualFigure{name, "capacity over the load it serves", Ratio, low, high, source}
	}
	return []UsualFigure{
		span("furnace rise, high band", "example of a rating plate", 50, 80, notes),
		span("furnace rise, middle band", "example of a rating plate", 45, 75, notes),
		span("furnace rise, low band", "example of a rating plate", 35, 65, practice),
		level("furnace outlet", "greatest leaving air on rating plates: greatest rise + about 100 °F", 155, 200, practice),
		level("high limit", "opening of a furnace's high limit, which sits near the heat exchanger", 165, 200, practice),
		level("high limit, highest", "highest limit of older and unlisted furnaces", 250, 250, "NFPA 54 in UPC-family code text, supply ducts to unlisted furnaces"),
		level("panel cut-out, heating", "adjustable supply cut-out of zone panels", 120, 160, practice),
		level("panel cut-out, cooling", "adjustable supply cut-out of zone panels", 40, 50, practice),
		{"coil airflow", "target cooling airflow per nominal ton", FlowPerHeat, 350 * quantity.CFM / quantity.TonOfCooling, 450 * quantity.CFM / quantity.TonOfCooling,
			"FSEC-PF-321-97 (Parker, Sherwin, Raustad, Shirey 1997)"},
		{"coil airflow, charge test", "least cooling airflow per nominal ton for a test of the charge", FlowPerHeat, 300 * quantity.CFM / quantity.TonOfCooling, 300 * quantity.CFM / quantity.TonOfCooling,
			"CEC 2008 Residential Appendices RA3"},
		{"register face", "face velocity of supply registers in houses, by an old design rule", Velocity, UsualFaceLow, UsualFaceHigh, practice},
		span("zone swing, cooling", "room from setpoint", 3, 3, practice),
		span("zone swing, heating", "room from setpoint", 2, 2, practice),
		size("size, cooling", 0, 1.15, older),
		size("size, heat pump", 0, 1.25, older),
		size("size, furnace", 0, 1.40, older),
		size("size, single-speed cooling", 0.90, 1.15, newer),
		size("size, two-speed cooling", 0.90, 1.20, newer),
		size("size, variable-speed cooling", 0.90, 1.30, newer),
	}
}
