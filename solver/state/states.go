package state

import (
	"fmt"
	"slices"
	"strings"

	"spillway/network"
)

// States lists every call state of an installation, in a fixed order: weather rows as the file has them, within a weather the
// stages from low to high, within a stage the sets of calling zones from one zone to all. The zone panel's policy leaves out
// what it never lets happen.
func States(g *network.Graph) []CallState {
	job := g.Job
	sameMode := map[network.Mode]int{}
	for i := range job.Weather {
		sameMode[job.Weather[i].Mode]++
	}
	sets := callingSets(job)
	var states []CallState
	for i := range job.Weather {
		w := &job.Weather[i]
		m := machine(job, w.Mode)
		if m == nil {
			continue
		}
		stages := max(1, len(m.Stages))
		for stage := 1; stage <= stages; stage++ {
			for _, zones := range sets {
				if !allowed(job, w.Mode, stage, zones) {
					continue
				}
				label := string(w.Mode)
				if sameMode[w.Mode] > 1 {
					label = w.Name
				}
				if stages > 1 {
					label += fmt.Sprintf(" stage %d", stage)
				}
				more := false
				for higher := stage + 1; higher <= stages; higher++ {
					more = more || allowed(job, w.Mode, higher, zones)
				}
				states = append(states, CallState{
					Name: label + ": " + zoneList(job, zones), Mode: w.Mode, Weather: w.Name, Calling: zones, Stage: stage, Stages: stages, More: more,
				})
			}
		}
	}
	return states
}

// callingSets lists the non-empty sets of zones, small sets first, each in file order.
func callingSets(job *network.Job) [][]string {
	n := len(job.Zones)
	var sets [][]string
	for size := 1; size <= n; size++ {
		for mask := 1; mask < 1<<n; mask++ {
			var set []string
			for i := range n {
				if mask>>i&1 == 1 {
					set = append(set, job.Zones[i].Name)
				}
			}
			if len(set) == size {
				sets = append(sets, set)
			}
		}
	}
	return sets
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
