package diagnose

import (
	"testing"

	"spillway/network"
	"spillway/network/networktest"
)

// A kind of part has causes of its own, or those that concern several parts together: taps, grilles, leaks and doors. Trunks and runs are
// taken as built, and nobody sets a backdraft damper.
func TestEveryKindOfPartHasItsCauses(t *testing.T) {
	networktest.EveryKind(t, causesOf(), network.KindBlower, network.KindGrille, network.KindRegister, network.KindLeak, network.KindOpening,
		network.KindDuct, network.KindBackdraft)
}
