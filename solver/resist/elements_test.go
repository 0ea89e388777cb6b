package resist

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/catalog"
	"spillway/solver/air"
	"spillway/solver/flow"
)

// Far from its knee a local loss is the plain square law; at the knee's own scale it is linear.
func TestLocalIsASquareLaw(t *testing.T) {
	area, a := circle(0.2), air.Standard()
	law := must(NewLocal(0.5, area, a))
	for _, reynolds := range []float64{2e4, 1e5, 1e6} {
		q := reynolds * a.Viscosity * area / 0.2
		velocity := q / a.Density / area
		assert.InEpsilon(t, 0.5*a.Density*velocity*velocity/2, dropOf(law, q), 1e-4, "Re %g", reynolds)
	}
	tiny := 1e-9 * area
	assert.InEpsilon(t, 2*dropOf(law, tiny), dropOf(law, 2*tiny), 1e-6)
}

// reliefZeta is the loss of a hinged round blade with 2 % leaks, by its angle from shut.
func reliefZeta(degrees float64) float64 {
	return catalog.ThinPlateZeta(0.02+0.98*(1-math.Cos(degrees*math.Pi/180)), catalog.OpenBladeZeta)
}

// Definition of inherent leakage: a damper in the bleed state at constant trunk pressure, on a path that loses 0.20
// in.w.c. at 600 fpm with the blade open. Computed from the formula by a separate program.
func TestBleedThroughNearlyShutBlade(t *testing.T) {
	area, a := circle(8*inch), air.Standard()
	velocityPressure := 0.20 * inwc / (a.Density / 2 * math.Pow(600*fpm, 2)) // of the path, in velocity pressures
	full := a.Density * area * 600 * fpm
	for _, c := range []struct{ fromOpen, want float64 }{{45, 0.582}, {60, 0.288}, {75, 0.097}} {
		open, blade := reliefZeta(90), reliefZeta(90-c.fromOpen)
		path := NewSeries(must(NewLocal(velocityPressure-open, area, a)), must(NewLocal(blade, area, a)))
		assert.InDelta(t, c.want, flowOf(t, path, 0.20*inwc, 0, 2*full)/full, 0.003, "%g°", c.fromOpen)
	}
}

// A series is one law of the same flow: what it adds up can be checked leg by leg.
func TestSeriesIsTheSumOfItsParts(t *testing.T) {
	a := air.Standard()
	elbow := must(NewLocal(0.22, circle(0.2), a))
	screen := must(NewLocal(1.65, circle(0.2), a))
	other := must(NewLocal(0.5, circle(0.3), a))
	duct := roundDuct(0.2, 5, steel009, 0, a)
	series := NewSeries(elbow, NewSeries(duct, screen), other)
	assert.Equal(t, 4, series.Len())
	for _, q := range []float64{-0.2, 0, 1e-6, 0.001, 0.5} { // also where all is laminar, to the last digit but one
		want := dropOf(elbow, q) + dropOf(duct, q) + dropOf(screen, q) + dropOf(other, q)
		assert.InDelta(t, want, dropOf(series, q), 1e-15*math.Abs(want))
	}
}

// Physics: at one volume flow an inertial loss goes with density and a viscous one with viscosity.
func TestRatedLawsFollowTheAir(t *testing.T) {
	standard, hot := air.Standard(), air.At(60, air.Pressure(1500))
	const volume = 0.5
	ratio := func(exponent float64) float64 {
		rating := Rating{Drop: 50, Flow: volume, Exponent: exponent}
		return dropOf(must(NewPowerLaw(rating, hot)), volume*hot.Density) / dropOf(must(NewPowerLaw(rating, standard)), volume*standard.Density)
	}
	assert.InEpsilon(t, hot.Density/standard.Density, ratio(2), 1e-6)
	assert.InEpsilon(t, hot.Viscosity/standard.Viscosity, ratio(1), 1e-6)
	assert.InEpsilon(t, 50, dropOf(must(NewPowerLaw(Rating{Drop: 50, Flow: volume, Exponent: 1.5}, standard)), volume*standard.Density), 1e-6)
}

func TestBackdraftPassesOneWay(t *testing.T) {
	area, a := circle(0.2), air.Standard()
	law := NewBackdraft(must(NewLocal(0.5, area, a)), must(NewLocal(5e5, area, a)))
	forth, back := flowOf(t, law, 20, 0, 10), flowOf(t, law, -20, -10, 0)
	assert.InEpsilon(t, math.Sqrt(5e5/0.5), -forth/back, 1e-3)
}

