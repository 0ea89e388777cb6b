package sheet

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/solver/state"
)

// contract is design text: every key that the machine interface promises, with the type of its value. "number?" may be null.
// It is written out for ip; the test renames the endings for si.
var contract = map[string]string{
	"spillway": "string", "job": "string", "units": "string",
	"states[].name": "string", "states[].mode": "string", "states[].calling": "array", "states[].stage": "number",
	"states[].certificate.mass_residual_cfm": "number", "states[].certificate.pressure_residual_inwc": "number",
	"states[].certificate.gap_w": "number?", "states[].certificate.iterations": "number",
	"states[].blower.tap": "string", "states[].blower.airflow_cfm": "number", "states[].blower.external_static_inwc": "number",
	"states[].blower.power_w":    "number?",
	"states[].ledger.blower_cfm": "number", "states[].ledger.wanted_cfm": "number", "states[].ledger.surplus_cfm": "number",
	"states[].ledger.paths[].to": "string", "states[].ledger.paths[].kind": "string", "states[].ledger.paths[].airflow_cfm": "number",
	"states[].equipment.entering_f": "number?", "states[].equipment.leaving_f": "number?", "states[].equipment.recirculated": "number?",
	"states[].equipment.time_to_limit_s": "number?",
	// Documented extras of the heat side.
	"states[].certificate.energy_residual_w": "number?", "states[].certificate.energy_total_w": "number?",
	"states[].equipment.computed": "bool", "states[].equipment.bypass_share": "number?", "states[].equipment.unmixed": "number?",
	"states[].equipment.temperature_rise_f": "number?", "states[].equipment.entering_wet_bulb_f": "number?",
	"states[].equipment.leaving_humidity_ratio": "number?", "states[].equipment.output_kbtu_h": "number?",
	"states[].equipment.rated_kbtu_h": "number?", "states[].equipment.sensible_share": "number?", "states[].equipment.fan_heat_kbtu_h": "number?",
	"states[].equipment.least_rise_f": "number?", "states[].equipment.greatest_rise_f": "number?", "states[].equipment.limit": "string?",
	"states[].equipment.limit_opens_f": "number?", "states[].equipment.limit_given": "bool?", "states[].equipment.limit_sensor_f": "number?",
	"states[].equipment.burner_duty": "number?", "states[].equipment.frost": "string?", "states[].equipment.evaporating_f": "number?",
	"states[].equipment.evaporating_second_f": "number?", "states[].equipment.coldest_strip_f": "number?",
	"states[].equipment.frost_margin_f": "number?", "states[].equipment.time_to_frost_s": "number?", "states[].equipment.dry": "bool?",
	"states[].equipment.course": "array", "states[].equipment.course[].t_s": "number", "states[].equipment.course[].supply_f": "number?",
	"states[].equipment.course[].entering_f": "number?", "states[].equipment.course[].critical_f": "number?",
	"states[].registers[].temperature_f": "number?", "states[].registers[].dew_point_f": "number?", "states[].registers[].sweats": "bool?",
	"states[].zones[].drift_end_f": "number?", "states[].zones[].call_duty": "number?", "states[].zones[].swing": "string?",
	"states[].zones[].swing_f": "number", "states[].zones[].time_to_swing_s": "number?", "states[].zones[].supply_f": "number?",
	"states[].zones[].delivered_kbtu_h": "number?", "states[].zones[].load_kbtu_h": "number?", "states[].zones[].neutral_bleed_cfm": "number?",
	// Of the contract again.
	"states[].elements[].name": "string", "states[].elements[].kind": "string", "states[].elements[].from": "string",
	"states[].elements[].to": "string", "states[].elements[].airflow_cfm": "number", "states[].elements[].surplus_cfm": "number",
	"states[].elements[].velocity_fpm": "number?", "states[].elements[].drop_inwc": "number",
	"states[].nodes[].name": "string", "states[].nodes[].static_inwc": "number", "states[].nodes[].total_inwc": "number",
	"states[].nodes[].temperature_f": "number?",
	"states[].registers[].name":      "string", "states[].registers[].zone": "string", "states[].registers[].room": "string",
	"states[].registers[].airflow_cfm": "number", "states[].registers[].wanted_cfm": "number",
	"states[].registers[].face_velocity_fpm": "number?", "states[].registers[].static_inwc": "number?",
	"states[].registers[].noise_nc": "number?", "states[].registers[].throw_ft": "number?",
	"states[].zones[].name": "string", "states[].zones[].calling": "bool", "states[].zones[].airflow_cfm": "number",
	"states[].zones[].wanted_cfm": "number", "states[].zones[].drift_f_per_h": "number?",
	"states[].findings[].check": "string", "states[].findings[].where": "string", "states[].findings[].level": "string",
	"states[].findings[].value": "number?", "states[].findings[].limit": "number?", "states[].findings[].unit": "string",
	"states[].findings[].source": "string", "states[].findings[].remedy": "string",
}

