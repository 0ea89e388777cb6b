package independent_test

import "math"

// Junctions as published: K is a loss from or to the leg that carries the whole, in its velocity
// pressures. q is the share of the branch, a and s the areas of branch and run over that of the
// whole.

const cos45, sin45 = math.Sqrt2 / 2, math.Sqrt2 / 2

// pieces joins two printed pieces that miss each other a little at q = at, by a straight line over
// 0.05 on either side.
func pieces(q, at float64, below, above func(q float64) float64) float64 {
	const half = 0.05
	share := math.Min(math.Max((q-at+half)/(2*half), 0), 1)
	return (1-share)*below(q) + share*above(q)
}

// divideBranch is the branch of a 45° wye: Idelchik, section 7.
func divideBranch(q, a float64) float64 {
	constant := func(x float64) func(float64) float64 { return func(float64) float64 { return x } }
	factor := 0.0
	if a <= 0.35 {
		factor = pieces(q, 0.4, func(q float64) float64 { return 1.1 - 0.7*q }, constant(0.85))
	} else {
		factor = pieces(q, 0.6, func(q float64) float64 { return 1 - 0.6*q }, constant(0.6))
	}
	v := q / a
	return (1 + near(q)*(factor-1)) * (1 + v*v - 2*v*cos45)
}

// near is how far a branch is from dead, 1 from 5 % of the flow on. A dead branch has one loss
// whatever the junction, the main's velocity pressure; the printed factors are led to it over that
// share (our choice of width, no source).
func near(q float64) float64 { return math.Min(math.Max(q/0.05, 0), 1) }

// divideRun is the run of a wye or tap: a fit to the handbook's Tables 10 and 11 and its Example 8,
// ducts.md 6.1; a dead run sees 0.43 velocity pressures less than the total (0.3 to 0.58 are
// published, evidence.md 2.3). The fit has a reducer in it; where the branch is dead the run is
// that reducer and nothing else: 0.05 of its own velocity pressure to half the area (duct design
// manual of 1990, Table 14-12), in proportion to none.
func divideRun(q, s float64) float64 {
	x := (1 - q) / s
	reducer := 0.05 * (1/s - 1) * x * x
	fit := math.Min(0.13*x*x+0.75*math.Pow(math.Max(0, 1-2*x), 2)+0.01, 0.43)
	return (1-near(q))*reducer + near(q)*fit
}

// joining is how far the areas are from a run of the size of the whole, 0, to run and branch that
// together are as large as the whole, 1: the two cases that are published. Between them the
// coefficient is taken in proportion (our choice, no source).
func joining(a, s float64) float64 { return math.Min(math.Max((1-s)/a, 0), 1) }

// joinBranch is the branch of a 45° wye: Idelchik, section 7; the factor is 1 where the areas add
// up (1960).
func joinBranch(q, a, s float64) float64 {
	factor := 1.0
	if a > 0.35 {
		factor = pieces(q, 0.4, func(q float64) float64 { return 0.9 * (1 - q) }, func(float64) float64 { return 0.55 })
	}
	factor = 1 + near(q)*(factor-1)
	share := joining(a, s)
	v := q / a
	return ((1-share)*factor + share) * (1 + v*v - 2*(1-q)*(1-q)/s - 2*q*q/a*cos45)
}

// joinRun is the run: Idelchik (2006) where it is of the size of the whole, his older form where
// the areas add up, with its addition K_s of 0.3 for 45° and wide branches; and the widening of the
// run's own air into the whole (Borda and Carnot), once.
func joinRun(q, a, s float64) float64 {
	drag := 0.8 * q
	if a > 0.35 {
		drag = pieces(q, 0.6, func(float64) float64 { return 0.5 }, func(q float64) float64 { return 0.8 * q })
	}
	same := 1 - (1-q)*(1-q) - (1.4-q)*q*q*sin45 - 2*drag*q/a*cos45
	united := 1 - (1-q)*(1-q) - 2*q*q/a*cos45 + 0.3
	share, widening := joining(a, s), 1/s-1
	return (1-share)*same + share*united + (1-q)*(1-q)*widening*widening
}
