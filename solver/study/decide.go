package study

import (
	"cmp"
	"math"
	"slices"

	"spillway/network"
	"spillway/network/takeoff"
	"spillway/solver/digest"
	"spillway/solver/verdict"
)

// Choice is one way to build and set a house, solved in every call state.
type Choice struct {
	Name, Note string // of the alternative; empty as the file stands
	Moves      []Move // of the cheapest set of changes that Mend found; nil of an alternative
	Result     *Result
	Effect     *Effect
	Parts      *takeoff.List
	Buys       []takeoff.Change // beside the house as the file stands
	// The worst of all call states, NaN where a measure applies to none: external static, Pa, and
	// the call state; noise of a register, NC; airflow per nominal cooling, m³/s per W.
	Static    float64
	WorstCall int // index into Result.Outcomes
	Noise     float64
	PerTon    float64
}

// Decision is the ways between which somebody decides, as the file stands first.
type Decision struct {
	Choices []Choice
	// Best is the choice with the least at fault, the gravest class first; of equals the one with
	// the least steel. It is a suggestion: what a part costs and who hears it is not known here.
	Best int
	// Sought says that changes were looked for which clear every fault.
	Sought bool
}

// Level returns how a choice does in some classes of checks: the gravest of their causes.
func (c *Choice) Level(classes ...verdict.Class) verdict.Level {
	level := verdict.OK
	for i := range c.Effect.Digest.Causes {
		cause := &c.Effect.Digest.Causes[i]
		if !slices.Contains(classes, cause.Class) {
			continue
		}
		if cause.Level == verdict.Fault {
			return verdict.Fault
		}
		level = cause.Level
	}
	return level
}

// Decide solves a house as the file stands and with each of some alternatives. Where mend is above
// zero and something is at fault, it adds the cheapest set of changes that clears every fault,
// looked for in at most so many call states.
func (s *Study) Decide(v Variant, alternatives []network.Alternative, mend int) (*Decision, error) {
	variants := []Variant{v}
	for _, a := range alternatives {
		variants = append(variants, Variant{Alternative: a.Name, Set: v.Set})
	}
	results, err := s.SolveAll(variants)
	if err != nil {
		return nil, err
	}
	d := &Decision{}
	for i, r := range results {
		c := Choice{Result: r}
		if i > 0 {
			c.Name, c.Note = alternatives[i-1].Name, alternatives[i-1].Note
		}
		if err := d.add(c); err != nil {
			return nil, err
		}
	}
	if mend > 0 && d.Choices[0].Effect.Faults > 0 {
		d.Sought = true
		if err := s.addMended(d, v, mend); err != nil {
			return nil, err
		}
	}
	for i := range d.Choices {
		a, b := &d.Choices[i], &d.Choices[d.Best]
		if cmp.Or(slices.Compare(burdenOf(a.Effect.Digest), burdenOf(b.Effect.Digest)),
			cmp.Compare(a.Parts.Steel, b.Parts.Steel)) < 0 {
			d.Best = i
		}
	}
	return d, nil
}

// addMended adds the cheapest set of changes that clears the faults, or as far as changes go.
func (s *Study) addMended(d *Decision, v Variant, most int) error {
	m, err := s.Mend(v, most)
	if err != nil {
		return err
	}
	found := m.Best
	if len(m.Sets) > 0 {
		found = m.Sets[0]
	}
	if found == nil {
		return nil
	}
	v.Set = slices.Concat(v.Set, found.Set)
	r, err := s.Solve(v)
	if err != nil {
		return err
	}
	return d.add(Choice{Name: "mended", Moves: found.Moves, Result: r})
}

// add reads a choice off its result.
func (d *Decision) add(c Choice) (err error) {
	if c.Effect, err = effectOf(c.Result, c.Moves); err != nil {
		return err
	}
	c.Parts = takeoff.Of(c.Result.Graph.Job)
	if len(d.Choices) > 0 {
		c.Buys = takeoff.Compare(d.Choices[0].Parts, c.Parts)
	}
	c.Noise, c.PerTon = math.NaN(), math.NaN()
	for i, o := range c.Result.Outcomes {
		if o.Blower.ExternalStatic > c.Static || i == 0 {
			c.Static, c.WorstCall = o.Blower.ExternalStatic, i
		}
		if noise := loudestRegister(o); noise > c.Noise || math.IsNaN(c.Noise) {
			c.Noise = noise
		}
		if perTon := o.PerTon(); o.State.Mode == network.Cooling && (perTon < c.PerTon ||
			math.IsNaN(c.PerTon)) {
			c.PerTon = perTon
		}
	}
	d.Choices = append(d.Choices, c)
	return nil
}

// Gravest returns the causes at fault, and then those for caution of the classes that can hurt
// somebody or the machine or break a code, at most so many.
func (c *Choice) Gravest(most int) (list []*digest.Cause) {
	for _, fault := range []bool{true, false} {
		for i := range c.Effect.Digest.Causes {
			cause := &c.Effect.Digest.Causes[i]
			is := cause.Level == verdict.Fault
			if is == fault && (is || cause.Class.Hard() || cause.Class == verdict.Zoning) &&
				len(list) < most {
				list = append(list, cause)
			}
		}
	}
	return list
}
