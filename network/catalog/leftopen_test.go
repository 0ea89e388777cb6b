package catalog_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
)

// What a fitting's name leaves to defaults is said, and nothing is where it tells all that decides the loss.
func TestLeftOpen(t *testing.T) {
	for name, open := range map[string]string{
		"elbow 90 smooth":          "r/D 1.5",
		"elbow 90 smooth r1.0":     "",
		"elbow 90 smooth r/d1.0":   "",
		"elbow 90 flex":            "r/D 1.5",
		"elbow 90 gored":           "4 pieces and r/D 1.5",
		"elbow 90 5-piece":         "r/D 1.5",
		"elbow 90 gored r2":        "4 pieces",
		"elbow 90 5-piece r2":      "",
		"elbow 90 7-piece":         "",
		"elbow 90 mitred":          "",
		"elbow 90 stamped":         "",
		"elbow 90 vanes":           "",
		"bellmouth":                "r/D 0.1",
		"transition":               "30 degrees between its walls",
		"transition 60":            "",
		"transition 30":            "",
		"abrupt transition":        "",
		"boot 90":                  "",
		"orifice 50%":              "",
		"Elbow  45_smooth":         "r/D 1.5",
		"elbow 90 smooth hard way": "r/D 1.5",
	} {
		f, ok := catalog.LookupFitting(name)
		require.True(t, ok, name)
		assert.Equal(t, open, f.LeftOpen(name), name)
	}
}