func TestRegulator(t *testing.T) {
	r := Regulator{Set: 100}
	for _, c := range []struct{ sensed, want, slope float64 }{
		{50, 0, 0}, {100, 0, 0}, {100 + catalog.BypassBand/2, 0.5, 1 / catalog.BypassBand}, {100 + catalog.BypassBand, 1, 0}, {300, 1, 0},
	} {
		y, slope := r.Opening(c.sensed)
		assert.InDelta(t, c.want, y, 1e-12, "%g Pa", c.sensed)
		assert.InDelta(t, c.slope, slope, 1e-12, "%g Pa", c.sensed)
	}
	y, _ := Regulator{Set: 100, Band: 20, Rest: 0.5}.Opening(100)
	assert.InDelta(t, 0.5, y, 1e-12)
}

// The simple relief damper at its two pressures and half way.
func TestSimpleRelief(t *testing.T) {
	data := SimpleReliefData{StartPressure: 60, FullPressure: 150, Area: 0.05, LeakFraction: 0.02, Air: air.Standard()}
	r := must(NewSimpleRelief(data))
	assert.Zero(t, r.OpeningAt(60))
	assert.InDelta(t, catalog.ReliefFullOpen/2, r.OpeningAt(105), 1e-9)
	assert.InDelta(t, catalog.ReliefFullOpen, r.OpeningAt(150), 1e-9)
	assert.InDelta(t, catalog.ReliefFullOpen, r.OpeningAt(400), 1e-9)
	data.FullPressure = 0
	assert.InDelta(t, catalog.ReliefFullOpen, must(NewSimpleRelief(data)).OpeningAt(120), 1e-9)
}

// The blade of this package and the catalogue's closed form are one formula.
func TestReliefBladeIsTheCataloguesBlade(t *testing.T) {
	r := must(NewRelief(ReliefData{SetPressure: 60, ArmAngle: 30, Area: 0.05, LeakFraction: 0.02, Air: air.Standard()}))
	for _, degrees := range []float64{0, 1, 10, 30, 60, 75} {
		p, zeta, _, _ := r.blade(degrees * math.Pi / 180)
		assert.InEpsilon(t, reliefZeta(degrees), zeta, 1e-12)
		assert.InDelta(t, math.Tan(degrees*math.Pi/180)*60*math.Tan(math.Pi/6), p-60, 1e-9, "balance of moments")
	}
}

func TestConstructorsRefuseBadNumbers(t *testing.T) {
	a, nan := air.Standard(), math.NaN()
	failure := func(_ any, err error) error { return err }
	for name, err := range map[string]error{
		"duct without area":        failure(NewDuct(DuctData{Length: 1, Air: a})),
		"duct of NaN length":       failure(NewDuct(DuctData{Area: 1, Length: nan, Air: a})),
		"duct rougher than wide":   failure(NewDuct(DuctData{Area: 0.01, Length: 1, Roughness: 0.02, Air: a})),
		"duct without air":         failure(NewDuct(DuctData{Area: 1, Length: 1})),
		"negative coefficient":     failure(NewLocal(-0.1, 1, a)),
		"infinite coefficient":     failure(NewLocal(math.Inf(1), 1, a)),
		"opening of zero":          failure(NewOrifice(0, 0.6, a)),
		"exponent above 2":         failure(NewPowerLaw(Rating{Drop: 1, Flow: 1, Exponent: 2.1}, a)),
		"rating without drop":      failure(NewPowerLaw(Rating{Flow: 1}, a)),
		"leak exponent below half": failure(NewLeak(1e-3, 0.4, a)),
		"arm nearly horizontal":    failure(NewRelief(ReliefData{SetPressure: 50, ArmAngle: 5, Area: 1, LeakFraction: 0.02, Air: a})),
		"relief without leak":      failure(NewRelief(ReliefData{SetPressure: 50, ArmAngle: 30, Area: 1, Air: a})),
		"full below start":         failure(NewSimpleRelief(SimpleReliefData{StartPressure: 50, FullPressure: 40, Area: 1, LeakFraction: 0.02, Air: a})),
		"blower without flow":      failure(NewConstantFlow(ConstantFlowData{Density: 1.2})),
		"fan without rows":         failure(NewFan(nil, 1.2)),
		"stall fan without rows":   failure(NewStallFan(nil, 1.2)),
	} {
		assert.Error(t, err, name)
	}
	// What is allowed at the edge: no loss at all still gives a law.
	open := must(NewLocal(0, 1, a))
	_, slope := open.Drop(0)
	assert.Positive(t, slope)
	short := must(NewDuct(DuctData{Area: 1, Air: a}))
	_, slope = short.Drop(0)
	assert.Positive(t, slope)
	var _ flow.Law = &short
}
