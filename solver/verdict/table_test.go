package verdict_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/sound/jet"
	"spillway/solver/verdict"
)

// Every row says what it bounds and where its figure comes from, and its steps stand in order.
func TestLimitsAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, l := range verdict.Limits(nil) {
		name := l.Check + ", " + l.Of
		assert.False(t, seen[name], "twice: %s", name)
		seen[name] = true
		assert.NotEmpty(t, l.Check)
		assert.NotEmpty(t, l.Source, name)
		if math.IsNaN(l.Caution) || math.IsNaN(l.Fault) {
			continue
		}
		if l.Bounds == verdict.AtLeast {
			assert.Greater(t, l.Caution, l.Fault, name)
		} else {
			assert.Less(t, l.Caution, l.Fault, name)
		}
	}
}

// Every key of [limits] overrides a row, and every key that a row names exists.
func TestLimitKeysAreThoseOfTheJobFile(t *testing.T) {
	var keys []string
	typ := reflect.TypeFor[network.Limits]()
	for i := range typ.NumField() {
		if key, _, _ := strings.Cut(typ.Field(i).Tag.Get("toml"), ","); key != "rules" {
			keys = append(keys, key)
		}
	}
	var used []string
	for _, l := range verdict.Limits(nil) {
		if l.Key != "" && !slices.Contains(used, l.Key) {
			used = append(used, l.Key)
		}
	}
	assert.ElementsMatch(t, keys, used)
}

// A job's own limit, one value or two, stands in the table in place of the default; written in the trade's units.
func TestEveryLimitCanBeOverridden(t *testing.T) {
	samples := map[verdict.Quantity]struct {
		values [2]string // caution, fault of an upper limit
		si     [2]float64
	}{
		verdict.Pressure:     {[2]string{`"0.02 inwc"`, `"0.7 inwc"`}, [2]float64{0.02 * quantity.InchWater, 0.7 * quantity.InchWater}},
		verdict.FlowPerHeat:  {[2]string{`"310 cfm"`, `"410 cfm"`}, [2]float64{310 * quantity.CFM / quantity.TonOfCooling, 410 * quantity.CFM / quantity.TonOfCooling}},
		verdict.PowerPerFlow: {[2]string{`"0.4 W"`, `"0.5 W"`}, [2]float64{0.4 / quantity.CFM, 0.5 / quantity.CFM}},
		verdict.Fraction:     {[2]string{`"11 %"`, `"33 %"`}, [2]float64{0.11, 0.33}},
		verdict.Temperature:  {[2]string{`"50 F"`, `"68 F"`}, [2]float64{10, 20}},
		verdict.Span:         {[2]string{`"9 F"`, `"18 F"`}, [2]float64{5, 10}},
		verdict.Velocity:     {[2]string{`"200 fpm"`, `"444 fpm"`}, [2]float64{200 * quantity.FPM, 444 * quantity.FPM}},
		verdict.Noise:        {[2]string{"22", "27"}, [2]float64{22, 27}},
		verdict.Ratio:        {[2]string{"1.2", "2.5"}, [2]float64{1.2, 2.5}},
	}
	for _, l := range verdict.Limits(nil) {
		if l.Key == "" {
			continue
		}
		t.Run(l.Check+", "+l.Of, func(t *testing.T) {
			e, ok := samples[l.Quantity]
			require.True(t, ok, l.Quantity)
			caution, fault := 0, 1
			if l.Bounds == verdict.AtLeast {
				caution, fault = 1, 0
			}
			find := func(set string) verdict.Limit {
				for _, row := range verdict.Limits(networktest.Graph(t, "two-floor", "", set).Job) {
					if row.Check == l.Check && row.Of == l.Of {
						return row
					}
				}
				require.Fail(t, "the row is gone")
				return verdict.Limit{}
			}
			one := find(fmt.Sprintf("limits.%s=%s", l.Key, e.values[fault]))
			assert.InEpsilon(t, e.si[fault], one.Fault, 1e-9)
			assert.True(t, one.Given)
			assert.Equal(t, "the job's own limit", one.Source)
			if l.Bounds == verdict.AtMost {
				assert.False(t, one.Caution > one.Fault, "a caution never begins beyond the fault")
			} else {
				assert.False(t, one.Caution < one.Fault, "a caution never begins beyond the fault")
			}
			two := find(fmt.Sprintf("limits.%s=[%s, %s]", l.Key, e.values[caution], e.values[fault]))
			assert.InEpsilon(t, e.si[caution], two.Caution, 1e-9)
			assert.InEpsilon(t, e.si[fault], two.Fault, 1e-9)
		})
	}
}

