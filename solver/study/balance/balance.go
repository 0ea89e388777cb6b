// Package balance finds the hand-damper settings of a duct tree directly, and imitates the proportional procedure with which they are
// found in the field.
//
// It works on a tree of resistances with quadratic laws behind one fan, which is all that the method rests on. It must not know
// installations, units or files; solver/study balances real duct systems with the same step.
package balance

import (
	"errors"
	"fmt"
	"math"

	"spillway/solver/air/bracket"
)

// Branch is one piece of a tree: Δp = R q².
type Branch struct {
	Parent int     // index of the branch it leaves, −1 at the fan; parents stand before their children
	R      float64 // Pa s²/m⁶, positive
	Design float64 // m³/s that a terminal should deliver; 0 for a piece of trunk
}

// Tree is a fan with a tree of ducts behind it.
type Tree struct {
	Branches []Branch
	Fan      func(q float64) float64 // pressure rise, Pa, falling with flow
	Most     float64                 // m³/s at which the fan's pressure has come to zero
}

// ErrTree is wrapped by errors about a tree that cannot be.
var ErrTree = errors.New("balance: not a tree with terminals at its ends")

func (t *Tree) check() error {
	children := make([]int, len(t.Branches))
	for i, b := range t.Branches {
		if b.Parent >= i || b.Parent < -1 || !(b.R > 0) || b.Design < 0 {
			return fmt.Errorf("%w: branch %d", ErrTree, i)
		}
		if b.Parent >= 0 {
			children[b.Parent]++
		}
	}
	for i, b := range t.Branches {
		if (children[i] == 0) != (b.Design > 0) {
			return fmt.Errorf("%w: branch %d", ErrTree, i)
		}
	}
	if len(t.Branches) == 0 || t.Fan == nil || !(t.Most > 0) || !(t.Fan(0) > 0) {
		return fmt.Errorf("%w: no branches or no fan", ErrTree)
	}
	return nil
}

// designFlows are the flows of all branches when every terminal has its design flow.
func (t *Tree) designFlows() []float64 {
	q := make([]float64, len(t.Branches))
	for i := len(q) - 1; i >= 0; i-- {
		q[i] += t.Branches[i].Design
		if p := t.Branches[i].Parent; p >= 0 {
			q[p] += q[i]
		}
	}
	return q
}

// Direct returns the greatest ratio ρ of flow to design that all terminals can have at once, and the resistance that each terminal's
// damper must add for it; the others are 0.
//
// With all terminal flows ρ times design every branch's flow is known, and so is every drop:
//
//	R_add,k(ρ) = (p_fan(ρ Q) − Σ_trunk R q²) / (ρ q_k)² − R_k
//
// falls with ρ, so that the greatest ρ is the root of min_k R_add,k(ρ) = 0. One damper at least stays wide open: the least pressure that
// will do. The derivation is ours.
func (t *Tree) Direct() (rho float64, add []float64, err error) {
	if err := t.check(); err != nil {
		return 0, nil, err
	}
	q := t.designFlows()
	whole := 0.0
	for i, b := range t.Branches {
		if b.Parent < 0 {
			whole += q[i]
		}
	}
	fill := func(rho float64, add []float64) (least float64) {
		least = math.Inf(1)
		at := make([]float64, len(q)) // pressure at the end of each branch
		for i, b := range t.Branches {
			before := t.Fan(rho * whole)
			if b.Parent >= 0 {
				before = at[b.Parent]
			}
			flow := rho * q[i]
			at[i] = before - b.R*flow*flow
			if b.Design > 0 {
				add[i] = before/(flow*flow) - b.R
				least = min(least, add[i])
			}
		}
		return least
	}
	add = make([]float64, len(q))
	high := t.Most / whole
	low := high
	for range 200 {
		if low /= 2; fill(low, add) > 0 {
			break
		}
	}
	rho, err = bracket.Root(func(rho float64) float64 {
		// Scaled by the flow, so that it stays finite and keeps its sign.
		return fill(rho, add) * rho * rho
	}, low, high, 0)
	if err != nil {
		return 0, nil, err
	}
	fill(rho, add)
	for i := range add {
		add[i] = max(add[i], 0)
	}
	return rho, add, nil
}

