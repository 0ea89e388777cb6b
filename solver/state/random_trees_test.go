package state_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
)

// Random supply and return trees against an independent reference, which takes the flows at the ends as given, sums them up the tree and
// sweeps down again for the pressures. It shares no code with the program: friction, junctions and changes of section are written afresh
// below, from the published forms and without the program's ramps between their pieces.

// limb is a round duct of a random tree: it ends at an opening, or goes straight on with a branch at its side.
type limb struct {
	name           string
	size, length   float64 // in, ft
	local          float64 // coefficient of its own fittings
	drop, at       float64 // of its opening, Pa at L/s of standard air
	kind           string  // of the junction at its end
	branch, onward *limb
	flow           float64 // m³/s
}

// grow makes a random limb and what hangs on it.
func grow(r *rand.Rand, name string, size float64, depth int) *limb {
	l := &limb{name: name, size: size, length: 4 + 16*r.Float64(), local: math.Round(r.Float64()*10) / 10, at: 30 + 60*r.Float64(), drop: 10 + 50*r.Float64()}
	if depth == 0 {
		return l
	}
	l.kind = []string{"tee", "wye 30", "wye 45", "wye 60"}[r.IntN(4)]
	onward := max(4, size-float64(r.IntN(3)))
	branch := max(4, size-1-float64(r.IntN(4)))
	l.branch = grow(r, name+"b", branch, r.IntN(depth))
	l.onward = grow(r, name+"s", onward, r.IntN(depth))
	return l
}

// write adds the limb's line to a job, and those beyond it.
func (l *limb) write(b *strings.Builder, parent string, fittings []string, supply bool) {
	to, opening := "from", "register"
	if !supply {
		to, opening = "to", "grille"
	}
	fittings = append(fittings, fmt.Sprintf("C = %g", l.local))
	fmt.Fprintf(b, "%s = { %s = %q, size = \"%g in\", length = \"%.3f ft\", fittings = [\"%s\"]", l.name, to, parent, l.size, l.length, strings.Join(fittings, `", "`))
	if l.branch == nil {
		fmt.Fprintf(b, ", %s = { size = \"%g in\", drop = \"%.3f Pa\", at = \"%.3f l/s\" }, zone = \"all\"", opening, l.size, l.drop, l.at)
	}
	b.WriteString(" }\n")
	if l.branch != nil {
		l.branch.write(b, l.name, []string{l.kind}, supply)
		l.onward.write(b, l.name, []string{"straight on"}, supply)
	}
}

// take sets the flows at the ends from the solution and sums them up the tree.
func (l *limb) take(flows map[string]float64) float64 {
	l.flow = flows[l.name]
	if l.branch != nil {
		l.flow = l.branch.take(flows) + l.onward.take(flows)
	}
	return l.flow
}

// ends calls found with the loss from the root to each opening; entry is the loss coefficient that the limb has where it meets its parent.
func (l *limb) ends(lost float64, supply bool, found func(*limb, float64)) {
	const density, viscosity = 1.2041, 1.8134e-5 // air of 18.8 °C and 50 % at sea level
	d := l.size * 0.0254
	area := math.Pi / 4 * d * d
	v := l.flow / area
	pv := density / 2 * v * v
	lost += pv * (colebrook(v*d*density/viscosity, 0.00009/d)*l.length*0.3048/d + l.local)
	if l.branch == nil {
		found(l, lost+l.drop*math.Pow(l.flow*1000/l.at, 2)*density/1.2014)
		return
	}
	q := l.branch.flow / l.flow
	a, s := math.Pow(l.branch.size/l.size, 2), math.Pow(l.onward.size/l.size, 2)
	angle := map[string]float64{"tee": 90, "wye 30": 30, "wye 45": 45, "wye 60": 60}[l.kind]
	branch, run := joining(angle, q, a, s)
	if supply {
		branch, run = dividing(angle, q, a, s)
	}
	l.branch.ends(lost+branch*pv, supply, found)
	l.onward.ends(lost+run*pv, supply, found)
}

func colebrook(re, rough float64) float64 {
	if re < 2300 {
		return 64 / re
	}
	x := 7.0 // 1/√f
	for range 60 {
		x = -2 * math.Log10(rough/3.7+2.51*x/re)
	}
	return 1 / (x * x)
}

// dividing is K of branch and run on the main's velocity pressure: TP-410 for the tee, Idelchik's section 7 for wyes up to 60 degrees, his τ for
// a tee's run with 0.14 of the run's own velocity pressure where it is smaller, and 0.13 x² + 0.75 (1 − 2x)² + 0.01 for a wye's.
func dividing(angle, q, a, s float64) (branch, run float64) {
	v, x := q/a, (1-q)/s
	if angle == 90 {
		tau := 0.4
		if a > 0.4 {
			if tau = 0.3 * (2*q - 1); q <= 0.5 {
				tau = 2 * (2*q - 1)
			}
		}
		return 1 + 0.3*v*v, tau*q*q + 0.14*x*x*min((1-s)/0.1, 1)
	}
	factor := 0.85
	switch {
	case a <= 0.35 && q <= 0.4:
		factor = 1.1 - 0.7*q
	case a > 0.35:
		factor = max(1-0.6*q, 0.64)
		if q > 0.6 {
			factor = 0.6
		}
	}
	slow := max(1-2*max(x, 0.125), 0)
	return factor * (1 + v*v - 2*v*math.Cos(angle*math.Pi/180)), 0.13*x*x + 0.75*slow*slow + 0.01
}