// kinds gathers, for every path of keys, the types of the values found there, and in how many objects the key is missing.
type kinds struct {
	types   map[string][]string
	objects map[string]int // objects seen at a path
	seen    map[string]int // values seen at a path
}

func (k *kinds) walk(path string, value any) {
	note := func(kind string) {
		if !slices.Contains(k.types[path], kind) {
			k.types[path] = append(k.types[path], kind)
		}
	}
	k.seen[path]++
	switch v := value.(type) {
	case map[string]any:
		note("object")
		k.objects[path]++
		for key, inner := range v {
			k.walk(strings.TrimPrefix(path+"."+key, "."), inner)
		}
	case []any:
		note("array")
		for _, inner := range v {
			k.walk(path+"[]", inner)
		}
	case string:
		note("string")
	case bool:
		note("bool")
	case nil:
		note("null")
	case json.Number:
		note("number")
	}
}

func TestJSONContract(t *testing.T) {
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		t.Run([]string{"ip", "si"}[sys], func(t *testing.T) {
			var b bytes.Buffer
			require.NoError(t, JSON(&b, fixtureIn(sys), false))
			decoder := json.NewDecoder(&b)
			decoder.UseNumber()
			var document any
			require.NoError(t, decoder.Decode(&document))
			k := kinds{types: map[string][]string{}, objects: map[string]int{}, seen: map[string]int{}}
			k.walk("", document)
			for path, want := range contract {
				if sys == quantity.SI {
					path = inSI(path)
				}
				types := k.types[path]
				require.NotEmpty(t, types, "no value at %s", path)
				for _, found := range types {
					ok := found == strings.TrimSuffix(want, "?") || found == "null" && strings.HasSuffix(want, "?")
					assert.True(t, ok, "%s is %s, wants %s", path, found, want)
				}
				if i := strings.LastIndexByte(path, '.'); i >= 0 {
					assert.Equal(t, k.objects[path[:i]], k.seen[path], "%s is missing in some objects", path)
				}
			}
		})
	}
}

func inSI(path string) string {
	i := strings.LastIndexByte(path, '.')
	head, key := path[:i+1], path[i+1:]
	for _, r := range [][2]string{{"_inwc", "_pa"}, {"_cfm", "_l_s"}, {"_fpm", "_m_s"}, {"drift_f_per_h", "drift_c_per_h"}, {"_ft", "_m"},
		{"_kbtu_h", "_kw"}} {
		key = strings.Replace(key, r[0], r[1], 1)
	}
	if strings.HasSuffix(key, "_f") {
		key = strings.TrimSuffix(key, "_f") + "_c"
	}
	return head + key
}

