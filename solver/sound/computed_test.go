package sound_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/evidencetest"
	"spillway/solver/sound"
)

// The tests of this file check arithmetic and unit conversion: the wanted numbers were worked out by hand from the
// formulas in the units in which they are printed (feet, inches of water), not read in a source. Inputs of the damper
// cases are published.

func TestComputedOutlet(t *testing.T) {
	outlet := sound.Outlet{Flow: 312 * cfm, FaceArea: 4 * ft2, Drop: 0.05 * inwc, Shape: sound.Rectangular, PeakInBand: true}
	octaves(t, "24 × 24 in., rectangular shape", fromFormula, []float64{33.4, 32.4, 29.1, 23.6, 15.9, 5.9, -6.4, -21.0}, power(t, outlet), 0.1)

	face := 4 * 10 * inch * inch
	for _, c := range []struct {
		cfm, drop, level, peak float64
		want                   []float64
		nc, ncBedroom, dBA     float64
	}{
		{100, 0.050, 33.6, 293, []float64{23.0, 26.5, 27.8, 26.8, 23.6, 18.1, 10.3, 0.3}, 11.6, 15, 22},
		{150, 0.1125, 44.2, 439, []float64{27.7, 33.5, 37.1, 38.3, 37.4, 34.1, 28.6, 20.9}, 25.5, 30, 35},
		{200, 0.200, 51.7, 586, []float64{35.2, 41.0, 44.6, 45.8, 44.9, 41.6, 36.1, 28.4}, 33.9, 38, 43},
	} {
		name := fmt.Sprintf("4 × 10 in. register, %g cfm", c.cfm)
		outlet := sound.Outlet{Flow: c.cfm * cfm, FaceArea: face, Drop: c.drop * inwc, PeakInBand: true}
		published(t, name+", peak Hz", fromFormula, c.peak, outlet.PeakFrequency(), 1)
		octaves(t, name, fromFormula, c.want, power(t, outlet), 0.1)
		published(t, name+", overall", fromFormula, c.level-0.4, power(t, outlet).Overall(), 0.2)
		j, err := sound.Judge(sound.Opening{Own: power(t, outlet), Borne: sound.Silence()}, loss(t, bedroom()))
		require.NoError(t, err)
		published(t, name+", NC in the 10 dB room", fromFormula, c.nc, j.Catalogue.Number, 0.1)
		published(t, name+", NC in the bedroom", fromFormula, c.ncBedroom, j.NC.Number, 0.6)
		published(t, name+", dBA in the bedroom", fromFormula, c.dBA, j.DBA, 0.6)
	}
}

// A sliding peak against one rounded to its octave, as the method is printed: within 2.5 NC, half the uncertainty of the
// method, where the outlet can be heard at all.
func TestSlidingPeakIsClose(t *testing.T) {
	for velocity := 1.2; velocity < 5; velocity *= 1.02 {
		outlet := sound.Outlet{Flow: velocity * 0.02, FaceArea: 0.02, Drop: 4 * velocity * velocity}
		sliding := sound.RateNC(power(t, outlet).Raised(-10)).Number
		outlet.PeakInBand = true
		assert.InDelta(t, sound.RateNC(power(t, outlet).Raised(-10)).Number, sliding, 2.5, "%g m/s", velocity)
	}
}

