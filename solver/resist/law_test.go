package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/solver/air"
	"spillway/solver/flow"
)

// anyAir is air from a cold attic to a furnace outlet, from sea level to 3000 m.
func anyAir(r *rapid.T) air.State {
	return air.At(rapid.Float64Range(-40, 90).Draw(r, "°C"), air.Pressure(rapid.Float64Range(0, 3000).Draw(r, "elevation")))
}

// logRange draws evenly over the orders of magnitude.
func logRange(r *rapid.T, name string, low, high float64) float64 {
	return math.Exp(rapid.Float64Range(math.Log(low), math.Log(high)).Draw(r, name))
}

func anyArea(r *rapid.T) float64 { return logRange(r, "area", 1e-3, 1) }

func anyLocal(r *rapid.T) Local {
	return must(NewLocal(logRange(r, "coefficient", 1e-3, 1e7), anyArea(r), anyAir(r)))
}

func anyRating(r *rapid.T) Rating {
	return Rating{
		Drop: logRange(r, "rated drop", 0.1, 500), Flow: logRange(r, "rated flow", 1e-4, 3),
		Exponent: rapid.Float64Range(1, 2).Draw(r, "exponent"),
	}
}

// anyDuct covers smooth to rough, laminar to fully rough, plain and with fittings.
func anyDuct(r *rapid.T) *Duct {
	area := anyArea(r)
	diameter := math.Sqrt(4*area/math.Pi) * rapid.Float64Range(0.5, 1).Draw(r, "D_h share")
	duct := must(NewDuct(DuctData{
		Area: area, Diameter: diameter, Length: rapid.Float64Range(0.1, 30).Draw(r, "length"),
		Roughness: diameter * rapid.SampledFrom(roughnesses).Draw(r, "ε/D"), Multiplier: rapid.Float64Range(1, 6).Draw(r, "multiplier"),
		Local: rapid.Float64Range(0, 5).Draw(r, "C"), Air: anyAir(r),
	}))
	return &duct
}

func anyRelief(r *rapid.T) *Relief {
	set, area, leak, a := logRange(r, "set", 5, 300), anyArea(r), logRange(r, "leak", 0.001, 0.5), anyAir(r)
	stop := rapid.Float64Range(5, 85).Draw(r, "stop")
	if rapid.Bool().Draw(r, "simple") {
		return must(NewSimpleRelief(SimpleReliefData{
			StartPressure: set, FullPressure: set * rapid.Float64Range(1.02, 5).Draw(r, "full"), Area: area, LeakFraction: leak, MaxOpening: stop, Air: a,
		}))
	}
	return must(NewRelief(ReliefData{
		SetPressure: set, ArmAngle: rapid.Float64Range(10, 80).Draw(r, "arm"), Area: area, LeakFraction: leak, MaxOpening: stop, Air: a,
	}))
}

func anyTable(r *rapid.T) FanTable {
	n := rapid.IntRange(2, 12).Draw(r, "rows")
	table := make(FanTable, n)
	static, flow := rapid.Float64Range(-20, 50).Draw(r, "first static"), rapid.Float64Range(0.4, 2).Draw(r, "first flow")
	for i := range table {
		table[i] = FanRow{Static: static, Flow: flow}
		static += rapid.Float64Range(5, 60).Draw(r, "step")
		if rapid.Bool().Draw(r, "falls") { // else level: a table that holds its airflow
			flow *= rapid.Float64Range(0.4, 1).Draw(r, "fall")
		}
	}
	return table
}

func anyDensity(r *rapid.T) float64 { return rapid.Float64Range(0.7, 1.5).Draw(r, "density") }

func anyFan(r *rapid.T) Fan { return must(NewFan(anyTable(r), anyDensity(r))) }

func anyConstantFlow(r *rapid.T) ConstantFlow {
	return must(NewConstantFlow(ConstantFlowData{Flow: rapid.Float64Range(0.1, 1.5).Draw(r, "set"), Limit: anyTable(r), Density: anyDensity(r)}))
}

// lawKind is a law under test: how to draw one and what is true of it.
type lawKind struct {
	name    string
	draw    func(*rapid.T) flow.Law
	passive bool // through the origin
	odd     bool
}

