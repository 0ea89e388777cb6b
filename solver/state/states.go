package state

import (
	"fmt"
	"iter"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/diag"
)

// MostStates is how many call states of a job are listed and solved together. Twelve zones have 4,095
// sets of calling zones; a job of more states is solved by the names of those that matter. Our choice:
// a state takes a quarter of a millisecond to several, and its results about a megabyte.
const MostStates = 4096

// States lists the call states of an installation, in the order of Each; of a job that has more than
// MostStates the first MostStates. All refuses such a job.
func States(g *network.Graph) []CallState {
	var states []CallState
	for cs := range Each(g) {
		if states = append(states, cs); len(states) == MostStates {
			break
		}
	}
	return states
}

// All lists every call state of an installation, in the order of Each. For a job that has more than
// MostStates the error is a diag.List at the zone that is one too many.
func All(g *network.Graph) ([]CallState, error) {
	var states []CallState
	for cs := range Each(g) {
		if len(states) == MostStates {
			return nil, tooMany(g.Job)
		}
		states = append(states, cs)
	}
	return states, nil
}

func tooMany(job *network.Job) error {
	d := job.Place("zone", job.Zones[len(job.Zones)-1].Name)
	d.Summary = fmt.Sprintf("%d zones have more than %d call states, too many to solve together", len(job.Zones), MostStates)
	d.Fix = fmt.Sprintf("name the calls that matter with --state, such as --state %q; or join zones that call together",
		zoneList(job, []string{job.Zones[0].Name}))
	return diag.List{d}
}

// Each gives the call states of an installation one by one, in a fixed order: weather rows as the file
// has them, within a weather the stages from low to high, within a stage the sets of calling zones from
// one zone to all. The zone panel's policy leaves out what it never lets happen; what it leaves out
// costs no time, so the next state is always near, however many zones there are.
func Each(g *network.Graph) iter.Seq[CallState] {
	return func(yield func(CallState) bool) {
		for w, stage := range runs(g.Job) {
			for zones := range callingSets(g.Job, w.Mode, stage) {
				if !yield(callState(g.Job, w, stage, zones)) {
					return
				}
			}
		}
	}
}

// Calling lists the call states in which just these zones call, in the order of Each.
func Calling(g *network.Graph, zones ...string) []CallState {
	job := g.Job
	var set []string // in file order, as Each has them
	for i := range job.Zones {
		if slices.Contains(zones, job.Zones[i].Name) {
			set = append(set, job.Zones[i].Name)
		}
	}
	if len(set) == 0 || len(set) != len(zones) {
		return nil
	}
	var states []CallState
	for w, stage := range runs(job) {
		if allowed(job, w.Mode, stage, set) {
			states = append(states, callState(job, w, stage, set))
		}
	}
	return states
}

// runs gives the weather rows that the equipment has a mode for, each with its stages.
func runs(job *network.Job) iter.Seq2[*network.Weather, int] {
	return func(yield func(*network.Weather, int) bool) {
		for i := range job.Weather {
			m := machine(job, job.Weather[i].Mode)
			if m == nil {
				continue
			}
			for stage := 1; stage <= stagesOf(m); stage++ {
				if !yield(&job.Weather[i], stage) {
					return
				}
			}
		}
	}
}

func stagesOf(m *network.Machine) int { return max(1, len(m.Stages)) }

func callState(job *network.Job, w *network.Weather, stage int, zones []string) CallState {
	sameMode := 0
	for i := range job.Weather {
		if job.Weather[i].Mode == w.Mode {
			sameMode++
		}
	}
	label := string(w.Mode)
	if sameMode > 1 {
		label = w.Name
	}
	stages := stagesOf(machine(job, w.Mode))
	if stages > 1 {
		label += fmt.Sprintf(" stage %d", stage)
	}
	more := false
	for higher := stage + 1; higher <= stages; higher++ {
		more = more || allowed(job, w.Mode, higher, zones)
	}
	return CallState{Name: label + ": " + zoneList(job, zones), Mode: w.Mode, Weather: w.Name, Calling: zones,
		Stage: stage, Stages: stages, More: more}
}

