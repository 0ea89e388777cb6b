package sheet

import (
	"strconv"
	"strings"

	"spillway/network/quantity"
	"spillway/solver/derive"
)

// Derivations gathers the derivations of all numbers of cases that have much in common (the call states of an installation), for a page that
// shows them on demand. What the cases share is kept once: a step that keeps its name, symbol and quantity is one
// node whatever its value, and of each of its texts there is one for all cases, or a list with one for each.
type Derivations struct {
	t     trade
	cases []string
	nodes []*derivationNode
	index map[string][]int // name, symbol and quantity → nodes
	names map[string]*derivationName
	order []string
}

// derivationNode is a step in every case; texts are parallel to the cases.
type derivationNode struct {
	name, symbol string
	quantity     quantity.Kind
	texts        [derivationTexts][]string
	inputs       []string // each as JSON
	last         int      // the last case in which it was used
}

// The texts of a node.
const (
	valueText = iota
	tradeText // "" where it is the same
	equationText
	wordsText
	fromText
	linesText // as JSON
	derivationTexts
)

// derivationName is a number that can be asked for: its step and its heading in every case.
type derivationName struct {
	step    []int // -1 where a case does not have it
	printed []string
}

// NewDerivations gathers for a system of units.
func NewDerivations(s quantity.System) *Derivations {
	return &Derivations{t: tradeOf(s), index: map[string][]int{}, names: map[string]*derivationName{}}
}

// Add puts in every number of a case.
func (d *Derivations) Add(name string, x *derive.Explainer) {
	c := d.begin(name)
	x.Every(func(n derive.Name, s *derive.Step) {
		if s != nil {
			c.name(n.Name, s)
		}
	})
}

// AddOne puts in one number of a case, under the name by which it was asked for.
func (d *Derivations) AddOne(name, number string, s *derive.Step) { d.begin(name).name(number, s) }

func (d *Derivations) begin(name string) *derivationCase {
	d.cases = append(d.cases, name)
	return &derivationCase{d: d, at: len(d.cases) - 1, done: map[*derive.Step]int{}}
}

// derivationCase is a case that is being put in.
type derivationCase struct {
	d    *Derivations
	at   int
	done map[*derive.Step]int
}

func (c *derivationCase) name(name string, s *derive.Step) {
	n := c.d.names[name]
	if n == nil {
		n = &derivationName{}
		c.d.names[name] = n
		c.d.order = append(c.d.order, name)
	}
	if len(n.step) > c.at {
		return // a name that is offered twice means its first
	}
	for len(n.step) < c.at {
		n.step, n.printed = append(n.step, -1), append(n.printed, "")
	}
	n.step = append(n.step, c.step(s))
	n.printed = append(n.printed, c.d.t.measureOf(s.Quantity).with(s.Value))
}

// step returns the node of a step, its inputs put in before it.
func (c *derivationCase) step(s *derive.Step) int {
	if n, ok := c.done[s]; ok {
		return n
	}
	var in strings.Builder
	in.WriteByte('[')
	for i, input := range s.Inputs {
		if i > 0 {
			in.WriteByte(',')
		}
		in.WriteString("[" + quotedJSON(input.Symbol) + "," + strconv.Itoa(c.step(input.Step)) + "]")
	}
	in.WriteByte(']')
	var texts [derivationTexts]string
	texts[valueText] = digits(s.Value)
	if trade := c.d.t.tradeText(s.Value, s.Quantity); trade != siText(s.Value, s.Quantity) {
		texts[tradeText] = trade
	}
	texts[equationText], texts[wordsText] = s.Equation, clean(s.Words)
	if s.Leaf() {
		texts[fromText] = c.d.t.from(s)
		lines := make([]string, len(s.Lines))
		for i, l := range s.Lines {
			lines[i] = quotedJSON(clean(l))
		}
		if len(lines) > 0 {
			texts[linesText] = "[" + strings.Join(lines, ",") + "]"
		}
	}
	n := c.node(s, texts, in.String())
	c.done[s] = n
	return n
}

// node finds the node of a step: one that has not been used in this case, or was used for just the same.
func (c *derivationCase) node(s *derive.Step, texts [derivationTexts]string, inputs string) int {
	d := c.d
	key := s.Name + "\x00" + s.Symbol + "\x00" + strconv.Itoa(int(s.Quantity))
	at := -1
	for _, k := range d.index[key] {
		n := d.nodes[k]
		if n.last < c.at {
			at = k
			break
		}
		same := n.inputs[c.at] == inputs
		for i := range texts {
			same = same && n.texts[i][c.at] == texts[i]
		}
		if same {
			return k
		}
	}
	if at < 0 {
		at = len(d.nodes)
		d.nodes = append(d.nodes, &derivationNode{name: clean(s.Name), symbol: s.Symbol, quantity: s.Quantity, last: -1})
		d.index[key] = append(d.index[key], at)
	}
	n := d.nodes[at]
	// Cases without this step repeat the one before, or take the one that comes: they never ask for it.
	for missing := len(n.inputs); missing < c.at; missing++ {
		n.repeat(texts, inputs)
	}
	n.inputs = append(n.inputs, inputs)
	for i := range texts {
		n.texts[i] = append(n.texts[i], texts[i])
	}
	n.last = c.at
	return at
}

func (n *derivationNode) repeat(texts [derivationTexts]string, inputs string) {
	if k := len(n.inputs); k > 0 {
		inputs = n.inputs[k-1]
		for i := range texts {
			texts[i] = n.texts[i][k-1]
		}
	}
	n.inputs = append(n.inputs, inputs)
	for i := range texts {
		n.texts[i] = append(n.texts[i], texts[i])
	}
}