// The printed decimals, added as decimals, give the printed airflow of the blower: no rounding is left over.
func TestJSONLedgerAddsUpExactly(t *testing.T) {
	s := fixture()
	for i, awkward := range []float64{1. / 3, math.Pi * 100, 1e-9} { // figures with no short decimal
		s.Reports[0].Outcome.Ledger.Paths[i+1].Airflow += cfm(awkward)
		s.Reports[0].Outcome.Ledger.Blower += cfm(awkward)
	}
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		var b bytes.Buffer
		s.Units = sys
		require.NoError(t, JSON(&b, s, true))
		assert.Equal(t, 1, strings.Count(b.String(), "\n"), "compact is one line")
		var document struct {
			States []struct{ Blower, Ledger map[string]any }
		}
		decoder := json.NewDecoder(&b)
		decoder.UseNumber()
		require.NoError(t, decoder.Decode(&document))
		key := []string{"_cfm", "_l_s"}[sys]
		rat := func(v any) *big.Rat {
			r, ok := new(big.Rat).SetString(fmt.Sprint(v))
			require.True(t, ok, v)
			return r
		}
		for _, st := range document.States {
			sum := new(big.Rat)
			for _, p := range st.Ledger["paths"].([]any) {
				sum.Add(sum, rat(p.(map[string]any)["airflow"+key]))
			}
			blower := rat(st.Ledger["blower"+key])
			assert.Zero(t, sum.Cmp(blower), "paths %s, blower %s", sum.FloatString(9), blower.FloatString(9))
			assert.Zero(t, blower.Cmp(rat(st.Blower["airflow"+key])))
			assert.Zero(t, blower.Cmp(new(big.Rat).Add(rat(st.Ledger["wanted"+key]), rat(st.Ledger["surplus"+key]))))
		}
	}
}

func TestJSONGolden(t *testing.T) {
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		var b bytes.Buffer
		require.NoError(t, JSON(&b, fixtureIn(sys), false))
		golden(t, []string{"sheet-ip.json", "sheet-si.json"}[sys], b.Bytes())
	}
}

// Names are anybody's; the document must stay valid JSON and read back to the same text.
func TestJSONCarriesAnyName(t *testing.T) {
	s := fixture()
	name := "a \"b\" \\ \n\t<c> & 房间 \u2028"
	s.Job.Title, s.Reports[0].Outcome.State.Name = name, name
	var b bytes.Buffer
	require.NoError(t, JSON(&b, s, true))
	var document struct {
		Job    string
		States []struct{ Name string }
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &document))
	assert.Equal(t, name, document.Job)
	assert.Equal(t, name, document.States[0].Name)
}

func TestCSV(t *testing.T) {
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		s := fixtureIn(sys)
		s.Job.Title = "a, \"b\"\nc"
		var b bytes.Buffer
		table := NewCSV(&b)
		require.NoError(t, table.Add(s))
		require.NoError(t, table.Add(s))
		rows, err := csv.NewReader(&b).ReadAll() // refuses rows of unequal length
		require.NoError(t, err)
		require.Equal(t, []string{"job", "alternative", "state", "kind", "name", "quantity", "value", "unit", "limit", "level"}, rows[0])
		require.Zero(t, (len(rows)-1)%2)
		half := rows[1 : 1+len(rows)/2]
		seen := map[string]bool{}
		ledger := map[string]*big.Rat{}
		for _, row := range half {
			assert.Equal(t, s.Job.Title, row[0])
			place := strings.Join(row[2:6], "|")
			assert.False(t, seen[place], "twice: %s", place)
			seen[place] = true
			if row[3] == "finding" {
				continue
			}
			if row[6] == "" {
				assert.Contains(t, []string{"limit", "frost", "swing", "calls itself"}, row[5])
				assert.Contains(t, []string{"never", "reached", "later", "unknown"}, row[9])
				continue
			}
			value, ok := new(big.Rat).SetString(row[6])
			require.True(t, ok, "not a number: %v", row)
			assert.NotEmpty(t, row[7])
			if row[3] == "ledger" {
				if ledger[row[2]] == nil {
					ledger[row[2]] = new(big.Rat)
				}
				ledger[row[2]].Add(ledger[row[2]], value)
			}
		}
		want := map[quantity.System][]string{quantity.IP: {"1130.200000", "1000.000000"}, quantity.SI: {"533.395000", "471.947443"}}[sys]
		assert.Equal(t, want[0], ledger["cooling: loft"].FloatString(6))
		assert.Equal(t, want[1], ledger["heating: living floor + loft"].FloatString(6))
		assert.NotContains(t, b.String(), "NaN")
	}
}