var lawKinds = []lawKind{
	{"duct", func(r *rapid.T) flow.Law { return anyDuct(r) }, true, true},
	{"local", func(r *rapid.T) flow.Law { return anyLocal(r) }, true, true},
	{"opening", func(r *rapid.T) flow.Law { return must(NewOrifice(anyArea(r), TransferOpening, anyAir(r))) }, true, true},
	{"power law", func(r *rapid.T) flow.Law { return must(NewPowerLaw(anyRating(r), anyAir(r))) }, true, true},
	{"filter", func(r *rapid.T) flow.Law {
		return must(NewFilter(anyRating(r), rapid.Float64Range(1, 3).Draw(r, "loading"), anyAir(r)))
	}, true, true},
	{"coil", func(r *rapid.T) flow.Law {
		return must(NewCoil(anyRating(r), rapid.Float64Range(1, 1.5).Draw(r, "wetness"), anyAir(r)))
	}, true, true},
	{"leak", func(r *rapid.T) flow.Law {
		return must(NewLeak(logRange(r, "C", 1e-7, 1e-2), rapid.Float64Range(0.5, 1).Draw(r, "n"), anyAir(r)))
	}, true, true},
	{"series", func(r *rapid.T) flow.Law {
		return NewSeries(anyDuct(r), anyLocal(r), must(NewPowerLaw(anyRating(r), anyAir(r))), anyLocal(r))
	}, true, true},
	{"backdraft", func(r *rapid.T) flow.Law {
		area, a := anyArea(r), anyAir(r)
		return NewBackdraft(must(NewLocal(rapid.Float64Range(0.2, 5).Draw(r, "open"), area, a)), must(NewLocal(logRange(r, "shut", 1e3, 1e6), area, a)))
	}, true, false},
	{"relief", func(r *rapid.T) flow.Law { return anyRelief(r) }, true, false},
	{"fan", func(r *rapid.T) flow.Law { return anyFan(r) }, false, false},
	{"constant flow", func(r *rapid.T) flow.Law { return anyConstantFlow(r) }, false, false},
}

// anyFlow draws a flow of either sign over twelve orders of magnitude.
func anyFlow(r *rapid.T, name string) float64 {
	q := logRange(r, name, 1e-10, 1e2)
	if rapid.Bool().Draw(r, name+" backwards") {
		return -q
	}
	return q
}

func eachLaw(t *testing.T, check func(*rapid.T, lawKind, flow.Law)) {
	for _, kind := range lawKinds {
		t.Run(kind.name, func(t *testing.T) {
			rapid.Check(t, func(r *rapid.T) { check(r, kind, kind.draw(r)) })
		})
	}
}

func TestLawsAreStrictlyIncreasing(t *testing.T) {
	eachLaw(t, func(r *rapid.T, _ lawKind, law flow.Law) {
		a := anyFlow(r, "a")
		b := a + math.Abs(a)*logRange(r, "step", 1e-6, 1e6)
		low, slopeLow := law.Drop(a)
		high, slopeHigh := law.Drop(b)
		assert.Less(r, low, high, "between %g and %g", a, b)
		assert.Positive(r, slopeLow)
		assert.Positive(r, slopeHigh)
	})
}

func TestLawsAtRest(t *testing.T) {
	eachLaw(t, func(r *rapid.T, kind lawKind, law flow.Law) {
		drop, slope := law.Drop(0)
		if kind.passive {
			assert.Zero(r, drop)
		}
		assert.Positive(r, slope)
		assert.False(r, math.IsInf(slope, 0))
	})
}

func TestLawsAreOdd(t *testing.T) {
	eachLaw(t, func(r *rapid.T, kind lawKind, law flow.Law) {
		if !kind.odd {
			return // passes one way by nature, or pushes
		}
		q := anyFlow(r, "q")
		forth, slopeForth := law.Drop(q)
		back, slopeBack := law.Drop(-q)
		assert.Equal(r, forth, -back)
		assert.Equal(r, slopeForth, slopeBack)
	})
}

func TestLawsStayFinite(t *testing.T) {
	eachLaw(t, func(r *rapid.T, _ lawKind, law flow.Law) {
		q := rapid.SampledFrom([]float64{0, math.SmallestNonzeroFloat64, 1e-300, 1e-20, 1e20, 1e90}).Draw(r, "size")
		for _, signed := range []float64{q, -q} {
			drop, slope := law.Drop(signed)
			assert.False(r, math.IsNaN(drop) || math.IsInf(drop, 0), "drop %g at %g", drop, signed)
			assert.False(r, math.IsNaN(slope) || math.IsInf(slope, 0) || slope <= 0, "slope %g at %g", slope, signed)
		}
	})
}

