package resist

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
)

// The usual state of a zoned house: the other zone's run is nearly dead, all the air turns into the branch, q near 1.

// gardel is K between the combined leg and the branch, from memory: sharp edges, angle in degrees.
func gardel(divides bool, angle, a, q float64) float64 {
	tan, cos := math.Tan(angle*math.Pi/360), math.Cos(angle*math.Pi/180)
	p := 1 - q
	if divides {
		return 0.95*p*p + q*q*(1.3*tan-0.3+(0.4-0.1*a)/(a*a)) + 0.4*q*p*(1+a)/a*tan
	}
	return -0.92*p*p - q*q*(1.2*(cos/a-1)+0.8*(1-1/(a*a))-(1/a-1)*cos) + (2-a)*q*p
}

// unified is the method of Mynard and Valen-Sendstad (2015, in the listing corrected in 2016) for three legs: volume flows in, areas and
// directions outward. It returns p_tot,i − p_tot,j from each leg i that brings air to each leg j that takes it, over ρ/2. It takes any
// angles, areas and directions and knows no modes, so it is a second source for the ends of ours. Typed by us.
func unified(flow, area, direction [3]float64) (lost [3][3]float64) {
	var total, energy, sin, cos, mean, collectors float64
	for i, q := range flow {
		if q <= 0 {
			mean += direction[i]
			collectors++
			continue
		}
		total += q
		energy += q * q / area[i]
		sin += q * math.Sin(direction[i])
		cos += q * math.Cos(direction[i])
	}
	wrap := func(x float64) float64 { return math.Remainder(x, 2*math.Pi) }
	mean /= collectors
	if math.Abs(wrap(math.Atan2(sin, cos)-mean)) < math.Pi/2 {
		mean += math.Pi
	}
	from := wrap(math.Atan2(sin, cos) - mean) // of the air that comes, the mean of what goes being 0
	for j, q := range flow {
		if q > 0 {
			continue
		}
		to, share := wrap(direction[j]-mean), max(-q/total, 1e-12)
		sign := 0.0
		if to != 0 {
			sign = math.Copysign(1, to) * math.Copysign(1, from)
		}
		exchange := (0.8*(math.Pi-math.Abs(from))*sign - 0.2) * (1 - share)
		speed := (1 - exchange) * energy / total
		ratio := total / speed / area[j]
		turn := math.Mod(from-to+2*math.Pi, 2*math.Pi)
		c := (1 - math.Exp(-share/0.02)) * (1 - math.Cos(0.75*(math.Pi-turn))/(ratio*share))
		for i, in := range flow {
			if in > 0 {
				lost[i][j] = 2*c*math.Pow(q/area[j], 2) + math.Pow(in/area[i], 2) - math.Pow(q/area[j], 2)
			}
		}
	}
	return lost
}

// unifiedBranch is K between the combined leg c and a branch at an angle, run of the main's size.
func unifiedBranch(divides bool, angle, a, q float64) float64 {
	area, direction := [3]float64{1, 1, a}, [3]float64{math.Pi, 0, angle * math.Pi / 180}
	if divides {
		return unified([3]float64{1, q - 1, -q}, area, direction)[0][2]
	}
	return unified([3]float64{-1, max(1-q, 1e-9), q}, area, direction)[2][0]
}

// What we typed gives the values of another one of the same method.
func TestComputedUnifiedMethod(t *testing.T) {
	for _, c := range []struct {
		divides  bool
		angle, q float64
		want     float64
	}{
		{true, 90, 0.05, 0.98}, {true, 90, 0.1, 0.96}, {true, 90, 0.5, 0.95}, {true, 90, 0.9, 1.15}, {true, 90, 0.98, 1.22},
		{true, 45, 0.05, 0.93}, {true, 45, 0.1, 0.86}, {true, 45, 0.5, 0.47}, {true, 45, 0.9, 0.33}, {true, 45, 1, 0.34},
		{false, 45, 0.1, -0.63}, {false, 45, 0.5, 0.29}, {false, 45, 0.9, 0.40}, {false, 45, 1, 0.34}, {false, 90, 0.95, 1.14},
	} {
		assert.InDelta(t, c.want, unifiedBranch(c.divides, c.angle, 1, c.q), 0.006, "divides %v, %g degrees, q %g", c.divides, c.angle, c.q)
	}
}

