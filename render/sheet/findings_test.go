package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/quantity"
	"spillway/solver/verdict"
)

// A value that is past its limit is never printed as the limit, nor its distance as nothing.
func TestFindingShowsWhatIsPast(t *testing.T) {
	const fpm = 0.3048 / 60
	of := func(value, limit float64, kind verdict.Quantity) string {
		return NewPrinter(quantity.IP).Finding(verdict.Finding{Check: "check", Where: "here", Quantity: kind, Value: value, Limit: limit, Margin: limit - value})
	}
	assert.Equal(t, "check, here: 913 fpm, limit 900 fpm, past it by 13 fpm", of(913*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: 900.2 fpm, limit 900.0 fpm, past it by 0.2 fpm", of(900.2*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: 900.003 fpm, limit 900.000 fpm, past it by 0.003 fpm", of(900.003*fpm, 900*fpm, verdict.Velocity))
	assert.Equal(t, "check, here: NC 35.3, limit NC 35.0, past it by 0.3 NC", of(35.3, 35, verdict.Noise))
	noise := verdict.Finding{Check: "room noise", Where: "bed", Quantity: verdict.Noise, Value: 39.2, Limit: 35, Margin: -4.2, Low: 31.2, High: 51.2}
	assert.Equal(t, "room noise, bed: NC 39 (31 to 51), limit NC 35, past it by 4 NC", NewPrinter(quantity.IP).Finding(noise))
	quiet := verdict.Finding{Check: "room noise", Where: "bed", Quantity: verdict.Noise, Value: 9, Limit: 30, Margin: 21, Low: 1, High: 21}
	assert.Equal(t, "room noise, bed: NC <15 (<15 to 21), limit NC 30", NewPrinter(quantity.IP).Finding(quiet), "no number below the curves")
	assert.Equal(t, "check, here: 900 fpm, limit 900 fpm", of(899.9*fpm, 900*fpm, verdict.Velocity), "within it, the ordinary digits do")
}
