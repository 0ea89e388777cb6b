package study

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"spillway/network"
	"spillway/solver/digest"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// SureDraws is how many draws of the inputs the verdicts of a house are held against: counted, a
// chance is then good to about ±4 in 100 (our choice; the rms error of 200 seeds of 32 quasi-random
// points on a network with seven inputs, computed).
const SureDraws = 32

// Sureness is how sure the causes of a digest are, when inputs vary as the job's [doubt] or usual
// tolerances say. The filter is a case of its own, as the file has it and due, not one of the
// draws.
type Sureness struct {
	Inputs  []string // what varies
	Measure []string // what settles each; "" where nothing simple does
	Assumed bool     // the job says nothing: usual tolerances
	Draws   int      // that had a solution
	Clear   int      // in which nothing is at fault
	// Due is how many draws there are with a due filter, 0 where none was tried, and DueClear in
	// how many of them nothing is at fault.
	Due, DueClear int
	Causes        []Sure // parallel to the causes of the digest
	Some          bool   // not all call states were drawn, but those of the gravest causes
}

// Sure is how often a cause is at fault.
type Sure struct {
	Faults, DueFaults int
	Known             bool // its checks are among those that were drawn
	// Decides is the input that goes most with how far the cause is past its limit, as an index
	// into Inputs; -1 where none stands out.
	Decides int
}

// Verdict is what may be said of a cause.
type Verdict string

// Verdicts.
const (
	Holds      Verdict = "holds"
	Fails      Verdict = "fails"
	CannotTell Verdict = "cannot tell"
)

// sureFrom is the share of draws from which a verdict on a class of checks is sure: 95 in 100 where
// somebody or the machine can be hurt, 80 elsewhere (our choice, after the guarded acceptance of
// JCGM 106, from memory).
func sureFrom(class verdict.Class) float64 {
	if class.Hard() || class == verdict.Zoning {
		return 0.95
	}
	return 0.80
}

// VerdictOf says whether a cause of a class is at fault, by so many of all draws.
func VerdictOf(class verdict.Class, faults, draws int) Verdict {
	share := float64(faults) / float64(max(draws, 1))
	switch from := sureFrom(class); {
	case share >= from:
		return Fails
	case share <= 1-from+1e-9:
		return Holds
	}
	return CannotTell
}

// mostDrawn bounds the call states that are drawn, times draws and filters.
const mostDrawn = 1000

// SureOf holds the causes of a digest of an installation, solved in all its call states, whose
// names are given, against draws of what is not known exactly. It returns nil where nothing varies.
func SureOf(g *network.Graph, d *digest.Digest, names []string) (*Sureness, error) {
	cases := 1
	if loadable(g.Job) {
		cases = 2
	}
	w := &Sureness{Some: len(names)*SureDraws*cases > mostDrawn}
	keep := map[string]bool{}
	if w.Some {
		for i := range d.Causes {
			if at := d.Causes[i].Worst().State; at >= 0 &&
				(len(keep)+1)*SureDraws*cases <= mostDrawn {
				keep[names[at]] = true
			}
		}
	}
	s := Of(g, Options{Choose: func(g *network.Graph) ([]state.CallState, error) {
		states := state.States(g)
		if w.Some {
			states = slices.DeleteFunc(states, func(cs state.CallState) bool {
				return !keep[cs.Name]
			})
		}
		return states, nil
	}})
	if w.Some && len(keep) == 0 {
		return nil, nil
	}
	list, assumed, err := s.sureInputs()
	if err != nil || len(list) == 0 {
		return nil, err
	}
	w.Assumed = assumed
	for _, in := range list {
		w.Inputs, w.Measure = append(w.Inputs, in.name), append(w.Measure, in.measure())
	}
	w.Causes = make([]Sure, len(d.Causes))
	drawn, err := s.digests(Variant{}, list)
	if err != nil {
		return nil, err
	}
	harm := make([][]float64, len(d.Causes))
	draws := draw(len(list), Sampling{Samples: SureDraws, Seed: 1})
	inputs := make([][]float64, len(list))
	for i, e := range drawn {
		if e == nil {
			continue
		}
		w.Draws++
		if w.clear(e) {
			w.Clear++
		}
		for k := range list {
			inputs[k] = append(inputs[k], draws.At(i, k))
		}
		for c := range d.Causes {
			h := 0.0
			if o := e.Digest.Same(&d.Causes[c]); o != nil {
				h = o.Harm
				if o.Level == verdict.Fault {
					w.Causes[c].Faults++
				}
			}
			harm[c] = append(harm[c], h)
		}
	}
	for c := range d.Causes {
		sure := &w.Causes[c]
		at := d.Causes[c].Worst().State
		sure.Known = !w.Some || at >= 0 && keep[names[at]]
		sure.Decides = decides(inputs, harm[c])
	}
	if cases == 2 {
		due, err := s.digests(loaded(Variant{}, DueLoading), list)
		if err != nil {
			return nil, err
		}
		for _, e := range due {
			if e == nil {
				continue
			}
			w.Due++
			if w.clear(e) {
				w.DueClear++
			}
			for c := range d.Causes {
				if o := e.Digest.Same(&d.Causes[c]); o != nil && o.Level == verdict.Fault {
					w.Causes[c].DueFaults++
				}
			}
		}
	}
	if w.Draws == 0 {
		return nil, nil
	}
	return w, nil
}

