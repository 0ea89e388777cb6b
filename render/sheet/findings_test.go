package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/units"
	"spillway/solver/verdict"
)

// A value that is past its limit is never printed as the limit, nor its distance as nothing.
func TestFindingShowsWhatIsPast(t *testing.T) {
	const fpm = 0.3048 / 60
	of := func(value, limit float64, quantity verdict.Quantity) string {
		return findingWords(verdict.Finding{Check: "check", Where: "here", Quantity: quantity, Value: value, Limit: limit, Margin: limit - value}, tradeOf(units.IP))
	}
	assert.Equal(t, "check, here: 913 fpm, limit 900 fpm, past it by 13 fpm", of(913*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: 900.2 fpm, limit 900.0 fpm, past it by 0.2 fpm", of(900.2*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: 900.003 fpm, limit 900.000 fpm, past it by 0.003 fpm", of(900.003*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: 35.3 NC, limit 35.0 NC, past it by 0.3 NC", of(35.3, 35, verdict.Noise))
	assert.Equal(t, "check, here: 900 fpm, limit 900 fpm", of(899.9*fpm, 900*fpm, verdict.Velocity), "within it, the ordinary digits do")
}
