package sound

import "math"

// Bands is the number of octave bands: 63, 125, 250, 500, 1000, 2000, 4000 and 8000 Hz.
const Bands = 8

// Floor is the lowest level, dB: what silence is. It is a convention of ours, a hundred decibels below the threshold of
// the references, so that a source at rest has a finite level and adds nothing to any sum.
const Floor = -100.0

// Spectrum is one number per octave band, 63 to 8000 Hz: sound power levels (dB re 1 pW), sound pressure levels (dB re
// 20 µPa), or losses (dB, positive = quieter), as the function that returns it says.
//
// The zero value as levels is 0 dB in every band, which is just audible at most; the absence of sound is Silence().
type Spectrum [Bands]float64

// nominal centre frequencies, Hz (IEC 61260).
var nominal = [Bands]float64{63, 125, 250, 500, 1000, 2000, 4000, 8000}

// Centre is the nominal centre frequency of a band, Hz; band 0 is 63 Hz. A band outside 0 to 7 gives the nearest.
func Centre(band int) float64 { return nominal[min(max(band, 0), Bands-1)] }

// Even is the spectrum with the same number in every band.
func Even(level float64) (s Spectrum) {
	for i := range s {
		s[i] = level
	}
	return s
}

// Silence is Floor in every band.
func Silence() Spectrum { return Even(Floor) }

// addLevels is the energy sum of two levels, counted from Floor,
//
//	L = 10 log(10^(a/10) + 10^(b/10) − 10^(Floor/10))
//
// written so that it is never below the louder of the two, and so that Floor adds exactly nothing.
func addLevels(a, b float64) float64 {
	loud, soft := max(a, b, Floor), max(min(a, b), Floor)
	if soft == Floor {
		return loud
	}
	return loud + math.Log1p(math.Exp((soft-loud)*perDecibel)-math.Exp((Floor-loud)*perDecibel))/perDecibel
}

// perDecibel is ln(10)/10: 10^(L/10) = exp(L·ln(10)/10), which is had sooner than a power.
const perDecibel = math.Ln10 / 10

// Overall is the energy sum of the bands, dB, counted from Floor as addLevels counts it.
func (s Spectrum) Overall() float64 {
	loudest := Floor
	for _, level := range s {
		loudest = max(loudest, level)
	}
	floor := math.Exp((Floor - loudest) * perDecibel)
	sum := floor
	for _, level := range s {
		if level > Floor {
			sum += math.Exp((level-loudest)*perDecibel) - floor
		}
	}
	return max(loudest, loudest+math.Log(sum)/perDecibel)
}

// Plus adds two sets of levels as independent sources, band by band: L = 10 log Σ 10^(L_i/10). Two equal levels give
// 3.0 dB more.
func (s Spectrum) Plus(other Spectrum) Spectrum {
	for i := range s {
		s[i] = addLevels(s[i], other[i])
	}
	return s
}

// Less takes losses from levels, not below Floor.
func (s Spectrum) Less(loss Spectrum) Spectrum {
	for i := range s {
		s[i] = max(s[i]-loss[i], Floor)
	}
	return s
}

// Raised adds the same decibels to every band, not below Floor.
func (s Spectrum) Raised(decibels float64) Spectrum {
	for i := range s {
		s[i] = max(s[i]+decibels, Floor)
	}
	return s
}

// aWeights of the octave bands, dB: IEC 61672-1, A weighting at the nominal frequencies.
var aWeights = Spectrum{-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1}

// AWeight is the A weighting of a band, dB.
func AWeight(band int) float64 { return aWeights[band] }

// DBA is the A-weighted level of sound pressure levels, dB(A), with the octave weights −26.2 −16.1 −8.6 −3.2 0 1.2 1.0
// −1.1 of IEC 61672-1. It sees 63 to 8000 Hz only; what lies below changes a house's level by under 1 dB unless it
// rumbles.
func (s Spectrum) DBA() float64 {
	for i := range s {
		s[i] += aWeights[i]
	}
	return s.Overall()
}

// finite tells whether every band is a number that a level can be.
func (s Spectrum) finite() bool {
	for _, level := range s {
		if !(math.Abs(level) < 1e4) {
			return false
		}
	}
	return true
}
