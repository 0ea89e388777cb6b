package diagnose

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// Constants of the ranking, all our choice and shown with a fit.
const (
	// PairShare is how many calls have two faults at once.
	PairShare = 0.12
	// fine and coarse are how many severities are tried of a cause alone, and of each of a pair.
	fine, coarse = 41, 13
	// refined is how many hypotheses are solved again at their best severity.
	refined = 4
	// twinDistance in standard deviations: hypotheses closer than this in all readings cannot be told apart.
	twinDistance = 2.0
)

// Hypothesis is one cause or a pair, fitted.
type Hypothesis struct {
	Causes     []int     // indices into Bench.Causes
	Severities []float64 // best fit
	Low, High  []float64 // where 95 % of the weight of each severity lies
	Prior      float64
	Weight     float64 // posterior among all hypotheses
	Evidence   float64 // ln
	Chi2       float64 // of the best fit, with as-built spread in the covariance
	BIC        float64 // χ² + k ln N
	Expected   []float64
	whitened   []float64 // residuals of the best fit
}

// Value is one reading as taken.
type Value struct {
	Value, Sigma float64 // SI; Sigma of the instrument alone
}

// Result is what a fit found.
type Result struct {
	Values     []Value
	Sigma      []float64 // of the readings with the model's own uncertainty, without as-built spread
	Base       []float64 // expected when all is in order
	AsBuilt    []float64 // standard deviation of that as built
	Off        []float64 // (reading − expected)/√(σ² + as built²)
	Hypotheses []Hypothesis
	// Twins are the hypotheses besides the first that the readings cannot tell from it: closer than two standard deviations, and not
	// much less likely for it. Indices into Hypotheses.
	Twins []int
	// Bad is each reading's chance of being bad under the first hypothesis, Left its leave-one-out residual in standard deviations.
	Bad, Left []float64
	// Fits tells whether the first hypothesis explains the readings: χ² within what 1 in 1000 exceeds, the flagged reading left out.
	Fits bool
}

// Fit ranks causes by how well they explain the readings, which run parallel to the bench's plan.
//
// The evidence of a cause is its likelihood averaged over its severities, even on their scale; of a pair over both. The weight is
// evidence times prior over the sum of all. Effects of two causes are added for the search; the leading hypotheses are then solved
// as they are and their readings put right.
func (b *Bench) Fit(values []Value) (*Result, error) {
	if len(values) != len(b.queries) {
		return nil, errors.New("readings and plan differ in number")
	}
	n := len(values)
	r := &Result{Values: values, Base: slices.Clone(b.base)}
	_, r.AsBuilt = b.Expected()
	residual := make([]float64, n)
	for i, v := range values {
		if !(v.Sigma > 0) || math.IsNaN(v.Value) {
			return nil, errors.New("a reading has no uncertainty or no value")
		}
		r.Sigma = append(r.Sigma, math.Hypot(v.Sigma, ModelSigma(b.queries[i].Kind, v.Value)))
		residual[i] = v.Value - b.base[i]
		r.Off = append(r.Off, residual[i]/math.Hypot(r.Sigma[i], r.AsBuilt[i]))
	}
	l, err := newLikelihood(r.Sigma, b.jac)
	if err != nil {
		return nil, err
	}
	f := &fitting{b: b, l: l, residual: residual, work: make([]float64, n)}
	f.prepare()
	f.singles()
	f.pairs()
	if err := f.refine(); err != nil {
		return nil, err
	}
	f.weigh()
	r.Hypotheses = f.found
	f.conclude(r)
	return r, nil
}

// fitting is one fit in the making.
type fitting struct {
	b        *Bench
	l        *likelihood
	residual []float64
	start    []float64     // whitened
	fine     [][][]float64 // cause → severity → whitened shift
	coarse   [][][]float64
	odds     float64
	found    []Hypothesis
	work     []float64
}

// grid is the severities of a cause on its scale.
func (f *fitting) grid(c, points int) []float64 {
	x := f.b.curves[c].x
	if f.b.curves[c].one != nil {
		return x[:1]
	}
	return steps(x[0], x[len(x)-1], points)
}

func (f *fitting) prepare() {
	f.start = slices.Clone(f.residual)
	f.l.whiten(f.start)
	whitened := func(c, points int) [][]float64 {
		var rows [][]float64
		for _, x := range f.grid(c, points) {
			row := make([]float64, f.l.n)
			f.b.curves[c].at(x, row)
			f.l.whiten(row)
			rows = append(rows, row)
		}
		return rows
	}
	for c := range f.b.causes {
		f.odds += f.b.causes[c].Odds
		f.fine = append(f.fine, whitened(c, fine))
		f.coarse = append(f.coarse, whitened(c, coarse))
	}
}