func TestComputedDampers(t *testing.T) {
	large := sound.Damper{Flow: 20000 * cfm, Drop: 0.30 * inwc, Area: 8 * ft2, Height: 2 * foot, Blades: sound.MultiBlade}
	published(t, "opposed-blade 48 × 24 in., C", fromFormula, 0.763, large.Coefficient(), 0.005)
	published(t, "opposed-blade 48 × 24 in., BF", fromFormula, 0.5337, large.Blockage(), 0.0015)
	octaves(t, "opposed-blade 48 × 24 in.", guide+", inputs; "+fromFormula, []float64{68.1, 67.9, 67.7, 67.5, 67.0, 59.2, 51.4, 43.6}, power(t, large), 0.2)

	small := sound.Damper{Flow: 4000 * cfm, Drop: 0.5 * inwc, Area: ft2, Height: foot, Blades: sound.MultiBlade}
	octaves(t, "multi-blade 12 × 12 in., 4000 cfm", "inputs from memory; "+fromFormula, []float64{69.2, 69.0, 68.8, 68.6, 68.4, 68.2, 64.2, 56.4}, power(t, small), 0.2)

	area := math.Pi / 4 * 64 * inch * inch
	for _, c := range []struct {
		cfm, drop, c, factor, fpm float64
		want                      []float64
	}{
		{350, 0.05, 0.79, 0.529, 1894, []float64{31.0, 30.8, 30.6, 30.4, 30.2, 24.2, 16.4, 8.6}},
		{350, 0.20, 3.16, 0.360, 2786, []float64{41.2, 41.0, 40.8, 40.5, 40.3, 38.6, 30.8, 23.0}},
		{200, 0.40, 19.4, 0.216, 2653, []float64{39.9, 39.7, 39.5, 39.3, 39.0, 36.8, 29.0, 21.2}},
		{80, 0.50, 151, 0.100, 2286, []float64{36.0, 35.8, 35.5, 35.3, 35.1, 31.2, 23.4, 15.6}},
	} {
		name := fmt.Sprintf("8 in. zone damper, %g cfm, %g in.", c.cfm, c.drop)
		damper := sound.Damper{Flow: c.cfm * cfm, Drop: c.drop * inwc, Area: area, Height: 8 * inch}
		published(t, name+", C", fromFormula, c.c, damper.Coefficient(), 0.01*c.c)
		published(t, name+", BF", fromFormula, c.factor, damper.Blockage(), 0.001)
		published(t, name+", fpm", fromFormula, c.fpm, damper.ConstrictionVelocity()/fpm, 0.004*c.fpm)
		octaves(t, name, fromFormula, c.want, power(t, damper), 0.2)
	}
}

// Where the formula of the blockage has its hole, C = 1, the limit is one half.
func TestDamperBlockageAtOne(t *testing.T) {
	damper := func(c float64) sound.Damper { return sound.Damper{Flow: 1, Area: 1, Height: 1, Drop: c / 1.6473} }
	assert.InDelta(t, 0.5, damper(1).Blockage(), 1e-12)
	for _, c := range []float64{1e-4, 0.2, 0.999, 1.001, 2, 3.9} {
		assert.InDelta(t, (math.Sqrt(c)-1)/(c-1), damper(c).Blockage(), 1e-9, "C %g", c)
	}
	assert.InDelta(t, 0.02, damper(1e5).Blockage(), 1e-12)
}

// A take-off at equal velocities is an elbow without vanes, whose own published coefficients are an
// independent fit: K = 32.06 − 16.48 log St − 5.05 (log St)² (Reynolds; the application guide, in SI).
func TestComputedTakeOffMeetsElbow(t *testing.T) {
	const diameter = 0.25
	area := math.Pi / 4 * diameter * diameter
	for _, velocity := range []float64{2, 5, 15} {
		var elbow []float64
		for band := range sound.Bands {
			frequency := sound.Centre(band)
			log := math.Log10(frequency * diameter / velocity)
			elbow = append(elbow, 32.06-16.48*log-5.05*log*log+10*math.Log10(frequency/63)+
				50*math.Log10(velocity)+10*math.Log10(area)+10*math.Log10(diameter))
		}
		takeOff := power(t, sound.TakeOff{BranchFlow: velocity * area, BranchArea: area, MainVelocity: velocity})
		octaves(t, fmt.Sprintf("take-off at m = 1, %g m/s", velocity), "elbow without vanes", elbow, takeOff, 0.03)
	}
}

// The formula of the take-off away from equal velocities, where its exponents count.
func TestComputedTakeOff(t *testing.T) {
	const area, velocity = 0.05, 4.0
	for _, m := range []float64{0.6, 2.5} {
		diameter := math.Sqrt(4 * area / math.Pi)
		var want []float64
		for band := range sound.Bands {
			frequency := sound.Centre(band)
			log := math.Log10(frequency * diameter / velocity)
			k := 19.68 + 12.388*math.Pow(m, 0.673) - 16.482*math.Pow(m, -0.303)*log - 5.047*math.Pow(m, -0.254)*log*log
			want = append(want, k+10*math.Log10(frequency/63)+50*math.Log10(velocity)+10*math.Log10(area)+10*math.Log10(diameter))
		}
		octaves(t, fmt.Sprintf("take-off at m = %g", m), fromFormula, want, power(t, sound.TakeOff{BranchFlow: velocity * area, BranchArea: area, MainVelocity: m * velocity}), 0.005)
	}
}

func disturbance(t *testing.T, mainVelocity float64) float64 {
	quiet := sound.TakeOff{BranchFlow: 0.2, BranchArea: 0.05, MainVelocity: mainVelocity}
	disturbed := quiet
	disturbed.Disturbed = true
	return power(t, disturbed)[3] - power(t, quiet)[3]
}

