package resist

// TwoWay is an element that resists the two directions differently: one local loss forward, another in reverse. The
// value is continuous; the slope has a step at rest and is positive on both sides.
type TwoWay struct {
	forward, reverse Local
}

// NewTwoWay joins a forward and a reverse loss.
func NewTwoWay(forward, reverse Local) TwoWay { return TwoWay{forward: forward, reverse: reverse} }

// NewBackdraft returns a damper that opens to forward flow and shuts against reverse flow, where only its leak passes.
// open and leak are laws on the same duct, leak the much larger (a shut damper is never perfectly tight; 1e4 to 1e6
// times open is usual, common practice).
func NewBackdraft(open, leak Local) TwoWay { return NewTwoWay(open, leak) }

// Drop implements flow.Law.
func (t TwoWay) Drop(q float64) (drop, slope float64) {
	if q < 0 {
		return t.reverse.Drop(q)
	}
	return t.forward.Drop(q)
}