// The slope against the central difference. Where a law has a kink (a blade at its stop, a fan at the end of its table, a
// limit taking over, a backdraft blade at rest) the two sides differ; the difference quotient then lies between them.
func TestLawSlopeIsTheDerivative(t *testing.T) {
	eachLaw(t, func(r *rapid.T, _ lawKind, law flow.Law) {
		q := anyFlow(r, "q")
		h := 1e-5 * math.Abs(q)
		high, slopeHigh := law.Drop(q + h)
		low, slopeLow := law.Drop(q - h)
		middle, slope := law.Drop(q)
		numerical := (high - low) / (2 * h)
		// Round-off of the difference, and what the slope itself changes over the step.
		tolerance := 1e-6*slope + 4e-16*math.Max(math.Abs(middle), 1)/h + math.Abs(slopeHigh-slopeLow)
		assert.InDelta(r, numerical, slope, tolerance, "q = %g", q)
	})
}

// Sharper, where the laws are smooth: fixed laws on a fine grid, to 1e-6.
func TestDuctSlopeOnFineGrid(t *testing.T) {
	for _, rough := range roughnesses {
		for _, local := range []float64{0, 1.5} {
			duct := roundDuct(0.2, 5, 0.2*rough, local, air.Standard())
			for lg := -3.0; lg <= 8; lg += 0.0101 {
				q := math.Pow(10, lg) / duct.reynolds
				assertSlope(t, duct, q, 1e-6)
			}
		}
	}
}

// Just above its start the blade bends the law so sharply that the difference quotient itself is off by 4e-6.
func TestReliefSlopeOnFineGrid(t *testing.T) {
	relief := must(NewRelief(ReliefData{SetPressure: 60, ArmAngle: 30, Area: 0.05, LeakFraction: 0.02, Air: air.Standard()}))
	start, stop := relief.Flow(60), relief.Flow(60*(1+math.Tan(math.Pi/6)*math.Tan(75*math.Pi/180)))
	require.Less(t, start, stop)
	for _, band := range [][2]float64{{1e-6, start * 0.999}, {start * 1.001, stop * 0.999}, {stop * 1.001, 10 * stop}} {
		for i := range 400 {
			assertSlope(t, relief, band[0]*math.Pow(band[1]/band[0], float64(i)/399), 6e-6)
		}
	}
}

// Drop inverts the moment balance and the blade formula to round-off.
func TestReliefInvertsItself(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		relief := anyRelief(r)
		want := relief.set * logRange(r, "pressure over set", 1e-3, 20)
		q := relief.Flow(want)
		got, _ := relief.Drop(q)
		assert.InEpsilon(r, want, got, 1e-11)
		assert.InDelta(r, relief.OpeningAt(want), relief.Opening(q), 1e-6)
		shut, _ := relief.Drop(-q)
		assert.LessOrEqual(r, got, -shut*(1+1e-12), "reverse flow passes by the leak only")
	})
}

func TestFanInvertsItself(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		fan := anyFan(r)
		rise := rapid.Float64Range(-100, 800).Draw(r, "rise")
		got, _ := fan.Drop(fan.FlowAt(rise))
		// Round-off in the flow over the least slope of flow by static.
		assert.InDelta(r, rise, -got, 1e-9*(1+math.Abs(rise)))
	})
}

func TestDropsDoNotAllocate(t *testing.T) {
	r := rapid.Custom(func(r *rapid.T) []flow.Law {
		var laws []flow.Law
		for _, kind := range lawKinds {
			laws = append(laws, kind.draw(r))
		}
		return laws
	})
	for i, law := range r.Example(1) {
		allocations := testing.AllocsPerRun(100, func() { law.Drop(0.3) })
		assert.Zero(t, allocations, lawKinds[i].name)
	}
	j := junctionOf(t, "tee", [2]float64{1, 0.5})
	q, drop, jac := []float64{1, 0.3}, make([]float64, 2), make([]float64, 4)
	assert.Zero(t, testing.AllocsPerRun(100, func() { j.Add(q, drop, jac); j.Edges() }), "junction")
}