// measured says what settles an input, by the kind of coefficient or the key that varies.
var measured = []struct{ of, by string }{
	{"fittings", "static at both plenums, with the airflow"},
	{"junctions", "static at both plenums, with the airflow"},
	{"shut-dampers", "static on both sides of a shut damper"},
	{"dampers", "static on both sides of a damper"},
	{"parts", "drop across filter and coil"},
	{"blower", "its airflow"},
	{"runs", "airflow at the registers"},
	{"leakage", "a duct leakage test"},
	{".stop", "set by a reading, not by eye"},
	{".compression", "stretch it and look"},
	{".unmixed", "air temperature across the return"},
	{".length", "measure the run"},
	{".size", "measure the duct"},
}

// measure is what settles an input.
func (in *input) measure() string {
	of := in.coefficient + in.path
	switch {
	case in.doubt != nil:
		of = in.doubt.Path
	case len(in.settings) > 0:
		of = in.settings[0].Path
	}
	for _, m := range measured {
		if strings.HasPrefix(of, m.of) || strings.HasSuffix(of, m.of) {
			return m.by
		}
	}
	return ""
}

// clear reports whether nothing is at fault in a draw. What only all call states together tell is
// not asked of some.
func (w *Sureness) clear(e *Effect) bool {
	return !slices.ContainsFunc(e.Digest.Causes, func(c digest.Cause) bool {
		return c.Level == verdict.Fault && !(w.Some && c.Kind == digest.Given)
	})
}

// sureInputs are what varies in a spread, but for the loading of the filter, and what is never as
// drawn, also where the job's own tolerances do not mention it.
func (s *Study) sureInputs() ([]input, bool, error) {
	g, err := s.Read(Variant{})
	if err != nil {
		return nil, false, err
	}
	tolerances, assumed := tolerancesOf(g)
	for _, t := range neverAsDrawn(g) {
		if !slices.ContainsFunc(tolerances, func(own network.Tolerance) bool {
			return own.Of == t.Of
		}) {
			tolerances = append(tolerances, t)
		}
	}
	tolerances = slices.DeleteFunc(tolerances, func(t network.Tolerance) bool {
		return strings.TrimSpace(t.Of) == loadingPath
	})
	list, err := inputs(g, tolerances)
	if err != nil {
		return nil, false, err
	}
	list = slices.DeleteFunc(withDoubts(g, list, assumed), func(in input) bool {
		return in.doubt != nil && in.doubt.Path == loadingPath
	})
	return list, assumed, nil
}

// digests solves a variant with each draw of its inputs; nil where one has no solution.
func (s *Study) digests(v Variant, list []input) ([]*Effect, error) {
	draws := draw(len(list), Sampling{Samples: SureDraws, Seed: 1})
	out := make([]*Effect, SureDraws)
	err := s.each(SureDraws, func(i int) error {
		r, err := s.drawn(v, list, draws.RawRowView(i))
		if err != nil {
			return nil // no solution
		}
		out[i], _ = effectOf(r, nil)
		return nil
	})
	return out, err
}

// standsOut is the share of the variance from which an input is said to decide (our choice; with 32
// draws a quarter comes by chance in fewer than 1 of 200).
const standsOut = 0.25

// decides is the input that goes most with a harm, -1 where none stands out.
func decides(inputs [][]float64, harm []float64) int {
	best, at := standsOut, -1
	if len(harm) < leastSamples || stat.Variance(harm, nil) < 1e-9 {
		return -1
	}
	for k, u := range inputs {
		if r := stat.Correlation(u, harm, nil); !math.IsNaN(r) && r*r > best {
			best, at = r*r, k
		}
	}
	return at
}