func (f *fitting) singles() {
	for c := range f.b.causes {
		h := Hypothesis{Causes: []int{c}, Prior: (1 - PairShare) * f.b.causes[c].Odds / f.odds}
		f.single(&h, nil)
		f.found = append(f.found, h)
	}
}

// single fits one cause; correction is added to what it is expected to do (whitened), nil for none.
func (f *fitting) single(h *Hypothesis, correction []float64) {
	c := h.Causes[0]
	grid := f.grid(c, fine)
	logs := make([]float64, len(grid))
	w := make([]float64, f.l.n)
	best := 0
	for k := range grid {
		f.left(w, f.fine[c][k], nil, correction)
		logs[k] = f.l.log(w, f.work)
		if logs[k] > logs[best] {
			best = k
		}
	}
	h.Evidence = average(logs)
	low, high := interval(grid, logs)
	x := peak(grid, logs, best)
	cause := &f.b.causes[c]
	h.Severities = []float64{cause.severity(x)}
	h.Low, h.High = []float64{cause.severity(low)}, []float64{cause.severity(high)}
	shift := make([]float64, f.l.n)
	f.b.curves[c].at(x, shift)
	f.settle(h, shift, correction)
}

// settle writes down the best fit of a hypothesis from its unwhitened shift and whitened correction.
func (f *fitting) settle(h *Hypothesis, shift, correction []float64) {
	h.Expected = make([]float64, f.l.n)
	for i := range shift {
		h.Expected[i] = f.b.base[i] + shift[i]
	}
	f.l.whiten(shift)
	h.whitened = make([]float64, f.l.n)
	f.left(h.whitened, shift, nil, correction)
	h.Chi2 = chi2(h.whitened)
	parameters := 0
	for _, c := range h.Causes {
		if f.b.causes[c].apply != nil && f.b.curves[c].one == nil {
			parameters++
		}
	}
	h.BIC = h.Chi2 + float64(parameters)*math.Log(float64(f.l.n))
}

// left is what is left of the whitened residual behind one or two shifts and a correction.
func (f *fitting) left(w, one, two, correction []float64) {
	for i := range w {
		w[i] = f.start[i] - one[i]
	}
	for i := range two {
		w[i] -= two[i]
	}
	for i := range correction {
		w[i] -= correction[i]
	}
}

// pairs tries every two causes that can be together.
func (f *fitting) pairs() {
	w := make([]float64, f.l.n)
	for i := range f.b.causes {
		for j := i + 1; j < len(f.b.causes); j++ {
			if !together(&f.b.causes[i], &f.b.causes[j]) {
				continue
			}
			h := Hypothesis{Causes: []int{i, j}, Prior: PairShare * 2 * f.b.causes[i].Odds * f.b.causes[j].Odds / (f.odds * f.odds)}
			f.pair(&h, w, nil)
			f.found = append(f.found, h)
		}
	}
}

// together tells whether two causes can be at once: at different things, and neither is "nothing wrong".
func together(a, b *Cause) bool {
	return a.apply != nil && b.apply != nil && !(a.Where == b.Where) && !(a.Kind == WrongTap && b.Kind == WrongTap)
}

// pair fits two causes by adding what they do. It uses the plain likelihood, since a bad reading on top of two faults would explain
// anything.
func (f *fitting) pair(h *Hypothesis, w, correction []float64) {
	i, j := h.Causes[0], h.Causes[1]
	a, b := f.coarse[i], f.coarse[j]
	logs := make([]float64, 0, len(a)*len(b))
	best, at := math.Inf(-1), [2]int{}
	for p := range a {
		for q := range b {
			f.left(w, a[p], b[q], correction)
			v := f.l.good - chi2(w)/2
			logs = append(logs, v)
			if v > best {
				best, at = v, [2]int{p, q}
			}
		}
	}
	h.Evidence = average(logs)
	gi, gj := f.grid(i, coarse), f.grid(j, coarse)
	h.Severities = []float64{f.b.causes[i].severity(gi[at[0]]), f.b.causes[j].severity(gj[at[1]])}
	h.Low, h.High = slices.Clone(h.Severities), slices.Clone(h.Severities)
	shift, other := make([]float64, f.l.n), make([]float64, f.l.n)
	f.b.curves[i].at(gi[at[0]], shift)
	f.b.curves[j].at(gj[at[1]], other)
	for n := range shift {
		shift[n] += other[n]
	}
	f.settle(h, shift, correction)
}

