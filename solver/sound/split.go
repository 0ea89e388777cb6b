package sound

import (
	"math"

	"spillway/network/quantity"
	"spillway/solver/internal/formula"
	"spillway/solver/sound/validity"
)

// Split is the division of sound power where a duct divides.
type Split struct {
	Branch float64 // m², the branch that is followed
	All    float64 // m², all branches together, this one included
	Main   float64 // m², the duct before; 0 where it is the same as All
}

// Loss is the attenuation from the main into the branch, dB, alike in all bands,
//
//	−10 log(S_i/ΣS) − 10 log(1 − ((ΣS − S_m)/(ΣS + S_m))²)
//
// with areas S: the share of the power, and the reflection where the area changes. Long, Architectural Acoustics, 2nd
// ed., eq. 14.17. A quarter of the area takes 6.0 dB. For a share by flow put the flows in place of Branch and All.
func (p Split) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a split"}
	in.area(p.Branch)
	in.area(p.All)
	if p.Main != 0 {
		in.area(p.Main)
	}
	in.within("branch share", p.Branch/p.All, 0, 1+1e-9, "")
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	return Even(p.loss()), nil, nil
}

func (p Split) loss() float64 {
	loss := -10 * math.Log10(p.Branch/p.All)
	if p.Main != 0 {
		step := (p.All - p.Main) / (p.All + p.Main)
		loss -= 10 * math.Log10(1-step*step)
	}
	return max(loss, 0)
}

// DuctEnd is the end of a duct in a room, which throws low notes back.
type DuctEnd struct {
	Area float64 // m², of the duct's mouth
	Free bool    // ends in the open instead of flush with a wall or ceiling
}

// speedOfSound for which the printed tables of end reflection come out, m/s (1128 ft/s).
const speedOfSound = 343.8

// Loss is the end reflection, dB,
//
//	10 log(1 + (k c/(π f D))^1.88)      k = 0.8 flush, 1.0 free; D = sqrt(4S/π)
//
// Long, Architectural Acoustics, 2nd ed., eqs. 14.14 and 14.15. It belongs to sound that comes down the duct (a blower, a
// zone damper), never to the outlet's own noise, and Long warns that a flared diffuser has none: leave it out there.
func (e DuctEnd) Loss() (Spectrum, []validity.Note, error) {
	in := inputs{of: "a duct end"}
	in.area(e.Area)
	if in.err != nil {
		return Spectrum{}, nil, in.err
	}
	k := flushEnd
	if e.Free {
		k = freeEnd
	}
	diameter := math.Sqrt(4 * e.Area / math.Pi)
	var s Spectrum
	for band := range s {
		s[band] = endReflection(k, Centre(band), diameter)
	}
	return s, nil, nil
}

// Constants of the end reflection.
const flushEnd, freeEnd, endExponent = 0.8, 1.0, 1.88

func endReflection(k, frequency, diameter float64) float64 {
	return 10 * math.Log10(1+math.Pow(k*speedOfSound/(math.Pi*frequency*diameter), endExponent))
}

// EndReflection is what the flush end of a duct throws back.
func EndReflection() *formula.Formula {
	return &formula.Formula{Name: formula.Write("what the end of the duct throws back, flush with a wall; # m/s the speed of sound", speedOfSound),
		Source: "Long, Architectural Acoustics, 2nd ed., eqs. 14.14 and 14.15",
		Text:   formula.Write("10 * log10(1 + (# * # / (π * f * sqrt(4 * S / π)))^#)", flushEnd, speedOfSound, endExponent),
		Result: formula.Symbol{Name: "E", Kind: quantity.KindSoundLevel},
		In: []formula.Symbol{{Name: "f", Kind: quantity.KindFrequency, Low: 63, High: 8000},
			{Name: "S", Kind: quantity.KindSection, Low: 0.005, High: 0.4}},
		Eval: func(in []float64) float64 { return endReflection(flushEnd, in[0], math.Sqrt(4*in[1]/math.Pi)) }}
}

// Division is what sound loses where a duct divides; with before, after a duct of another area.
func Division(before bool) *formula.Formula {
	section := func(name string, high float64) formula.Symbol {
		return formula.Symbol{Name: name, Kind: quantity.KindSection, Low: 0.005, High: high}
	}
	f := &formula.Formula{Name: "its share of the area", Source: "Long, Architectural Acoustics, 2nd ed., eq. 14.17", Text: "-10 * log10(S / Sa)",
		Result: formula.Symbol{Name: "D", Kind: quantity.KindSoundLevel}, In: []formula.Symbol{section("S", 0.05), {Name: "Sa", Kind: quantity.KindSection, Low: 0.06, High: 0.5}},
		Eval: func(in []float64) float64 { return Split{Branch: in[0], All: in[1]}.loss() }}
	if before {
		f.Name += ", and what is thrown back where the area changes"
		f.Text += " - 10 * log10(1 - ((Sa - Sb) / (Sa + Sb))^2)"
		f.In = append(f.In, section("Sb", 0.5))
		f.Eval = func(in []float64) float64 { return Split{Branch: in[0], All: in[1], Main: in[2]}.loss() }
	}
	return f
}
