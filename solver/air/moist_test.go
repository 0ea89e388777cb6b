package air

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/evidencetest"
)

// Units of the published tables.
const (
	psi      = 6894.757 // Pa
	btuPerLb = 2326.0   // J/kg, exact
	ft3PerLb = 0.0624280
)

func celsius(f float64) float64 { return (f - 32) / 1.8 }

// published compares one quantity with a printed value, as evidence of the kind that the test declares.
func published(t *testing.T, name, source string, want, ours, relative float64) {
	t.Helper()
	evidencetest.Row{Case: name, Source: source, Want: want, Ours: ours, Within: relative * math.Abs(want)}.Check(t)
}

const handbook = "ASHRAE Handbook – Fundamentals 2017, ch. 1"

// The printed tables carry the enhancement factor of real moist air, which the ideal formulas leave out: 0.5 % on
// saturation humidity and 0.05 % on saturation pressure are the formulas' own distance from the tables.
func TestPublishedMoistAir(t *testing.T) {
	evidencetest.Of(t, evidencetest.Formula)
	must := func(x float64, err error) float64 { t.Helper(); require.NoError(t, err); return x }
	p := 14.696 * psi

	for _, c := range []struct{ f, psia float64 }{{-4, 0.014974}, {41, 0.12656}, {122, 1.79140}, {212, 14.7094}} {
		published(t, fmt.Sprintf("saturation pressure at %g °F, psia", c.f), handbook+", Table 3", c.psia, must(SaturationPressure(celsius(c.f)))/psi, 5e-4)
	}
	published(t, "Ws at 41 °F", handbook+", Table 2", 0.005425, must(SaturationHumidity(celsius(41), p)), 6e-3)
	sat, err := Saturated(celsius(41), p)
	require.NoError(t, err)
	// The handbook counts enthalpy from 0 °F in IP and from 0 °C in SI: compare above dry air at 0 °F.
	zero := Moist{Temperature: celsius(0)}.Enthalpy()
	published(t, "h sat at 41 °F, Btu/lb", handbook+", Table 2", 15.699, (sat.Enthalpy()-zero)/btuPerLb, 3e-3)
	dry := Moist{Temperature: celsius(77)}
	published(t, "dry air v at 77 °F, ft³/lb", handbook+", Table 2", 13.5251, dry.SpecificVolume(p)/ft3PerLb, 5e-4)
	published(t, "dry air h at 77 °F, Btu/lb", handbook+", Table 2", 18.498, (dry.Enthalpy()-zero)/btuPerLb, 1.5e-3)
	for _, c := range []struct{ ft, psia float64 }{{1000, 14.175}, {3000, 13.173}, {10000, 10.108}} {
		published(t, fmt.Sprintf("standard pressure at %g ft, psia", c.ft), handbook+", Table 1", c.psia, Pressure(c.ft*0.3048)/psi, 3e-4)
	}

	ex, err := FromWetBulb(celsius(100), celsius(65), p)
	require.NoError(t, err)
	published(t, "Example 1 W", handbook+", Example 1", 0.00523, ex.HumidityRatio, 1e-2)
	published(t, "Example 1 dew point, °F", handbook+", Example 1", 40, must(ex.DewPoint(p))*1.8+32, 3e-3)
	published(t, "Example 1 relative humidity", handbook+", Example 1", 0.13, must(ex.RelativeHumidity(p)), 2e-2)
	published(t, "Example 1 h, Btu/lb", handbook+", Example 1", 29.80, (ex.Enthalpy()-zero)/btuPerLb, 3e-3)
	published(t, "Example 1 v, ft³/lb", handbook+", Example 1", 14.22, ex.SpecificVolume(p)/ft3PerLb, 1e-3)
}

