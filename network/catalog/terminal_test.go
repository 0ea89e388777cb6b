package catalog_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
	"spillway/network/evidencetest"
)

// transferArea is the net free area, in², that passes a flow (cfm) at 3 Pa with air of 1.2 kg/m³, for a gross area with
// TransferZeta at full free area.
func transferArea(flow float64) float64 {
	velocity := math.Sqrt(2 * 3 / (1.2 * catalog.TransferZeta(1)))
	return flow * cfm / velocity / (inch * inch)
}

func TestPublishedTransferOpenings(t *testing.T) {
	evidencetest.Of(t, evidencetest.Fitted)
	source := "Rudd, Building America report RR-0005, transfer grille sizing at 3 Pa, net in²"
	run(t, []check{
		{"50 cfm", source, 27.0, transferArea(50), 0.05},
		// The discharge coefficient is rounded to three digits, 0.606: 0.05 % here.
		{"200 cfm", source, 107.9, transferArea(200), 0.1},
	})
}

func TestRememberedGridLimits(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	source := "Idelchik, free discharge and sharp-edged inlet, common knowledge"
	run(t, []check{
		{"open end", source, 1.0, catalog.SupplyZeta(1), 0},
		{"open mouth", source, 0.5, catalog.ReturnZeta(1), 0.0005},
	})
}

func TestComputedGrids(t *testing.T) {
	source := "computed from Idelchik's grid formula"
	velocityPressure := func(velocity float64) float64 { return velocity * velocity / 4005 / 4005 }
	run(t, []check{
		{"supply, half free", source, 9.0, catalog.SupplyZeta(0.5), 0.05},
		{"supply, 0.6", source, 5.8, catalog.SupplyZeta(0.6), 0.1},
		{"supply, 0.75", source, 3.3, catalog.SupplyZeta(0.75), 0.05},
		{"supply, 0.8", source, 2.7, catalog.SupplyZeta(0.8), 0.05},
		{"return, half free", source, 5.8, catalog.ReturnZeta(0.5), 0.05},
		{"return, 0.75", source, 1.6, catalog.ReturnZeta(0.75), 0.05},
		{"static drop of a register at 500 fpm, in. of water", source, 0.035, (catalog.SupplyZeta(0.75) - 1) * velocityPressure(500), 0.0005},
		{"drop of a grille at 400 fpm, in. of water", source, 0.016, catalog.ReturnZeta(0.75) * velocityPressure(400), 0.0005},
		{"drop of a grille at 500 fpm, in. of water", source, 0.025, catalog.ReturnZeta(0.75) * velocityPressure(500), 0.0005},
		{"thin plate, 20 degrees from open", source, 1.32, catalog.ThinPlateZeta(1-math.Sin(20*math.Pi/180), 0), 0.005},
		{"thin plate, 60 degrees from open", source, 129, catalog.ThinPlateZeta(1-math.Sin(60*math.Pi/180), 0), 0.5},
		{"4x10 in register at 100 cfm, in. of water", source, 0.026, catalog.SupplyZeta(0.75) * velocityPressure(360), 0.0005},
	})
}

func TestTerminalsByRole(t *testing.T) {
	for _, name := range catalog.Names(catalog.Terminals) {
		terminal, ok := catalog.LookupTerminal(name)
		require.True(t, ok)
		previous := math.Inf(1)
		for f := 0.05; f <= 1; f += 0.05 {
			zeta := terminal.Zeta(f)
			assert.Less(t, zeta, previous, "%s: more free area, less loss", name)
			assert.Positive(t, zeta)
			previous = zeta
		}
		assert.InDelta(t, terminal.Zeta(terminal.FreeArea), terminal.Zeta(0), 0, "0 means the row's own")
		assert.NotEqual(t, "unknown", terminal.Role.String())
	}
	register, _ := catalog.LookupTerminal("register")
	grille, _ := catalog.LookupTerminal("return grille")
	jump, _ := catalog.LookupTerminal("jump duct")
	assert.Equal(t, catalog.Supply, register.Role)
	assert.Equal(t, catalog.Return, grille.Role)
	assert.Equal(t, catalog.Transfer, jump.Role)
	assert.False(t, math.IsInf(catalog.SupplyZeta(0), 0), "a blanked-off register stays finite")
}