// joining is K of branch and run on the main's velocity pressure: Idelchik's section 7 and TP-410, with the older forms where run and branch
// together are as large as the main and evenly between; the run's own air pays for its widening by 30 degrees (Rennels: 0.796 of a sudden one).
func joining(angle, q, a, s float64) (branch, run float64) {
	cos, sin, p := math.Cos(angle*math.Pi/180), math.Sin(angle*math.Pi/180), 1-q
	if angle == 90 {
		cos = 0
	}
	united := min((1-s)/a, 1)
	factor := 0.55
	switch {
	case a <= 0.35:
		factor = 1
	case q <= 0.4:
		factor = 0.9 * p
	}
	added := func(table [5]float64) float64 {
		at := [5]float64{0.06, 0.1, 0.2, 0.33, 0.5}
		for i := 1; i < 5; i++ {
			if a <= at[i] {
				return table[i-1] + (table[i]-table[i-1])*max(a-at[i-1], 0)/(at[i]-at[i-1])
			}
		}
		return table[4]
	}
	moreBranch, moreRun := 0.0, 0.0
	switch angle {
	case 90:
		moreBranch = added([5]float64{0, 0, 0.1, 0.2, 0.25})
	case 60:
		moreBranch = added([5]float64{0, 0, 0, 0, 0.1})
	case 45:
		moreRun = added([5]float64{0, 0.05, 0.14, 0.14, 0.3})
	}
	branch = (factor+united*(1-factor))*(1+q*q/(a*a)-2*p*p/s-2*q*q/a*cos) + united*moreBranch
	run = 1.55*q - q*q
	if angle < 90 {
		st := 0.5
		if a <= 0.35 || q > 0.6 {
			st = 0.8 * q
		}
		run = 1 - p*p - (1.4-q)*q*q*sin - 2*st*q/a*cos
	}
	run += united * (1 - p*p - 2*q*q/a*cos + moreRun - run)
	return branch, run + 0.796*math.Pow(1/s-1, 2)*p*p
}

func TestRandomTreesAgainstAReference(t *testing.T) {
	const trees = 200
	paths, widened, worst := 0, 0, 0.0
	for seed := range trees {
		r := rand.New(rand.NewPCG(uint64(seed), 12))
		supply, back := grow(r, "u", 14, 1+r.IntN(3)), grow(r, "r", 16, 1+r.IntN(3))
		var b strings.Builder
		b.WriteString(`
units = "si"
[site]
elevation = 0
[weather]
test = { mode = "fan", indoor = "18.8 C" }
[equipment]
heating  = { output = "6 kW", tap = "all" }
fan      = { tap = "all" }
included = ["filter", "coil"]
[blower]
kind   = "multi-tap"
static = [0, 100, 200, 400]
tap.all = { airflow = [500, 450, 380, 200], watts = [100, 100, 100, 100] }
[zone]
all = { damper = "gate", wants = "300 l/s" }
[damper]
gate = {}
[supply]
`)
		supply.write(&b, "supply plenum", []string{"flush entry"}, true)
		b.WriteString("idle = { from = \"supply plenum\", damper = \"gate\", size = \"4 in\", length = 1, register = { size = \"4 in\", drop = 200, at = \"3 l/s\" }, zone = \"all\" }\n[return]\n")
		back.write(&b, "return plenum", nil, false)
		g := networktest.Build(t, fmt.Sprintf("tree-%d.toml", seed), []byte(b.String()), network.Options{})
		o := statetest.Quick(t, g, "fan: all")

		flows := map[string]float64{}
		for i, e := range g.Elements {
			if e.Kind == network.KindRegister || e.Kind == network.KindGrille {
				flows[e.Line] = o.Elements[i].Flow / o.Elements[i].Density
			}
		}
		for _, side := range []struct {
			root     *limb
			supply   bool
			pressure float64
			extra    float64 // coefficient at the plenum
		}{
			{supply, true, chamber(t, o, network.SupplyPlenum), 0.5},
			{back, false, -chamber(t, o, network.ReturnPlenum), 1},
		} {
			total := side.root.take(flows)
			area := math.Pi / 4 * math.Pow(side.root.size*0.0254, 2)
			plenum := side.extra * 1.2041 / 2 * math.Pow(total/area, 2)
			side.root.ends(plenum, side.supply, func(l *limb, lost float64) {
				paths++
				off := math.Abs(lost-side.pressure) / side.pressure
				worst = max(worst, off)
				assert.InDelta(t, side.pressure, lost, 0.015*side.pressure+0.3, "tree %d, %s\n%s", seed, l.name, b.String())
			})
			if side.root.onward.size < side.root.size {
				widened++
			}
		}
		if t.Failed() {
			return
		}
	}
	require.Greater(t, paths, 4*trees/2)
	require.Greater(t, widened, trees/2, "runs of another size than their main")
	t.Logf("%d paths, the worst %.2f %% off", paths, 100*worst)
}

// chamber is the pressure in a plenum, Pa.
func chamber(t *testing.T, o *state.Outcome, name string) float64 {
	t.Helper()
	for i, n := range o.Graph.Nodes {
		if n.Kind == network.Chamber && n.Name == name {
			return o.Nodes[i].Total
		}
	}
	require.Fail(t, "no such chamber", name)
	return 0
}
