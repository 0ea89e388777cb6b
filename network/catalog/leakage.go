package catalog

import "math"

// DuctLeakageExponent is n in Q = C A Δp^n for leakage of ducts, Handbook of Fundamentals 2021 (SI), chapter 21, eq. 37.
const DuctLeakageExponent = 0.65

// siPerLeakageClass turns a leakage class of the trade (cfm per 100 ft² at 1 in. of water) into m³/s per m² at 1 Pa:
// cfm / (100 ft²) / inwc^0.65, with 1 in. of water = 249.089 Pa.
const siPerLeakageClass = 1.4068e-6

// DuctLeakage is a leakage class of ductwork.
type DuctLeakage struct {
	Row
	// Class is the leakage class C_L: cfm per 100 ft² of surface at 1 in. of water.
	Class float64
}

// Coefficient is C_L in SI, m³/s per m² of duct surface at 1 Pa, for use with DuctLeakageExponent.
func (l DuctLeakage) Coefficient() float64 { return l.Class * siPerLeakageClass }

// Flow returns the leakage, m³/s, of a duct surface (m²) at a static pressure difference (Pa), with its sign:
//
//	Q = C_L A Δp^0.65
func (l DuctLeakage) Flow(surface, pressure float64) float64 {
	return math.Copysign(l.Coefficient()*surface*math.Pow(math.Abs(pressure), DuctLeakageExponent), pressure)
}

// LookupDuctLeakage returns the leakage class of that name: "class 12" for a class by its number (any row that has it),
// "metal unsealed" or "round sealed b" for a class by what the duct is.
func LookupDuctLeakage(name string) (DuctLeakage, bool) { return find(ductLeakages, name) }

const leakageManual = "air duct leakage test manual, Table 4-1 (seen second-hand)"

var ductLeakages = []DuctLeakage{
	{Row: Row{Name: "class 12", Source: published(leakageManual)}, Class: 12},
	{Row: Row{Name: "class 24", Source: published(leakageManual)}, Class: 24},
	{Row: Row{Name: "class 3", Source: published(leakageManual)}, Class: 3},
	{Row: Row{Name: "class 30", Source: published(leakageManual)}, Class: 30},
	{Row: Row{Name: "class 48", Source: published(leakageManual)}, Class: 48},
	{Row: Row{Name: "class 6", Source: published(leakageManual)}, Class: 6},
	{Row: Row{Name: "fibrous glass", Aliases: []string{"duct board"}, Source: published(leakageManual)}, Class: 6},
	{Row: Row{Name: "flex sealed", Source: published(leakageManual + ", sealed nonmetallic flexible duct")}, Class: 12},
	{Row: Row{Name: "flex unsealed", Source: published(leakageManual + ", unsealed flexible duct")}, Class: 30},
	{Row: Row{Name: "metal sealed a", Source: ourChoice("row for rectangular duct, seal class A, of the " + leakageManual)}, Class: 6},
	{Row: Row{Name: "metal sealed b", Source: ourChoice("row for rectangular duct, seal class B, of the " + leakageManual)}, Class: 12},
	{Row: Row{Name: "metal sealed c", Source: ourChoice("row for rectangular duct, seal class C, of the " + leakageManual)}, Class: 24},
	{Row: Row{Name: "metal unsealed", Source: ourChoice("row for unsealed rectangular duct of the " + leakageManual + ", used for every shape")}, Class: 48},
	{Row: Row{Name: "rectangular sealed a", Source: published(leakageManual)}, Class: 6},
	{Row: Row{Name: "rectangular sealed b", Source: published(leakageManual)}, Class: 12},
	{Row: Row{Name: "rectangular sealed c", Source: published(leakageManual)}, Class: 24},
	{Row: Row{Name: "rectangular unsealed", Aliases: []string{"unsealed"}, Source: published(leakageManual)}, Class: 48},
	{Row: Row{Name: "round sealed a", Source: published(leakageManual)}, Class: 3},
	{Row: Row{Name: "round sealed b", Source: published(leakageManual)}, Class: 6},
	{Row: Row{Name: "round sealed c", Source: published(leakageManual)}, Class: 12},
}
