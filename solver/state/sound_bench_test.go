package state

import (
	"testing"

	"spillway/network/networktest"
)

// BenchmarkSound is the noise and throw of every opening of the two-floor house in one solved state, to set beside BenchmarkSolve.
func BenchmarkSound(b *testing.B) {
	g := networktest.Graph(b, "two-floor", "")
	s, err := New(g)
	if err != nil {
		b.Fatal(err)
	}
	c := &calculation{solver: s, workspace: newWorkspace(s), held: -1, ctx: b.Context()}
	if err := c.begin(States(g)[0]); err != nil {
		b.Fatal(err)
	}
	if err := c.agree(); err != nil {
		b.Fatal(err)
	}
	o, err := c.outcome()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := c.sound(o); err != nil {
			b.Fatal(err)
		}
	}
}
