package network

import "math"

// RatedSpec is a filter or coil known by one drop at one airflow.
type RatedSpec struct {
	plain
	Drop, At  float64 // Pa at m³/s
	Exponent  float64
	Factor    float64 // loading of a filter
	WetFactor float64 // coil: times the drop when it runs wet
}

// offers is how dirty a filter is; a coil has nothing that is moved.
func (r *RatedSpec) offers(float64) []offer {
	return []offer{{"loading", "loading", "times its clean drop", r.Factor, math.NaN(), math.NaN()}}
}
