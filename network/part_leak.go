package network

// LeakSpec is a leak: Q = Coefficient Δp^Exponent, m³/s and Pa.
type LeakSpec struct {
	plain
	Coefficient, Exponent float64
	Of                    LeakOf  // the figure of the job file that it is part of
	Share                 float64 // of that figure
}
