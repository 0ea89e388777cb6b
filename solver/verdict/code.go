package verdict

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/state"
)

// Figure is a number of a code, with what is known of where it was read.
type Figure struct {
	Value  float64 // SI; NaN where the edition has none
	Memory bool    // not read in print, so it decides nothing until the text is in hand
}

// Edition is what one edition of a building code asks of zonally controlled central forced-air
// cooling: the air to and from the dwelling, what a bypass moves left out, and the blower's power,
// in every zonal control mode.
type Edition struct {
	Name     string // the year
	Since    string // what else is known of it
	Airflow  Figure // least, m³/s per W of nominal cooling
	Existing Figure // least with altered existing ducts, m³/s per W
	Power    Figure // most, W per m³/s
	Gas      Figure // most, W per m³/s, of an air handler that is a gas furnace
	Barred   Figure // 1: no bypass duct by the prescriptive way
	Every    bool   // in every mode; else with all zones calling
	Excepted bool   // a machine of several speeds: at its highest, all zones calling
}

const (
	perTon = quantity.CFM / quantity.TonOfCooling
	perCFM = 1 / quantity.CFM
)

// editions are those of California's Title 24 Part 6. What is not from memory was read second-hand,
// not in the standards: 2008 and 2013 in accounts of the trade, the bypass of 2016 in Reference
// Appendix RA3.1, fans of 2019 in the Residential Compliance Manual (4.1.2), altered ducts on a
// contractor's page.
var editions = []Edition{
	{Name: "2008", Since: "the standard design; measured with all zones calling and no bypass",
		Airflow: Figure{350 * perTon, false}, Existing: Figure{math.NaN(), false},
		Power: Figure{0.58 * perCFM, false}, Gas: Figure{math.NaN(), false},
		Barred: Figure{0, false}},
	{Name: "2013", Since: "in force from July 2014", Every: true, Excepted: true,
		Airflow: Figure{350 * perTon, false}, Existing: Figure{300 * perTon, false},
		Power: Figure{0.58 * perCFM, false}, Gas: Figure{math.NaN(), false},
		Barred: Figure{1, false}},
	{Name: "2016", Every: true, Excepted: true,
		Airflow: Figure{350 * perTon, true}, Existing: Figure{300 * perTon, false},
		Power: Figure{0.58 * perCFM, true}, Gas: Figure{math.NaN(), false},
		Barred: Figure{1, false}},
	{Name: "2019", Every: true, Excepted: true,
		Airflow: Figure{350 * perTon, true}, Existing: Figure{300 * perTon, false},
		Power: Figure{0.58 * perCFM, false}, Gas: Figure{0.45 * perCFM, false},
		Barred: Figure{1, true}},
	{Name: "2022", Since: "multifamily buildings have chapters of their own", Every: true,
		Excepted: true, Airflow: Figure{350 * perTon, true}, Existing: Figure{300 * perTon, true},
		Power: Figure{0.58 * perCFM, true}, Gas: Figure{0.45 * perCFM, true},
		Barred: Figure{1, true}},
}

// zonal2013 is the edition after which the rule set "california zonal" judges.
var zonal2013 = &editions[1]

// Editions are the editions that a code sheet can be made for, the oldest first.
func Editions() []Edition { return slices.Clone(editions) }

// Answer is how a zonal control mode stands to a figure of a code.
type Answer string

// Answers.
const (
	Meets    Answer = "meets"
	Short    Answer = "falls short"
	Unasked  Answer = "not asked"
	NoFigure Answer = "not known" // of a blower without watts, a machine without nominal cooling
)

// ZonalMode is one way in which a house's zones may call for cooling, at one stage. Where several
// weathers have it, it is the worst.
type ZonalMode struct {
	State   int     // index of the outcome
	PerTon  float64 // air to and from the dwelling over the nominal cooling, m³/s per W
	Power   float64 // the blower's power over its airflow, W per m³/s; NaN where not known
	Bypass  float64 // share of the blower's air that a bypass takes, 0 to 1
	Airflow Answer
	Fan     Answer
	Altered bool // it would do with altered existing ducts
}

// CodeSheet is how an installation stands to an edition.
type CodeSheet struct {
	Edition Edition
	Gas     bool     // the air handler is a gas furnace
	Power   Figure   // the one of the two that binds
	Staged  bool     // the machine has several speeds, so that the exception is its way
	Bypass  []string // bypass ducts, by name
	Modes   []ZonalMode
	// Missing are combinations of calling zones that no cooling call state has.
	Missing [][]string
}

