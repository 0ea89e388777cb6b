package study

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/solver/digest"
	"spillway/solver/state"
	"spillway/solver/verdict"
	"spillway/solver/zoning"
)

// Move is one thing that may be done to an installation.
type Move struct {
	Words string   // "stop of main 45 %"
	Set   []string // PATH=VALUE
	Sheet float64  // surface of the duct that is bought for it, m²; 0 of a setting
	Parts int      // other parts that are bought
}

// dearer orders moves and sets of them by what they cost: parts and sheet before settings.
func dearer(a, b *Effect) int {
	return cmp.Or(cmp.Compare(a.Parts+int(math.Ceil(a.Sheet)), b.Parts+int(math.Ceil(b.Sheet))),
		cmp.Compare(b.Least, a.Least))
}

// Effect is what moves do, solved in every call state.
type Effect struct {
	Moves  []Move
	Set    []string // of all moves together
	Digest *digest.Digest
	Faults int     // findings at fault; damper stops a little off are not tried
	Causes int     // that are at fault
	Least  float64 // least part of a call that reaches the zones that call; NaN in a house of one zone
	Static float64 // greatest external static, Pa
	Sheet  float64 // m²
	Parts  int

	harm     float64 // of the causes at fault together
	findings [][]verdict.Finding
}

// givesAway reports whether moves bring into fault what no setting may be traded for: safety,
// equipment, code, or the zoning.
func (e *Effect) givesAway(before *Effect) bool {
	for i := range e.Digest.Causes {
		c := &e.Digest.Causes[i]
		if c.Level != verdict.Fault || !c.Class.Hard() && c.Class != verdict.Zoning {
			continue
		}
		if was := before.Digest.Same(c); was == nil || was.Level != verdict.Fault {
			return true
		}
	}
	return false
}

// fewer orders effects by the faults that are left, then by how far those are past their limits.
func fewer(a, b *Effect) int {
	return cmp.Or(cmp.Compare(a.Faults, b.Faults), cmp.Compare(a.harm, b.harm))
}

// effectOf reads what moves do off a result.
func effectOf(r *Result, moves []Move) (*Effect, error) {
	houses, err := verdict.Houses(r.Outcomes)
	if err != nil {
		return nil, err
	}
	e := &Effect{Moves: moves, Least: math.NaN(), findings: r.Findings}
	reports := make([]digest.Report, len(r.Outcomes))
	for i, o := range r.Outcomes {
		reports[i] = digest.Report{Outcome: o, Findings: r.Findings[i]}
		if e.Static = max(e.Static, o.Blower.ExternalStatic); len(o.State.Calling) < len(o.Zones) {
			if share := zoning.CallerShare(o); share < e.Least || math.IsNaN(e.Least) {
				e.Least = share
			}
		}
	}
	e.Digest = digest.Of(reports, houses)
	for i := range e.Digest.Causes {
		if c := &e.Digest.Causes[i]; c.Faults > 0 {
			e.Faults += c.Faults
			e.Causes++
			e.harm += c.Harm
		}
	}
	for _, m := range moves {
		e.Set = append(e.Set, m.Set...)
		e.Sheet += m.Sheet
		e.Parts += m.Parts
	}
	return e, nil
}

// Try solves moves together in every call state.
func (s *Study) Try(v Variant, moves ...Move) (*Effect, error) {
	for _, m := range moves {
		v.Set = append(v.Set[:len(v.Set):len(v.Set)], m.Set...)
	}
	r, err := s.Solve(v)
	if err != nil {
		return nil, err
	}
	return effectOf(r, moves)
}

// TryAll tries every move alone, side by side. A move that does not fit the installation has no
// effect in the list.
func (s *Study) TryAll(v Variant, moves []Move) ([]*Effect, error) {
	all := make([]*Effect, len(moves))
	err := s.each(len(moves), func(i int) error {
		if e, err := s.Try(v, moves[i]); err == nil {
			all[i] = e
		}
		return nil
	})
	return slices.DeleteFunc(all, func(e *Effect) bool { return e == nil }), err
}

// Tried is every move of an installation, tried alone.
type Tried struct {
	Before *Effect
	Each   []*Effect
}

// mostCured is how many call states, times moves, Cures solves.
const mostCured = 800