// Computed from the handbook's IP formulas, not published: the SI formulas must agree to the rounding of their
// coefficients (0.12 % between 1.006 kJ/kg·K and 0.240 Btu/lb·°F).
func TestComputedStates(t *testing.T) {
	p := 14.696 * psi
	zero := Moist{Temperature: celsius(0)}.Enthalpy()
	for _, c := range []struct{ db, wb, w, rh, dp, h, v float64 }{
		{80, 67, .011169, .511, 60.32, 31.447, 13.849},
		{75, 63, .009532, .516, 55.98, 28.431, 13.686},
		{75, 62.55, .009236, .500, 55.12, 28.107, 0},
		{78, 65.02, .010218, .500, 57.87, 29.916, 0},
		{70, 55.78, .006211, .400, 44.60, 23.583, 0},
		{95, 75, .014065, .398, 66.76, 38.316, 0},
		{55, 54, .008631, .940, 53.29, 22.569, 0},
	} {
		m, err := FromWetBulb(celsius(c.db), celsius(c.wb), p)
		require.NoError(t, err)
		rh, err := m.RelativeHumidity(p)
		require.NoError(t, err)
		dp, err := m.DewPoint(p)
		require.NoError(t, err)
		wb, err := m.WetBulb(p)
		require.NoError(t, err)
		assert.InEpsilon(t, c.w, m.HumidityRatio, 1e-3)
		assert.InDelta(t, c.rh, rh, 1e-3)
		assert.InDelta(t, c.dp, dp*1.8+32, 0.03)
		assert.InDelta(t, c.wb, wb*1.8+32, 1e-9)
		assert.InEpsilon(t, c.h, (m.Enthalpy()-zero)/btuPerLb, 1.5e-3)
		if c.v > 0 {
			assert.InEpsilon(t, c.v, m.SpecificVolume(p)/ft3PerLb, 2e-4)
		}
	}
}

// A second opinion: states recorded from a general-purpose psychrometric library (see testdata/README.md).
func TestRecordedSecondOpinion(t *testing.T) {
	rows := readTable(t, "testdata/moist_from_wet_bulb.csv", 36)
	for _, r := range rows {
		p := r["pressure_pa"]
		m, err := FromWetBulb(r["dry_bulb_c"], r["wet_bulb_c"], p)
		require.NoError(t, err)
		assert.InEpsilon(t, r["humidity_ratio"], m.HumidityRatio, 1e-7)
		rh, err := m.RelativeHumidity(p)
		require.NoError(t, err)
		assert.InEpsilon(t, r["relative_humidity"], rh, 1e-7)
		dp, err := m.DewPoint(p)
		require.NoError(t, err)
		assert.InDelta(t, r["dew_point_c"], dp, 2e-3)
		assert.InEpsilon(t, r["enthalpy_j_kg"], m.Enthalpy(), 1e-6)
		assert.InEpsilon(t, r["volume_m3_kg"], m.SpecificVolume(p), 1e-6)
		assert.InEpsilon(t, r["density_kg_m3"], m.Density(p), 1e-6)
		wb, err := m.WetBulb(p)
		require.NoError(t, err)
		assert.InDelta(t, r["wet_bulb_c"], wb, 1e-9)
	}
	for _, r := range readTable(t, "testdata/moist_from_relative_humidity.csv", 10) {
		p := r["pressure_pa"]
		m, err := FromRelativeHumidity(r["dry_bulb_c"], r["relative_humidity"], p)
		require.NoError(t, err)
		assert.InEpsilon(t, r["humidity_ratio"], m.HumidityRatio, 1e-9)
		wb, err := m.WetBulb(p)
		require.NoError(t, err)
		assert.InDelta(t, r["wet_bulb_c"], wb, 2e-3)
		dp, err := m.DewPoint(p)
		require.NoError(t, err)
		assert.InDelta(t, r["dew_point_c"], dp, 2e-3)
		ps, err := SaturationPressure(r["dry_bulb_c"])
		require.NoError(t, err)
		assert.InEpsilon(t, r["saturation_pressure_pa"], ps, 1e-9)
	}
}

func readTable(t *testing.T, path string, rows int) []map[string]float64 {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	lines, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Len(t, lines, rows+1)
	var out []map[string]float64
	for _, line := range lines[1:] {
		row := map[string]float64{}
		for i, name := range lines[0] {
			x, err := strconv.ParseFloat(line[i], 64)
			require.NoError(t, err)
			row[name] = x
		}
		out = append(out, row)
	}
	return out
}

// The joined saturation curve must rise through the freezing range, or a dew point there has two answers.
func TestSaturationCurveRisesThroughFreezing(t *testing.T) {
	last := 0.0
	for i := range 4001 {
		p, err := SaturationPressure(-0.2 + float64(i)*1e-4)
		require.NoError(t, err)
		require.Greater(t, p, last)
		last = p
	}
}