// mostMissing is for how many zones all combinations are looked for.
const mostMissing = 6

// Judge holds the cooling call states of one installation against the edition.
func (e *Edition) Judge(outcomes []*state.Outcome) *CodeSheet {
	c := &CodeSheet{Edition: *e, Power: e.Power}
	if len(outcomes) == 0 {
		return c
	}
	g := outcomes[0].Graph
	eq := &g.Job.Equipment
	c.Gas = eq.Heating != nil && (eq.Heating.Kind == network.Furnace ||
		eq.Heating.Kind == network.NoMachine)
	if c.Gas && !math.IsNaN(e.Gas.Value) {
		c.Power = e.Gas
	}
	for i := range g.Job.Bypass {
		c.Bypass = append(c.Bypass, g.Job.Bypass[i].Name)
	}
	seen := map[string]bool{}
	for i, o := range outcomes {
		if o.State.Mode != network.Cooling {
			continue
		}
		c.Staged = c.Staged || o.State.Stages > 1
		seen[callers(o.State.Calling)] = true
		m := e.mode(c, o)
		m.State = i
		c.put(outcomes, &m)
	}
	c.missing(g.Job, seen)
	return c
}

// mode judges one call state.
func (e *Edition) mode(c *CodeSheet, o *state.Outcome) ZonalMode {
	m := ZonalMode{PerTon: o.PerTon() * (1 - o.Bypass), Power: o.PowerPerFlow(), Bypass: o.Bypass}
	m.Airflow, m.Fan = least(m.PerTon, e.Airflow.Value), least(-m.Power, -c.Power.Value)
	m.Altered = m.PerTon >= e.Existing.Value
	all := len(o.State.Calling) == len(o.Zones)
	if !all && !e.Every ||
		o.State.Stages > 1 && e.Excepted && !(all && o.State.Stage == o.State.Stages) {
		m.Airflow, m.Fan = Unasked, Unasked
	}
	return m
}

// least answers for a value that is to be at least a figure.
func least(value, figure float64) Answer {
	switch {
	case math.IsNaN(value):
		return NoFigure
	case value < figure:
		return Short
	}
	return Meets
}

// put adds a mode, or keeps the worse of two weathers.
func (c *CodeSheet) put(outcomes []*state.Outcome, m *ZonalMode) {
	o := outcomes[m.State]
	for i := range c.Modes {
		was := &c.Modes[i]
		p := outcomes[was.State]
		if p.State.Stage != o.State.Stage || !slices.Equal(p.State.Calling, o.State.Calling) {
			continue
		}
		if cmp.Compare(m.PerTon, was.PerTon) < 0 {
			*was = *m
		}
		return
	}
	c.Modes = append(c.Modes, *m)
}

// callers is the set of calling zones as one text.
func callers(calling []string) string {
	set := slices.Clone(calling)
	slices.Sort(set)
	return strings.Join(set, "\x00")
}

// missing finds the combinations of zones that no call state has, fewest zones first.
func (c *CodeSheet) missing(job *network.Job, seen map[string]bool) {
	n := len(job.Zones)
	if n > mostMissing {
		return
	}
	for mask := 1; mask < 1<<n; mask++ {
		var names []string
		for k := range n {
			if mask>>k&1 == 1 {
				names = append(names, job.Zones[k].Name)
			}
		}
		if !seen[callers(names)] {
			c.Missing = append(c.Missing, names)
		}
	}
	slices.SortStableFunc(c.Missing, func(a, b []string) int { return cmp.Compare(len(a), len(b)) })
}

// Failing are the modes that fall short of the airflow or the power, and Unknown those of which
// either is not known.
func (c *CodeSheet) Failing() (failing, unknown int) {
	for i := range c.Modes {
		m := &c.Modes[i]
		switch {
		case m.Airflow == Short || m.Fan == Short:
			failing++
		case m.Airflow == NoFigure || m.Fan == NoFigure:
			unknown++
		}
	}
	return failing, unknown
}

// Remembered reports whether one of the figures that bind is from memory.
func (c *CodeSheet) Remembered() bool {
	return c.Edition.Airflow.Memory || c.Power.Memory
}