// Cures tries moves of an installation that has a fault, each alone and in every call state, so
// that CuresOf can say what helps; nil without a fault. Where all moves in all states would take
// long it tries them in the states at fault first, and in all states only those that leave least
// there.
func Cures(g *network.Graph) (*Tried, error) {
	s := Of(g, Options{})
	r, err := s.Solve(Variant{})
	if err != nil {
		return nil, err
	}
	t := &Tried{}
	if t.Before, err = effectOf(r, nil); err != nil || t.Before.Faults == 0 {
		return nil, err
	}
	moves := Moves(r.Graph, r.Outcomes)
	if len(moves)*len(r.Outcomes) > mostCured {
		if moves, err = screened(g, r, moves); err != nil {
			return nil, err
		}
	}
	t.Each, err = s.TryAll(Variant{}, moves)
	return t, err
}

// screened are the moves that leave the least in the call states at fault, as many as may be tried
// in all states: the best of each kind before the second best of any.
func screened(g *network.Graph, r *Result, moves []Move) ([]Move, error) {
	faulty := map[string]bool{}
	for i, o := range r.Outcomes {
		if slices.ContainsFunc(r.Findings[i], func(f verdict.Finding) bool {
			return f.Level == verdict.Fault
		}) {
			faulty[o.State.Name] = true
		}
	}
	few := Of(g, Options{Choose: func(g *network.Graph) ([]state.CallState, error) {
		return slices.DeleteFunc(state.States(g), func(cs state.CallState) bool {
			return !faulty[cs.Name]
		}), nil
	}})
	if len(faulty) == 0 || len(moves)*len(faulty) > mostCured {
		return nil, nil
	}
	tried, err := few.TryAll(Variant{}, moves)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(tried, func(a, b *Effect) int {
		return cmp.Or(fewer(a, b), dearer(a,
			b))
	})
	rank, nth := map[*Effect]int{}, map[string]int{}
	for _, e := range tried {
		path, _, _ := strings.Cut(e.Set[0], "=")
		rank[e] = nth[path]
		nth[path]++
	}
	slices.SortStableFunc(tried, func(a, b *Effect) int { return cmp.Compare(rank[a], rank[b]) })
	var out []Move
	for _, e := range tried[:min(len(tried), mostCured/len(r.Outcomes))] {
		out = append(out, e.Moves...)
	}
	return out, nil
}

// Cure is what a move does to one cause.
type Cure struct {
	*Effect
	Cleared bool            // the cause is not at fault any more
	Level   verdict.Level   // of the cause, then
	Left    *digest.Cause   // the cause as it is then; nil where nothing of it is left
	Value   float64         // of the check by which the cause was shown, at its worst; NaN where it is no longer judged there
	Of      verdict.Finding // that check, as it was
}

