package state

import (
	"spillway/network"
	"spillway/solver/sound"
	"spillway/solver/sound/jet"
)

// SoundTrace is the way of sound through an installation, the same in all call states: what each part takes from it, in the order in
// which it goes, and each opening with its room. Levels are found by Solver.Solve; this is for those who explain them.
type SoundTrace struct {
	Steps   []SoundStep
	Outlets []SoundOpening // parallel to Graph.Registers
	Grilles []SoundOpening // parallel to Outcome.Grilles
}

// SoundStep is one element of the supply or dump side, after everything upstream of it.
type SoundStep struct {
	Element int
	// Share is lost where the sound divides at its beginning, with All the area of the parts that leave there and Before that of the
	// duct before, 0 for still air; All is 0 where it does not divide.
	Share       sound.Spectrum
	All, Before float64
	Loss        sound.Spectrum // along it
	Damper      bool
	Shape       sound.Damper // of a damper, without flow and drop
	Area        float64      // m²
	Main        int          // the duct out of which it leaves a junction as the branch; -1 when it does not
}

// SoundOpening is a register or grille.
type SoundOpening struct {
	Element   int
	Supply    bool
	Area      float64        // m², gross face
	OpenShare float64        // total pressure of the open outlet over that of outlet and its damper as set
	End       sound.Spectrum // what the end of the duct throws back
	Rated     *network.NoiseRating
	Room      network.Hearing
	Jet       jet.Register // as far as the installation gives it
}

// TraceSound follows sound through an installation.
func TraceSound(g *network.Graph) (*SoundTrace, error) {
	p, err := newNoisePlan(g)
	if err != nil {
		return nil, err
	}
	t := &SoundTrace{}
	for i := range p.steps {
		s := &p.steps[i]
		t.Steps = append(t.Steps, SoundStep{s.element, s.share, s.all, s.before, s.loss, s.damper, s.shape, s.area, s.main})
	}
	open := func(list []outletPlan) (out []SoundOpening) {
		for k := range list {
			o := &list[k]
			out = append(out, SoundOpening{o.element, o.supply, o.area, o.openShare, o.end, o.rated, p.rooms[o.room].hearing, o.jet})
		}
		return out
	}
	t.Outlets, t.Grilles = open(p.outlets), open(p.grilles)
	return t, nil
}
