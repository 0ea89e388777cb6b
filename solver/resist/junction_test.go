package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
)

// kindNames are all junctions of the catalogue.
var kindNames = []string{"45-entry tap", "box", "bullhead tee", "conical tee", "tee", "wye 30", "wye 45", "wye 60"}

// areaRatios are run and branch over the common leg.
var areaRatios = [][2]float64{{1, 1}, {1, 0.5}, {1, 0.3}, {1, 0.1}, {0.69, 0.25}, {0.51, 0.413}, {0.5, 0.5}, {0.36, 0.64}, {1.5, 0.8}}

func kindNamed(t require.TestingT, name string) catalog.Junction {
	kind, ok := catalog.LookupJunction(name)
	require.True(t, ok, name)
	return kind
}

// junctionOf has a common leg of 1 m², a sudden change of section to its run and density 2, so that M²/(2ρ) is M²/4 and a velocity pressure of 1 kg/s in the
// common leg 0.25 Pa.
func junctionOf(t require.TestingT, kind string, areas [2]float64) *Junction {
	j, err := NewJunction(JunctionData{
		Run: 3, Branch: 7, CommonArea: 1, RunArea: areas[0], BranchArea: areas[1], Kind: kindNamed(t, kind), Density: 2,
		RunOut: catalog.SuddenChange(1 / areas[0]), RunIn: catalog.SuddenChange(areas[0]),
	})
	require.NoError(t, err)
	return j
}

const unitPressure = 0.25

func (j *Junction) dropsAt(s, b float64) (drop [2]float64, jac [4]float64) {
	j.Add([]float64{s, b}, drop[:], jac[:])
	return drop, jac
}

// Every published point goes through the junction itself, by flows; the evidence is the catalog's. K is on the combined leg's velocity pressure.
func TestPublishedPointsThroughJunctions(t *testing.T) {
	// TP-410 Example 7-35: equal 90° tee, 300 gpm in the run and 100 gpm in the branch, joining. Its two K belong to a
	// share of 0.2506 rather than 0.25, which is 0.002 on the branch.
	drop, _ := junctionOf(t, "tee", [2]float64{1, 1}).dropsAt(-0.75, -0.25)
	assert.InDelta(t, -0.0403, -drop[1]/unitPressure, 0.002, "equal tee joining, q 0.25, branch K")
	assert.InDelta(t, 0.3258, -drop[0]/unitPressure, 0.002, "equal tee joining, q 0.25, run K")

	// Dividing, q 0.2, a 0.25, run 0.69 of the main; C on the leg's own velocity pressure. Tees and wyes of the duct
	// handbook, which differ among makes by more than 0.1.
	for _, c := range []struct {
		kind         string
		want, within float64
	}{{"tee", 1.80, 0.1}, {"wye 45", 0.70, 0.1}, {"conical tee", 0.87, 0.01}, {"45-entry tap", 0.64, 0.05}} {
		drop, _ := junctionOf(t, c.kind, [2]float64{0.69, 0.25}).dropsAt(0.8, 0.2)
		assert.InDelta(t, c.want, drop[1]/unitPressure/0.64, c.within, c.kind+", q 0.2, a 0.25, branch C")
		x := 0.8 / 0.69
		assert.InDelta(t, 0.15, drop[0]/unitPressure/(x*x), 0.03, c.kind+", q 0.2, a 0.25, run C")
	}
	// 45-entry tap at other velocities, Example 8.
	for _, c := range []struct{ v, q, want float64 }{{0.879, 0.25, 0.58}, {1.021, 1.0 / 3, 0.38}} {
		drop, _ := junctionOf(t, "45-entry tap", [2]float64{1, c.q / c.v}).dropsAt(1-c.q, c.q)
		assert.InDelta(t, c.want, drop[1]/unitPressure/(c.v*c.v), 0.05, "45-entry tap, v %.3f, branch C", c.v)
	}
	// Its run; x is the run's velocity over the main's.
	for _, c := range []struct{ x, want float64 }{{0.50, 0.20}, {0.587, 0.17}, {0.667, 0.14}, {0.698, 0.16}, {0.75, 0.13}} {
		drop, _ := junctionOf(t, "45-entry tap", [2]float64{1, 0.4}).dropsAt(c.x, 1-c.x)
		assert.InDelta(t, c.want, drop[0]/unitPressure/(c.x*c.x), 0.031, "45-entry tap, run at x %.3f, C: the points scatter by 0.03", c.x)
	}

	// A 30° wye of united areas joining, Example 9: the formulas miss the branch by 0.36, as they are known to.
	drop, _ = junctionOf(t, "wye 30", [2]float64{0.510, 0.413}).dropsAt(-0.60, -0.40)
	assert.InDelta(t, 0.12, -drop[0]/unitPressure/math.Pow(0.60/0.510, 2), 0.11)
	assert.InDelta(t, 0.21, -drop[1]/unitPressure/math.Pow(0.40/0.413, 2), 0.37) // evidence, and why, in catalog

}

