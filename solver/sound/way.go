package sound

import "spillway/solver/sound/validity"

// Source is anything that radiates: sound power levels, dB re 1 pW, and notes where a formula left its range.
type Source interface {
	Power() (Spectrum, []validity.Note, error)
}

// Passage is anything that sound loses power in: dB per band, positive = quieter.
type Passage interface {
	Loss() (Spectrum, []validity.Note, error)
}

var (
	_ Source = Outlet{}
	_ Source = Rated{}
	_ Source = Damper{}
	_ Source = Elbow{}
	_ Source = TakeOff{}
	_ Source = StraightDuct{}

	_ Passage = BareDuct{}
	_ Passage = LinedDuct{}
	_ Passage = FlexDuct{}
	_ Passage = Bend{}
	_ Passage = Split{}
	_ Passage = DuctEnd{}
	_ Passage = Room{}
	_ Passage = AbsorbingRoom{}
)

// Stage is one part on the way of sound: what it takes away, and what it adds behind itself.
type Stage struct {
	loss, own Spectrum
}

// Quiet is a part that only takes away.
func Quiet(loss Spectrum) Stage { return Stage{loss: loss, own: Silence()} }

// Noisy is a part that takes away and then adds noise of its own (sound power levels).
func Noisy(loss, own Spectrum) Stage { return Stage{loss: loss, own: own} }

// Way carries sound power through parts in the order of the air, or against it for return noise: in each band
//
//	L ← 10 log(10^((L − loss)/10) + 10^(own/10))
//
// It is the line-by-line sheet of Long, Architectural Acoustics, 2nd ed., Table 14.9, where a printed self-noise of 0
// stands for none.
func Way(source Spectrum, stages ...Stage) Spectrum {
	for _, stage := range stages {
		source = source.Less(stage.loss).Plus(stage.own)
	}
	return source
}
