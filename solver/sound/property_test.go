package sound_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/evidencetest"
	"spillway/solver/sound"
)

// fixed is a source of fixed geometry and loss coefficient, as a function of velocity: pressures follow its square.
type fixed struct {
	name string
	at   func(velocity float64) source
}

// drawFixed draws one of every kind of source.
func drawFixed(t *rapid.T) []fixed {
	area := math.Exp(rapid.Float64Range(math.Log(0.003), math.Log(1)).Draw(t, "log area"))
	loss := math.Exp(rapid.Float64Range(math.Log(0.05), math.Log(1500)).Draw(t, "log loss"))
	length := rapid.Float64Range(0.02, 1).Draw(t, "length")
	disturbed := rapid.Bool().Draw(t, "disturbed")
	ratio := rapid.Float64Range(0.3, 4).Draw(t, "velocity ratio")
	shape := sound.OutletShape(rapid.IntRange(0, 1).Draw(t, "shape"))
	blades := sound.Blades(rapid.IntRange(0, 1).Draw(t, "blades"))
	number := rapid.Float64Range(10, 50).Draw(t, "rated NC")
	drop := func(v float64) float64 { return 0.6 * loss * v * v }
	return []fixed{
		{"outlet", func(v float64) source {
			return sound.Outlet{Flow: v * area, FaceArea: area, Drop: drop(v), Shape: shape}
		}},
		{"rated outlet", func(v float64) source {
			return sound.Rated{NC: number, RatedFlow: 2 * area, FaceArea: area, Flow: v * area, Shape: shape}
		}},
		{"damper", func(v float64) source {
			return sound.Damper{Flow: v * area, Area: area, Height: length, Drop: drop(v), Blades: blades}
		}},
		{"take-off", func(v float64) source {
			return sound.TakeOff{BranchFlow: v * area, BranchArea: area, MainVelocity: ratio * v, Disturbed: disturbed}
		}},
	}
}

func levels(t *rapid.T, f fixed, velocity float64) sound.Spectrum {
	s, _, err := f.at(velocity).Power()
	require.NoError(t, err, f.name)
	for _, level := range s {
		require.False(t, math.IsNaN(level) || math.IsInf(level, 0) || level < sound.Floor, "%s at %g m/s: %v", f.name, velocity, s)
	}
	return s
}

// More air through the same parts is never quieter in any band, the direction does not matter, a millionth more flow
// changes a level by next to nothing, and a breath so slight that it is nothing is silence.
func TestSourcesGrowWithVelocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		velocity := math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(15)).Draw(t, "log velocity"))
		factor := rapid.Float64Range(1, 2).Draw(t, "factor")
		for _, f := range drawFixed(t) {
			slow, fast := levels(t, f, velocity), levels(t, f, velocity*factor)
			near, back := levels(t, f, velocity*(1+1e-6)), levels(t, f, -velocity)
			for band := range slow {
				require.GreaterOrEqual(t, fast[band], slow[band]-1e-9, "%s, band %d", f.name, band)
				// The steepest level here grows by some 300 dB per decade, 1.3e-4 dB for a millionth; ten times that is a jump.
				require.InDelta(t, slow[band], near[band], 2e-3, "%s, band %d", f.name, band)
			}
			require.Equal(t, slow, back, f.name)
			require.Equal(t, sound.Silence(), levels(t, f, 0), f.name)
			require.Equal(t, sound.Silence(), levels(t, f, 1e-12), f.name)
		}
	})
}

// The damper at a fixed angle of a fixed drop is continuous in the drop too: no step where a formula changes over.
func TestDamperIsContinuousInDrop(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		damper := sound.Damper{Flow: 0.1, Area: 0.03, Height: 0.2, Blades: sound.Blades(rapid.IntRange(0, 1).Draw(t, "blades"))}
		drop := math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(1e4)).Draw(t, "log drop"))
		damper.Drop = drop
		before := power(t, damper)
		damper.Drop = drop * (1 + 1e-6)
		after := power(t, damper)
		for band := range before {
			require.InDelta(t, before[band], after[band], 2e-3)
		}
	})
}

func drawSpectrum(t *rapid.T, name string) (s sound.Spectrum) {
	for band := range s {
		s[band] = rapid.Float64Range(sound.Floor, 120).Draw(t, name)
	}
	return s
}

// A sum is never below its loudest part, does not care about order, and grows with every part.
func TestSumsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawSpectrum(t, "a"), drawSpectrum(t, "b"), drawSpectrum(t, "c")
		total, other := sum(a, b, c), sum(c, a, b)
		for band := range total {
			require.GreaterOrEqual(t, total[band], max(a[band], b[band], c[band]))
			require.LessOrEqual(t, total[band], max(a[band], b[band], c[band])+10*math.Log10(4))
			require.InDelta(t, total[band], other[band], 1e-9)
			require.GreaterOrEqual(t, total.Overall(), total[band])
		}
	})
}

