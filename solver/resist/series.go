package resist

import "spillway/solver/flow"

// Series is several elements one behind the other on one edge: the same flow passes all, drops and slopes add up.
type Series struct {
	laws []flow.Law
}

// NewSeries strings laws together in flow order. Series inside are flattened, and Locals on the same section are merged
// into one with the sum of their coefficients. An empty series drops nothing and is not a law: give it at least one.
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
		case Local:
			s.addLocal(l)
		case *Local:
			s.addLocal(*l)
		default:
			s.laws = append(s.laws, law)
		}
	}
}

func (s *Series) addLocal(l Local) {
	for i, law := range s.laws {
		if have, ok := law.(Local); ok && have.perC == l.perC && have.kneeOpen == l.kneeOpen {
			s.laws[i] = makeLocal(have.coefficient+l.coefficient, l.perC, l.kneeOpen)
			return
		}
	}
	s.laws = append(s.laws, l)
}

// Len is the number of laws after merging.
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
