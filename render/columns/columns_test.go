package columns_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/render/columns"
)

// read gives back what Numbers wrote, step by step as its doc comment says.
func read(t require.TestingT, column string) []string {
	var list []any
	require.NoError(t, json.Unmarshal([]byte(column), &list))
	decimals := int(list[0].(float64))
	fixed := decimals < 0
	if fixed {
		decimals = -1 - decimals
	}
	var out []string
	v := 0.0
	put := func() {
		digits := fmt.Sprintf("%0*.0f", decimals+1, max(v, -v))
		cut := len(digits) - decimals
		text := digits[:cut]
		if decimals > 0 {
			text += "." + digits[cut:]
			if !fixed {
				text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
			}
		}
		if v < 0 {
			text = "-" + text
		}
		out = append(out, text)
	}
	for _, step := range list[1:] {
		switch s := step.(type) {
		case float64:
			v += s
			put()
		case []any:
			for range int(s[0].(float64)) {
				put()
			}
		}
	}
	return out
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct {
		texts []string
		want  string // computed from the format
	}{
		{[]string{"1", "2", "4"}, "[0,1,1,2]"},
		{[]string{"1.5", "2", "-0.25"}, "[2,150,50,-225]"},
		{[]string{"1.50", "2.00", "2.25"}, "[-3,150,50,25]"},
		{[]string{"7", "7", "7", "7", "8"}, "[0,7,[3],1]"},
		{[]string{"7", "7", "7"}, "[0,7,0,0]"},
	} {
		got, ok := columns.Numbers(c.texts)
		require.True(t, ok, c.texts)
		assert.Equal(t, c.want, got)
		assert.Equal(t, c.texts, read(t, got))
	}
	for _, odd := range []string{"007", "-0", "-0.00", "1.", ".5", "+1", "--1", "", "1e3", "∞", "1,234", "12345678901234567890", "1.2.3"} {
		_, ok := columns.Numbers([]string{"1", odd})
		assert.False(t, ok, odd)
	}
	_, ok := columns.Numbers([]string{"1.50", "1.5"})
	assert.False(t, ok, "neither without zeros nor with just so many decimals")
}

// What is written comes back, digit for digit, or is refused.
func TestNumbersComeBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		decimals := rapid.IntRange(0, 4).Draw(t, "decimals")
		trimmed := rapid.Bool().Draw(t, "trimmed")
		values := rapid.SliceOfN(rapid.IntRange(-20000, 20000), 1, 30).Draw(t, "values")
		if rapid.Bool().Draw(t, "still") {
			values = append(values, slices.Repeat(values[len(values)-1:], 9)...)
		}
		texts := make([]string, len(values))
		for i, v := range values {
			texts[i] = strconv.FormatFloat(float64(v)/1000, 'f', decimals, 64)
			if trimmed && decimals > 0 {
				texts[i] = strings.TrimRight(strings.TrimRight(texts[i], "0"), ".")
			}
		}
		column, ok := columns.Numbers(texts)
		odd := slices.ContainsFunc(texts, func(s string) bool { return strings.HasPrefix(s, "-0") && strings.Trim(s, "-0.") == "" })
		require.Equal(t, !odd, ok, texts)
		if ok {
			require.Equal(t, texts, read(t, column))
		}
	})
}

func TestTexts(t *testing.T) {
	assert.Equal(t, `"a"`, columns.Texts([]string{`"a"`, `"a"`}))
	assert.Equal(t, `{"v":["a","b"],"c":[0,1,0]}`, columns.Texts([]string{`"a"`, `"b"`, `"a"`}))
}
