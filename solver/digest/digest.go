// Package digest gathers the findings of all call states by their cause: the one thing that a
// designer would change. A house of nine states has some ninety findings and five causes.
//
//	Of      the causes of findings, the gravest first, and the notes
//	Cause   one of them: its worst finding, the states it is found in, everything behind it
//
// The package judges nothing: levels, limits and remedies are those of solver/verdict. It must not
// know paper or units.
package digest

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Kind says what a cause is about, and so what is to be changed.
type Kind string

// Kinds of cause. Part of a Cause names which zone, duct, room or check.
const (
	Surplus Kind = "surplus into a zone" // a calling zone gets much more air than it wants
	Runs    Kind = "runs of a zone"      // its runs and registers, at the air that it wants
	Shared  Kind = "shared duct"         // a trunk, riser, return or grille that several zones share
	Machine Kind = "machine"             // blower, furnace, coil: one check
	Short   Kind = "zone short"
	Given   Kind = "zoning given away"
	Place   Kind = "place" // whatever else is at a room or zone
)

// surplusFrom is the airflow over a zone's want from which what is found behind its damper is put
// down to the surplus that it gets, not to the sizes of its runs (our choice).
const surplusFrom = 1.15

// Member is one finding of a cause.
type Member struct {
	State   int // index of the call state; -1 of a finding about a whole weather
	Finding *verdict.Finding
}

// Cause is one thing to change, with all findings that come of it.
type Cause struct {
	Kind  Kind
	Part  string // the zone, line, room or zones of it; "" for the whole machine
	Check string // of the worst member
	// Level and Class are the gravest of the members.
	Level verdict.Level
	Class verdict.Class
	Harm  float64 // of the worst member, see verdict.Finding.Harm
	// Most is the greatest airflow of the zone over what it wants, of Surplus; else NaN.
	Most float64

	Members          []Member // the worst first
	States           []int    // call states in which it is found, ascending
	Faults, Cautions int      // members by level
}

// Worst is the member by which the cause is shown.
func (c *Cause) Worst() Member { return c.Members[0] }

// Digest is what a designer has to know of a house first.
type Digest struct {
	Causes []Cause // the gravest first
	Notes  []Cause // what no size or setting mends: stops to be set by a reading, formulas beyond their range
	// Faulty is how many call states have a fault.
	Faulty int
}

// Report is one judged call state.
type Report struct {
	Outcome  *state.Outcome
	Findings []verdict.Finding
}

type key struct {
	kind Kind
	note bool
	part string
}

// Of gathers the findings of the call states of one installation, and of its weathers.
func Of(reports []Report, houses []verdict.House) *Digest {
	d := &Digest{}
	at := map[key]int{}
	var all []Cause
	var notes []bool
	put := func(k key, m Member, most float64) {
		i, known := at[k]
		if !known {
			i = len(all)
			at[k] = i
			part := k.part
			if k.kind == Machine {
				part = ""
			}
			all, notes = append(all, Cause{Kind: k.kind, Part: part,
				Most: math.NaN()}), append(notes, k.note)
		}
		c := &all[i]
		c.Members = append(c.Members, m)
		if most > c.Most || math.IsNaN(c.Most) {
			c.Most = most
		}
	}
	for i := range reports {
		faulty := false
		for k := range reports[i].Findings {
			f := &reports[i].Findings[k]
			if f.Level == verdict.OK {
				continue
			}
			faulty = faulty || f.Level == verdict.Fault
			of, most := causeOf(reports[i].Outcome, f)
			put(of, Member{i, f}, most)
		}
		if faulty {
			d.Faulty++
		}
	}
	for i := range houses {
		for k := range houses[i].Findings {
			if f := &houses[i].Findings[k]; f.Level != verdict.OK {
				put(key{kind: Given}, Member{-1, f}, math.NaN())
			}
		}
	}
	for i := range all {
		all[i].close()
		if notes[i] {
			d.Notes = append(d.Notes, all[i])
		} else {
			d.Causes = append(d.Causes, all[i])
		}
	}
	slices.SortStableFunc(d.Causes, graver)
	slices.SortStableFunc(d.Notes, graver)
	return d
}

// Same is the cause of a digest that is about the same thing as one of another digest of the house,
// nil where there is none.
func (d *Digest) Same(c *Cause) *Cause {
	for i := range d.Causes {
		if o := &d.Causes[i]; o.Kind == c.Kind && o.Part == c.Part && (o.Kind != Machine ||
			o.Check == c.Check) {
			return o
		}
	}
	return nil
}

// close works out what a cause has from its members.
func (c *Cause) close() {
	slices.SortStableFunc(c.Members, func(a, b Member) int {
		return cmp.Or(cmp.Compare(levels[b.Finding.Level], levels[a.Finding.Level]),
			cmp.Compare(rankOf(a.Finding.Class), rankOf(b.Finding.Class)),
			cmp.Compare(b.Finding.Harm, a.Finding.Harm))
	})
	worst := c.Members[0].Finding
	c.Check, c.Level, c.Class, c.Harm = worst.Check, worst.Level, worst.Class, worst.Harm
	for _, m := range c.Members {
		if m.State >= 0 && !slices.Contains(c.States, m.State) {
			c.States = append(c.States, m.State)
		}
		if m.Finding.Level == verdict.Fault {
			c.Faults++
		} else {
			c.Cautions++
		}
	}
	slices.Sort(c.States)
}

