package sheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/quantity"
	"spillway/solver/sound/validity"
	"spillway/solver/state"
)

// Grouped by formula and quantity, the greatest doubt first; figures in the units that are asked for.
func TestRanges(t *testing.T) {
	o := loftCalls()
	flat := func(units quantity.System, verbose bool) string {
		var b strings.Builder
		_ = Write(&b, &Document{Units: units, Blocks: judged(&Report{Outcome: o}, units, verbose)}, "text", Style{})
		return strings.Join(strings.Fields(b.String()), " ")
	}
	short := flat(quantity.IP, false)
	assert.Contains(t, short, "ranges 2 formulas are used outside the range of their source, at 3 places; none moves an airflow by more than some 40 cfm (living-main); "+
		"what matters is among the findings; --verbose lists them")
	long := flat(quantity.IP, true)
	assert.Contains(t, long, "branch over main velocity, 0.8 to 1.12 in 45-entry tap: carried on beyond it, moves at most some 40 cfm; living-main 0.3, loft-main 1.86")
	assert.Contains(t, long, "entering wet bulb, 55 to 75 °F in capacity of the coil: carried on beyond it; coil 50 °F")
	assert.Contains(t, flat(quantity.SI, true), "12.8 to 23.9 °C")

	o.Stretches = o.Stretches[:1]
	o.Stretches[0].Airflow, o.Stretches[0].Clamped = cfm(0.2), true
	o.Stretches[0].Range = validity.Range{Quantity: "Reynolds number", Low: 4000, High: 1e8, Of: "friction"}
	o.Stretches[0].Value = 2500
	long = flat(quantity.IP, true)
	assert.Contains(t, long, "1 formula is used outside the range of its source, at 1 place; none moves an airflow by as much as 1 cfm")
	assert.Contains(t, long, "Reynolds number, from 4,000 up in friction: held at its end, moves less than 1 cfm; loft-main 2,500")

	for range 7 {
		o.Stretches = append(o.Stretches, o.Stretches[0])
	}
	assert.Contains(t, flat(quantity.IP, true), "loft-main 2,500, 2 more")
	assert.Empty(t, NewPrinter(quantity.IP).RangesLine(&state.Outcome{}))
}
