package doc

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"

	"spillway/network/quantity"
)

// Ledger says where all of a blower's air goes. Its airflows are rounded together, so that what is
// printed adds up; a cell anywhere in the document that names lines of it is printed as their sum.
type Ledger struct {
	Paths []Path
	whole [2][]int64 // per system of units, made when first asked for
	sum   [2]int64
}

// Path is one line of a ledger.
type Path struct {
	Name    Cell
	Airflow float64 // m³/s
	Wanted  bool    // asked for by a calling zone; else surplus
	Minor   bool    // left out where it rounds to nothing
	Ask     string  // as Cell.Ask, of the airflow
	AskPart string  // of its share
}

// Whole is the airflow of every line in whole units of the system, and their sum.
func (l *Ledger) Whole(s quantity.System) (lines []int64, sum int64) {
	i := 0
	if s == quantity.SI {
		i = 1
	}
	if l.whole[i] == nil {
		l.whole[i], l.sum[i] = Apportion(l.airflows(), quantity.KindAirflow.Factor(s))
	}
	return l.whole[i], l.sum[i]
}

func (l *Ledger) airflows() []float64 {
	out := make([]float64, len(l.Paths))
	for i := range l.Paths {
		out[i] = l.Paths[i].Airflow
	}
	return out
}

// Sum prints what some of the lines come to; all of them for nil.
func (l *Ledger) Sum(paths []int, s quantity.System) string {
	lines, sum := l.Whole(s)
	if paths != nil {
		sum = 0
		for _, i := range paths {
			sum += lines[i]
		}
	}
	return quantity.Grouped(fmt.Sprint(sum))
}

// Shares is every line's part of the blower's air in tenths of a percent, which add up to 1000.
func (l *Ledger) Shares() []int64 {
	airflows, sum := l.airflows(), 0.0
	for _, q := range airflows {
		sum += q
	}
	if sum <= 0 || math.IsNaN(sum) {
		return make([]int64, len(airflows))
	}
	tenths, _ := Apportion(airflows, sum/1000)
	return tenths
}

// Apportion rounds parts to whole multiples of a quantum so that they add up to their rounded sum.
// This is the method of largest remainders: every part is rounded down, then the units that are
// missing go to the parts that lost most. No part moves by as much as one quantum, an exact multiple
// stays as it is, and equal remainders go by order, so that the same parts always round the same way.
//
// It returns the parts and their sum in quanta. A part or quantum that is not finite gives zeros.
func Apportion(parts []float64, quantum float64) (whole []int64, sum int64) {
	whole = make([]int64, len(parts))
	total := 0.0
	for _, p := range parts {
		total += p / quantum
	}
	if math.IsNaN(total) || math.Abs(total) > 1<<52 {
		return whole, 0
	}
	order := make([]int, len(parts))
	remainder := make([]float64, len(parts))
	var floors int64
	for i, p := range parts {
		q := p / quantum
		if nearest := math.Round(q); math.Abs(q-nearest) < exactShare*max(1, math.Abs(total)) {
			q = nearest // an exact multiple but for the last bits
		}
		floor := math.Floor(q)
		order[i], remainder[i], whole[i] = i, q-floor, int64(floor)
		floors += int64(floor)
	}
	sum = int64(math.Round(total))
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(remainder[b], remainder[a]) })
	for missing := sum - floors; missing > 0 && len(order) > 0; missing-- {
		whole[order[0]]++
		order = order[1:]
	}
	// Only noise in the last bits can leave the floors above the sum; the smallest remainder pays.
	for i := len(order) - 1; i >= 0 && sum < floors; i, floors = i-1, floors-1 {
		whole[order[i]]--
	}
	return whole, sum
}

// exactShare is how far, relative to the whole, a part may be from a multiple of the quantum and
// still count as one: some units in the last place of a float64.
const exactShare = 1e-13

// Line is one line of a ledger as it is printed.
type Line struct {
	*Path
	Airflow string // in whole units
	Percent string // of the blower's air, with one decimal
	Share   float64
}

// Lines yields the lines that are printed.
func (l *Ledger) Lines(s quantity.System) iter.Seq[Line] {
	return func(yield func(Line) bool) {
		whole, _ := l.Whole(s)
		for i, share := range l.Shares() {
			p := &l.Paths[i]
			if p.Minor && whole[i] == 0 && share == 0 {
				continue
			}
			if !yield(Line{p, quantity.Grouped(fmt.Sprint(whole[i])), Tenths(share), float64(share) / 1000}) {
				return
			}
		}
	}
}

// Total is the last line: the blower's airflow and percentage.
func (l *Ledger) Total(s quantity.System) (airflow, percent string) {
	all := int64(0)
	for _, share := range l.Shares() {
		all += share
	}
	return l.Sum(nil, s), Tenths(all)
}

// Tenths prints a share in tenths of a percent: 1000 is "100.0".
func Tenths(t int64) string {
	sign := ""
	if t < 0 {
		sign, t = "-", -t
	}
	return fmt.Sprintf("%s%d.%d", sign, t/10, t%10)
}