// graver orders causes: by level, by class, by harm up to mostHarm units, by the number of states.
func graver(a, b Cause) int {
	return cmp.Or(cmp.Compare(levels[b.Level], levels[a.Level]),
		cmp.Compare(rankOf(a.Class), rankOf(b.Class)),
		cmp.Compare(b.Weight(), a.Weight()),
		cmp.Compare(len(b.States), len(a.States)))
}

// Weight is the harm of a cause by which it is ranked among others of its class, at most mostHarm.
func (c *Cause) Weight() float64 { return math.Min(c.Harm, mostHarm) }

// mostHarm is the harm beyond which one finding is not worse than another (our choice).
const mostHarm = 3

var levels = map[verdict.Level]int{verdict.Caution: 1, verdict.Fault: 2}

var ranks = []verdict.Class{verdict.SafetyClass, verdict.Equipment, verdict.Code, verdict.Zoning,
	verdict.Comfort, verdict.Guideline, verdict.Rule}

func rankOf(c verdict.Class) int { return slices.Index(ranks, c) }

// causeOf says which cause a finding belongs to, and the airflow of its zone over what that wants.
func causeOf(o *state.Outcome, f *verdict.Finding) (of key, most float64) {
	most = math.NaN()
	switch f.Row {
	case verdict.StopInfluence, verdict.StopSlip, verdict.FormulaRange, verdict.OffTable,
		verdict.SmallestZone, verdict.LargestZone,
		verdict.FloorPerTonLeast, verdict.FloorPerTonMost,
		verdict.BudgetFilter, verdict.BudgetCoil, verdict.BudgetSupply, verdict.BudgetReturn:
		return key{Place, true, f.Check}, most
	case verdict.ZoningKept, verdict.CallersShare, verdict.OverConditioning:
		return key{kind: Given}, most
	case verdict.Shortfall:
		return key{kind: Short, part: f.Where}, most
	case verdict.ReturnFace, verdict.FilterGrille, verdict.ReturnTrunk:
		return key{kind: Shared, part: f.Where}, most
	case verdict.ReturnExcess: // the houses' doors and returns mend it for all zones at once
		return key{kind: Place, part: f.Check}, most
	case verdict.RoomPressure, verdict.ZoneDrift, verdict.DumpRoom:
		return key{kind: Place, part: f.Check + ", " + f.Where}, most
	case verdict.Sweating:
		return key{kind: Place, part: f.Check}, most
	}
	zone := zoneOf(o, f)
	if zone != network.None {
		name := o.Graph.Job.Zones[zone].Name
		if z := &o.Zones[zone]; z.Calling && z.Airflow > surplusFrom*z.Wants {
			return key{kind: Surplus, part: name}, z.Airflow / z.Wants
		}
		return key{kind: Runs, part: name}, most
	}
	if f.Ref.Field != state.NoField && f.Ref.Of() == state.OfElement &&
		f.Class == verdict.Guideline && f.Where != "" {
		return key{kind: Shared, part: f.Where}, most
	}
	return key{kind: Machine, part: f.Check}, most
}

// zoneOf is the one zone that the part of a finding serves, None for what several share.
func zoneOf(o *state.Outcome, f *verdict.Finding) network.ZoneID {
	if f.Ref.Field == state.NoField {
		return network.None
	}
	switch at := f.Ref.At; f.Ref.Of() {
	case state.OfElement:
		return o.Graph.Elements[at].ZoneID
	case state.OfRegister:
		return o.Graph.Elements[o.Graph.Registers[at].Element].ZoneID
	case state.OfZone:
		return network.ZoneID(at)
	case state.OfRoom:
		return zoneNamed(o.Graph.Job, o.Rooms[at].Zone)
	}
	return network.None
}

// zoneNamed is the zone of a name that the outcome gives for a room; None where it has none of its
// own.
func zoneNamed(job *network.Job, name string) network.ZoneID {
	for i := range job.Zones {
		if name != "" && job.Zones[i].Name == name {
			return network.ZoneID(i)
		}
	}
	return network.None
}

// Where names the places of a cause's members, each once, the worst first, at most so many; more is
// how many are left.
func (c *Cause) Where(most int) (names []string, more int) {
	for _, m := range c.Members {
		name := m.Finding.Where
		switch {
		case name == "" || slices.Contains(names, name):
		case len(names) < most:
			names = append(names, name)
		default:
			more++
		}
	}
	return names, more
}

// Title says what a cause is in a few words, without numbers.
func (c *Cause) Title() string {
	switch c.Kind {
	case Surplus:
		return "too much air into " + c.Part
	case Runs:
		return "small runs or registers in " + c.Part
	case Shared, Short:
		return strings.TrimSuffix(c.Check+", "+c.Part, ", ")
	case Given:
		return "zoning given away"
	case Place:
		return c.Part
	}
	return c.Check
}