// Flows returns the flow of every branch with resistances added to terminals. Quadratic resistances in series add up, side by side
// their 1/√R do, so that the whole tree is one resistance to the fan.
func (t *Tree) Flows(add []float64) ([]float64, error) {
	if err := t.check(); err != nil {
		return nil, err
	}
	n := len(t.Branches)
	conductance := make([]float64, n) // of what hangs on the end of a branch, 1/√R
	resistance := make([]float64, n)  // of a branch with all behind it
	roots := 0.0
	for i := n - 1; i >= 0; i-- {
		b := t.Branches[i]
		resistance[i] = b.R
		if b.Design > 0 {
			resistance[i] += add[i]
		} else {
			resistance[i] += 1 / (conductance[i] * conductance[i])
		}
		if c := 1 / math.Sqrt(resistance[i]); b.Parent >= 0 {
			conductance[b.Parent] += c
		} else {
			roots += c
		}
	}
	whole := 1 / (roots * roots)
	total, err := bracket.Root(func(q float64) float64 { return t.Fan(q) - whole*q*q }, 0, t.Most, 0)
	if err != nil {
		return nil, err
	}
	flow := make([]float64, n)
	for i, b := range t.Branches {
		share, through := roots, total
		if b.Parent >= 0 {
			share, through = conductance[b.Parent], flow[b.Parent]
		}
		flow[i] = through / math.Sqrt(resistance[i]) / share
	}
	return flow, nil
}

// Ratios returns flow over design of the terminals, 0 for trunk.
func (t *Tree) Ratios(add []float64) ([]float64, error) {
	flow, err := t.Flows(add)
	if err != nil {
		return nil, err
	}
	for i, b := range t.Branches {
		if b.Design == 0 {
			flow[i] = 0
		} else {
			flow[i] /= b.Design
		}
	}
	return flow, nil
}

// Proportional imitates the procedure of the field: read the share of design at every terminal, leave the lowest as it is, and set every
// other in turn, the farthest first, until it reads the same as that one; then begin again. Each damper is set exactly. It returns the
// added resistances and the spread of the ratios, greatest over least less 1, after each cycle.
//
// That ratios keep when something upstream changes is why it works; the procedure is that of testing and balancing standards (common
// practice).
func (t *Tree) Proportional(cycles int) (add, spread []float64, err error) {
	if err := t.check(); err != nil {
		return nil, nil, err
	}
	add = make([]float64, len(t.Branches))
	for range cycles {
		ratios, err := t.Ratios(add)
		if err != nil {
			return nil, nil, err
		}
		key := -1
		for i, r := range ratios {
			if t.Branches[i].Design > 0 && (key < 0 || r < ratios[key]) {
				key = i
			}
		}
		for i := len(t.Branches) - 1; i >= 0; i-- {
			if t.Branches[i].Design == 0 || i == key {
				continue
			}
			if err := t.match(add, i, key); err != nil {
				return nil, nil, err
			}
		}
		if ratios, err = t.Ratios(add); err != nil {
			return nil, nil, err
		}
		spread = append(spread, spreadOf(ratios))
	}
	return add, spread, nil
}

// match sets one damper so that its terminal reads the same share as the key's.
func (t *Tree) match(add []float64, terminal, key int) error {
	var failed error
	excess := func(x float64) float64 {
		add[terminal] = x
		r, err := t.Ratios(add)
		if err != nil {
			failed = err
			return 0
		}
		return r[terminal] - r[key]
	}
	if excess(0) <= 0 {
		return failed // wide open and still short: the next cycle takes it for the key
	}
	high := t.Branches[terminal].R
	for excess(high) > 0 && failed == nil {
		high *= 2
	}
	if failed != nil {
		return failed
	}
	x, err := bracket.Root(excess, 0, high, 1e-12*high)
	if err != nil {
		return err
	}
	add[terminal] = x
	return failed
}

func spreadOf(ratios []float64) float64 {
	least, most := math.Inf(1), 0.0
	for _, r := range ratios {
		if r > 0 {
			least, most = min(least, r), max(most, r)
		}
	}
	return most/least - 1
}
