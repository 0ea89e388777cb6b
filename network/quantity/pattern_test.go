package quantity

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// What Parse takes the pattern lets pass.
func TestPatternTakesWhatParseTakes(t *testing.T) {
	patterns := map[Kind]*regexp.Regexp{}
	for k := KindLength; k <= KindInsulation; k++ {
		patterns[k] = regexp.MustCompile(k.Pattern(true))
	}
	numbers := []string{"12", "-0.5", "1,200", "1/2", "1 1/2", "1.5e3", ".5", "5.", "+3", "1,5", "e3", "", "--1", "1/2/3"}
	words := []string{"", " ", "°"}
	for k := KindLength; k <= KindInsulation; k++ {
		for _, u := range k.row().units {
			words = append(words, u.spellings...)
			words = append(words, u.symbol)
		}
	}
	words = append(words, "in. w.c.", "H2O", "FT²", "m³/h", "° F", "parsec", "R-8", "h ft2 F/Btu")
	rapid.Check(t, func(r *rapid.T) {
		k := Kind(rapid.IntRange(int(KindLength), int(KindInsulation)).Draw(r, "kind"))
		blank := rapid.SampledFrom([]string{"", " ", "  "})
		text := ""
		for range rapid.IntRange(1, 2).Draw(r, "parts") {
			text += rapid.SampledFrom(numbers).Draw(r, "number") + blank.Draw(r, "blank") + rapid.SampledFrom(words).Draw(r, "unit") + blank.Draw(r, "blank")
		}
		if _, err := k.Parse(text, IP); err == nil {
			assert.Regexp(r, patterns[k], text, "%s", k)
		}
	})
}

func TestPatternRefusesOtherUnits(t *testing.T) {
	for _, c := range []struct {
		kind Kind
		text string
	}{
		{KindLength, "12 cfm"}, {KindLength, "6 ft 4"}, {KindAirflow, "12 ft"}, {KindPressure, "0.1 in"}, {KindFraction, "25 deg"}, {KindHeat, "3 tonnes"},
		{KindTemperature, "warm"}, {KindInsulation, "S-8"}, {KindAirflow, "cfm"}, {KindAirflow, ""}, {KindAirflow, "12 cfm cfm"},
	} {
		assert.NotRegexp(t, regexp.MustCompile(c.kind.Pattern(true)), c.text, "%s: %q", c.kind, c.text)
	}
	assert.NotRegexp(t, regexp.MustCompile(KindAirflow.Pattern(false)), "-12 cfm")
}
