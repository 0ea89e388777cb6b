package state

// secant helps turns that come to rest on their way: from the last two states and what the map made of them it goes on to where, along the
// line through the two, the map would move least,
//
//	x ← g − γ Δg,   γ = d·Δd / Δd·Δd,   d = g − x
//
// with g the images and Δ the difference from the turn before: Anderson's method with a memory of one (see mixer) and full steps. A turn that
// moves what is left by some λ of it, the same for all, is brought to rest at once.
type secant struct {
	image, away []float64 // of the last turn
	has         bool
}

func (s *secant) begin() { s.has = false }

// step replaces x by the next state, given what the map makes of it: that image, or where the secant leads when help is wanted.
func (s *secant) step(x, image []float64, help bool) {
	if len(s.image) != len(x) {
		s.image, s.away = make([]float64, len(x)), make([]float64, len(x))
		s.has = false
	}
	gamma := 0.0
	if help && s.has {
		along, square := 0.0, 0.0
		for i, g := range image {
			d := g - x[i]
			change := d - s.away[i]
			along += d * change
			square += change * change
		}
		if square > 0 {
			gamma = along / square
		}
	}
	for i, g := range image {
		last := s.image[i]
		s.image[i], s.away[i] = g, g-x[i]
		x[i] = g
		if gamma != 0 {
			x[i] -= gamma * (g - last)
		}
	}
	s.has = true
}
