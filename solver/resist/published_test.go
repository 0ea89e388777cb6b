package resist

import (
	"strings"
	"testing"

	"spillway/network/evidencetest"
	"spillway/solver/air"
)

// Units in which the published values are printed.
const (
	inwc  = 249.089             // Pa, water at 4 °C
	cfm   = 4.719474e-4         // m³/s
	fpm   = 0.00508             // m/s
	inch  = 0.0254              // m
	foot  = 0.3048              // m
	ft2   = foot * foot         // m²
	ls    = 1e-3                // m³/s in 1 L/s
	mm    = 1e-3                // m
	in2   = inch * inch         // m²
	lbft  = 16.0185             // kg/m³ in 1 lb/ft³
	in100 = inwc / (100 * foot) // Pa/m in 1 in.w.c. per 100 ft
)

// handbookAir is the air of the handbook's duct design chapter: 1.204 kg/m³ at 20 °C.
func handbookAir() air.State { return air.State{Density: 1.204, Viscosity: air.Viscosity(20)} }

// published compares one value with what a source prints, as evidence of the kind that the test declares.
// within is the tolerance in the units of the value: the last printed digit, or what the comment at the call explains.
func published(t *testing.T, name, source string, want, ours, within float64, why ...string) {
	t.Helper()
	evidencetest.Row{Case: name, Source: source, Want: want, Ours: ours, Within: within, Why: strings.Join(why, "")}.Check(t)
}
