package networktest

import (
	"reflect"
	"slices"

	"github.com/stretchr/testify/assert"

	"spillway/network"
)

// EveryKind asserts that a table has a row for every kind of part. Those that are excused, and they alone, have none.
func EveryKind[Row any](t T, table [network.PartKinds]Row, excused ...network.PartKind) {
	t.Helper()
	for kind := network.NoPart + 1; kind < network.PartKinds; kind++ {
		has := !reflect.ValueOf(&table[kind]).Elem().IsZero()
		assert.Equal(t, !slices.Contains(excused, kind), has, "a row for %s", kind)
	}
}
