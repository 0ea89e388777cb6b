package study

import (
	"slices"
	"strings"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// probes answers for the points that a search asks about, one call state at a time and no more of them than are asked for: most points
// are out after the first state in which a limit is passed. A setting that has no say in a call state, such as the stop of a damper whose
// zone calls, leaves it as it is, so that points which differ only in such settings share it: with all zones calling there is one state to
// solve for all positions of all stops.
type probes struct {
	study   *Study
	base    Variant
	moves   []Span
	caution bool
	parts   func(r *StateReport, measures []Measure) []aim // of the objective

	names   []string // of the call states, over all values of the lists
	clean   int      // how many of them have the filter as it is; the rest a due one
	matters [][]bool // by state and move
	later   []int    // the moves in the order in which they go into a variant: what can be changed in the graph comes last
	cells   map[string]*cell
	order   []*cell // as they were solved

	graph  *network.Graph
	groups [][]int            // the states of each weather of which all states are asked for
	houses map[string][]Fault // of points, by their values
}

// point is a value for each move, as the job file writes it.
type point []string

// cell is one call state at a point.
type cell struct {
	StateReport
	measures []Measure
	faults   []Fault           // that count as such for the goal
	bad      map[Check]float64 // the same, with how far each is beyond its limit
	parts    []aim             // of the objective
}

func (s *Study) newProbes(v Variant, goal *Goal, parts func(*StateReport, []Measure) []aim) (*probes, error) {
	p := &probes{study: s, base: v, moves: goal.Moves, caution: goal.Cautions, parts: parts, cells: map[string]*cell{}, houses: map[string][]Fault{}}
	for k := range p.moves {
		p.later = append(p.later, k)
	}
	slices.SortStableFunc(p.later, func(a, b int) int { return quickRank(p.moves[a].Path+"=") - quickRank(p.moves[b].Path+"=") })
	// The values of lists may add call states or take some away; a stop matters in a state if it does so with any of them.
	rows := map[string]int{}
	for _, lists := range p.lists() {
		g, states, _, err := s.graph(p.variant(lists, nil))
		if err != nil {
			return nil, err
		}
		for _, cs := range states {
			row, ok := rows[cs.Name]
			if !ok {
				row = len(p.names)
				rows[cs.Name] = row
				p.names = append(p.names, cs.Name)
				p.matters = append(p.matters, make([]bool, len(p.moves)))
			}
			for k := range p.moves {
				p.matters[row][k] = p.matters[row][k] || hasSay(g, cs, &p.moves[k])
			}
		}
	}
	p.clean = len(p.names)
	if goal.Due {
		for _, name := range p.names[:p.clean] {
			p.names = append(p.names, name+filterDue)
		}
		p.matters = append(p.matters, p.matters...)
	}
	return p, p.group()
}

// group finds the weathers of which all call states are asked for: only these can be judged as a whole.
func (p *probes) group() (err error) {
	if p.graph, err = p.study.Read(p.base); err != nil {
		return err
	}
	if len(p.graph.Job.Zones) < 2 {
		return nil
	}
	all := map[string][]int{}
	count := 0
	for cs := range state.Each(p.graph) {
		if count++; count > state.MostStates {
			return nil
		}
		all[cs.Weather] = append(all[cs.Weather], slices.Index(p.names, cs.Name))
	}
	for i := range p.graph.Job.Weather {
		if group := all[p.graph.Job.Weather[i].Name]; len(group) > 0 && !slices.Contains(group, -1) {
			p.groups = append(p.groups, group)
		}
	}
	return nil
}

// housesAt measures and judges the house at a point, by weather.
func (p *probes) housesAt(at point) ([]verdict.House, error) {
	var houses []verdict.House
	for _, group := range p.groups {
		cells, err := p.all(group, []point{at})
		if err != nil {
			return nil, err
		}
		var calls []zoning.Call
		for _, c := range cells {
			if c[0].measures != nil {
				calls = append(calls, c[0].call)
			}
		}
		if len(calls) == 0 {
			continue
		}
		h, known, err := zoning.Measure(p.graph.Job, calls)
		if err != nil {
			return nil, err
		}
		if known {
			houses = append(houses, verdict.House{House: h, Findings: verdict.JudgeHouse(p.graph.Job, &h)})
		}
	}
	return houses, nil
}

// house lists the checks of whole weathers that a point passes.
func (p *probes) house(at point) ([]Fault, error) {
	key := strings.Join(at, "\x00")
	if faults, known := p.houses[key]; known {
		return faults, nil
	}
	houses, err := p.housesAt(at)
	if err != nil {
		return nil, err
	}
	faults := (&Report{Houses: houses}).Faults(p.caution)
	p.houses[key] = faults
	return faults, nil
}

// hasSay tells whether a setting can alter a call state.
func hasSay(g *network.Graph, cs state.CallState, m *Span) bool {
	path, ok := network.SplitPath(m.Path)
	if !ok || len(path) != 3 || path[0] != "damper" || path[2] != "stop" || len(m.Links) > 0 {
		return true
	}
	return state.StopMatters(g, cs, path[1])
}

// lists are the points made of every combination of the values of lists, the other moves at the lower end of their ranges.
func (p *probes) lists() []point {
	points := []point{{}}
	for _, m := range p.moves {
		var next []point
		for _, q := range points {
			n := 1
			if !m.Continuous() {
				n = m.Len()
			}
			for i := range n {
				next = append(next, append(q[:len(q):len(q)], m.Value(i)))
			}
		}
		points = next
	}
	return points
}

// variant is the base with those settings of a point that matter; nil stands for all.
func (p *probes) variant(at point, matters []bool) Variant {
	v := p.base
	for _, k := range p.later {
		if matters == nil || matters[k] {
			v = p.moves[k].set(v, at[k])
		}
	}
	return v
}

// key names a state at a point by what matters to it.
func (p *probes) key(s int, at point) string {
	var b strings.Builder
	b.WriteByte(byte(s))
	b.WriteByte(byte(s >> 8))
	for k, matters := range p.matters[s] {
		if matters {
			b.WriteString(at[k])
		}
		b.WriteByte(0)
	}
	return b.String()
}

// known is a state at a point if it was solved before, else nil.
func (p *probes) known(s int, at point) *cell { return p.cells[p.key(s, at)] }

// at gives a state at points, solving side by side what is new.
func (p *probes) at(s int, points []point) ([]*cell, error) {
	cells, err := p.all([]int{s}, points)
	if err != nil {
		return nil, err
	}
	return cells[0], nil
}

// all gives states at points, by state and point.
func (p *probes) all(states []int, points []point) ([][]*cell, error) {
	type task struct {
		key   string
		state int
		at    point
	}
	var tasks []task
	keys := make([][]string, len(states))
	seen := map[string]bool{}
	for i, s := range states {
		keys[i] = make([]string, len(points))
		for k, at := range points {
			key := p.key(s, at)
			keys[i][k] = key
			if p.cells[key] == nil && !seen[key] {
				seen[key] = true
				tasks = append(tasks, task{key, s, at})
			}
		}
	}
	fresh := make([]*cell, len(tasks))
	err := p.study.each(len(tasks), func(i int) (err error) {
		fresh[i], err = p.solve(tasks[i].state, tasks[i].at)
		return err
	})
	if err != nil {
		return nil, err
	}
	for i, c := range fresh {
		p.cells[tasks[i].key] = c
		p.order = append(p.order, c)
	}
	cells := make([][]*cell, len(states))
	for i := range keys {
		cells[i] = make([]*cell, len(points))
		for k, key := range keys[i] {
			cells[i][k] = p.cells[key]
		}
	}
	return cells, nil
}

// solve solves a state at a point. A state that a value of a list does away with has no findings.
func (p *probes) solve(s int, at point) (*cell, error) {
	v := p.variant(at, p.matters[s])
	name := p.names[s]
	if s >= p.clean {
		v, name = loaded(v, DueLoading), p.names[s-p.clean]
	}
	g, states, b, err := p.study.graph(v)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(states, func(cs state.CallState) bool { return cs.Name == name })
	if i < 0 {
		return &cell{bad: map[Check]float64{}}, nil
	}
	r, err := p.study.solveGraph(v, g, states[i:i+1], b)
	if err != nil {
		return nil, err
	}
	report := readReport(r, Measures(r.Graph))
	report.States[0].State.Name = p.names[s]
	report.weigh()
	c := &cell{StateReport: report.States[0], measures: report.Measures, faults: report.Faults(p.caution), bad: report.beyond(p.caution)}
	c.parts = p.parts(&c.StateReport, report.Measures)
	return c, nil
}

// everyState lists the states by number.
func (p *probes) everyState() []int {
	all := make([]int, len(p.names))
	for i := range all {
		all[i] = i
	}
	return all
}

// reports puts all states of points together, with the filter as it is.
func (p *probes) reports(points []point) ([]*Report, error) {
	cells, err := p.all(p.everyState()[:p.clean], points)
	if err != nil {
		return nil, err
	}
	list := make([]*Report, len(points))
	for k, at := range points {
		r := &Report{Variant: p.variant(at, nil)}
		for i := range cells {
			if c := cells[i][k]; c.measures != nil {
				r.Measures = c.measures
				r.States = append(r.States, c.StateReport)
			}
		}
		if r.Houses, err = p.housesAt(at); err != nil {
			return nil, err
		}
		r.weigh()
		list[k] = r
	}
	return list, nil
}