// kindAngles are the kinds with a form for each way that other sources know by their angle.
var kindAngles = []struct {
	kind  string
	angle float64
}{{"tee", 90}, {"wye 60", 60}, {"wye 45", 45}, {"wye 30", 30}}

func branchK(t require.TestingT, kind string, a, q float64, divides bool) float64 {
	sign := 1.0
	if !divides {
		sign = -1
	}
	drop, _ := junctionOf(t, kind, [2]float64{1, a}).dropsAt(sign*(1-q), sign*q)
	return sign * drop[1] / unitPressure
}

// A tee whose run is dead is a mitre elbow with a blind pocket: the junction of the network, not its formula, is held to the elbow table and
// to the two published forms that print this end. Sources scatter by 0.2 between themselves.
func TestPublishedDeadRun(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	elbows := map[string]float64{"tee": 1.2, "wye 60": 0.55, "wye 45": 0.34, "wye 30": 0.16}
	for _, k := range kindAngles {
		published(t, k.kind+", run dead, dividing, K as a mitre elbow", "HVAC systems duct design manual, 4th ed., Table A-7 C", elbows[k.kind],
			branchK(t, k.kind, 1, 1, true), 0.101, "another fitting, the elbow that a tee with a dead run is")
	}
	const fdbr = "FDBR handbook (seen second-hand)"
	published(t, "equal tee, run dead, dividing, K", "TP-410, Flow of Fluids", 1.3, branchK(t, "tee", 1, 1, true), 1e-3)
	published(t, "equal tee, run dead, dividing, K, second source", fdbr, 1.477, branchK(t, "tee", 1, 1, true), 0.2)
	published(t, "equal wye 45, run dead, dividing, K", fdbr, 0.63, branchK(t, "wye 45", 1, 1, true), 0.3, "published sets differ by 0.3 here: Idelchik 0.35, Gardel 0.54, FDBR 0.63")
	published(t, "equal tee, run dead, joining, K", "Idelchik, diagram 7-1", 1.1, branchK(t, "tee", 1, 1, false), 1e-3)
	published(t, "equal tee, run dead, joining, K, second source", fdbr, 1.01, branchK(t, "tee", 1, 1, false), 0.2)
	published(t, "equal wye 45, run dead, joining, K", fdbr, 0.44, branchK(t, "wye 45", 1, 1, false), 0.2, "published sets of sharp junctions differ by 0.2")
}

// On the way to the dead run, and near the dead branch: ours lies among the sources, or out of them by no more than they scatter: 0.2
// velocity pressures, and for branches under 0.8 of the main 30 % of K (Idelchik's narrow wye of 30 degrees lies 29 % under the unified
// method, which decides the 30). Dividing and joining, five area ratios.
func TestComputedJunctionEndsLieAmongTheSources(t *testing.T) {
	// Idelchik's joining forms lie far below the others where a slanted branch is narrow. They are printed for this case, so they are
	// kept; that they are the low end of what is published is said in LIMITS.
	known := func(divides bool, angle, a, q float64) bool { return !divides && angle <= 60 && a < 0.7 && q >= 0.9 }
	outside := 0
	for _, k := range kindAngles {
		for _, a := range []float64{1, 0.77, 0.6, 0.5, 0.36} {
			for _, q := range []float64{0, 0.02, 0.05, 0.1, 0.9, 0.94, 0.95, 0.97, 0.98, 1} {
				for _, divides := range []bool{true, false} {
					ours := branchK(t, k.kind, a, q, divides)
					one, two := gardel(divides, k.angle, a, q), unifiedBranch(divides, k.angle, a, q)
					band := 0.2
					if a < 0.8 {
						band = max(band, 0.30*math.Max(math.Abs(one), math.Abs(two)))
					}
					if known(divides, k.angle, a, q) {
						outside++
						assert.Greater(t, ours, 0.2*min(one, two), "%s a %g q %g", k.kind, a, q)
						continue
					}
					what := fmt.Sprintf("%s, divides %v, a %g, q %g: %.3f beside %.3f and %.3f", k.kind, divides, a, q, ours, one, two)
					assert.GreaterOrEqual(t, ours, min(one, two)-band, what)
					assert.LessOrEqual(t, ours, max(one, two)+band, what)
				}
			}
		}
	}
	assert.Equal(t, 3*3*6, outside)
}