// What no formula of the catalogue gives alone: both ends into the branch, the branch to both ends, and a dead branch, equal areas.
func TestPublishedJunctionsOfTwoModes(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	const opposed = "Idelchik, diagram 7-29, and FDBR handbook"
	tee := junctionOf(t, "tee", [2]float64{1, 1})
	drop, _ := tee.dropsAt(-0.5, 1)
	published(t, "opposed join in halves, K", opposed, 1.25, drop[1]/unitPressure, 1e-9)
	drop, _ = tee.dropsAt(0.5, -1)
	published(t, "branch split in halves, K", opposed, 1.075, -drop[1]/unitPressure, 1e-9)
	assert.InDelta(t, 0, drop[0], 1e-12, "by symmetry")

	// A dead branch: the published sets lie between 0.95 and 1.1 dividing and −1.0 and −0.9 joining.
	drop, _ = tee.dropsAt(1, 0)
	published(t, "equal tee, dead branch, K", "Idelchik, TP-410, Gardel: 0.95 to 1.1", 1, drop[1]/unitPressure, 0.05)
}

// The printed formulas themselves at q where none of them is blended, through every mode of an equal tee.
func TestJunctionModesOfEqualTee(t *testing.T) {
	tee := junctionOf(t, "tee", [2]float64{1, 1})
	branchOut := func(q float64) float64 { return 1 + 0.3*q*q }                              // TP-410
	runOut := func(q float64) float64 { return 2 * (2*q - 1) * q * q }                       // Idelchik, q ≤ 0.5
	branchIn := func(q float64) float64 { return 0.9 * (1 - q) * (1 + q*q - 2*(1-q)*(1-q)) } // Idelchik, q ≤ 0.4
	runIn := func(q float64) float64 { return 1.55*q - q*q }                                 // TP-410
	const q = 0.3
	for _, c := range []struct {
		name        string
		s, b        float64
		run, branch float64 // P_c − P_s, P_c − P_b over the velocity pressure of 1 kg/s
	}{
		{"diverging from common", 1 - q, q, runOut(q), branchOut(q)},
		{"diverging from run", -1, q, -runOut(q), branchOut(q) - runOut(q)},
		{"converging to common", -(1 - q), -q, -runIn(q), -branchIn(q)},
		{"converging to run", 1, -q, runIn(q), runIn(q) - branchIn(q)},
		{"joining into branch", -q, 1, 3*((1-q)*(1-q)-(1-q)) - 3*(q*q-q), 2 + 3*((1-q)*(1-q)-(1-q))},
		{"split from branch", q, -1, 0.3*q*q - 0.3*(1-q)*(1-q), -(1 + 0.3*(1-q)*(1-q))},
	} {
		t.Run(c.name, func(t *testing.T) {
			drop, _ := tee.dropsAt(c.s, c.b)
			assert.InDelta(t, c.run, drop[0]/unitPressure, 1e-12)
			assert.InDelta(t, c.branch, drop[1]/unitPressure, 1e-12)
		})
	}
}

// The combined leg need not be the common one: its own area and velocity pressure count. Branch half the area of the
// main, run 0.8 of it.
func TestJunctionUsesTheCombinedLegsVelocity(t *testing.T) {
	j := junctionOf(t, "tee", [2]float64{0.8, 0.5})
	dynamic := func(area float64) float64 { return unitPressure / (area * area) }

	// From the run into the branch, q 0.3: TP-410, K = 1 + 0.3 v² with v by the run's area.
	v := 0.3 / (0.5 / 0.8)
	drop, _ := j.dropsAt(-1, 0.3)
	assert.InEpsilon(t, (1+0.3*v*v)*dynamic(0.8), drop[1]-drop[0], 1e-9)

	// Both ends into the branch, 0.4 from the run: Idelchik, diagram 7-29, K = 1 + r² + 3r²(e² − e), r = A_c/A_e.
	opposed := func(e, r float64) float64 { return 1 + r*r + 3*r*r*(e*e-e) }
	drop, _ = j.dropsAt(-0.4, 1)
	assert.InEpsilon(t, opposed(0.6, 0.5)*dynamic(0.5), drop[1], 1e-9)
	assert.InEpsilon(t, opposed(0.4, 0.5/0.8)*dynamic(0.5), drop[1]-drop[0], 1e-9)

	// The branch to both ends: K = 1 + 0.3 (V_e/V_c)².
	drop, _ = j.dropsAt(0.4, -1)
	end := 0.6 * 0.5
	assert.InEpsilon(t, (1+0.3*end*end)*dynamic(0.5), -drop[1], 1e-9)
}

