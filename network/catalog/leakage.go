package catalog

// DuctLeakageExponent is n in Q = C A Δp^n for leakage of ducts, Handbook of Fundamentals 2021 (SI), chapter 21, eq. 37.
const DuctLeakageExponent = 0.65

// siPerLeakageClass turns a leakage class of the trade (cfm per 100 ft² at 1 in. of water) into m³/s per m² at 1 Pa:
// cfm / (100 ft²) / inwc^0.65, with 1 in. of water = 249.089 Pa.
const siPerLeakageClass = 1.4068e-6

// LeakageOfClass returns the leakage of a leakage class, m³/s per m² of duct surface at 1 Pa, for use with
// DuctLeakageExponent.
func LeakageOfClass(class float64) float64 { return class * siPerLeakageClass }
