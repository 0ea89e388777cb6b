package flow

// An independent solver for tests: loop corrections after Hardy Cross, "Analysis of Flow in Networks of Conduits or
// Conductors", Univ. of Illinois Bulletin 286 (1936) (method from memory): no matrix, no pressures.

type loopEdge struct {
	edge int
	sign float64
}

// hardyCrossCorrection is the change of circulation −Σ drop / Σ slope round a loop.
func hardyCrossCorrection(laws []Law, flow []float64, loop []loopEdge) float64 {
	around, slope := 0.0, 0.0
	for _, l := range loop {
		f, d := laws[l.edge].Drop(flow[l.edge])
		around += l.sign * f
		slope += d
	}
	return -around / slope
}