// Physics: a branch that passes nothing stands at the static pressure of a main of constant size, whichever way the
// main runs, and whichever side of nothing the branch is on.
func TestDeadBranchSeesStaticPressure(t *testing.T) {
	for _, kind := range kindNames {
		if kind == "box" || kind == "bullhead tee" {
			continue // a box has no velocity, the stem of a bullhead no straight main
		}
		for _, branchArea := range []float64{1, 0.5, 0.2} {
			j := junctionOf(t, kind, [2]float64{1, branchArea})
			for _, s := range []float64{2, -2} {
				for _, b := range []float64{0, 1e-12, -1e-12} {
					drop, _ := j.dropsAt(s, b)
					main := drop[0] // P_c − P_s, lost along the main
					upstream := drop[1]
					if s < 0 {
						upstream -= main // from P_s rather than P_c
					}
					assert.InDelta(t, 4*unitPressure, upstream, 0.02*4*unitPressure, "%s a %g, s %g, b %g", kind, branchArea, s, b)
				}
			}
		}
	}
}

// Walk circles in the plane of the two flows: no jumps. A jump would not shrink with the step, while the slopes found on
// the way bound what a step can honestly change.
func TestJunctionIsContinuousAllRound(t *testing.T) {
	const steps = 20000
	for _, kind := range kindNames {
		for _, areas := range areaRatios {
			j := junctionOf(t, kind, areas)
			var before [2]float64
			steepest, largest := [2]float64{}, [2]float64{}
			for i := range steps + 1 {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / steps)
				drop, jac := j.dropsAt(cos, sin)
				for k := range 2 {
					require.False(t, math.IsNaN(drop[k]) || math.IsInf(drop[k], 0))
					along := math.Abs(-sin*jac[2*k] + cos*jac[2*k+1])
					steepest[k] = max(steepest[k], along)
					if i > 0 {
						largest[k] = max(largest[k], math.Abs(drop[k]-before[k]))
					}
				}
				before = drop
			}
			for k := range 2 {
				assert.LessOrEqual(t, largest[k], 1.01*steepest[k]*2*math.Pi/steps+1e-12, "%s %v drop %d", kind, areas, k)
			}
		}
	}
}

// Right at the six rays where a leg is dead, from both sides.
func TestJunctionMeetsAtDeadLegs(t *testing.T) {
	for _, kind := range kindNames {
		for _, areas := range areaRatios {
			j := junctionOf(t, kind, areas)
			for _, ray := range [][4]float64{ // a point of the ray and a direction across it
				{1, 0, 0, 1}, {-1, 0, 0, 1}, {0, 1, 1, 0}, {0, -1, 1, 0}, {1, -1, 1, 1}, {-1, 1, 1, 1},
			} {
				const h = 1e-9
				on, _ := j.dropsAt(ray[0], ray[1])
				for _, side := range []float64{h, -h} {
					off, jac := j.dropsAt(ray[0]+side*ray[2], ray[1]+side*ray[3])
					for k := range 2 {
						reach := h * (math.Abs(jac[2*k]) + math.Abs(jac[2*k+1]))
						assert.InDelta(t, on[k], off[k], 1e-12+2*reach, "%s %v ray %v drop %d", kind, areas, ray, k)
					}
				}
			}
		}
	}
}

