package study

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"spillway/network"
	"spillway/solver/verdict"
)

// Sampling says how a spread is drawn.
type Sampling struct {
	Samples int    // at least 20
	Seed    uint64 // the same seed gives the same answer on any number of cores
	// Random draws plainly at random instead of by a quasi-random sequence, for tests.
	Random bool
	// Tolerances replace those of the job.
	Tolerances []network.Tolerance
	// Progress is told how many samples are done, never by two goroutines at once; may be nil.
	Progress func(done int)
}

// Spread is how sure results are when inputs are not.
type Spread struct {
	Inputs   []string
	Samples  int
	Failed   int // samples that had no solution and are left out
	Assumed  bool
	Measures []Measure
	States   []string
	Bands    [][]Band // by state, parallel to Measures
	Chances  []Chance // of limits that do not always hold, the least likely first
	// Held is the share of samples in which no limit is passed in any call state (no fault).
	Held float64
}

// Band is one measure in one call state.
type Band struct {
	As                float64 // with the job as it is
	Mean, Deviation   float64
	Low, Middle, High float64   // 5, 50 and 95 %
	Shares            []float64 // part of the variance that each input brings by itself; parallel to Spread.Inputs
	Samples           []float64 // as they were drawn; NaN where it does not apply
}

// Chance is how likely a limit holds.
type Chance struct {
	Check
	Holds   float64         // no fault
	Clear   float64         // no caution either
	Finding verdict.Finding // the worst that was seen
}

const (
	leastSamples = 20
	mostSamples  = 1_000_000
)

// Spread draws the uncertain inputs and solves every call state for each draw.
//
// Draws follow Owen's scrambling of the Halton sequence (Owen, "A randomized Halton algorithm in R", arXiv 1706.02808, 2017), which fills the
// space of inputs more evenly than chance does. A band is the range between the 5th and the 95th of a hundred. The share of an input is the
// correlation ratio, Var(E[y|x])/Var(y), estimated from slices of the draws and freed of the bias of few draws per slice; shares of
// inputs that act together do not add up to one.
func (s *Study) Spread(v Variant, q Sampling) (*Spread, error) {
	if q.Samples < leastSamples || q.Samples > mostSamples {
		return nil, question("a spread takes from %d to %d samples, not %d", leastSamples, mostSamples, q.Samples)
	}
	g, err := s.Read(v)
	if err != nil {
		return nil, err
	}
	tolerances := q.Tolerances
	w := &Spread{Samples: q.Samples}
	if tolerances == nil {
		tolerances, w.Assumed = tolerancesOf(g)
	}
	list, err := inputs(g, tolerances)
	if err != nil {
		return nil, err
	}
	if q.Tolerances == nil {
		list = withDoubts(g, list, w.Assumed)
	}
	if len(list) == 0 {
		return nil,
			question("nothing varies: write a [doubt] table, or values such as \"about 20 ft\"")
	}
	for _, in := range list {
		w.Inputs = append(w.Inputs, in.name)
	}
	as, err := s.Report(v)
	if err != nil {
		return nil, err
	}
	draws := draw(len(list), q)
	reports := make([]*Report, q.Samples)
	failures := make([]error, q.Samples)
	var mu sync.Mutex
	done := 0
	err = s.each(q.Samples, func(i int) error {
		reports[i], failures[i] = s.sample(v, list, draws.RawRowView(i), as.Measures)
		if q.Progress != nil {
			mu.Lock()
			done++
			q.Progress(done)
			mu.Unlock()
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	w.gather(as, reports, failures, draws)
	if w.Failed == q.Samples {
		return nil, failures[0]
	}
	return w, nil
}

// draw gives the draws between 0 and 1, one row for each sample.
func draw(dimensions int, q Sampling) *mat.Dense {
	batch := mat.NewDense(q.Samples, dimensions, nil)
	source := rand.NewPCG(q.Seed, 0x5917)
	if q.Random {
		r := rand.New(source)
		for i := range q.Samples {
			for k := range dimensions {
				batch.Set(i, k, r.Float64())
			}
		}
		return batch
	}
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUnitUniform(dimensions, nil), Src: source}.Sample(batch)
	return batch
}

// drawn solves one draw.
func (s *Study) drawn(v Variant, list []input, u []float64) (*Result, error) {
	point := vary(v, list, u)
	slices.SortStableFunc(point.Set[len(v.Set):], func(a, b string) int {
		return cmp.Compare(quickRank(a), quickRank(b)) // what can be changed in the graph comes last
	})
	g, states, b, err := s.graph(point)
	if err != nil {
		return nil, err
	}
	scaled := *g
	scaled.Elements = slices.Clone(g.Elements)
	for k := range list {
		if list[k].coefficient != "" {
			scale(&scaled, list[k].coefficient, list[k].draw(u[k]))
		}
	}
	return s.solveGraph(point, &scaled, states, b)
}

// sample solves one draw and keeps its measures and what it finds wrong.
func (s *Study) sample(v Variant, list []input, u []float64, measures []Measure) (*Report, error) {
	r, err := s.drawn(v, list, u)
	if err != nil {
		return nil, err
	}
	p := readReport(r, measures)
	for i := range p.States {
		st := &p.States[i]
		var wrong []verdict.Finding // thousands of reports are kept
		for _, f := range st.Findings {
			if f.Level != verdict.OK {
				wrong = append(wrong, f)
			}
		}
		st.Findings = wrong
	}
	return p, nil
}

func quickRank(assignment string) int {
	if network.Local(assignment) {
		return 1
	}
	return 0
}

// gather makes bands, shares and chances of the samples, in their order.
func (w *Spread) gather(as *Report, reports []*Report, failures []error, draws *mat.Dense) {
	w.Measures = as.Measures
	w.Bands = make([][]Band, len(as.States))
	var good []int
	for i := range reports {
		if failures[i] != nil || len(reports[i].Measures) != len(as.Measures) || len(reports[i].States) != len(as.States) {
			w.Failed++
			continue
		}
		good = append(good, i)
	}
	orders := make([][]int, len(w.Inputs))
	column := make([]float64, len(good))
	for k := range orders {
		for n, i := range good {
			column[n] = draws.At(i, k)
		}
		orders[k] = orderOf(column)
	}
	for st := range as.States {
		w.States = append(w.States, as.States[st].State.Name)
		w.Bands[st] = make([]Band, len(as.Measures))
		for m := range as.Measures {
			samples := make([]float64, len(good))
			for n, i := range good {
				samples[n] = reports[i].States[st].Values[m]
			}
			w.Bands[st][m] = band(as.States[st].Values[m], samples, orders)
		}
	}
	w.chances(reports, good)
}

// band sums up the samples of one measure.
func band(as float64, samples []float64, orders [][]int) Band {
	b := Band{As: as, Mean: math.NaN(), Deviation: math.NaN(), Low: math.NaN(), Middle: math.NaN(), High: math.NaN(), Samples: samples}
	var finite []float64
	for _, y := range samples {
		if !math.IsNaN(y) && !math.IsInf(y, 0) {
			finite = append(finite, y)
		}
	}
	if len(finite) < leastSamples {
		return b
	}
	b.Mean, b.Deviation = stat.MeanStdDev(finite, nil)
	sorted := slices.Clone(finite)
	slices.Sort(sorted)
	b.Low, b.Middle, b.High = stat.Quantile(0.05, stat.LinInterp, sorted, nil), stat.Quantile(0.5, stat.LinInterp, sorted, nil), stat.Quantile(0.95, stat.LinInterp, sorted, nil)
	if len(finite) == len(samples) && b.Deviation > 1e-9*math.Abs(b.Mean)+1e-12 {
		for _, order := range orders {
			b.Shares = append(b.Shares, correlationRatio(order, samples))
		}
	}
	return b
}

// orderOf lists the places of x in rising order of its values.
func orderOf(x []float64) []int {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(x[a], x[b]) })
	return order
}

