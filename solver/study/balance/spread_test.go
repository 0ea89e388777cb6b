package balance

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// How far terminals are apart is the greatest of their shares over the least, less one: with 80 % and 120 % of design a half, as with 40 % and
// 60 %. A piece of trunk has no share.
func TestSpreadOfShares(t *testing.T) {
	assert.InDelta(t, 0.5, spreadOf([]float64{0, 0.8, 1.2, 1}), 1e-12)
	assert.InDelta(t, 0.5, spreadOf([]float64{0.6, 0, 0.4}), 1e-12)
	assert.Zero(t, spreadOf([]float64{0, 0.7, 0.7}))
}