func TestJunctionJacobianIsTheDerivative(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kind := rapid.SampledFrom(kindNames).Draw(r, "kind")
		areas := rapid.SampledFrom(areaRatios).Draw(r, "areas")
		inward := [2]bool{rapid.Bool().Draw(r, "run inward"), rapid.Bool().Draw(r, "branch inward")}
		s, b := rapid.Float64Range(-2, 2).Draw(r, "s"), rapid.Float64Range(-2, 2).Draw(r, "b")
		j := must(NewJunction(JunctionData{
			Run: 0, Branch: 1, RunInward: inward[0], BranchInward: inward[1],
			CommonArea: 1, RunArea: areas[0], BranchArea: areas[1], Kind: kindNamed(r, kind), Density: 2,
		}))
		const h = 1e-6
		// Derivatives have steps where a leg is dead: keep off.
		signS, signB := j.signRun*s, j.signBranch*b
		if min(math.Abs(s), math.Abs(b), math.Abs(signS+signB)) < 3*h {
			return
		}
		_, jac := j.dropsAt(s, b)
		for i, d := range [2][2]float64{{h, 0}, {0, h}} {
			high, _ := j.dropsAt(s+d[0], b+d[1])
			low, _ := j.dropsAt(s-d[0], b-d[1])
			for k := range 2 {
				scale := 1 + math.Abs(jac[2*k]) + math.Abs(jac[2*k+1])
				assert.InDelta(r, (high[k]-low[k])/(2*h), jac[2*k+i], 3e-5*scale, "%s %v drop %d by flow %d", kind, areas, k, i)
			}
		}
	})
}

// Whatever the mode, a junction takes power out of the air: q·drop summed over the legs is not negative, but for the half
// percent of a velocity pressure that interpolation between lifted values and the blends at dead legs may leave.
func TestJunctionNeverMakesPower(t *testing.T) {
	for _, kind := range kindNames {
		for _, areas := range areaRatios {
			j := junctionOf(t, kind, areas)
			worst := 0.0
			for i := range 3600 {
				sin, cos := math.Sincos(math.Pi * float64(i) / 1800)
				drop, _ := j.dropsAt(cos, sin)
				worst = min(worst, (cos*drop[0]+sin*drop[1])/unitPressure)
			}
			assert.GreaterOrEqual(t, worst, -5e-3, "%s %v", kind, areas)
		}
	}
}

// On the return side the ducts' own directions run towards the junction: the same air, the same losses, signs turned.
func TestJunctionOrientation(t *testing.T) {
	kind := kindNamed(t, "wye 45")
	data := JunctionData{Run: 0, Branch: 1, CommonArea: 1, RunArea: 1, BranchArea: 0.5, Kind: kind, Density: 1.2}
	away := must(NewJunction(data))
	data.RunInward, data.BranchInward = true, true
	towards := must(NewJunction(data))
	a, ja := away.dropsAt(-0.7, -0.4)
	b, jb := towards.dropsAt(0.7, 0.4)
	assert.Equal(t, [2]float64{-a[0], -a[1]}, b)
	assert.Equal(t, ja, jb)
	data.BranchInward = false
	mixed := must(NewJunction(data))
	c, jc := mixed.dropsAt(0.7, -0.4)
	assert.Equal(t, [2]float64{-a[0], a[1]}, c)
	assert.Equal(t, [4]float64{ja[0], -ja[1], -ja[2], ja[3]}, jc)
}

func TestJunctionAtRestAndScaling(t *testing.T) {
	j := junctionOf(t, "tee", [2]float64{1, 0.5})
	drop, jac := j.dropsAt(0, 0)
	assert.Zero(t, drop)
	assert.Zero(t, jac)
	one, jacOne := j.dropsAt(0.3, -0.8)
	three, jacThree := j.dropsAt(0.9, -2.4)
	for k := range 2 {
		assert.InEpsilon(t, 9*one[k], three[k], 1e-12)
	}
	for k := range 4 {
		assert.InEpsilon(t, 3*jacOne[k], jacThree[k], 1e-12)
	}
	light := j.At(1)
	thin, _ := light.dropsAt(0.3, -0.8)
	assert.InEpsilon(t, 2*one[0], thin[0], 1e-12)
	// Geometrically similar: three times the areas at three times the flow is the same velocity everywhere.
	data := JunctionData{Run: 3, Branch: 7, CommonArea: 3, RunArea: 3, BranchArea: 1.5, Kind: kindNamed(t, "tee"), Density: 2}
	similar, _ := must(NewJunction(data)).dropsAt(0.9, -2.4)
	for k := range 2 {
		assert.InEpsilon(t, one[k], similar[k], 1e-12)
	}
	// Add adds: what is there stays.
	sum := []float64{5, 6}
	j.Add([]float64{0.3, -0.8}, sum, make([]float64, 4))
	assert.InEpsilon(t, 5+one[0], sum[0], 1e-12)
	assert.Equal(t, []int{3, 7}, j.Edges())
}

