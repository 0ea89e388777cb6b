package page

import (
	"context"
	"math"
	"slices"

	"spillway/network"
	"spillway/render/page/trial"
)

// Slide solves the sliders of a variant: in every call state, each zone damper that follows its stop or its opening is moved through its
// range in about so many steps, everything else as it stands. set are the settings that the variant was read with. 0 or 1 steps make
// no sliders. progress, if not nil, is told how many of how many positions are solved, one call at a time.
func Slide(v *Variant, name string, data []byte, set []string, steps int, progress func(done, total int)) {
	v.Sliders = make([][]Slider, len(v.Cases))
	if steps < 2 {
		return
	}
	type job struct {
		state, slider, step int
		set                 string
	}
	var work []job
	for _, k := range trial.Sliders(v.In.Graph()) {
		positions, now := positionsOf(&k, steps)
		for i, c := range v.Cases {
			if !trial.Moves(&k, c.Outcome) {
				continue
			}
			s := Slider{Setting: k, Now: now, Steps: make([]Step, len(positions))}
			for n, at := range positions {
				s.Steps[n].Value = at
				if n != now {
					work = append(work, job{i, len(v.Sliders[i]), n, k.Path + "=" + k.Text(at)})
				}
			}
			v.Sliders[i] = append(v.Sliders[i], s)
		}
	}
	// The same setting serves several states: it is read once.
	slices.SortStableFunc(work, func(a, b job) int {
		if a.set < b.set {
			return -1
		}
		if a.set > b.set {
			return 1
		}
		return 0
	})
	var groups [][]job
	for i, w := range work {
		if i == 0 || work[i-1].set != w.set {
			groups = append(groups, nil)
		}
		groups[len(groups)-1] = append(groups[len(groups)-1], w)
	}
	var tell func(int)
	if progress != nil {
		tell = func(done int) { progress(done, len(work)) }
	}
	count := trial.Count(tell)
	trial.Each(len(groups), func(i int) {
		defer count(len(groups[i]))
		in, err := trial.Open(name, data, v.Name, append(slices.Clone(set), groups[i][0].set))
		for _, w := range groups[i] {
			step := &v.Sliders[w.state][w.slider].Steps[w.step]
			if err != nil {
				step.Problem = err.Error()
				continue
			}
			s := v.Cases[w.state].Outcome.State
			c, err := in.Solve(context.Background(), s)
			if err != nil {
				step.Problem = err.Error()
				continue
			}
			c.System = in.System(context.Background(), c.Outcome)
			step.In, step.Case = in, c
		}
	})
}

// positionsOf are the steps of a slider, whole percents, with the one at which it stands among them.
func positionsOf(s *network.Setting, steps int) (positions []float64, now int) {
	numbers := []float64{s.Number(s.Value)}
	for n := range steps {
		numbers = append(numbers, math.Round(100*(s.Low+(s.High-s.Low)*float64(n)/float64(steps-1))))
	}
	slices.Sort(numbers)
	numbers = slices.Compact(numbers)
	for _, percent := range numbers {
		positions = append(positions, percent/100)
	}
	return positions, slices.Index(numbers, s.Number(s.Value))
}

// StepsFor is how many steps each slider can have so that a dossier's frames stay within a number: 11, 6, 5, 3 or none.
func StepsFor(d *Dossier, most int) int {
	sliders := 0
	for _, v := range d.Variants {
		for _, k := range trial.Sliders(v.In.Graph()) {
			for _, c := range v.Cases {
				if trial.Moves(&k, c.Outcome) {
					sliders++
				}
			}
		}
	}
	for _, steps := range []int{11, 6, 5, 3} {
		if sliders*(steps-1) <= most {
			return steps
		}
	}
	return 0
}
