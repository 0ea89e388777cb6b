package flow

import "math"

// merit chooses the length of the step in place, leaving the laws evaluated there as the trial.
type merit func(*Solver) error

// Constants of the search along the step.
const (
	searchMost = 60
	// A step is long enough when the slope has fallen to this part of what it was at the start.
	searchCurvature = 0.5
	// One step in so many halves the bracket, whatever the secant says: a law can be steeper past a kink by decades.
	searchHalve = 2
	// So many evaluations are spent on ending past the root.
	searchPatience = 8
	// A full step may end slightly past the least content when the estimate of the gap has fallen as well: the
	// quadratic phase of Newton's method.
	searchPast = 0.1
	searchFall = 0.5
	// After so many iterations without progress it may no more: across a kink the content can rise by such a step as much as the next one
	// makes it fall.
	searchStrict = 4
	// A step cut to less than this makes the next one use chords.
	searchCurtailed = 0.25
	// When the estimate of the gap is outside these parts of the power, and where the residual is more than this part of the drop,
	// secants take the place of tangents.
	secantBelow = 1e-7
	secantAbove = 0.45
	secantOver  = 0.05
	// Below this part of the power the gap is met and the slopes are round-off: any step will do.
	searchNoise = 1e-14
	// But not one along which the content may have risen by more than this part of the power: past a kink even such a step can go far.
	searchRise = 1e-12
)

// slopeMerit finds a step t with 0 < t ≤ 1 from the slope of the content along it,
//
//	s(t) = (φ(q + t δq) − u)·δq
//
// which rises with t because every law rises, from s(0) = −Σ φ′ δq² < 0. While s ≤ 0 the content falls, so t = 1 is taken when
// s(1) ≤ 0, or when s(1) is small and the estimate of the gap has fallen (the quadratic phase). Otherwise the root of s is
// bracketed, by false position (Illinois variant: M. Dowell and P. Jarratt, BIT 11 (1971) 168–174, cited from memory) and
// halving in turn, until a t is found past the root by so little that the content has fallen for certain: with t₁ < t₂ < … the
// steps so far at which s ≤ 0, the last of them t₀,
//
//	F(t) − F(0) ≤ Σ s(t_k) (t_k − t_k₋₁) + s(t) (t − t₀)
//
// since s rises. Ending past the root matters where laws have kinks: a step that stops short of one would be followed by
// another with the same slopes. If that takes long, a t with s(t) in [−½|s(0)|, 0] will do. The potential itself is never
// needed, nor any inverse of a law, and no small difference of large numbers is formed.
func slopeMerit(s *Solver) error {
	start := s.startSlope
	before := -start // what estimate was, at the new pressures
	if err := s.evaluateAt(1); err != nil {
		return err
	}
	noise := searchNoise*s.power + s.noisePower
	if s.slope <= 0 || (before <= noise && s.slope <= searchRise*s.power) || (s.stalled < searchStrict && s.slope <= -searchPast*start && s.estimate <= searchFall*before) {
		return nil
	}
	if start >= 0 { // not downhill: only with couplings, or at round-off
		if s.couple.active() && !s.frozen {
			return residualMerit(s)
		}
		return nil
	}
	lo, weightLo := 0.0, start
	hi, weightHi := 1.0, s.slope
	fallen := 0.0 // bound on F(lo) − F(0): the slope at the end of each stretch times its length
	last := 0     // which end moved last
	for k := range searchMost {
		t := lo - weightLo*(hi-lo)/(weightHi-weightLo)
		if k%searchHalve == searchHalve-1 {
			t = lo + (hi-lo)/2
		}
		margin := 1e-3 * (hi - lo)
		t = min(max(t, lo+margin), hi-margin)
		if t <= lo || t >= hi {
			break
		}
		if err := s.evaluateAt(t); err != nil {
			return err
		}
		if s.slope > 0 {
			if s.slope*(t-lo) <= -fallen/2 {
				s.curtailed = t < searchCurtailed
				return nil
			}
			hi, weightHi = t, s.slope
			if last == 1 {
				weightLo /= 2
			}
			last = 1
			continue
		}
		if k >= searchPatience && s.slope >= searchCurvature*start {
			s.curtailed = t < searchCurtailed
			return nil
		}
		fallen += s.slope * (t - lo)
		lo, weightLo = t, s.slope
		if last == -1 {
			weightHi /= 2
		}
		last = -1
	}
	s.curtailed = true
	return s.evaluateAt(lo)
}

// chords raises the slopes in place, for the next step only, to those of the chords over the step just taken, which was cut short. A
// law with a steep part between flat ones would otherwise throw Newton's method to and fro across the steep part, each step
// cut short at once, to the loss of all the other edges; the chord knows what lies between. Any positive slopes make the
// step one along which the content falls.
func (s *Solver) chords() {
	s.curtailed = false
	if s.couple.active() && !s.frozen {
		return
	}
	for e := s.first; e < len(s.conductance); e++ {
		w := s.conductance[e]
		// The state before the step is where accept put it.
		dq, df := s.flow[e]-s.trialFlow[e], s.drop[e]-s.trialDrop[e]
		if chord := dq / df; chord > 0 && chord < w {
			s.conductance[e] = chord
		}
	}
}

// secants puts secants in the place of tangents where Newton's method would only halve the flow each time. That is so at the end, on edges
// of nearly no flow, as bridges between two like branches are (the more edges a network has, the nearer to balance is one of them); and at
// the beginning, after a first step that went far too far: where laws of second power have drops far above what the pressures ask for,
// the estimate comes near half the power. There the pressures know better than the flow: the slope is put to the secant from
// the flow q in place to the flow x = q √(u/φ(q)) at which a law of second power would give the pressure difference u in place,
//
//	w = (q − x)/(φ(q) − u) = q/(φ(q) (1 + √(u/φ(q))))
//
// and, where u has turned, to the one through rest at x = −q √|u/φ(q)|. It takes one step where both ends of the edge are held, and
// costs no evaluation of a law. As any positive slopes do, these make the content fall along the step. Laws of power less than
// about 1.5 keep their tangents.
func (s *Solver) secants() {
	if s.couple.active() && !s.frozen {
		return
	}
	for e := s.first; e < len(s.flow); e++ {
		q, f, w := s.flow[e], s.drop[e], s.conductance[e]
		r := f - s.push[e]
		if !(math.Abs(r) > secantOver*math.Abs(f)) || !(f*q > 0) || !(math.Abs(q) > 1.5*math.Abs(f)*w) {
			continue
		}
		ratio := s.push[e] / f
		root := math.Sqrt(math.Abs(ratio))
		secant := q / (f * (1 + root))
		if ratio < 0 {
			secant = q * (1 + root) / r
		}
		if secant > 0 && finite(secant) {
			s.conductance[e] = secant
		}
	}
}