// callingSets gives the sets of zones whose call the panel answers with a stage: small sets first, those
// of one size by their last zone in the file, then by the one before it.
//
// Below the size that a second stage needs only the panel's own rules allow one, so only their sets are
// looked at there: all sets of the sizes below would be too many to walk through.
func callingSets(job *network.Job, mode network.Mode, stage int) iter.Seq[[]string] {
	return func(yield func([]string) bool) {
		n := len(job.Zones)
		named := func(set []int) []string {
			zones := make([]string, len(set))
			for i, z := range set {
				zones[i] = job.Zones[z].Name
			}
			return zones
		}
		least := 1
		if stage > 1 {
			least = min(max(1, job.Panel.SecondStageNeeds), n+1)
			for _, set := range ruled(job, least-1) {
				if zones := named(set); allowed(job, mode, stage, zones) && !yield(zones) {
					return
				}
			}
		}
		for size := least; size <= n; size++ {
			for set := firstSet(size); set != nil; set = nextSet(set, n) {
				if zones := named(set); allowed(job, mode, stage, zones) && !yield(zones) {
					return
				}
			}
		}
	}
}

// ruled lists the sets of at most so many zones that the panel has a rule for, in the order of callingSets.
func ruled(job *network.Job, most int) [][]int {
	var sets [][]int
	for i := range job.Panel.Calls {
		var set []int
		for z := range job.Zones {
			if slices.Contains(job.Panel.Calls[i].Zones, job.Zones[z].Name) {
				set = append(set, z)
			}
		}
		if len(set) > 0 && len(set) <= most {
			sets = append(sets, set)
		}
	}
	slices.SortFunc(sets, func(a, b []int) int {
		if len(a) != len(b) {
			return len(a) - len(b)
		}
		for i := len(a) - 1; i >= 0; i-- {
			if a[i] != b[i] {
				return a[i] - b[i]
			}
		}
		return 0
	})
	return slices.CompactFunc(sets, slices.Equal[[]int])
}

// firstSet is the first set of a size, nextSet the one after a set, nil behind the last. A set lists its
// zones by number, upwards.
func firstSet(size int) []int {
	set := make([]int, size)
	for i := range set {
		set[i] = i
	}
	return set
}

func nextSet(set []int, n int) []int {
	for i := range set {
		next := n
		if i+1 < len(set) {
			next = set[i+1]
		}
		if set[i]+1 < next { // the lowest zone that can move up does, and those below start again
			out := slices.Clone(set)
			out[i]++
			for j := range i {
				out[j] = j
			}
			return out
		}
	}
	return nil
}

func zoneList(job *network.Job, zones []string) string {
	if len(zones) == len(job.Zones) && len(zones) > 1 {
		return "all zones"
	}
	return strings.Join(zones, " + ")
}

// machine is the side of the equipment that runs in a mode, nil when there is none.
func machine(job *network.Job, mode network.Mode) *network.Machine {
	switch mode {
	case network.Cooling:
		return job.Equipment.Cooling
	case network.Heating:
		return job.Equipment.Heating
	case network.Fan:
		return job.Equipment.Fan
	}
	return nil
}

// allowed asks the panel whether a stage may run in a call.
func allowed(job *network.Job, mode network.Mode, stage int, zones []string) bool {
	if c := panelCall(job, mode, zones); c != nil && len(c.Stages) > 0 {
		return slices.Contains(c.Stages, stage)
	}
	return stage == 1 || len(zones) >= job.Panel.SecondStageNeeds
}

// panelCall is the panel's rule for a call, nil when it has none.
func panelCall(job *network.Job, mode network.Mode, zones []string) *network.Call {
	for i := range job.Panel.Calls {
		c := &job.Panel.Calls[i]
		if len(c.Modes) > 0 && !slices.Contains(c.Modes, mode) {
			continue
		}
		if sameSet(c.Zones, zones) {
			return c
		}
	}
	return nil
}

func sameSet(a, b []string) bool {
	if len(a) != len(b) {
		return false
	}
	for _, x := range a {
		if !slices.Contains(b, x) {
			return false
		}
	}
	return true
}
