package network_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network"
	"spillway/network/networktest"
)

// Every kind of part has a word of its own, and every job's parts are of a kind whose Spec is a damper's exactly where it is one.
func TestKindsOfPart(t *testing.T) {
	words := map[string]bool{}
	for kind := range network.PartKinds {
		assert.NotEmpty(t, kind.String())
		assert.False(t, words[kind.String()], kind.String())
		words[kind.String()] = true
	}
	seen := map[network.PartKind]bool{}
	for _, path := range networktest.Jobs(t) {
		g := networktest.Build(t, path, networktest.File(t, path), network.Options{})
		for i := range g.Elements {
			e := &g.Elements[i]
			seen[e.Kind] = true
			damper := e.Kind >= network.KindDamper && e.Kind <= network.KindBackdraft
			assert.Equal(t, damper, network.BladeOf(e.Spec) != nil, e.Name)
			section, ok := network.SectionOf(e.Spec)
			assert.Equal(t, ok, section.Area() > 0, e.Name)
			assert.False(t, damper && !ok, e.Name)
		}
	}
	assert.Len(t, seen, int(network.PartKinds)-1, "every kind is in a job")
	assert.Nil(t, network.BladeOf(nil))
}