// correlationRatio estimates how much of the variance of y goes with x alone, whose rising order is given,
//
//	η² = Var(E[y|x]) / Var(y),
//
// the first-order index of variance-based sensitivity analysis (Sobol' 1993; Saltelli et al., "Global
// Sensitivity Analysis", 2008, from memory). The draws are cut into slices of x with equally many in each;
// the variance between slices is freed of what it would be by chance. The result lies between 0 and 1.
func correlationRatio(order []int, y []float64) float64 {
	n := len(y)
	slicesOf := min(max(n/40, 4), 40)
	mean := stat.Mean(y, nil)
	between, within := 0.0, 0.0
	for k := range slicesOf {
		part := order[k*n/slicesOf : (k+1)*n/slicesOf]
		sum := 0.0
		for _, i := range part {
			sum += y[i]
		}
		own := sum / float64(len(part))
		between += float64(len(part)) * (own - mean) * (own - mean)
		for _, i := range part {
			within += (y[i] - own) * (y[i] - own)
		}
	}
	total := between + within
	if total == 0 {
		return 0
	}
	byChance := within / float64(n-slicesOf) * float64(slicesOf-1)
	return min(max((between-byChance)/total, 0), 1)
}

// chances counts how often limits hold.
func (w *Spread) chances(reports []*Report, good []int) {
	type tally struct {
		faults, cautions int
		worst            verdict.Finding
	}
	counts := map[Check]*tally{}
	var order []Check
	held := 0
	for _, i := range good {
		clean := true
		for _, f := range reports[i].Faults(true) {
			n := counts[f.Check]
			if n == nil {
				n = &tally{worst: f.Finding}
				counts[f.Check] = n
				order = append(order, f.Check)
			}
			n.cautions++
			if f.Finding.Level == verdict.Fault {
				n.faults++
				clean = false
			}
			if passed(f.Finding.Level, verdict.Fault) && !passed(n.worst.Level, verdict.Fault) || f.Finding.Level == n.worst.Level && f.Finding.Excess() > n.worst.Excess() {
				n.worst = f.Finding
			}
		}
		if clean {
			held++
		}
	}
	all := float64(max(len(good), 1))
	w.Held = float64(held) / all
	for _, c := range order {
		n := counts[c]
		w.Chances = append(w.Chances, Chance{Check: c, Holds: 1 - float64(n.faults)/all, Clear: 1 - float64(n.cautions)/all, Finding: n.worst})
	}
	slices.SortStableFunc(w.Chances, func(a, b Chance) int { return cmp.Or(cmp.Compare(a.Holds, b.Holds), cmp.Compare(a.Clear, b.Clear)) })
}
