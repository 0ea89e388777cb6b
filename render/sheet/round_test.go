package sheet

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/quantity"
)

func TestDecimal(t *testing.T) {
	for want, whole := range map[string]int64{"0": 0, "1130.2": 1130200000, "-0.000001": -1, "0.5": 500000, "12": 12000000} {
		assert.Equal(t, want, decimal(whole, 6))
	}
}

// A printed JSON number reads back to within half a unit of its sixth digit.
func TestNumberReadsBack(t *testing.T) {
	assert.Equal(t, "null", figure(math.NaN()))
	assert.Equal(t, "null", figure(math.Inf(-1)))
	assert.Equal(t, "0", figure(math.Copysign(0, -1)))
	assert.Equal(t, "1130.42", figure(1130.4231))
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e12, 1e12).Draw(t, "v")
		back, err := strconv.ParseFloat(figure(v), 64)
		if err != nil || math.Abs(back-v) > 5.0001e-6*math.Abs(v) {
			t.Fatalf("%v became %v (%v)", v, back, err)
		}
	})
}

func TestGrouped(t *testing.T) {
	require.Equal(t, "1,130", quantity.Grouped("1130"))
	require.Equal(t, "-12,345,678.90", quantity.Grouped("-12345678.90"))
	require.Equal(t, "999.5", quantity.Grouped("999.5"))
	require.Equal(t, "-100", quantity.Grouped("-100"))
}