func TestPublishedTakeOffDisturbance(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	published(t, "disturbance at equal velocities", guide, 0.0, disturbance(t, 4), 0.05)
}

// The formula of the disturbance is from memory.
func TestComputedTakeOffDisturbance(t *testing.T) {
	published(t, "disturbance at twice the velocity", fromFormula, 1.40, disturbance(t, 8), 0.01)
}

func TestComputedRooms(t *testing.T) {
	octaves(t, "bedroom 33 m³ at 1.5 m", fromFormula, []float64{2.7, 3.5, 4.4, 5.4, 6.3, 7.2, 8.1, 9.0}, loss(t, bedroom()), 0.1)
	published(t, "60 m³ at 2.5 m, 500 Hz", fromFormula, 8.9, loss(t, sound.Room{Volume: 60, Distance: 2.5})[3], 0.1)
}

func TestComputedDuctLosses(t *testing.T) {
	lined := loss(t, sound.FlexDuct{Diameter: 11 * inch, Length: 7.5 * foot})
	// Half way between 10 and 12 in. and between 6 and 9 ft of Long's Table 14.4: 16 and 24, 15 and 23 dB at 500 Hz.
	published(t, "flexible 11 in., 7.5 ft, 500 Hz", fromFormula, (16+24+15+23)/4.0, lined[3], 1e-9)
	half := loss(t, sound.FlexDuct{Diameter: 8 * inch, Length: 1.5 * foot})
	published(t, "flexible 8 in., 1.5 ft, 500 Hz", fromFormula, 4, half[3], 1e-9)
	bare := loss(t, sound.BareDuct{Section: sound.RectangularSection(8*inch, 8*inch), Length: foot})
	published(t, "bare 8 × 8 in., 1 ft, 1000 Hz", fromFormula, 0.02*math.Pow(6, 0.8), bare[4], 1e-9)
	capped := loss(t, sound.LinedDuct{Section: sound.RectangularSection(8*inch, 8*inch), Length: 30, Lining: inch})
	assert.Equal(t, sound.MostLinedLoss, capped[4])
	// A step in area reflects: all of a duct of half the area after it keeps 8/9 of the power.
	published(t, "split into one branch of half the area", fromFormula, -10*math.Log10(8.0/9), loss(t, sound.Split{Branch: 1, All: 1, Main: 2})[0], 1e-9)
}

func TestComputedFlowGain(t *testing.T) {
	for _, c := range []struct{ ratio, sixty, fifty float64 }{
		{1.1, 2.5, 2.1}, {1.25, 5.8, 4.8}, {1.5, 10.6, 8.8}, {1.75, 14.6, 12.2}, {2, 18.1, 15.1},
	} {
		published(t, fmt.Sprintf("60 log %g", c.ratio), fromFormula, c.sixty, sound.FlowGain(sound.OutletGrowth, 0.1, 0.1*c.ratio), 0.05)
		published(t, fmt.Sprintf("50 log %g", c.ratio), fromFormula, c.fifty, sound.FlowGain(sound.DuctGrowth, -0.1, 0.1*c.ratio), 0.06)
	}
}

// A rating at its own flow gives itself back in the catalogue's room, whatever the size and shape.
func TestRatedReturnsItsRating(t *testing.T) {
	for _, nc := range []float64{15, 22, 30, 48} {
		for _, face := range []float64{0.01, 0.03, 0.2} {
			rated := sound.Rated{NC: nc, RatedFlow: 0.06, Flow: 0.06, FaceArea: face, Shape: sound.Rectangular}
			assert.InDelta(t, nc, sound.RateNC(power(t, rated).Raised(-sound.RoomCorrection)).Number, 1e-9)
		}
	}
	// Half again the flow: 10.6 by the bare law, the level too, the NC of the spectrum a little more.
	rated := sound.Rated{NC: 25, RatedFlow: 0.06, Flow: 0.09, FaceArea: 0.03}
	before := power(t, sound.Rated{NC: 25, RatedFlow: 0.06, Flow: 0.06, FaceArea: 0.03})
	assert.InDelta(t, 10.57, power(t, rated).Overall()-before.Overall(), 0.1)
	// (100 to 150 cfm on the register above is 13.9 NC, of which 10.6 are the bare law's).
	byPeak := sound.RateNC(power(t, rated).Raised(-sound.RoomCorrection)).Number
	assert.InDelta(t, 25+10.57+2, byPeak, 2)
}
