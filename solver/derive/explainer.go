package derive

import (
	"fmt"
	"math"
	"strings"

	"spillway/network"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Explainer knows every number of one call state by name. It is for one goroutine.
type Explainer struct {
	o        *state.Outcome
	g        *network.Graph
	job      *network.Job
	findings []verdict.Finding
	entries  []entry
	known    map[string]bool // names of the entries, once they are asked for
	into     [][]int         // elements that bring air to a node, by their actual direction
	outOf    [][]int
	memo     map[string]*Step
	shared   *interner
	trace    *state.SoundTrace // the way of sound, once it is asked for
	traced   bool
	loop     loop // the burner's course, once it is asked for
	loopOK   bool
	looped   bool
	// within counts how deep flows are being explained by balances, where a circle must end in the solution.
	within int
}

// entry is one number that can be asked for.
type entry struct {
	name  string
	ref   state.Ref // its address, of NoField where it is no field of an outcome
	group string
	make  func() *Step
}

// New prepares the explanations of an outcome and its findings (which may be nil).
func New(o *state.Outcome, findings []verdict.Finding) *Explainer {
	x := &Explainer{o: o, g: o.Graph, job: o.Graph.Job, findings: findings, memo: map[string]*Step{}, shared: newInterner(),
		into: make([][]int, len(o.Graph.Nodes)), outOf: make([][]int, len(o.Graph.Nodes))}
	for i := range x.g.Elements {
		from, to := x.ends(i)
		x.outOf[from] = append(x.outOf[from], i)
		x.into[to] = append(x.into[to], i)
	}
	x.system()
	x.ledger()
	x.equipment()
	x.registers()
	x.zones()
	x.zoning()
	x.dampers()
	x.ports()
	x.elements()
	x.course()
	x.proof()
	x.limits()
	return x
}

// ends are the nodes of an element in the direction that its air really goes.
func (x *Explainer) ends(i int) (from, to int) {
	e := &x.g.Elements[i]
	if x.o.Elements[i].Flow < 0 {
		return e.To, e.From
	}
	return e.From, e.To
}

// offer registers a number. A value that does not apply is not offered.
func (x *Explainer) offer(group, name string, value float64, make func() *Step) {
	if math.IsNaN(value) {
		return
	}
	x.entries = append(x.entries, entry{name: name, group: group, make: make})
}

// tell is offer for a field of the outcome, which has its name and value.
func (x *Explainer) tell(group string, field state.FieldID, at int, make func() *Step) {
	ref := state.Ref{Field: field, At: at}
	before := len(x.entries)
	x.offer(group, x.o.Name(ref), x.o.At(ref).Num, make)
	if len(x.entries) > before {
		x.entries[before].ref = ref
	}
}

// of makes the step of a field of the outcome; nil where it is not offered.
func (x *Explainer) of(field state.FieldID, at int) *Step {
	for k := range x.entries {
		if x.entries[k].ref == (state.Ref{Field: field, At: at}) {
			return x.entries[k].make()
		}
	}
	return nil
}

// Name is a number that can be asked for and the block of the printed report where it stands.
type Name struct{ Group, Name string }

// Names lists every number in the order of the printed report.
func (x *Explainer) Names() []Name {
	list := make([]Name, len(x.entries))
	for i, e := range x.entries {
		list[i] = Name{e.group, e.name}
	}
	return list
}

// Has tells whether a number can be asked for by just this name.
func (x *Explainer) Has(name string) bool {
	if x.known == nil {
		x.known = make(map[string]bool, len(x.entries))
		for i := range x.entries {
			x.known[x.entries[i].name] = true
		}
	}
	return x.known[name]
}

// Explain returns the derivation of the number that a text means: its name, or words that only one name has. Words for units and
// abbreviations of the trade stand for their quantity ("cfm", "fpm", "tesp"). The error lists what it may have meant.
func (x *Explainer) Explain(what string) (*Step, error) {
	i, err := x.find(what)
	if err != nil {
		return nil, err
	}
	return x.at(i), nil
}

func (x *Explainer) at(i int) *Step {
	x.within = 0
	return x.shared.share(x.entries[i].make())
}

// Every calls f with the derivation of every number, in order.
func (x *Explainer) Every(f func(name Name, s *Step)) {
	for i := range x.entries {
		f(Name{x.entries[i].group, x.entries[i].name}, x.at(i))
	}
}

// remembered makes a step once. Its key is what the step is, a zero byte, which no name can hold, and the name of the part that it is of.
func (x *Explainer) remembered(key string, make func() *Step) *Step {
	if s, ok := x.memo[key]; ok {
		return s
	}
	s := make()
	x.memo[key] = s
	return s
}

// sum writes "a1 + a2 + …" for inputs of one kind.
func sum(symbol string, steps []*Step) (expression string, inputs []Input) {
	if len(steps) == 0 {
		return "0", nil
	}
	terms := make([]string, len(steps))
	for i, s := range steps {
		terms[i] = fmt.Sprintf("%s%d", symbol, i+1)
		inputs = append(inputs, Input{terms[i], s})
	}
	return strings.Join(terms, " + "), inputs
}