// CuresOf finds, of moves that were tried, those that clear or ease a cause without bringing more
// findings into fault than there were: the ones that clear it first, then those after which the
// fewest faults are left, then the cheapest.
func CuresOf(c *digest.Cause, before *Effect, tried []*Effect) []Cure {
	was := *c.Worst().Finding
	var list []Cure
	for _, e := range tried {
		if e.Faults > before.Faults || e.givesAway(before) {
			continue
		}
		cure := Cure{Effect: e, Of: was, Level: verdict.OK, Value: e.worst(&was)}
		harm := 0.0
		if cure.Left = e.Digest.Same(c); cure.Left != nil {
			cure.Level, harm = cure.Left.Level, cure.Left.Harm
		}
		cure.Cleared = c.Level == verdict.Fault && cure.Level != verdict.Fault
		if cure.Cleared || c.Harm-harm >= easedFrom {
			list = append(list, cure)
		}
	}
	clears := func(c *Cure) int {
		if c.Cleared {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(list, func(a, b Cure) int {
		return cmp.Or(clears(&a)-clears(&b), cmp.Compare(a.Faults, b.Faults), dearer(a.Effect,
			b.Effect), cmp.Compare(a.Static, b.Static))
	})
	return list
}

// easedFrom is how much less harm a move has to leave of a cause to be named with it (our choice).
const easedFrom = 0.25

// worst is the value of a check at one place that is nearest its limit or farthest past it in any
// call state; NaN where no call state names it.
func (e *Effect) worst(was *verdict.Finding) float64 {
	worst, found := math.NaN(), false
	var most float64
	for _, list := range e.findings {
		for i := range list {
			f := &list[i]
			if f.Row != was.Row || f.Where != was.Where {
				continue
			}
			past := f.Quantity.Excess(f.Value, was.Limit, f.Bounds == verdict.AtLeast)
			if !found || past > most {
				worst, most, found = f.Value, past, true
			}
		}
	}
	return worst
}

// mostOffered bounds the catalogue of moves.
const mostOffered = 48

// Moves lists what may be done to an installation: other stops, lower taps, wider shared ducts and
// runs, larger registers, a larger filter, a weighted bypass. Settings come first, then parts.
// Outcomes are of its
// call states, by which a bypass is set.
func Moves(g *network.Graph, outcomes []*state.Outcome) []Move {
	list := slices.Concat(stopMoves(g), tapMoves(g), filterMoves(g), bypassMoves(g, outcomes),
		ductMoves(g), runMoves(g), registerMoves(g))
	return list[:min(len(list), mostOffered)]
}

// stopMoves are the stops of zone dampers in tens of per cent.
func stopMoves(g *network.Graph) (list []Move) {
	for i := range g.Job.Zones {
		for _, name := range g.Job.Zones[i].Damper {
			for k := range g.Job.Dampers {
				d := &g.Job.Dampers[k]
				if d.Name != name || len(g.Job.Zones) < 2 {
					continue
				}
				now := 100 * float64(d.Stop)
				for _, by := range []float64{10, 20, 30, 40, -10, -20} {
					if to := 5 * math.Round((now+by)/5); to >= 0 && to <= 60 &&
						math.Abs(to-now) > 1 {
						stop := quantity.KindFraction.Written(to/100, g.Job.Units)
						list = append(list,
							Move{Words: "stop of " + name + " " + stop,
								Set: []string{network.PathText("damper", name,
									"stop") + "=" + stop}})
					}
				}
			}
		}
	}
	return list
}

// tapMoves are lower taps.
func tapMoves(g *network.Graph) (list []Move) {
	for _, side := range []struct {
		of string
		m  *network.Machine
	}{{"cooling", g.Job.Equipment.Cooling}, {"heating", g.Job.Equipment.Heating}} {
		if side.m == nil || side.m.Tap == "" || len(side.m.Stages) > 0 {
			continue
		}
		if lower := lowerTap(g, side.m.Tap); lower != "" {
			list = append(list, Move{Words: side.of + " tap " + lower,
				Set: []string{"equipment." + side.of + ".tap=" + lower}})
		}
	}
	return list
}

// filterMoves are a filter of twice the area, which has the same drop at twice the air.
func filterMoves(g *network.Graph) []Move {
	f := g.Job.Equipment.Filter
	if f == nil || !(f.Drop > 0) || !(f.At > 0) {
		return nil
	}
	return []Move{{Words: "filter of twice the area",
		Set: []string{"equipment.filter.at=" + quantity.KindAirflow.Format(2*float64(f.At),
			g.Job.Units)}, Parts: 1}}
}

// A bypass is offered in these sizes, nominal; it opens a little above the plenum's static with all
// zones calling, so that it is shut then, and is fully open a bit further on (common practice; the
// figures are our choice).
var (
	bypassSizes = map[quantity.System][]float64{quantity.IP: {8, 10, 12}, quantity.SI: {200, 250,
		315}}
	bypassAbove = 0.03 * quantity.InchWater
	bypassSpan  = 0.07 * quantity.InchWater
)

// bypassMoves are a weighted bypass into the farthest shared return, where there is none yet, or
// the one there is set to open earlier.
func bypassMoves(g *network.Graph, outcomes []*state.Outcome) (list []Move) {
	job := g.Job
	at := g.NodeAt(network.AtSupplyPlenum)
	if len(job.Zones) < 2 || at == network.None {
		return nil
	}
	opens := math.Inf(-1)
	for _, o := range outcomes {
		if len(o.State.Calling) == len(job.Zones) {
			opens = max(opens, o.Nodes[at].Static)
		}
	}
	if math.IsInf(opens, 0) || len(job.Bypass) > 0 {
		return nil
	}
	to := "return plenum"
	for i := range job.Return {
		if l := &job.Return[i]; l.To == "return plenum" && l.Grille == nil {
			to = l.Name
		}
	}
	name := "relief"
	for slices.ContainsFunc(slices.Concat(job.Supply, job.Return),
		func(l network.Line) bool { return l.Name == name }) {
		name += "-bypass"
	}
	sys := job.Units
	unit := "inwc"
	if sys == quantity.SI {
		unit = "Pa"
	}
	pascal, _ := quantity.KindPressure.Parse("1 "+unit, sys)
	mark := markOf(unit)
	steps := func(p float64) string { return write(mark*math.Ceil(p/pascal/mark-1e-9), unit) }
	opensAt, fullyOpenAt := steps(opens+bypassAbove), steps(opens+bypassAbove+bypassSpan)
	const feet = 18
	length := quantity.KindLength.Written(feet*quantity.Foot, sys)
	for _, size := range bypassSizes[sys] {
		text := write(size, unitWord(sys))
		value := `{ from = "supply plenum", to = "` + to + `", size = "` + text + `", length = "` +
			length + `", fittings = ["plenum takeoff", "2x elbow 90 smooth"`
		if to != "return plenum" {
			value += `, "wye 45"`
		}
		value += `], opens-at = "` + opensAt + `", fully-open-at = "` + fullyOpenAt + `" }`
		list = append(list, Move{Parts: 1,
			Words: "weighted bypass to " + to + ", " + text + ", opening at " + opensAt,
			Set:   []string{network.PathText("bypass", name) + "=" + value},
			Sheet: feet * quantity.Foot * math.Pi * size * nominal(sys)})
	}
	return list
}

// ductMoves widen one shared duct by one size or by two, its zone damper with it.
func ductMoves(g *network.Graph) (list []Move) {
	job := g.Job
	widen := func(table string, l *network.Line) {
		size := l.Size.Section
		for range 2 {
			text, next, ok := nextLarger(size, job.Units)
			if !ok {
				return
			}
			size = next
			m := Move{Words: l.Name + " " + text, Sheet: float64(l.Length) * next.Perimeter(),
				Set: []string{network.PathText(table, l.Name, "size") + "=" + text}}
			for k := range job.Dampers {
				if d := &job.Dampers[k]; d.Name == l.Damper && d.Size.Area() > 0 {
					m.Set = append(m.Set, network.PathText("damper", d.Name, "size")+"="+text)
					m.Parts++
				}
			}
			list = append(list, m)
		}
	}
	for i := range job.Return {
		widen("return", &job.Return[i])
	}
	for i := range job.Supply {
		if job.Supply[i].Register == nil {
			widen("supply", &job.Supply[i])
		}
	}
	return list
}

// runMoves widen all runs to the registers of one zone by one size.
func runMoves(g *network.Graph) (list []Move) {
	job := g.Job
	for z := range job.Zones {
		var m Move
		for i := range job.Supply {
			l := &job.Supply[i]
			if l.Register == nil || zoneOfLine(g, l.Name) != job.Zones[z].Name {
				continue
			}
			if text, next, ok := nextLarger(l.Size.Section, job.Units); ok {
				m.Set = append(m.Set, network.PathText("supply", l.Name, "size")+"="+text)
				m.Sheet += float64(l.Length) * next.Perimeter()
			}
		}
		if len(m.Set) > 0 {
			m.Words = "runs of " + job.Zones[z].Name + " one size larger"
			list = append(list, m)
		}
	}
	return list
}

// registerMoves make all registers of one zone a size larger.
func registerMoves(g *network.Graph) (list []Move) {
	job := g.Job
	for z := range job.Zones {
		var m Move
		for i := range job.Supply {
			l := &job.Supply[i]
			if l.Register == nil || zoneOfLine(g, l.Name) != job.Zones[z].Name {
				continue
			}
			if text, ok := nextRegister(l.Register.Size, job.Units); ok {
				m.Set = append(m.Set, network.PathText("supply", l.Name, "register", "size")+
					"="+text)
				m.Parts++
			}
		}
		if len(m.Set) > 0 {
			m.Words = "registers of " + job.Zones[z].Name + " one size larger"
			list = append(list, m)
		}
	}
	return list
}

// nextRegister is the next larger register that is sold, metric ones in the sizes that stand for
// those in inches, 25 mm each (from memory). One as large as the largest has none.
func nextRegister(now section.Section, sys quantity.System) (text string, ok bool) {
	if now.Shape != section.Rectangular {
		return "", false
	}
	unit, word := quantity.Inch, "in"
	if sys == quantity.SI {
		unit, word = 0.025, "mm"
	}
	for _, o := range registerSizes() {
		if next := section.NewRectangular(o[0]*unit, o[1]*unit); next.Area() > now.Area()*1.05 {
			scale := 1.0
			if sys == quantity.SI {
				scale = 25
			}
			return write(o[0]*scale, "") + "x" + write(o[1]*scale, word), true
		}
	}
	return "", false
}

// zoneOfLine is the zone of the register that a supply line ends in.
func zoneOfLine(g *network.Graph, line string) string {
	for i := range g.Registers {
		if r := &g.Registers[i]; r.Line == line && !r.Dump {
			return r.Zone
		}
	}
	return ""
}

// nextLarger is the next size of a duct that is sold, as the file writes it and as a section.
func nextLarger(s section.Section, sys quantity.System) (text string, next section.Section,
	ok bool) {
	switch s.Shape {
	case section.Round:
		next, text = roundUp(s.Width*1.02, sys)
		return text, next, next.Area() > s.Area()
	case section.Rectangular:
		next, text = widen(s.Height, sys,
			func(made section.Section) bool { return made.Width > s.Width*1.001 })
		return text, next, next.Area() > s.Area()
	}
	return "", s, false
}

// Mending is the outcome of looking for the fewest moves that clear every fault.
type Mending struct {
	Before *Effect
	Moves  []Move // the catalogue
	Single []*Effect
	// Sets clear every fault, and no part of one does: the smallest first, then the cheapest; none
	// when no set was found, or nothing is at fault.
	Sets []*Effect
	// Proven is up to how many moves every set was tried that has no clearing set within it.
	Proven int
	Tried  int // sets that were solved, until their first fault
	// Best is as far as moves go, one after the other, where Sets is empty; nil where no move
	// helps.
	Best *Effect
}

// The bounds of a search.
const (
	mostTogether = 3     // moves in a set
	mostSolved   = 40000 // call states
	mostSets     = 5     // that are kept
	mostInARow   = 6     // moves of Best
)

// Mend looks for the sets of one to three moves after which no finding is at fault in any call
// state, most being how many call states may be solved for it; 0 takes 40,000.
func (s *Study) Mend(v Variant, most int) (*Mending, error) {
	if most <= 0 {
		most = mostSolved
	}
	r, err := s.Solve(v)
	if err != nil {
		return nil, err
	}
	m := &Mending{}
	if m.Before, err = effectOf(r, nil); err != nil || m.Before.Faults == 0 {
		return m, err
	}
	m.Moves = Moves(r.Graph, r.Outcomes)
	if m.Single, err = s.TryAll(v, m.Moves); err != nil {
		return nil, err
	}
	m.Moves = m.Moves[:0:0]
	for _, e := range m.Single {
		m.Moves = append(m.Moves, e.Moves[0])
		if e.Faults == 0 {
			m.Sets = append(m.Sets, e)
		}
	}
	m.Proven, m.Tried = 1, len(m.Single)
	order := worstFirst(m.Before)
	solved := len(m.Single) * len(order)
	for size := 2; size <= mostTogether && len(distinct(m.Sets)) < mostSets; size++ {
		sets := slices.DeleteFunc(combine(m.Moves, size),
			func(set []Move) bool { return within(m.Sets, set) })
		if solved+len(sets)*usualStates > most {
			break
		}
		clear, states := make([]bool, len(sets)), make([]int, len(sets))
		if err := s.each(len(sets), func(i int) (err error) {
			clear[i], states[i] = s.clears(v, sets[i], order)
			return nil
		}); err != nil {
			return nil, err
		}
		m.Tried, m.Proven = m.Tried+len(sets), size
		for i := range sets {
			if solved += states[i]; !clear[i] {
				continue
			}
			e, err := s.Try(v, sets[i]...)
			if err != nil {
				return nil, err
			}
			if e.Faults == 0 {
				m.Sets = append(m.Sets, e)
			}
		}
	}
	slices.SortStableFunc(m.Sets, func(a, b *Effect) int {
		return cmp.Or(cmp.Compare(len(a.Moves),
			len(b.Moves)), dearer(a, b))
	})
	m.Sets = distinct(m.Sets)
	if len(m.Sets) == 0 {
		m.Best, err = s.inARow(v, m)
	}
	return m, err
}

// within reports whether a set has one of those found within it.
func within(found []*Effect, set []Move) bool {
	return slices.ContainsFunc(found, func(e *Effect) bool {
		for i := range e.Moves {
			if !slices.ContainsFunc(set, func(m Move) bool {
				return slices.Equal(m.Set,
					e.Moves[i].Set)
			}) {
				return false
			}
		}
		return true
	})
}

// usualStates is how many call states a set takes until its first fault, as a rule.
const usualStates = 2

// worstFirst lists the call states by how many findings are at fault in them, the most first.
func worstFirst(e *Effect) []int {
	faults := make([]int, len(e.findings))
	order := make([]int, len(e.findings))
	for i := range e.findings {
		order[i] = i
		for _, f := range e.findings[i] {
			if f.Level == verdict.Fault {
				faults[i]++
			}
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(faults[b], faults[a]) })
	return order
}

// clears reports whether no call state has a fault with moves, and how many it took to tell. What
// cannot be solved clears nothing.
func (s *Study) clears(v Variant, moves []Move, order []int) (ok bool, states int) {
	for _, m := range moves {
		v.Set = append(v.Set[:len(v.Set):len(v.Set)], m.Set...)
	}
	g, all, b, err := s.graph(v)
	if err != nil {
		return false, 0
	}
	solver, err := s.solver(g, b)
	if err != nil {
		return false, 0
	}
	for _, i := range order {
		states++
		o, err := solver.Solve(all[i])
		if err != nil || s.zoned(v, solver, o) != nil {
			return false, states
		}
		for _, f := range verdict.Judge(o) {
			if f.Level == verdict.Fault {
				return false, states
			}
		}
	}
	return true, states
}

// combine lists all sets of so many moves of which no two set the same path.
func combine(moves []Move, size int) (sets [][]Move) {
	var grow func(from int, set []Move)
	grow = func(from int, set []Move) {
		if len(set) == size {
			sets = append(sets, slices.Clone(set))
			return
		}
		for i := from; i < len(moves); i++ {
			if !slices.ContainsFunc(set, func(m Move) bool { return collide(&m, &moves[i]) }) {
				grow(i+1, append(set, moves[i]))
			}
		}
	}
	grow(0, make([]Move, 0, size))
	return sets
}

// collide reports whether two moves set one path.
func collide(a, b *Move) bool {
	path := func(set string) string {
		p, _, _ := strings.Cut(set,
			"=")
		return strings.TrimSpace(p)
	}
	for _, x := range a.Set {
		for _, y := range b.Set {
			if path(x) == path(y) {
				return true
			}
		}
	}
	return false
}

// distinct keeps the cheapest sets, of those that differ in nothing but a value only the first.
func distinct(sets []*Effect) (kept []*Effect) {
	seen := map[string]bool{}
	for _, e := range sets {
		var paths []string
		for _, set := range e.Set {
			p, _, _ := strings.Cut(set, "=")
			paths = append(paths, p)
		}
		slices.Sort(paths)
		if key := strings.Join(paths, "\x00"); !seen[key] && len(kept) < mostSets {
			seen[key] = true
			kept = append(kept, e)
		}
	}
	return kept
}

// inARow adds the move after which the fewest faults are left, again and again.
func (s *Study) inARow(v Variant, m *Mending) (*Effect, error) {
	best := m.Before
	for len(best.Moves) < mostInARow {
		var next []*Effect
		if len(best.Moves) == 0 {
			next = m.Single
		} else {
			var sets [][]Move
			for i := range m.Moves {
				if !slices.ContainsFunc(best.Moves, func(b Move) bool {
					return collide(&b,
						&m.Moves[i])
				}) {
					sets = append(sets, append(slices.Clone(best.Moves), m.Moves[i]))
				}
			}
			next = make([]*Effect, len(sets))
			if err := s.each(len(sets), func(i int) error {
				if e, err := s.Try(v, sets[i]...); err == nil {
					next[i] = e
				}
				return nil
			}); err != nil {
				return nil, err
			}
			next = slices.DeleteFunc(next, func(e *Effect) bool { return e == nil })
		}
		next = slices.DeleteFunc(slices.Clone(next),
			func(e *Effect) bool { return e.givesAway(m.Before) })
		if len(next) == 0 {
			break
		}
		found := slices.MinFunc(next, func(a, b *Effect) int {
			return cmp.Or(fewer(a, b), dearer(a,
				b))
		})
		if fewer(found, best) >= 0 {
			break
		}
		best = found
	}
	if len(best.Moves) == 0 {
		return nil, nil
	}
	return best, nil
}