// The defaults in the units in which their sources state them, so that a slip of conversion shows. Sources as in the table.
func TestDefaultsInTheUnitsOfTheirSources(t *testing.T) {
	fpm, perTon, f := quantity.FPM, quantity.CFM/quantity.TonOfCooling, func(c float64) float64 { return c*1.8 + 32 }
	want := map[string][2]float64{
		"airflow per ton, ":                            {350, 300},   // FSEC-PF-321-97; rating window of direct-expansion coils
		"fan power, ":                                  {0.58, 1.16}, // California Title 24 Part 6 (2013)
		"register face velocity, ":                     {500, 700},   // residential duct design manual, from memory
		"return grille velocity, grille":               {400, 500},   // the same, quoted in a brochure
		"filter velocity, ":                            {250, 300},   // Air-Conditioning Systems Design Manual (1993), Table 5-2
		"duct velocity, trunk":                         {700, 900},
		"duct velocity, run to a register":             {600, 900},
		"duct velocity, flexible run to a register":    {600, 700},
		"duct velocity, return":                        {600, 700}, // second-hand quotation of the residential manual
		"room pressure, ":                              {3, 5},     // Pa, ENERGY STAR
		"coil frost, ":                                 {34, 28},   // °F, saturation at which a comfort coil frosts (from memory)
		"leaving air, ":                                {45, 40},
		"entering air, ":                               {80, 85}, // °F, installation manuals, from memory
		"entering air, cold, ":                         {60, 55},
		"duct air, ":                                   {200, 250}, // IRC M1601.1.1, from memory
		"zone drift, ":                                 {2, 3},     // usual swings, from memory
		"room noise, bedroom":                          {30, 35},   // inside Egan's 25 to 35
		"california zonal airflow, california zonal":   {math.NaN(), 350},
		"california zonal fan power, california zonal": {math.NaN(), 0.58},
		"california gas furnace fan, california gas furnace fan": {math.NaN(), 0.45}, // from memory
	}
	for _, l := range verdict.Limits(nil) {
		w, ok := want[l.Check+", "+l.Of]
		if !ok {
			continue
		}
		delete(want, l.Check+", "+l.Of)
		in := func(x float64) float64 {
			switch l.Quantity {
			case verdict.FlowPerHeat:
				return x / perTon
			case verdict.PowerPerFlow:
				return x * quantity.CFM
			case verdict.Velocity:
				return x / fpm
			case verdict.Temperature:
				return f(x)
			case verdict.Span:
				return x * 1.8
			}
			return x
		}
		if !math.IsNaN(w[0]) {
			assert.InDelta(t, w[0], in(l.Caution), 1e-6*w[0]+1e-9, l.Check)
		}
		assert.InDelta(t, w[1], in(l.Fault), 1e-6*w[1]+1e-9, l.Check)
	}
	assert.Empty(t, want, "rows that the table does not have")
}

// What a job may ask for exists, and what exists can be asked for.
func TestRuleSetsAgreeWithTheJobFile(t *testing.T) {
	var sets []string
	for _, l := range verdict.Limits(nil) {
		if strings.HasPrefix(l.Check, "california") && !slices.Contains(sets, l.Of) {
			sets = append(sets, l.Of)
			assert.Contains(t, l.Source, "confirm the edition in force")
		}
	}
	assert.ElementsMatch(t, network.RuleSets(), sets)
	for _, l := range verdict.Limits(networktest.Graph(t, "two-floor", "").Job) {
		assert.NotContains(t, l.Check, "california", "not asked for")
	}
}

// The limits of comfort that the jet library has of its own are those of the table.
func TestDraughtLimitsAreThoseOfTheJet(t *testing.T) {
	for _, l := range verdict.Limits(nil) {
		switch l.Of {
		case "chill":
			assert.InDelta(t, -jet.DraughtLow, l.Caution, 1e-12)
		case "speed":
			assert.InDelta(t, jet.DraughtVelocity, l.Caution, 1e-12)
		case "speed in heating":
			assert.InDelta(t, jet.HeatingVelocity, l.Caution, 1e-12)
		}
	}
}

// Usual figures have an order, a unit and a source. The high limit of older furnaces: NFPA 54 in code text. Sizing: ACCA Manual S.
func TestUsualFiguresAreWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, u := range verdict.Usual() {
		assert.False(t, seen[u.Name], u.Name)
		seen[u.Name] = true
		assert.NotEmpty(t, u.What)
		assert.NotEmpty(t, u.Source)
		assert.LessOrEqual(t, u.Low, u.High, u.Name)
		switch u.Name {
		case "high limit, highest":
			assert.InDelta(t, 250, u.High*1.8+32, 1e-9)
		case "size, furnace":
			assert.InDelta(t, 1.40, u.High, 1e-12)
		case "furnace rise, high band":
			assert.InDelta(t, 50, u.Low*1.8, 1e-9)
		}
	}
	assert.True(t, seen["size, furnace"] && seen["high limit, highest"] && seen["furnace rise, high band"])
}

func TestSafetyHasWordsForEveryHazard(t *testing.T) {
	seen := map[string]bool{}
	for h := verdict.HotFurnace; h <= verdict.LostAir; h++ {
		words := verdict.Safety(h)
		assert.NotEmpty(t, words)
		assert.False(t, seen[words])
		seen[words] = true
	}
	assert.Empty(t, verdict.Safety(verdict.NoHazard))
}
