package sound_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/evidencetest"
	"spillway/solver/sound"
)

func TestPublishedNCExample(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	rating := sound.RateNC(row(61, 56, 54, 50, 44, 43, 39, 34))
	published(t, "classroom, NC", "acoustics textbook, Example 6.3", 46, rating.Number, 0.5)
	assert.Equal(t, 500.0, sound.Centre(rating.Band))
}

// The printed curves, typed a second time from Beranek's table by the column instead of by the row, so
// that a slip in one of them shows.
func TestPublishedNCCurves(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	columns := [sound.Bands][12]float64{
		{47, 51, 54, 57, 60, 64, 67, 71, 74, 77, 80, 83},
		{36, 40, 44, 48, 52, 56, 60, 64, 67, 71, 75, 79},
		{29, 33, 37, 41, 45, 50, 54, 58, 62, 67, 71, 75},
		{22, 26, 31, 35, 40, 45, 49, 54, 58, 63, 68, 72},
		{17, 22, 27, 31, 36, 41, 46, 51, 56, 61, 66, 71},
		{14, 19, 24, 29, 34, 39, 44, 49, 54, 59, 64, 70},
		{12, 17, 22, 28, 33, 38, 43, 48, 53, 58, 63, 69},
		{11, 16, 21, 27, 32, 37, 42, 47, 52, 57, 62, 68},
	}
	for i := range 12 {
		number := float64(15 + 5*i)
		for band, level := range sound.Curve(number) {
			published(t, fmt.Sprintf("NC %g, %g Hz", number, sound.Centre(band)),
				"Beranek, Noise Control 3 (1957)", columns[band][i], level, 0)
		}
	}
}

// Every printed curve rates as its own number, and one band on the curve with the rest under it governs.
func TestComputedNCSelfTest(t *testing.T) {
	for number := 15.0; number <= 70; number += 5 {
		curve := sound.Curve(number)
		published(t, fmt.Sprintf("curve NC %g rates as", number), "Beranek's curves", number, sound.RateNC(curve).Number, 1e-12)
		for band := range curve {
			levels := curve.Raised(-4)
			levels[band] = curve[band]
			rating := sound.RateNC(levels)
			assert.InDelta(t, number, rating.Number, 1e-12)
			assert.Equal(t, band, rating.Band)
			assert.Equal(t, number > 70, rating.Above)
			assert.Equal(t, number < 15, rating.Below)
		}
	}
}

func TestNCBeyondTheCurves(t *testing.T) {
	quiet := sound.RateNC(sound.Curve(15).Raised(-6))
	assert.True(t, quiet.Below)
	assert.InDelta(t, 9, quiet.Number, 1e-12)
	loud := sound.RateNC(sound.Curve(70).Raised(6))
	assert.True(t, loud.Above)
	assert.InDelta(t, 76, loud.Number, 1e-12)
	silent := sound.RateNC(sound.Silence())
	assert.True(t, silent.Below)
}

// A spectrum with rumble: RC 37, NC 46 at 250 Hz, 48.6 dBA. It also hisses by the letter of the rule: 31.0 dB at 4 kHz
// is 4.1 over the line of 36.9 − 10.
func TestComputedRumblySpectrum(t *testing.T) {
	levels := row(54.8, 55.1, 54.9, 44.8, 34.0, 31.9, 31.0, 29.9)
	rc := sound.RateRC(levels)
	published(t, "RC", fromFormula, 36.9, rc.Number, 0.05)
	published(t, "250 Hz over the RC line", fromFormula, 8.0, rc.LowExcess, 0.05)
	assert.Equal(t, "RC 37(RH)", rc.String())
	nc := sound.RateNC(levels)
	published(t, "NC", fromFormula, 46.1, nc.Number, 0.05)
	assert.Equal(t, 250.0, sound.Centre(nc.Band))
	published(t, "dBA", fromFormula, 48.6, levels.DBA(), 0.05)
}