// Attenuation added anywhere on the way never raises anything, nor does noise added lower it; the rating follows.
func TestAttenuationNeverRaises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := drawSpectrum(t, "source")
		stages := make([]stage, rapid.IntRange(1, 5).Draw(t, "stages"))
		for i := range stages {
			stages[i] = stage{positive(drawSpectrum(t, "loss")), drawSpectrum(t, "own")}
		}
		before := carry(source, stages...)
		at := rapid.IntRange(0, len(stages)).Draw(t, "at")
		more := append(append(append([]stage{}, stages[:at]...), quiet(positive(drawSpectrum(t, "extra")))), stages[at:]...)
		after := carry(source, more...)
		louder := carry(source, append(stages, stage{own: drawSpectrum(t, "noise")})...)
		for band := range before {
			require.LessOrEqual(t, after[band], before[band]+1e-9)
			require.GreaterOrEqual(t, louder[band], before[band])
		}
		require.LessOrEqual(t, sound.RateNC(after).Number, sound.RateNC(before).Number+1e-9)
		require.LessOrEqual(t, after.DBA(), before.DBA()+1e-9)
	})
}

func positive(s sound.Spectrum) sound.Spectrum {
	for band := range s {
		s[band] = math.Abs(s[band]) / 4
	}
	return s
}

// Losses of ducts and bends are never negative, and a longer duct takes no less.
func TestLossesGrowWithLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		length := rapid.Float64Range(0, 10).Draw(t, "length")
		longer := length + rapid.Float64Range(0, 5).Draw(t, "more")
		a := rapid.Float64Range(0.08, 1.2).Draw(t, "a")
		b := rapid.Float64Range(0.08, 1.2).Draw(t, "b")
		lining := rapid.Float64Range(0.0127, 0.0762).Draw(t, "lining")
		ducts := func(l float64) []passage {
			round, flat := sound.RoundSection(a), sound.RectangularSection(a, b)
			return []passage{
				sound.BareDuct{Section: round, Length: l}, sound.BareDuct{Section: flat, Length: l},
				sound.LinedDuct{Section: round, Length: l, Lining: lining}, sound.LinedDuct{Section: flat, Length: l, Lining: lining},
				sound.FlexDuct{Diameter: a, Length: l},
			}
		}
		short, long := ducts(length), ducts(longer)
		for i := range short {
			s, l := loss(t, short[i]), loss(t, long[i])
			for band := range s {
				require.GreaterOrEqual(t, s[band], 0.0)
				require.GreaterOrEqual(t, l[band], s[band]-1e-9, "%T, band %d", short[i], band)
			}
		}
		for _, p := range []passage{
			sound.Bend{Kind: sound.BendKind(rapid.IntRange(0, 3).Draw(t, "kind")), Width: a}, sound.DuctEnd{Area: a * b},
			sound.Split{Branch: min(a, b), All: a + b, Main: rapid.Float64Range(0.05, 3).Draw(t, "main")},
		} {
			for _, decibels := range loss(t, p) {
				require.GreaterOrEqual(t, decibels, 0.0)
			}
		}
	})
}

// The curve of a number rates as the number, wherever it lies.
func TestNCInvertsItsCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-80, 120).Draw(t, "number")
		require.InDelta(t, number, sound.RateNC(sound.Curve(number)).Number, 1e-9)
	})
}

// A throttled damper adds more the more it is throttled, least upstream.
func TestThrottledGrows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ratio := rapid.Float64Range(0.5, 9).Draw(t, "ratio")
		var gains [3]float64
		for place := range gains {
			gain, _, err := sound.Throttled(sound.DamperPlace(place), ratio)
			require.NoError(t, err)
			more, _, err := sound.Throttled(sound.DamperPlace(place), ratio*1.000001)
			require.NoError(t, err)
			require.GreaterOrEqual(t, more, gain)
			require.InDelta(t, gain, more, 1e-3)
			gains[place] = gain
		}
		require.GreaterOrEqual(t, gains[0], gains[1])
		require.GreaterOrEqual(t, gains[1], gains[2])
	})
}

// Common practice: the noise of a fixed part rises 15 to 18 dB when the velocity doubles. Outlets are at the upper end;
// dampers go past it a little, since their noise also moves up in frequency.
func TestPublishedRisePerDoubling(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	const source = "common practice, 15 to 18 dB"
	outlet := func(v float64) sound.Spectrum {
		return power(t, sound.Outlet{Flow: 0.026 * v, FaceArea: 0.026, Drop: 4 * v * v})
	}
	rated := sound.FlowGain(sound.OutletGrowth, 1, 2)
	damper := func(v float64) sound.Spectrum {
		return power(t, sound.Damper{Flow: 0.0324 * v, Area: 0.0324, Height: 0.203, Drop: 2 * v * v})
	}
	published(t, "outlet, 1.5 to 3 m/s", source, 18, outlet(3).Overall()-outlet(1.5).Overall(), 0.5)
	published(t, "rated outlet", source, 18, rated, 0.5)
	published(t, "zone damper, 2 to 4 m/s", source, 18, damper(4).Overall()-damper(2).Overall(), 1.2)
	// Long also says 15 dB less for twice the face at the same flow and the same ξ: 60 log 2 less 10 log 2.
	evidencetest.Of(t, evidencetest.Formula)
	bigger := power(t, sound.Outlet{Flow: 0.026 * 3, FaceArea: 0.052, Drop: 9})
	published(t, "twice the face area, same flow", long+", ch. 13", -15, bigger.Overall()-outlet(3).Overall(), 0.5)
}
