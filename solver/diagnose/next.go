package diagnose

import (
	"cmp"
	"context"
	"math"
	"slices"

	"spillway/network"
	"spillway/solver/pool"
)

// Next is a further reading and how well it would tell the leading causes apart.
type Next struct {
	Query
	// Expected under each of the hypotheses compared (indices into Result.Hypotheses), SI.
	Hypotheses []int
	Expected   []float64
	Sigma      float64 // of the reading, with model and as-built spread
	// Apart is the difference between the first two hypotheses in Sigma.
	Apart float64
	// Value is the chance of two hypotheses that it parts: Σ w_a w_b (1 − e^(−d²/8)) over pairs, with the weights of the fit.
	Value float64
}

// compared is how many hypotheses a further reading is to tell apart.
const compared = 4

// Next ranks readings that could be taken besides those of the plan, in every call state of the same mode, by how well they part the
// leading hypotheses. It solves each of them in every state. An empty list: nothing parts them.
func (b *Bench) Next(r *Result) ([]Next, error) {
	var chosen []int
	for k := range min(compared, len(r.Hypotheses)) {
		if k == 0 || r.Hypotheses[k].Weight > 0.01 || k == 1 {
			chosen = append(chosen, k)
		}
	}
	queries, stateOf, err := b.further()
	if err != nil {
		return nil, err
	}
	expected := make([][]float64, len(chosen))
	err = pool.Each(context.Background(), 0, len(chosen), func(_ context.Context, i int) error {
		h := &r.Hypotheses[chosen[i]]
		g := b.g
		for k, c := range h.Causes {
			g = b.causes[c].Apply(g, h.Severities[k])
		}
		var err error
		expected[i], err = b.predictSome(g, queries, stateOf)
		return err
	})
	if err != nil {
		return nil, err
	}
	spread, err := b.furtherSpread(queries, stateOf)
	if err != nil {
		return nil, err
	}
	var list []Next
	for i, q := range queries {
		n := Next{Query: q, Hypotheses: chosen}
		mean := 0.0
		for k := range chosen {
			n.Expected = append(n.Expected, expected[k][i])
			mean += math.Abs(expected[k][i]) / float64(len(chosen))
		}
		if slices.ContainsFunc(n.Expected, math.IsNaN) {
			continue
		}
		instrument := network.InstrumentFor(q.Kind)
		n.Sigma = math.Sqrt(square(instrument.Sigma(mean)) + square(ModelSigma(q.Kind, mean)) + square(spread[i]))
		n.Apart = math.Abs(n.Expected[0]-n.Expected[1]) / n.Sigma
		for a := range chosen {
			for c := a + 1; c < len(chosen); c++ {
				d := (n.Expected[a] - n.Expected[c]) / n.Sigma
				n.Value += r.Hypotheses[chosen[a]].Weight * r.Hypotheses[chosen[c]].Weight * -math.Expm1(-d*d/8)
			}
		}
		list = append(list, n)
	}
	slices.SortStableFunc(list, func(x, y Next) int { return cmp.Compare(y.Value, x.Value) })
	return list, nil
}

func square(v float64) float64 { return v * v }

// further lists what else can be read, in all call states of the plan's mode.
func (b *Bench) further() (queries []Query, stateOf []int, err error) {
	for s := range b.every {
		if b.every[s].Mode != b.states[0].Mode {
			continue
		}
		for _, kind := range []network.ReadingKind{network.StaticReading, network.DropReading, network.AirflowReading, network.WattsReading} {
			places := b.g.Spots(kind)
			if kind == network.StaticReading {
				places = append(places, b.behindRegisters()...)
			}
			for _, place := range places {
				if kind == network.DropReading && (place.Element == b.g.Blower || b.g.Elements[place.Element].Kind == network.KindRegister || b.g.Elements[place.Element].Kind == network.KindGrille) {
					continue // the statics beside it are read one by one
				}
				if kind == network.AirflowReading && place.Register < 0 && b.g.Elements[place.Element].Kind == network.KindDuct && !b.bypass(place.Element) {
					continue // nobody drills a duct for a traverse when registers will do
				}
				q := Query{Kind: kind, Place: place, State: b.every[s].Name}
				if !slices.ContainsFunc(b.queries, func(have Query) bool {
					return have.Kind == q.Kind && have.Place.Name == q.Place.Name && have.State == q.State
				}) {
					queries, stateOf = append(queries, q), append(stateOf, s)
				}
			}
		}
	}
	return queries, stateOf, nil
}

// behindRegisters are the ends of runs, where a probe through the register's face reads the static.
func (b *Bench) behindRegisters() []network.Spot {
	var places []network.Spot
	for k := range b.g.Registers {
		r := &b.g.Registers[k]
		places = append(places, network.Spot{Name: r.Line + " end", Node: b.g.Elements[r.Element].From, Start: -1, Element: -1, Register: -1})
	}
	return places
}

func (b *Bench) bypass(element int) bool { return b.g.Elements[element].Side == network.BypassSide }

// furtherSpread is the as-built standard deviation of readings that could be taken.
func (b *Bench) furtherSpread(queries []Query, stateOf []int) ([]float64, error) {
	b.spreadOnce.Do(func() {
		base, err := b.predictSome(b.g, queries, stateOf)
		if err != nil {
			b.spreadErr = err
			return
		}
		list := spreads(b.g)
		moved := make([][]float64, len(list))
		b.spreadErr = pool.Each(context.Background(), 0, len(list), func(_ context.Context, k int) error {
			g := clone(b.g)
			list[k].apply(g, math.Exp(list[k].sigma))
			var err error
			moved[k], err = b.predictSome(g, queries, stateOf)
			return err
		})
		if b.spreadErr != nil {
			return
		}
		b.spreadOf = make([]float64, len(queries))
		for i := range queries {
			sum := 0.0
			for k := range list {
				if d := moved[k][i] - base[i]; !math.IsNaN(d) {
					sum += d * d
				}
			}
			b.spreadOf[i] = math.Sqrt(sum)
		}
	})
	return b.spreadOf, b.spreadErr
}