// A dead leg is at rest: straight ahead it sees between the total and the static pressure of the air that passes its mouth, at the side the
// static pressure; and in no mode does it see more than the total pressure of the air that comes. The leg of a bullhead stands across.
func TestDeadLegSeesBetweenStaticAndTotal(t *testing.T) {
	for _, kind := range kindNames {
		side := kindNamed(t, kind).Form == catalog.SideBranch
		for _, areas := range areaRatios {
			j := junctionOf(t, kind, areas)
			lost := func(s, b float64) (run, branch float64) {
				drop, _ := j.dropsAt(s, b)
				return drop[0] / unitPressure, drop[1] / unitPressure
			}
			run, _ := lost(0, 1)
			assert.GreaterOrEqual(t, run, 0.0, "%s %v dead run", kind, areas)
			assert.LessOrEqual(t, run, 1.0, "%s %v dead run", kind, areas)
			if side {
				assert.InDelta(t, 0.4, run, 0.11, "%s %v dead run: 0.30 to 0.43", kind, areas)
				_, branch := lost(1, 0)
				assert.InDelta(t, 1, branch, 1e-12, "%s %v dead branch, dividing", kind, areas)
				if areas[0] == 1 {
					_, branch = lost(-1, 0)
					assert.InDelta(t, 1, branch, 1e-12, "%s %v dead branch, joining", kind, areas)
				}
			}
			for i, ray := range [][2]float64{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, -1}, {-1, 1}} {
				s, b := lost(ray[0], ray[1])
				pressure, flow := [3]float64{0, -s, -b}, [3]float64{-ray[0] - ray[1], ray[0], ray[1]} // flow out
				source, dead := math.Inf(-1), 0.0
				for leg := range 3 {
					switch {
					case flow[leg] < 0:
						source = max(source, pressure[leg])
					case flow[leg] == 0:
						dead = pressure[leg]
					}
				}
				assert.LessOrEqual(t, dead, source+1e-9, "%s %v, ray %d", kind, areas, i)
			}
		}
	}
}

// Two standard deviations of a junction's scatter move an equal tee or wye by 0.2 velocity pressures and a narrow branch by 30 % of its K, and
// nothing where the branch is dead; most of what the other sources say of such a junction lies within.
func TestScatterCoversTheSources(t *testing.T) {
	inside, all := 0, 0
	for _, k := range kindAngles {
		for _, a := range []float64{1, 0.77, 0.6, 0.5, 0.36} {
			off := JunctionData{Run: 3, Branch: 7, CommonArea: 1, RunArea: 1, BranchArea: a, Kind: kindNamed(t, k.kind), Density: 2, Deviation: 2}
			for _, q := range []float64{0, 0.2, 0.3, 0.5, 0.7, 0.9, 1} {
				for _, sign := range []float64{1, -1} {
					ours := branchK(t, k.kind, a, q, sign > 0)
					drop, _ := must(NewJunction(off)).dropsAt(sign*(1-q), sign*q)
					moved := sign*drop[1]/unitPressure - ours
					want := 0.2
					if q == 0 {
						want = 0
					} else if a < 0.8 {
						want = max(want, 0.3*math.Abs(ours))
					}
					// A joining that would make pressure is lifted, so it moves by less.
					assert.LessOrEqual(t, moved, want+0.02, "%s a %g q %g sign %g", k.kind, a, q, sign)
					if sign > 0 || a >= 0.8 {
						assert.GreaterOrEqual(t, moved, want-0.02, "%s a %g q %g sign %g", k.kind, a, q, sign)
					}
					if q == 0 {
						continue
					}
					for _, other := range []float64{gardel(sign > 0, k.angle, a, q), unifiedBranch(sign > 0, k.angle, a, q)} {
						all++
						if math.Abs(other-ours) <= want {
							inside++
						}
					}
				}
			}
		}
	}
	t.Logf("%d of %d values of other sources within two standard deviations", inside, all)
	assert.Greater(t, float64(inside)/float64(all), 0.7)
}