// refine solves the leading hypotheses as they are and puts right what adding and interpolating left out.
func (f *fitting) refine() error {
	f.weigh()
	w := make([]float64, f.l.n)
	for k := range min(refined, len(f.found)) {
		h := &f.found[k]
		if h.Weight < 0.01 {
			break
		}
		for range 2 {
			solved, err := f.b.solve(h)
			if err != nil {
				break // what does not solve keeps its estimate
			}
			correction := make([]float64, f.l.n)
			for i := range solved {
				correction[i] = solved[i] - f.b.base[i]
			}
			plain := make([]float64, f.l.n)
			for _, c := range h.Causes {
				shift := make([]float64, f.l.n)
				cause := &f.b.causes[c]
				f.b.curves[c].at(cause.scale(h.severityOf(c)), shift)
				for i := range plain {
					plain[i] += shift[i]
				}
			}
			for i := range correction {
				correction[i] -= plain[i]
			}
			f.l.whiten(correction)
			if len(h.Causes) == 1 {
				f.single(h, correction)
			} else {
				f.pair(h, w, correction)
			}
			copy(h.Expected, solved)
			if chi2(correction) < 0.01 {
				break
			}
		}
	}
	return nil
}

func (h *Hypothesis) severityOf(cause int) float64 {
	return h.Severities[slices.Index(h.Causes, cause)]
}

// solve predicts the readings under a hypothesis by solving the installation with its faults.
func (b *Bench) solve(h *Hypothesis) ([]float64, error) {
	g := b.g
	for k, c := range h.Causes {
		g = b.causes[c].Apply(g, h.Severities[k])
	}
	return b.predict(g)
}

// weigh turns evidences into weights and sorts, the likeliest first.
func (f *fitting) weigh() {
	best := math.Inf(-1)
	for i := range f.found {
		best = math.Max(best, f.found[i].Evidence+math.Log(f.found[i].Prior))
	}
	total := 0.0
	for i := range f.found {
		f.found[i].Weight = math.Exp(f.found[i].Evidence + math.Log(f.found[i].Prior) - best)
		total += f.found[i].Weight
	}
	for i := range f.found {
		f.found[i].Weight /= total
	}
	slices.SortStableFunc(f.found, func(a, b Hypothesis) int { return cmp.Compare(b.Weight, a.Weight) })
}

// conclude reads off what the first hypothesis leaves.
func (f *fitting) conclude(r *Result) {
	first := &r.Hypotheses[0]
	r.Bad, r.Left = f.l.bad(first.whitened)
	q := first.Chi2
	if i, most := worst(r.Bad); most > 0.5 {
		q -= r.Left[i] * r.Left[i] // what is left without that reading
	}
	r.Fits = q < farChi2(f.l.n)
	for k := 1; k < len(r.Hypotheses) && k < 8; k++ {
		h := &r.Hypotheses[k]
		if h.Weight < 0.02 || h.Weight < first.Weight/30 {
			break
		}
		d := 0.0
		for i := range h.whitened {
			d += (h.whitened[i] - first.whitened[i]) * (h.whitened[i] - first.whitened[i])
		}
		if d < twinDistance*twinDistance {
			r.Twins = append(r.Twins, k)
		}
	}
}

func worst(v []float64) (at int, most float64) {
	for i, x := range v {
		if x > most {
			at, most = i, x
		}
	}
	return at, most
}

// farChi2 is what χ² with n degrees of freedom exceeds once in a thousand, by Wilson and Hilferty's cube.
func farChi2(n int) float64 {
	const z = 3.09
	k := float64(n)
	c := 1 - 2/(9*k) + z*math.Sqrt(2/(9*k))
	return k * c * c * c
}

// average is ln of the mean of e^x.
func average(logs []float64) float64 {
	best := slices.Max(logs)
	sum := 0.0
	for _, v := range logs {
		sum += math.Exp(v - best)
	}
	return best + math.Log(sum/float64(len(logs)))
}

// interval is where the middle 95 % of the weight over a grid lies.
func interval(grid, logs []float64) (low, high float64) {
	if len(grid) == 1 {
		return grid[0], grid[0]
	}
	best := slices.Max(logs)
	total := 0.0
	for _, v := range logs {
		total += math.Exp(v - best)
	}
	low, high = grid[0], grid[len(grid)-1]
	below, found := 0.0, false
	for k, v := range logs {
		below += math.Exp(v-best) / total
		if !found && below > 0.025 {
			low, found = grid[k], true
		}
		if below >= 0.975 {
			return low, grid[k]
		}
	}
	return low, high
}

// peak is the top of a parabola through the best point of a grid and its neighbours.
func peak(grid, logs []float64, best int) float64 {
	if best == 0 || best == len(grid)-1 {
		return grid[best]
	}
	a, b, c := logs[best-1], logs[best], logs[best+1]
	if d := a - 2*b + c; d < 0 {
		return grid[best] + (grid[1]-grid[0])*min(max((a-c)/(2*d), -0.5), 0.5)
	}
	return grid[best]
}