// The rule of the room criterion: 5 dB over the line below, 3 dB above, both counted as more than.
func TestPublishedRCLetters(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	neutral := row(50, 45, 40, 35, 30, 25, 20, 15) // the line of RC 30 itself
	source := guide + ", RC method"
	for _, c := range []struct {
		name   string
		change func(*sound.Spectrum)
		want   string
	}{
		{"on the line", func(*sound.Spectrum) {}, "RC 30(N)"},
		{"4.9 dB over at 125 Hz", func(s *sound.Spectrum) { s[1] += 4.9 }, "RC 30(N)"},
		{"5.1 dB over at 125 Hz", func(s *sound.Spectrum) { s[1] += 5.1 }, "RC 30(R)"},
		{"2.9 dB over at 4 kHz", func(s *sound.Spectrum) { s[6] += 2.9 }, "RC 30(N)"},
		{"3.1 dB over at 4 kHz", func(s *sound.Spectrum) { s[6] += 3.1 }, "RC 30(H)"},
		{"both", func(s *sound.Spectrum) { s[0] += 6; s[7] += 6 }, "RC 30(RH)"},
	} {
		levels := neutral
		c.change(&levels)
		evidencetest.Text(t, c.name, source, c.want, sound.RateRC(levels).String())
	}
}

// The total of the whole-system sheet, which its book only says meets NC 30.
func TestComputedNCOfTheSheet(t *testing.T) {
	rating := sound.RateNC(row(55, 45, 32, 26, 23, 25, 22, 12))
	published(t, "tangent NC of the printed total", fromFormula, 26.7, rating.Number, 0.05)
	assert.Equal(t, 63.0, sound.Centre(rating.Band))
}

func TestComputedDBAOfCurves(t *testing.T) {
	for _, c := range []struct{ nc, dBA float64 }{{25, 35.6}, {30, 39.8}, {35, 44.2}, {40, 49.0}} {
		published(t, fmt.Sprintf("dBA of curve NC %g", c.nc), fromFormula, c.dBA, sound.Curve(c.nc).DBA(), 0.05)
	}
}

// The A-weighting of IEC 61672-1 (annex E) at the exact mid-band frequencies 1000·10^(3n/10); the standard's table has it to 0.1 dB.
func TestComputedAWeighting(t *testing.T) {
	weighting := func(f float64) float64 {
		square := f * f
		r := 12194.217 * 12194.217 * square * square /
			((square + 20.598997*20.598997) * math.Sqrt((square+107.65265*107.65265)*(square+737.86223*737.86223)) * (square + 12194.217*12194.217))
		return 20*math.Log10(r) + 2.0
	}
	for band := range sound.Bands {
		alone := sound.Silence()
		alone[band] = 60
		published(t, fmt.Sprintf("A-weighting at %g Hz", sound.Centre(band)), "IEC 61672-1, formula of the weighting", weighting(1000*math.Pow(10, 0.3*float64(band-4))), alone.DBA()-60, 0.06)
	}
}

// "NC 25 to 35, 34 to 42 dBA" for homes: the A-weighted level of the exact curves, which touch in every band, may be a
// little higher than the book's pairs.
func TestPublishedHomeCriteria(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	source := "Egan, Architectural Acoustics, noise criteria for rooms"
	published(t, "dBA that goes with NC 25", source, 34, sound.Curve(25).DBA(), 2.5)
	published(t, "dBA that goes with NC 35", source, 42, sound.Curve(35).DBA(), 2.5)
}

func TestPublishedSums(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	source := "any text on acoustics; n equal sources"
	for _, c := range []struct {
		n    int
		gain float64
	}{{2, 3.0}, {3, 4.8}, {4, 6.0}, {5, 7.0}, {6, 7.8}} {
		sources := make([]sound.Spectrum, c.n)
		for i := range sources {
			sources[i] = sound.Even(40)
		}
		published(t, fmt.Sprintf("%d equal sources", c.n), source, c.gain, sum(sources...)[3]-40, 0.05)
	}
	assert.Equal(t, sound.Silence(), sum())
}
