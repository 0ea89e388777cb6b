package study

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/verdict"
)

// Lever is a kind of setting that tuning may move.
type Lever string

// The levers.
const (
	StopLever    Lever = "stop"    // minimum positions of zone dampers
	WeightLever  Lever = "weight"  // opening pressures of bypasses and dumps
	SizeLever    Lever = "size"    // diameter of round bypasses, of the sizes sold
	TapLever     Lever = "tap"     // blower tap of each mode or stage
	BalanceLever Lever = "balance" // hand dampers of the runs that are at fault
)

// Levers lists them.
func Levers() []Lever { return []Lever{StopLever, WeightLever, SizeLever, TapLever, BalanceLever} }

// UsualSteps is how many values a range has whose unit has no marks.
const UsualSteps = 21

// DefaultMoves are the settings that tuning moves when it is not told: what the job's [choose]
// lists, else the stops of all zone dampers and the weights of bypasses and dumps.
//
// Steps is how many values a range has that gives no step of its own; 0 goes by its marks.
func DefaultMoves(g *network.Graph, steps int) []Span {
	if len(g.Job.Choose) > 0 {
		moves := chosen(g, steps)
		return moves[:min(len(moves), mostMoves)]
	}
	moves := slices.Concat(stopSpans(g, steps), weightSpans(g, steps))
	return moves[:min(len(moves), mostMoves)]
}

// LeverMoves are the settings of some levers, in the order of Levers. It returns an error where
// they are none, or more than can be tuned together.
func (s *Study) LeverMoves(v Variant, steps int, levers ...Lever) ([]Span, error) {
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	var moves []Span
	for _, l := range Levers() {
		if !slices.Contains(levers, l) {
			continue
		}
		switch l {
		case StopLever:
			moves = append(moves, stopSpans(g, steps)...)
		case WeightLever:
			moves = append(moves, weightSpans(g, steps)...)
		case SizeLever:
			moves = append(moves, sizeSpans(g)...)
		case TapLever:
			moves = append(moves, tapSpans(g)...)
		case BalanceLever:
			runs, err := s.balanceSpans(v, g, steps)
			if err != nil {
				return nil, err
			}
			moves = append(moves, runs[:min(len(runs), max(mostMoves-len(moves), 0))]...)
		}
	}
	switch {
	case len(moves) == 0:
		return nil, question("the job has no setting of these kinds")
	case len(moves) > mostMoves:
		return nil, question("these are %d settings; at most %d can be tuned together, so name "+
			"them",
			len(moves), mostMoves)
	}
	return moves, nil
}

func stopSpans(g *network.Graph, steps int) (moves []Span) {
	seen := map[string]bool{}
	for i := range g.Job.Zones {
		for _, name := range g.Job.Zones[i].Damper {
			if !seen[name] {
				seen[name] = true
				moves = append(moves, Span{Path: network.PathText("damper", name, "stop"),
					From: "0 %", To: "100 %", Steps: cmp.Or(steps, marks("0 %", "100 %"))})
			}
		}
	}
	return moves
}

// weightSpans are the opening pressures of weighted dampers. The span from start to fully open
// stays in proportion: a weight turns a blade by its moment.
func weightSpans(g *network.Graph, steps int) (moves []Span) {
	from, to := "0.06 inwc", "0.46 inwc"
	if g.Job.Units == quantity.SI {
		from, to = "16 Pa", "116 Pa"
	}
	for _, side := range []struct {
		table string
		lines []network.Line
	}{{"bypass", g.Job.Bypass}, {"dump", g.Job.Dump}} {
		for i := range side.lines {
			if side.lines[i].OpensAt <= 0 {
				continue
			}
			m := Span{Path: network.PathText(side.table, side.lines[i].Name, "opens-at"),
				From: from, To: to, Steps: cmp.Or(steps, marks(from, to))}
			moves = append(moves, linked(g, m))
		}
	}
	return moves
}

// linked lets the pressure at which a weighted damper is fully open follow the one at which it
// begins to.
func linked(g *network.Graph, m Span) Span {
	path, ok := network.SplitPath(m.Path)
	if !ok || len(path) != 3 || path[2] != "opens-at" || len(m.Links) > 0 {
		return m
	}
	for _, l := range g.Job.Lines() {
		if string(l.Table) == path[0] && l.Name == path[1] && l.OpensAt > 0 &&
			l.FullyOpenAt > l.OpensAt {
			m.Links = []Link{{network.PathText(path[0], path[1], "fully-open-at"),
				float64(l.FullyOpenAt / l.OpensAt)}}
		}
	}
	return m
}

