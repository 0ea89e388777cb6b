package flow

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Answers in closed form: algebra, no publication needed.

func TestClosedFanAgainstQuadratic(t *testing.T) {
	// h0 + b q + a q² = R q²  ⇒  q = (b + √(b² + 4(R−a)h0)) / (2(R−a))
	const h0, b, a = 250, -100, -500
	for _, r := range []float64{1, 100, 1000, 5000, 1e7} {
		for _, scale := range []float64{0, 1e-3, .05, 1, 1e3} {
			t.Run(fmt.Sprintf("R=%g scale=%g", r, scale), func(t *testing.T) {
				want := (b + math.Sqrt(b*b+4*(r-a)*h0)) / (2 * (r - a))
				_, s := network(t, 2, []Edge{{0, 1}, {1, 0}}, []int{0},
					&Problem{Laws: []Law{quadraticMachine{h0, b, a}, Power{r, 2, 1e-9}}, Known: []float64{101325}, Scale: scale})
				assert.InEpsilon(t, want, s.Flow[0], 1e-9)
				assert.InEpsilon(t, want, s.Flow[1], 1e-9)
				assert.InEpsilon(t, 101325+r*want*want, s.Pressure[1], 1e-12)
				assert.True(t, s.Certificate.Isolated)
				assert.False(t, s.Certificate.Coupled)
			})
		}
	}
}

func TestClosedSeriesAndParallel(t *testing.T) {
	// n-power laws: series resistances add; in parallel R^(−1/n) add.
	for _, n := range []float64{1, 1.5, 1.85, 2} {
		t.Run(fmt.Sprintf("n=%g", n), func(t *testing.T) {
			r := []float64{3, 7, 20, .5}
			law := func(r float64) Law { return Power{r, n, 1e-9} }
			// 0 → 1 by r0; 1 → 2 by r1 and r2 side by side; 2 → 3 by r3.
			_, s := network(t, 4, []Edge{{0, 1}, {1, 2}, {1, 2}, {2, 3}}, []int{0, 3},
				&Problem{Laws: []Law{law(r[0]), law(r[1]), law(r[2]), law(r[3])}, Known: []float64{100, 0}})
			whole := r[0] + r[3] + math.Pow(math.Pow(r[1], -1/n)+math.Pow(r[2], -1/n), -n)
			assert.InEpsilon(t, math.Pow(100/whole, 1/n), s.Flow[0], 1e-9)
		})
	}
}

func TestClosedBalancedBridge(t *testing.T) {
	// Two equal halves (100 then 50, 200 then 100): nothing crosses, and each side carries by 1/√R.
	edges := []Edge{{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}}
	for _, eps := range []float64{1e-3, 1e-4, 1e-6, 1e-9, 1e-12} {
		t.Run(fmt.Sprintf("eps=%g", eps), func(t *testing.T) {
			law := func(r float64) Law { return Power{r, 2, eps} }
			s, got := network(t, 4, edges, []int{3}, &Problem{Laws: []Law{law(100), law(200), law(10), law(50), law(100)},
				Known: []float64{0}, Injection: []float64{1, 0, 0, 0}})
			// ε shifts the split by a relative ε²/2; beyond that the flow is known as well as its interval says.
			lo, hi := s.Interval(0)
			assert.InDelta(t, 1/(1+math.Sqrt(.5)), got.Flow[0], eps*eps+math.Max(hi-lo, 1e-9))
			lo, hi = s.Interval(2)
			assert.LessOrEqual(t, lo, 0.0)
			assert.GreaterOrEqual(t, hi, 0.0)
			// The cross flow at a gap g lies within (g/(0.195 R))^(1/3): here the interval must be that narrow.
			assert.Less(t, hi-lo, 1e-3)
			assert.LessOrEqual(t, got.Iterations, 20)
		})
	}
}

func TestClosedScaling(t *testing.T) {
	// With n-power laws only, k times the machine's constant rise gives k^(1/n) times every flow.
	edges := []Edge{{0, 1}, {1, 2}, {2, 3}, {1, 3}, {3, 0}}
	for _, n := range []float64{1.2, 1.9, 2} {
		laws := []Law{Power{5, n, 1e-12}, Power{20, n, 1e-12}, Power{7, n, 1e-12}, Power{90, n, 1e-12}, Power{2, n, 1e-12}}
		_, one := network(t, 4, edges, []int{0}, &Problem{Laws: laws, Known: []float64{0}, Source: []float64{10, 0, 0, 0, 0}})
		_, many := network(t, 4, edges, []int{0}, &Problem{Laws: laws, Known: []float64{0}, Source: []float64{730, 0, 0, 0, 0}})
		for e := range edges {
			assert.InEpsilon(t, math.Pow(73, 1/n), many.Flow[e]/one.Flow[e], 1e-8)
		}
	}
}

func TestClosedFanLawsOfSimilarity(t *testing.T) {
	// q ∝ N, P ∝ N² against an n = 2 system: the operating flow is proportional to speed.
	machine := func(speed float64) Law { return quadraticMachine{250 * speed * speed, -100 * speed, -500} }
	solve := func(speed float64) float64 {
		_, s := network(t, 2, []Edge{{0, 1}, {1, 0}}, []int{0}, &Problem{Laws: []Law{machine(speed), Power{800, 2, 1e-9}}, Known: []float64{0}})
		return s.Flow[0]
	}
	assert.InEpsilon(t, 1.7*solve(1), solve(1.7), 1e-9)
}

