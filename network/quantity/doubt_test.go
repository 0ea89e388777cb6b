package quantity_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
)

// The forms and the units that their parts share.
func TestParseDoubt(t *testing.T) {
	for text, want := range map[string]quantity.Doubt{
		"20 ft":                    {},
		"3-1/4 in":                 {},
		"-5 F":                     {},
		"R-8":                      {},
		"4 % of blower at 25 Pa":   {},
		"40 cfm at 25 Pa to attic": {},
		"36 deg from shut":         {},
		"1e-3 m":                   {},
		"about 20 ft":              {Form: quantity.About, Value: "20 ft"},
		"~20 ft":                   {Form: quantity.About, Value: "20 ft"},
		"20 ft +- 2 ft":            {Form: quantity.Within, Value: "20 ft", By: "2 ft"},
		"20 +- 2 ft":               {Form: quantity.Within, Value: "20 ft", By: "2 ft"},
		"20 ft ± 2":                {Form: quantity.Within, Value: "20 ft", By: "2 ft"},
		"20 ft give or take 2 ft":  {Form: quantity.Within, Value: "20 ft", By: "2 ft"},
		"20 ft +- 10 %":            {Form: quantity.Within, Value: "20 ft", By: "10 %"},
		"10 to 30 ft":              {Form: quantity.Between, Low: "10 ft", High: "30 ft"},
		"10 ft to 4 m":             {Form: quantity.Between, Low: "10 ft", High: "4 m"},
		"10-30 ft":                 {Form: quantity.Between, Low: "10 ft", High: "30 ft"},
		"10..30 ft":                {Form: quantity.Between, Low: "10 ft", High: "30 ft"},
		"-5 to 10 F":               {Form: quantity.Between, Low: "-5 F", High: "10 F"},
		"4 % (2 to 8 %)": {Form: quantity.Spanned, Value: "4 %", Low: "2 %",
			High: "8 %"},
		"20 (10 to 30 ft)": {Form: quantity.Spanned, Value: "20 ft", Low: "10 ft",
			High: "30 ft"},
		"20 ft (10 to 30)": {Form: quantity.Spanned, Value: "20 ft", Low: "10 ft",
			High: "30 ft"},
		"Unknown":           {Form: quantity.Nothing},
		"6 ft 4 in to 8 ft": {Form: quantity.Between, Low: "6 ft 4 in", High: "8 ft"},
		"0.08 inwc (0.05-0.2 inwc)": {Form: quantity.Spanned, Value: "0.08 inwc", Low: "0.05 inwc",
			High: "0.2 inwc"},
	} {
		got, err := quantity.ParseDoubt(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for text, want := range map[string]string{
		"about":           `"about" does not say about what`,
		"~":               `"~" does not say about what`,
		"20 ft +-":        `"20 ft +-" does not say how far`,
		"+- 2 ft":         `"+- 2 ft" has no value before +-`,
		"10 ft to":        `"10 ft to" has one end only`,
		"5 (":             `"5 (" has a bracket that is not closed`,
		"5 ft (6 ft)":     `"5 ft (6 ft)" has no range in its bracket`,
		"1 to 2 to 3 ft":  `"1 to 2 to 3 ft" has more than two ends`,
		"about 1 to 2 ft": `"about 1 to 2 ft" states its doubt twice`,
	} {
		_, err := quantity.ParseDoubt(text)
		assert.EqualError(t, err, want)
	}
}