func TestImpossibleStatesAreErrors(t *testing.T) {
	nan, p := math.NaN(), StandardPressure
	cases := []struct {
		name string
		f    func() error
	}{
		{"saturation of NaN", func() error { _, err := SaturationPressure(nan); return err }},
		{"saturation below range", func() error { _, err := SaturationPressure(-150); return err }},
		{"saturated air at boiling", func() error { _, err := SaturationHumidity(101, p); return err }},
		{"vacuum", func() error { _, err := SaturationHumidity(20, 0); return err }},
		{"NaN pressure", func() error { _, err := SaturationHumidity(20, nan); return err }},
		{"relative humidity 1.2", func() error { _, err := FromRelativeHumidity(20, 1.2, p); return err }},
		{"relative humidity NaN", func() error { _, err := FromRelativeHumidity(20, nan, p); return err }},
		{"saturated at 150 °C", func() error { _, err := FromRelativeHumidity(150, 1, p); return err }},
		{"wet bulb above dry bulb", func() error { _, err := FromWetBulb(20, 21, p); return err }},
		{"wet bulb too low", func() error { _, err := FromWetBulb(20, 0, p); return err }},
		{"dew point of dry air", func() error { _, err := Moist{Temperature: 20}.DewPoint(p); return err }},
		{"wet bulb of fog", func() error { _, err := Moist{20, 0.05}.WetBulb(p); return err }},
		{"negative humidity", func() error { _, err := Moist{20, -0.001}.RelativeHumidity(p); return err }},
		{"NaN humidity", func() error { _, err := Moist{20, nan}.DewPoint(p); return err }},
		{"enthalpy beyond saturation", func() error { _, err := SaturationTemperature(1e12, p); return err }},
		{"enthalpy below saturation", func() error { _, err := SaturationTemperature(-1e6, p); return err }},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { require.ErrorIs(t, c.f(), ErrImpossible) })
	}
}

// Wet bulb of dry air exists although its dew point does not.
func TestWetBulbOfDryAir(t *testing.T) {
	wb, err := Moist{Temperature: 25}.WetBulb(StandardPressure)
	require.NoError(t, err)
	back, err := FromWetBulb(25, wb, StandardPressure)
	require.NoError(t, err)
	assert.InDelta(t, 0, back.HumidityRatio, 1e-12)
}

// Every inverse undoes its forward function, and dew point ≤ wet bulb ≤ dry bulb, at any weather and elevation.
func TestInversesRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pressure(rapid.Float64Range(-300, 4000).Draw(t, "elevation"))
		db := rapid.Float64Range(-30, 65).Draw(t, "dry bulb")
		m, err := FromRelativeHumidity(db, rapid.Float64Range(0.01, 1).Draw(t, "relative humidity"), p)
		if err != nil {
			t.Fatal(err)
		}
		dp, err := m.DewPoint(p)
		if err != nil {
			t.Fatal(err)
		}
		wb, err := m.WetBulb(p)
		if err != nil {
			t.Fatal(err)
		}
		if dp > wb+1e-6 && wb != 0 || wb > db+1e-9 {
			t.Fatalf("dew point %g, wet bulb %g, dry bulb %g out of order", dp, wb, db)
		}
		if w, err := SaturationHumidity(dp, p); err != nil || math.Abs(w-m.HumidityRatio) > 1e-9*(m.HumidityRatio+1e-3) {
			t.Fatalf("dew point round trip: %v %v %v", w, m, err)
		}
		if wb > 0.01 { // below, the two branches of the wet-bulb formula leave a gap
			back, err := FromWetBulb(db, wb, p)
			if err != nil || math.Abs(back.HumidityRatio-m.HumidityRatio) > 1e-9 {
				t.Fatalf("wet bulb round trip: %v %v %v", back, m, err)
			}
		}
		if again := FromEnthalpy(m.Enthalpy(), m.HumidityRatio); math.Abs(again.Temperature-db) > 1e-9 {
			t.Fatalf("enthalpy round trip: %v %v", again, m)
		}
		sat, err := Saturated(db, p)
		if err != nil {
			t.Fatal(err)
		}
		ts, err := SaturationTemperature(sat.Enthalpy(), p)
		if err != nil || math.Abs(ts-db) > 1e-9 {
			t.Fatalf("saturation temperature %g for %g: %v", ts, db, err)
		}
	})
}

func BenchmarkWetBulb(b *testing.B) {
	m := Moist{Temperature: 24, HumidityRatio: 0.0092}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := m.WetBulb(StandardPressure); err != nil {
			b.Fatal(err)
		}
	}
}
