package resist

import "spillway/solver/flow"

// Series is several elements one behind the other on one edge: the same flow passes all, drops and slopes add up.
type Series struct {
	laws []flow.Law
}

// NewSeries strings laws together in flow order. Series inside are flattened, and nothing is merged: two Locals on one section are
// rounded off at rest each for itself, and what a caller reckons part by part adds up to what the whole drops. An empty series drops
// nothing and is not a law: give it at least one.
func NewSeries(laws ...flow.Law) Series {
	var s Series
	s.add(laws)
	return s
}

func (s *Series) add(laws []flow.Law) {
	for _, law := range laws {
		switch l := law.(type) {
		case Series:
			s.add(l.laws)
		case *Series:
			s.add(l.laws)
		default:
			s.laws = append(s.laws, law)
		}
	}
}

// Len is the number of laws.
func (s Series) Len() int { return len(s.laws) }

// Drop implements flow.Law.
func (s Series) Drop(q float64) (drop, slope float64) {
	for _, law := range s.laws {
		d, m := law.Drop(q)
		drop += d
		slope += m
	}
	return drop, slope
}
