package heat

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/evidencetest"
)

// Units of the trade, for tests that compare with figures printed in them.
const (
	btuh     = 0.29307107        // W
	fahr     = 5.0 / 9.0         // K per °F of difference
	cubicFPM = 4.719474432e-4    // m³/s
	poundH   = 0.45359237 / 3600 // kg/s per lb/h
	squareFt = 0.3048 * 0.3048   // m²
	rValue   = 0.176110          // m²·K/W
	btuhF    = btuh / fahr       // W/K
)

func celsius(f float64) float64        { return (f - 32) / 1.8 }
func fahrenheit(c float64) float64     { return c*1.8 + 32 }
func capacityRate(cfm float64) float64 { return 1.08 * cfm * btuhF } // m cp, W/K, by the trade's 1.08
func dryMass(cfm float64) float64      { return cfm * 60 * 0.075 * poundH }

// tradeHeat is the specific heat with which the mass of standard air gives the trade's 1.08: 0.240 Btu/(lb·°F).
var tradeHeat = capacityRate(1) / dryMass(1)

// published compares with a printed value, as evidence of the kind that the test declares. The tolerance is absolute, in the
// printed unit.
func published(t *testing.T, name, source string, want, ours, within float64, why ...string) {
	t.Helper()
	evidencetest.Row{Case: name, Source: source, Want: want, Ours: ours, Within: within, Why: strings.Join(why, "")}.Check(t)
}

// computed compares with a value worked out from the same formula elsewhere (a regression, not evidence).
func computed(t *testing.T, name string, want, got, tolerance float64) {
	t.Helper()
	t.Logf("%s | computed from the formula | %g | %.6g | %+.3g", name, want, got, got-want)
	assert.InDelta(t, want, got, tolerance, name)
}
