package catalog

// Constant is a default that stands alone, with its unit and its source, so that a report can name where it comes from.
// The exported constants of the package are the same numbers for use in code.
type Constant struct {
	Row
	Value float64
	Unit  string // SI, "" for a ratio
}

// LookupConstant returns the default of that name.
func LookupConstant(name string) (Constant, bool) { return find(constants, name) }

// Filters and coils: Δp = Δp_rated (Q/Q_rated)^n.
const (
	// FilterExponent is n for a pleated panel. The medium alone has 1, the frame 2.
	FilterExponent = 1.5
	// DeepFilterExponent is n for a deep-pleated filter, 4 in. and more.
	DeepFilterExponent = 1.25
	// LoadedFilterFactor multiplies the clean drop when the filter is due for change.
	LoadedFilterFactor = 2.0
	// CoilExponent is n for a finned coil.
	CoilExponent = 1.6
	// WetCoilFactor multiplies the dry drop when the coil is wet.
	WetCoilFactor = 1.25
)

// Weighted (barometric) relief damper.
const (
	// ReliefArmAngle is how far the weight arm hangs below horizontal when the blade is shut, degrees.
	ReliefArmAngle = 30.0
	// ReliefFullOpen is where the stop holds the blade, degrees from shut.
	ReliefFullOpen = 75.0
	// ReliefBladeShare is the share of the duct's area that the blade covers.
	ReliefBladeShare = 1.0
	// ReliefLeakArea is the open share of the area when the blade is shut.
	ReliefLeakArea = 0.02
	// ReliefOpenRatio is the pressure at full opening over the pressure at which the blade starts to open.
	ReliefOpenRatio = 2.0
	// BypassBand is the pressure range, Pa, over which a motorised constant-pressure bypass goes from shut to open.
	BypassBand = 0.02 * inwc
)

// TestLeakageExponent scales leakage that was measured at 25 Pa: Q = Q25 (Δp/25)^0.6.
const TestLeakageExponent = 0.6

var constants = []Constant{
	{Row{Name: "coil exponent", Source: ourChoice("mean of the exponents (1.41 to 1.88) that fit 11 rows of an unbranded dry-coil sheet between 400 and 700 fpm")}, CoilExponent, ""},
	{Row{Name: "coil wet factor", Source: memory("trade range 1.2 to 1.5; a trade magazine gives +0.05 in. of water, the same at 0.2 dry")}, WetCoilFactor, ""},
	{Row{Name: "constant-pressure bypass band", Source: ourChoice("0.02 in. of water, narrow against a set point of 0.15 to 0.5")}, BypassBand, "Pa"},
	{Row{Name: "crack allowance", Source: ourChoice("middle of 10 to 25 in² round a shut inner door, from a field plot of undercuts in a trade magazine")}, CrackAllowance, "m²"},
	{Row{Name: "damper leakage", Source: ourChoice("3 % of 700 fpm at 0.25 in. of water: " + DamperLeakageBand + "; trade convention says a few percent to 10 %, no laboratory source is known")}, DefaultDamperLeakage, ""},
	{Row{Name: "duct leakage exponent", Source: published("Handbook of Fundamentals 2021 (SI), chapter 21, eq. 37")}, DuctLeakageExponent, ""},
	{Row{Name: "filter exponent", Source: memory("between 1 (medium) and 2 (frame) for a pleated panel")}, FilterExponent, ""},
	{Row{Name: "filter exponent, deep", Source: memory("1.2 to 1.3 for deep pleats")}, DeepFilterExponent, ""},
	{Row{Name: "filter loaded factor", Source: memory("trade range 1.5 to 3 times the clean drop")}, LoadedFilterFactor, ""},
	{Row{Name: "flex compression", Source: published("Weaver and Culp, tests of flexible duct: 4 % is the natural relaxed state")}, DefaultFlexCompression, "%"},
	{Row{Name: "free area", Source: ourChoice(freeAreaEvidence)}, DefaultFreeArea, ""},
	{Row{Name: "leakage test exponent", Source: memory("leakage measured at 25 Pa is scaled with exponents of 0.6 to 0.65")}, TestLeakageExponent, ""},
	{Row{Name: "orifice discharge", Source: published("Rudd, Building America report RR-0005: Q = 1.07 A sqrt(Δp), cfm, in², Pa")}, OrificeDischarge, ""},
	{Row{Name: "relief arm angle", Source: published("unbranded distributor instruction: arm at about the 4 o'clock position, 30 degrees below horizontal")}, ReliefArmAngle, "°"},
	{Row{Name: "relief blade share", Source: ourChoice("the blade fills the duct")}, ReliefBladeShare, ""},
	{Row{Name: "relief full opening", Source: ourChoice("stop at 75 to 80 degrees; 75 agrees with the pressure ratio 4 of an unbranded relief damper sheet")}, ReliefFullOpen, "°"},
	{Row{Name: "relief leak area", Source: ourChoice("2 % of the area with the blade shut")}, ReliefLeakArea, ""},
	{Row{Name: "relief open ratio", Source: ourChoice("moment balance with the arm at 30 degrees: twice the starting pressure at 60 degrees")}, ReliefOpenRatio, ""},
}