// sizesBeside is how many sizes below and above the one there is a bypass is tried in.
const sizesBeside = 2

func sizeSpans(g *network.Graph) (moves []Span) {
	sizes, unit := roundSizes(g.Job.Units), nominal(g.Job.Units)
	for i := range g.Job.Bypass {
		l := &g.Job.Bypass[i]
		if l.Size.Width <= 0 || l.Size.Height > 0 && l.Size.Height != l.Size.Width {
			continue
		}
		at := 0
		for k := range sizes {
			if math.Abs(sizes[k]*unit-l.Size.Width) < math.Abs(sizes[at]*unit-l.Size.Width) {
				at = k
			}
		}
		m := Span{Path: network.PathText("bypass", l.Name, "size")}
		for k := max(at-sizesBeside, 0); k <= min(at+sizesBeside, len(sizes)-1); k++ {
			m.List = append(m.List, write(sizes[k], unitWord(g.Job.Units)))
		}
		moves = append(moves, m)
	}
	return moves
}

// tapSpans are the taps of each mode, or of each of its stages, from the one that moves least air.
func tapSpans(g *network.Graph) (moves []Span) {
	spec, ok := g.Elements[g.Blower].Spec.(*network.BlowerSpec)
	if !ok || len(spec.Taps) < 2 {
		return nil
	}
	taps := slices.Clone(spec.Taps)
	slices.SortStableFunc(taps, func(a, b network.TapCurve) int {
		return cmp.Compare(slices.Max(a.Airflow), slices.Max(b.Airflow))
	})
	var names []string
	for i := range taps {
		names = append(names, taps[i].Name)
	}
	add := func(path, tap string) {
		if tap != "" {
			moves = append(moves, Span{Path: path, List: names})
		}
	}
	for mode, m := range g.Job.Equipment.Machines() {
		if len(m.Stages) == 0 {
			add(network.PathText("equipment", string(mode), "tap"), m.Tap)
		}
		for _, stage := range m.Stages {
			add(network.PathText("equipment", string(mode), "stage", stage.Name, "tap"), stage.Tap)
		}
	}
	return moves
}

// balanceSpans are the hand dampers of the runs whose own air is past a limit that a hand damper
// lowers, those in the most call states first.
func (s *Study) balanceSpans(v Variant, g *network.Graph, steps int) ([]Span, error) {
	p, err := s.Report(v)
	if err != nil {
		return nil, err
	}
	states := map[string]int{}
	var order []string
	for _, f := range p.Faults(true) {
		i := slices.IndexFunc(g.Registers, func(r network.Register) bool {
			return r.Line == f.Where && !r.Dump
		})
		if i < 0 || f.Low || verdict.ClassOf(f.Name) == verdict.Rule {
			continue
		}
		if states[f.Where] == 0 {
			order = append(order, f.Where)
		}
		states[f.Where]++
	}
	slices.SortStableFunc(order, func(a, b string) int { return cmp.Compare(states[b], states[a]) })
	var moves []Span
	for _, name := range order {
		moves = append(moves, Span{Path: network.PathText("supply", name, "balance"),
			From: "20 %", To: "100 %", Steps: cmp.Or(steps, marks("20 %", "100 %"))})
	}
	return moves, nil
}

// chosen are the moves of a job's [choose], in file order.
func chosen(g *network.Graph, steps int) []Span {
	var moves []Span
	for i := range g.Job.Choose {
		c := &g.Job.Choose[i]
		paths := []string{c.Name}
		if table, key, ok := strings.Cut(c.Name, ".*."); ok {
			paths = nil
			for _, name := range namesIn(g.Job, table) { // a stop of 0 % is one that may move too
				for _, s := range g.Settings(network.PathText(table, name) + "." + key) {
					paths = append(paths, s.Path)
				}
			}
		}
		for _, path := range paths {
			moves = append(moves, Span{Path: path, From: c.From, To: c.To,
				Steps: cmp.Or(c.Steps(), steps, marks(c.From, c.To)), List: c.List})
		}
	}
	return moves
}

// namesIn are the names of a table's dampers or lines.
func namesIn(job *network.Job, table string) []string {
	var names []string
	if table == "damper" {
		for i := range job.Dampers {
			names = append(names, job.Dampers[i].Name)
		}
	}
	for _, l := range job.Lines() {
		if string(l.Table) == table {
			names = append(names, l.Name)
		}
	}
	return names
}
