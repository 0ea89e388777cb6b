package sheet

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The printed end of a window lies within the window, whatever its digits: a limit that holds up to 82.05 % does not hold
// at 82.1 % (computed from the rounding).
func TestSettingEndRoundsInward(t *testing.T) {
	for _, c := range []struct {
		x, inside float64
		want      string
	}{
		{82.05, 65, "82"}, {51.6499, 65, "51.7"}, {35.4449, 65, "35.5"}, {0, 30, "0"}, {100, 30, "100"}, {0.183912, 0.2, "0.184"},
		{0.18396, 0.2, "0.184"}, {0.18401, 0.2, "0.185"}, {1234.56, 1000, "1234"}, {51.64, 51.645, "51.64"}, {99.96, 120, "100"}, {100.04, 80, "100"},
	} {
		assert.Equal(t, c.want, settingEnd(c.x, c.inside, ""), "%g towards %g", c.x, c.inside)
	}
	rapid.Check(t, func(t *rapid.T) {
		x, inside := rapid.Float64Range(0, 2000).Draw(t, "end"), rapid.Float64Range(0, 2000).Draw(t, "found")
		got, err := strconv.ParseFloat(settingEnd(x, inside, ""), 64)
		require.NoError(t, err)
		if x <= inside {
			assert.True(t, x <= got && got <= inside, "%g towards %g: %g", x, inside, got)
		} else {
			assert.True(t, inside <= got && got <= x, "%g towards %g: %g", x, inside, got)
		}
	})
}