func TestCSVGolden(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, NewCSV(&b).Add(fixture()))
	golden(t, "sheet-ip.csv", b.Bytes())
}

// An outcome in which nothing applies must print in every form, with no NaN anywhere.
func TestNothingApplies(t *testing.T) {
	nan := math.NaN()
	s := fixture()
	for _, r := range s.Reports {
		o := r.Outcome
		for i := range o.Elements {
			o.Elements[i] = state.Element{Flow: nan, Airflow: nan, Surplus: nan, Velocity: nan, Drop: nan, Friction: nan, Density: nan, Temperature: nan, Low: nan, High: nan}
		}
		for i := range o.Nodes {
			o.Nodes[i] = state.Node{Total: nan, Static: nan, Temperature: nan}
		}
		for i := range o.Registers {
			o.Registers[i] = state.Register{Airflow: nan, Wants: nan, FaceVelocity: nan, Static: nan, Temperature: nan, DewPoint: nan}
		}
		for i := range o.Zones {
			o.Zones[i] = state.Zone{Airflow: nan, Wants: nan, Return: nan, Pressure: nan, Shortfall: nan,
				SupplyTemperature: nan, Delivered: nan, Load: nan, DriftRate: nan, DriftEnd: nan, CallDuty: nan, TimeToSwing: nan, TimeToCall: nan, NeutralBleed: nan}
		}
		for i := range o.Dampers {
			o.Dampers[i] = state.Damper{Position: nan, Blade: nan, Airflow: nan, Drop: nan}
		}
		o.Blower = state.Blower{Airflow: nan, ActualAirflow: nan, ExternalStatic: nan, Power: nan}
		o.Equipment = state.Equipment{Computed: true, Entering: nan, EnteringWetBulb: nan, Leaving: nan, LeavingHumidity: nan, Rise: nan, Output: nan,
			Sensible: nan, FanHeat: nan, Recirculated: nan, Unmixed: nan, LeastRise: nan, GreatestRise: nan, Limit: nan, Sensor: nan, TimeToLimit: nan,
			BurnerDuty: nan, Evaporating: nan, EvaporatingSecond: nan, EvaporatingStrip: nan, FrostMargin: nan, TimeToFrost: nan,
			Course: []state.Moment{{Time: 0, Supply: nan, Entering: nan, Critical: nan}}, EnergyResidual: nan, EnergyTotal: nan}
		o.Bypass, o.Certificate.Gap, o.Certificate.FlowBound = nan, nan, math.Inf(1)
	}
	for _, sys := range []quantity.System{quantity.IP, quantity.SI} {
		var text, document, table bytes.Buffer
		s.Units = sys
		require.NoError(t, Write(&text, Compare([]*Sheet{s, s}), "text", Style{}))
		require.NoError(t, Text(&text, s, Style{Verbose: true}))
		require.NoError(t, JSON(&document, s, false))
		require.NoError(t, NewCSV(&table).Add(s))
		require.True(t, json.Valid(document.Bytes()))
		for _, b := range []*bytes.Buffer{&text, &document, &table} {
			assert.False(t, strings.Contains(b.String(), "NaN"), "NaN")
			assert.False(t, strings.Contains(b.String(), "Inf"), "Inf")
			assert.False(t, strings.Contains(b.String(), "-9223372036854775808"), "-9223372036854775808")
		}
	}
}

// A writer that fails is reported, in every form.
func TestWriteErrors(t *testing.T) {
	assert.ErrorIs(t, Text(brokenWriter{}, fixture(), Style{}), errBroken)
	assert.ErrorIs(t, JSON(brokenWriter{}, fixture(), true), errBroken)
	assert.ErrorIs(t, NewCSV(brokenWriter{}).Add(fixture()), errBroken)
}

var errBroken = fmt.Errorf("the paper is out")

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errBroken }
