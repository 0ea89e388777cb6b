package sheet

import (
	"math"

	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// account is a ledger whose lines are rounded to add up.
type account struct {
	lines    []accountLine
	blower   int64 // in quanta; the sum of the lines
	wanted   int64 // what the calling zones get of what they want
	surplus  int64 // blower − wanted
	quantum  float64
	airflows []float64 // of the lines, m³/s, before rounding
}

// accountLine is one place where the blower's air goes.
type accountLine struct {
	state.Path
	whole int64 // in quanta
}

// newAccount rounds an outcome's ledger to a quantum in m³/s. The lines are the ledger's paths, in their order.
func newAccount(o *state.Outcome, quantum float64) account {
	paths := o.Ledger.Paths
	a := account{lines: make([]accountLine, len(paths)), quantum: quantum, airflows: make([]float64, len(paths))}
	for i, p := range paths {
		a.lines[i].Path, a.airflows[i] = p, p.Airflow
	}
	whole, sum := doc.Apportion(a.airflows, quantum)
	a.blower = sum
	for i, w := range whole {
		a.lines[i].whole = w
		if paths[i].Kind == state.PathWanted {
			a.wanted += w
		}
	}
	a.surplus = a.blower - a.wanted
	return a
}

// rounded is a field of the outcome that the account has rounded, in quanta.
func (a *account) rounded(field state.FieldID, at int) (whole int64, ok bool) {
	switch field {
	case state.BlowerAirflow, state.LedgerBlower:
		return a.blower, true
	case state.LedgerWanted:
		return a.wanted, true
	case state.LedgerSurplus:
		return a.surplus, true
	case state.PathAirflow:
		return a.lines[at].whole, true
	}
	return 0, false
}

// whole is an airflow in quanta as the ledger has it: one of its lines, all that goes to one place, or the surplus or the whole of them.
func (a account) whole(airflow float64) (quanta int64, ok bool) {
	same := func(q float64) bool { return math.Abs(q-airflow) <= 1e-6*a.quantum }
	all, surplus := 0.0, 0.0
	for i, l := range a.lines {
		if same(a.airflows[i]) {
			return l.whole, true
		}
		sum, whole := 0.0, int64(0)
		for j, other := range a.lines {
			if other.To == l.To {
				sum, whole = sum+a.airflows[j], whole+other.whole
			}
		}
		if same(sum) {
			return whole, true
		}
		all += a.airflows[i]
		if l.Kind != state.PathWanted {
			surplus += a.airflows[i]
		}
	}
	switch {
	case same(all):
		return a.blower, true
	case same(surplus):
		return a.surplus, true
	}
	return 0, false
}
