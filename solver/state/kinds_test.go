package state

import (
	"testing"

	"spillway/network"
	"spillway/network/networktest"
)

// others are the kinds of part that are not dampers.
var others = []network.PartKind{network.KindDuct, network.KindRegister, network.KindGrille, network.KindFilter, network.KindCoil, network.KindBlower, network.KindLeak, network.KindOpening}

func TestEveryKindOfPartHasItsRows(t *testing.T) {
	networktest.EveryKind(t, lawOf)
	networktest.EveryKind(t, positionOf, others...)
}
