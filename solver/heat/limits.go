package heat

// Origin says how much weight a figure bears.
type Origin uint8

// Origins.
const (
	Published Origin = iota // in the source named, in some cases read second-hand, as it says there
	Memory                  // common knowledge of the trade, from memory, not checked against a source
	OurChoice               // chosen for this program
)

// String returns the word that belongs beside a printed figure.
func (o Origin) String() string {
	switch o {
	case Published:
		return "published"
	case Memory:
		return "from memory"
	}
	return "our choice"
}

// Quantity is what a Limit bounds, and so its unit.
type Quantity uint8

// Quantities of limits.
const (
	TemperatureLevel Quantity = iota // °C
	TemperatureSpan                  // K
	FlowPerCapacity                  // kg/s of dry air per W of nominal cooling
	PowerPerFlow                     // W per kg/s
)

// Limit is a usual bound on something the equipment or a zone goes through. The rating plate, the manual and the adopted
// code govern where they differ; these rows are what to compare with when they are silent.
type Limit struct {
	Name      string // stable, for reference
	What      string
	Quantity  Quantity
	Low, High float64 // the band the figure is found in; equal for a single figure
	Origin    Origin
	Source    string
}

func fahrenheitLevel(name, what string, low, high float64, o Origin, source string) Limit {
	return Limit{name, what, TemperatureLevel, (low - 32) / 1.8, (high - 32) / 1.8, o, source}
}

func fahrenheitSpan(name, what string, low, high float64, o Origin, source string) Limit {
	return Limit{name, what, TemperatureSpan, low / 1.8, high / 1.8, o, source}
}

func cubicFeetPerTon(name, what string, low, high float64, o Origin, source string) Limit {
	const massPerCFM = 4.719474432e-4 * 1.2014 // kg/s of standard air
	return Limit{name, what, FlowPerCapacity, low * massPerCFM / ton, high * massPerCFM / ton, o, source}
}

func wattsPerCubicFoot(name, what string, value float64, o Origin, source string) Limit {
	const massPerCFM = 4.719474432e-4 * 1.2014
	return Limit{name, what, PowerPerFlow, value / massPerCFM, value / massPerCFM, o, source}
}

// Limits lists the usual limits of the heat side, each with its origin and source, in a fixed order.
func Limits() []Limit {
	const (
		common     = "common practice"
		riseNotes  = "trade training notes on furnace temperature rise"
		suction    = "trade training notes on a 32 °F saturated suction; ACHR News, article 142476"
		california = "California Title 24 Part 6 (2013), as reported in ACHR News, article 128347"
	)
	return []Limit{
		fahrenheitSpan("furnace rise, high band", "example of a nameplate rise range", 50, 80, Published, riseNotes),
		fahrenheitSpan("furnace rise, middle band", "example of a nameplate rise range", 45, 75, Published, riseNotes),
		fahrenheitSpan("furnace rise, low band", "example of a nameplate rise range", 35, 65, Memory, common),
		fahrenheitLevel("furnace outlet", "greatest leaving air on rating plates: greatest rise + about 100 °F", 155, 200, Memory, common),
		fahrenheitLevel("high limit", "opening of the furnace's high-limit switch; it sits near the heat exchanger", 165, 200, Memory, common),
		fahrenheitLevel("high limit, highest", "highest limit setting of older and unlisted furnaces", 250, 250, Published, "NFPA 54 in UPC-family code text, supply ducts to unlisted furnaces"),
		fahrenheitLevel("panel cut-out, heating", "adjustable supply cut-out of zone panels", 120, 160, Memory, common),
		fahrenheitLevel("panel cut-out, cooling", "adjustable supply cut-out of zone panels", 40, 50, Memory, common),
		fahrenheitLevel("entering air, least", "continuous return air to a heating furnace", 55, 60, Memory, "common practice; the furnace's manual governs"),
		fahrenheitLevel("entering air, greatest", "return air to a heating furnace", 80, 85, Memory, "common practice; the furnace's manual governs"),
		fahrenheitLevel("duct air", "greatest discharge air into ducts", 250, 250, Memory, "IRC M1601.1.1"),
		fahrenheitLevel("evaporating, frost", "saturated suction below which a comfort coil frosts", 32, 32, Published, suction),
		fahrenheitLevel("evaporating, caution", "frost when the filter loads or the return falls", 32, 36, OurChoice, "four degrees above frost"),
		fahrenheitLevel("leaving air, cooling", "second, measurable alarm for a cold coil", 45, 45, OurChoice, "near the low end of panel cut-outs"),
		cubicFeetPerTon("coil airflow, caution", "least cooling airflow per nominal ton before caution", 350, 350, Published, california+"; FSEC-PF-321-97 (Parker, Sherwin, Raustad, Shirey 1997)"),
		cubicFeetPerTon("coil airflow, fault", "least cooling airflow per nominal ton", 300, 300, Published, "usual rating window of direct-expansion coil models (second-hand); CEC 2008 Residential Appendices RA3, charge test"),
		cubicFeetPerTon("coil airflow, usual", "target cooling airflow per nominal ton", 350, 450, Published, "FSEC-PF-321-97 (Parker, Sherwin, Raustad, Shirey 1997)"),
		wattsPerCubicFoot("fan efficacy", "greatest fan power per airflow in every zonal mode", 0.58, Published, california),
		wattsPerCubicFoot("fan efficacy, gas furnace", "greatest fan power per airflow, later editions", 0.45, Memory, "California Title 24 Part 6, section 150.0(m)13"),
		fahrenheitSpan("zone swing, cooling", "room from setpoint", 3, 3, Memory, common),
		fahrenheitSpan("zone swing, heating", "room from setpoint", 2, 2, Memory, common),
		fahrenheitSpan("bleed offset, caution", "drift of a satisfied zone", 2, 2, OurChoice, "the tighter of the usual swings"),
		fahrenheitSpan("bleed offset, fault", "drift of a satisfied zone", 3, 3, OurChoice, "the wider of the usual swings"),
	}
}

// LimitNamed returns the row of Limits with a name.
func LimitNamed(name string) (Limit, bool) {
	for _, l := range Limits() {
		if l.Name == name {
			return l, true
		}
	}
	return Limit{}, false
}
