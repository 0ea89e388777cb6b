package derive

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network"
	"spillway/network/networktest"
)

// The drop of every kind of part is derived, by a law in closed form or by a derivation of its own.
func TestEveryKindOfPartHasADerivation(t *testing.T) {
	var either [network.PartKinds]bool
	for kind := range either {
		law, drop := laws()[kind] != nil, drops()[kind] != nil
		assert.False(t, law && drop, network.PartKind(kind).String())
		either[kind] = law || drop
	}
	networktest.EveryKind(t, either)
}