func TestClosedBuoyantLoop(t *testing.T) {
	// Two stacks of different density in a loop without a machine: R q² = g H (ρ₂ − ρ₁), total resistance of both legs.
	const g, height, light, heavy = 9.81, 6, 1.10, 1.20
	_, s := network(t, 2, []Edge{{0, 1}, {1, 0}}, []int{0}, &Problem{Laws: []Law{Power{30, 2, 1e-9}, Power{45, 2, 1e-9}},
		Known: []float64{0}, Source: []float64{-g * height * light, g * height * heavy}})
	assert.InEpsilon(t, math.Sqrt(g*height*(heavy-light)/75), s.Flow[0], 1e-9)
}

func TestClosedAtRest(t *testing.T) {
	// Nothing drives: nothing flows.
	edges := []Edge{{0, 1}, {1, 2}, {2, 0}, {1, 3}}
	laws := []Law{Power{5, 2, 1e-4}, Power{20, 1.6, 1e-4}, Power{7, 2, 1e-4}, Power{9, 2, 1e-4}}
	for _, scale := range []float64{0, 1} {
		_, s := network(t, 4, edges, []int{0}, &Problem{Laws: laws, Known: []float64{-40}, Scale: scale})
		for e, q := range s.Flow {
			assert.InDelta(t, 0, q, 1e-9, "edge %d", e)
		}
		for _, p := range s.Pressure {
			assert.InDelta(t, -40, p, 1e-9)
		}
	}
}

func TestClosedGapOfQuadratic(t *testing.T) {
	// For φ = R|q|q + smoothing the content is known: Φ = R/3 [(q²+ε²)^(3/2) − ε³], and the gap term is Φ(q) − Φ(x) − u(q − x). The
	// bound from drops alone must never be below it, and no more than 3.2 times it once residuals are small.
	content := func(l Power, q float64) float64 {
		return l.R / 3 * (math.Pow(q*q+l.Eps*l.Eps, 1.5) - math.Pow(l.Eps, 3))
	}
	inverse := func(l Power, u float64) float64 {
		v := u / l.R
		d2 := l.Eps * l.Eps
		return math.Copysign(math.Sqrt(2*v*v/(d2+math.Sqrt(d2*d2+4*v*v))), u)
	}
	top, err := New(4, []Edge{{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}}, []int{3})
	require.NoError(t, err)
	laws := []Power{{.4, 2, 1e-3}, {.6, 2, 1e-3}, {.1, 2, 1e-3}, {.5, 2, 1e-3}, {.7, 2, 1e-3}}
	p := &Problem{Known: []float64{0}, Injection: []float64{47, 0, 0, 0}, Scale: 10}
	for _, l := range laws {
		p.Laws = append(p.Laws, l)
	}
	s := top.NewSolver()
	_, err = s.Solve(p, nil)
	require.NoError(t, err)
	for _, off := range []float64{1e-5, 1e-3, .1, 3} {
		// Spoil the solution along a loop, so that it stays balanced, and certify it as it stands.
		s.flow[top.place[0]] += off
		s.flow[top.place[2]] += off
		s.flow[top.place[1]] -= off
		copy(s.trialFlow, s.flow)
		require.NoError(t, s.evaluate())
		s.accept()
		require.NoError(t, s.certify())
		exact := 0.0
		for i, l := range laws {
			e := top.place[i]
			x := inverse(l, s.push[e])
			exact += content(l, s.flow[e]) - content(l, x) - s.push[e]*(s.flow[e]-x)
		}
		assert.GreaterOrEqual(t, s.certificate.Gap, exact*(1-1e-9)-1e-12, "off by %g", off)
		if off < 1 {
			assert.LessOrEqual(t, s.certificate.Gap, 3.2*exact+1e-10, "off by %g", off)
		}
	}
}

func TestClosedIntervalHoldsForSpoiltFlows(t *testing.T) {
	// The same network with flows spoilt along a loop: the true flows, from the tight solve, must lie inside each interval.
	top, err := New(4, []Edge{{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}}, []int{3})
	require.NoError(t, err)
	p := &Problem{Known: []float64{0}, Injection: []float64{47, 0, 0, 0}, Scale: 10}
	for _, r := range []float64{.4, .6, .1, .5, .7} {
		p.Laws = append(p.Laws, Power{r, 2, 1e-3})
	}
	s := top.NewSolver()
	tight, err := s.Solve(p, nil)
	require.NoError(t, err)
	tight = tight.Clone()
	for _, off := range []float64{1e-5, 1e-3, .1, 3, -3} {
		for e, q := range tight.Flow {
			s.trialFlow[top.place[e]] = q
		}
		s.trialFlow[top.place[0]] += off
		s.trialFlow[top.place[2]] += off
		s.trialFlow[top.place[1]] -= off
		require.NoError(t, s.evaluate())
		s.accept()
		require.NoError(t, s.certify())
		for e, q := range tight.Flow {
			lo, hi := s.Interval(e)
			assert.True(t, lo <= q && q <= hi, "off by %g: edge %d: %g not in %g..%g", off, e, q, lo, hi)
			assert.Less(t, hi-lo, 40*math.Abs(off)+5*math.Cbrt(s.certificate.Gap/(.195*p.Laws[e].(Power).R)), "the interval should be useful")
		}
	}
}
