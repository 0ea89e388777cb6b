package independent_test

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/require"
)

// job is what the model takes from the file, as it stands there: words and quantities with their
// units.
type job struct {
	Site      struct{ Elevation string }
	Weather   map[string]map[string]string
	Equipment map[string]any
	Zone      map[string]map[string]string
	Damper    map[string]map[string]string
	Supply    map[string]line
	Return    map[string]line
	Bypass    map[string]line
	Leakage   map[string]string
}

type line struct {
	From, To, Size, Length, Register, Grille, Rise, Zone string
	OpensAt                                              string `toml:"opens-at"`
	FullyOpenAt                                          string `toml:"fully-open-at"`
}

// readJob reads an example, and an alternative of it laid over it.
func readJob(t testing.TB, name, alternative string) job {
	t.Helper()
	text, err := os.ReadFile("../../../testdata/jobs/long/" + name + ".toml")
	require.NoError(t, err)
	var j job
	_, err = toml.Decode(string(text), &j)
	require.NoError(t, err)
	if alternative == "" {
		return j
	}
	var other struct{ Alternative map[string]job }
	_, err = toml.Decode(string(text), &other)
	require.NoError(t, err)
	over, ok := other.Alternative[alternative]
	require.True(t, ok, alternative)
	for name, keys := range over.Damper {
		for key, value := range keys {
			j.Damper[name][key] = value
		}
	}
	j.Bypass = over.Bypass
	return j
}

// number reads a quantity of the file into SI.
func number(text string) float64 {
	value, unit, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(value, 64)
	if err != nil {
		panic(fmt.Sprintf("%q: %v", text, err))
	}
	switch unit {
	case "in":
		return x * inch
	case "ft":
		return x * foot
	case "cfm":
		return x * cfm
	case "inwc":
		return x * inwc
	case "F":
		return celsius(x)
	case "%":
		return x / 100
	case "ton":
		return x * 12000 * btuh
	case "kBtu/h":
		return x * 1000 * btuh
	}
	panic(fmt.Sprintf("%q: unit %q", text, unit))
}

// size reads "20x10 in", "14 in" or "8 in flex".
func size(text string) (section, bool) {
	text, flex := strings.CutSuffix(text, " flex")
	width, height, rectangular := strings.Cut(strings.TrimSuffix(text, " in"), "x")
	if rectangular {
		return rectangle(number(width+" in"), number(height+" in")), flex
	}
	return round(number(width + " in")), flex
}