func TestJunctionRefusesBadInput(t *testing.T) {
	good := JunctionData{Run: 0, Branch: 1, CommonArea: 1, RunArea: 1, BranchArea: 1, Kind: kindNamed(t, "tee"), Density: 1.2}
	for name, spoil := range map[string]func(*JunctionData){
		"no area":    func(d *JunctionData) { d.BranchArea = 0 },
		"NaN area":   func(d *JunctionData) { d.CommonArea = math.NaN() },
		"one edge":   func(d *JunctionData) { d.Branch = 0 },
		"no density": func(d *JunctionData) { d.Density = 0 },
		"a gain":     func(d *JunctionData) { d.RunIn = -0.1 },
	} {
		bad := good
		spoil(&bad)
		_, err := NewJunction(bad)
		assert.Error(t, err, name)
	}
	_, err := NewJunction(good)
	assert.NoError(t, err)
}

// Between its knots the table must give what the catalogue gives: to the very ends of the modes that a junction is made for, and away from
// the ends of those that are led to them. What is left is the corner of a lifted loss and, at the ends, the catalogue's own ramps of 0.04 and
// 0.05 of the share, of which a knot each 0.02 sees little: 2 % there.
func TestJunctionTableFollowsTheCatalogue(t *testing.T) {
	for _, kind := range kindNames {
		for _, areas := range areaRatios {
			data := JunctionData{CommonArea: 1, RunArea: areas[0], BranchArea: areas[1], Kind: kindNamed(t, kind)}
			data.RunOut, data.RunIn = catalog.SuddenChange(1/areas[0]), catalog.SuddenChange(areas[0])
			table := tabulateModes(&data)
			for m := range modeCount {
				first, last := 0, modeKnots
				for _, dead := range deadLegs {
					if data.Kind.Form == catalog.Bullhead && dead.mode == convergeToCommon {
						dead = dead.turned()
					}
					switch {
					case dead.rare == m && dead.rareEnd == 0:
						first = 8
					case dead.rare == m:
						last = modeKnots - 8
					}
				}
				for i := first; i < last; i++ {
					share := (float64(i) + 0.53) / modeKnots // off every ramp's corner
					want := modeLoss(&data, m, share)
					const h = 1e-6
					low, high := modeLoss(&data, m, share-h), modeLoss(&data, m, share+h)
					steep := 1 + math.Abs(want.run.slope) + math.Abs(want.branch.slope)
					assert.InDelta(t, (high.run.value-low.run.value)/(2*h), want.run.slope, 2e-5*steep, "%s %v mode %d run slope at %g", kind, areas, m, share)
					assert.InDelta(t, (high.branch.value-low.branch.value)/(2*h), want.branch.slope, 2e-5*steep, "%s %v mode %d branch slope at %g", kind, areas, m, share)
					run, branch := table.at(m, share)
					scale := 1 + math.Abs(want.run.value) + math.Abs(want.branch.value)
					within := 3e-3
					if i < 4 || i >= modeKnots-4 {
						within = 2e-2
					}
					assert.InDelta(t, want.run.value, run.value, within*scale, "%s %v mode %d run at %g", kind, areas, m, share)
					assert.InDelta(t, want.branch.value, branch.value, within*scale, "%s %v mode %d branch at %g", kind, areas, m, share)
				}
			}
		}
	}
}

// The loss of the change of section between main and run is RunOut where the air goes to the run and
// RunIn where it comes from there, whichever leg carries all of it; the other of the two changes nothing.
func TestChangeOfSectionIsThatOfTheAirsWay(t *testing.T) {
	for _, kind := range []string{"tee", "wye 45", "conical tee", "45-entry tap"} {
		drops := func(out, in, s, b float64) [2]float64 {
			j, err := NewJunction(JunctionData{Run: 3, Branch: 7, CommonArea: 1, RunArea: 0.5, BranchArea: 0.3,
				Kind: kindNamed(t, kind), Density: 2, RunOut: out, RunIn: in})
			require.NoError(t, err)
			drop, _ := j.dropsAt(s, b)
			return drop
		}
		for _, c := range []struct {
			where string
			s, b  float64 // outflows into run and branch
			toRun bool
		}{
			{"main divides", 0.7, 0.3, true},
			{"main and branch join in the run", 1, -0.3, true},
			{"run and branch join in the main", -0.7, -0.3, false},
			{"run divides", -1, 0.3, false},
		} {
			plain, out, in := drops(0.1, 0.1, c.s, c.b), drops(0.6, 0.1, c.s, c.b), drops(0.1, 0.6, c.s, c.b)
			moved, same := out, in
			if !c.toRun {
				moved, same = in, out
			}
			assert.Equal(t, plain, same, "%s, %s", kind, c.where)
			assert.NotEqual(t, plain, moved, "%s, %s", kind, c.where)
		}
	}
}
