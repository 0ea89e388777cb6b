package state_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
)

// silentJob says as little as a job may.
const silentJob = `
units = "ip"
[equipment]
cooling = { capacity = "3 ton", tap = "high" }
heating = { output = "57 kBtu/h", tap = "high" }
filter = { drop = "0.10 inwc", at = "1200 cfm" }
coil = { drop = "0.20 inwc", at = "1200 cfm" }
blower = { table = "generic psc 3 ton" }
[weather]
hot = { mode = "cooling" }
cold = { mode = "heating" }
[zone]
up = { damper = "up", wants = "500 cfm", floor = "900 ft2" }
down = { damper = "down", wants = "600 cfm", floor = "900 ft2" }
[damper]
up = { stop = "10 %" }
down = { blade = "opposed" }
hand = { drive = "hand", open = "60 %" }
flap = { drive = "backdraft" }
weight = { drive = "barometric", opens-at = "0.25 inwc" }
[supply]
trunk = { from = "supply plenum", size = "16x10 in", length = "20 ft" }
up-run = { from = "trunk", size = "12 in", length = "30 ft", damper = "up", place = "attic", fittings = ["elbow 90 smooth"] }
up-1 = { from = "up-run", size = "8 in flex", length = "10 ft", register = "12x6 in", room = "bed", zone = "up" }
down-run = { from = "trunk", size = "12 in", length = "30 ft", damper = "down", place = "crawlspace" }
down-1 = { from = "down-run", size = "10 in", length = "20 ft", damper = "hand", register = { size = "14x8 in", pattern = "high sidewall" }, room = "den", zone = "down" }
down-2 = { from = "down-run", size = "8 in", length = "20 ft", balance = "70 %", register = { size = "12x8 in", balance = "50 %" }, room = "hall", zone = "down" }
[return]
back = { to = "return plenum", size = "18 in", length = "12 ft", damper = "flap", grille = "24x20 in", place = "garage" }
[bypass]
weighted = { from = "supply plenum", to = "return plenum", size = "10 in", length = "6 ft", damper = "weight" }
holding = { from = "supply plenum", to = "return plenum", size = "6 in", length = "6 ft", holds = "0.40 inwc" }
[dump]
lobby = { from = "supply plenum", size = "8 in", length = "8 ft", register = "12x6 in", zone = "down", opens-at = "0.35 inwc" }
[room]
bed = { zone = "up", door = { undercut = "0.5 in" } }
[leakage]
supply = { share = "5 %", at = "25 Pa" }
`

// Every figure that stands in for what a file may say is told where the file is silent, and is not where the file gives it. The list is
// that of the defaults in use, looked for in the code; the one here is kept by hand.
func TestEveryDefaultIsTold(t *testing.T) {
	silent := toldOf(t, silentJob)
	for _, c := range []struct {
		path, value string    // what the silent job is told; value may be a part
		with        [2]string // what in the job is replaced by what, so that it gives the figure; empty where no key gives it
	}{
		{"site.elevation", "0.0 ft", [2]string{"units = \"ip\"", "units = \"ip\"\nsite.elevation = \"900 ft\""}},
		{"equipment.max-static", "0.500", [2]string{"blower = {", "max-static = \"0.6 inwc\"\nblower = {"}},
		{"equipment.cooling.sensible", "75 %", [2]string{"capacity = \"3 ton\"", "capacity = \"3 ton\", sensible = \"74 %\""}},
		{"equipment.cooling.capacity", "400 cfm per ton", [2]string{}},
		{"equipment.cooling", "45.0 °F evaporating", [2]string{}},
		{"equipment.cooling", "generic curve", [2]string{}},
		{"equipment.cooling", "of coil", [2]string{}},
		{"equipment.cooling", "start-up", [2]string{}},
		{"equipment.heating.kind", "furnace", [2]string{"output = \"57", "kind = \"furnace\", output = \"57"}},
		{"equipment.heating.leaving-limit", "170.0 °F", [2]string{"output = \"57", "leaving-limit = \"180 F\", output = \"57"}},
		{"equipment.heating", "limit closes 30.0 °F", [2]string{}},
		{"equipment.heating", "of exchanger", [2]string{}},
		{"equipment.blower", "generic psc 3 ton", [2]string{"blower = { table = \"generic psc 3 ton\" }", "[blower]\nstatic = [\"0.1 inwc\", \"0.5 inwc\", \"0.9 inwc\"]\ntap.high = { airflow = [\"1400 cfm\", \"1200 cfm\", \"900 cfm\"] }"}},
		{"equipment.filter.exponent", "1.5", [2]string{"drop = \"0.10 inwc\"", "exponent = 1.4, drop = \"0.10 inwc\""}},
		{"equipment.coil.exponent", "1.6", [2]string{"drop = \"0.20 inwc\"", "exponent = 1.7, drop = \"0.20 inwc\""}},
		{"equipment.coil.wet", "1.25", [2]string{"drop = \"0.20 inwc\"", "wet = false, drop = \"0.20 inwc\""}},
		{"weather.hot.outdoor", "95.0", [2]string{"mode = \"cooling\"", "mode = \"cooling\", outdoor = \"99 F\""}},
		{"weather.hot.indoor", "75.0", [2]string{"mode = \"cooling\"", "mode = \"cooling\", indoor = \"77 F\""}},
		{"weather.hot.humidity", "50 %", [2]string{"mode = \"cooling\"", "mode = \"cooling\", humidity = \"45 %\""}},
		{"weather.hot.attic", "120.0", [2]string{"mode = \"cooling\"", "mode = \"cooling\", attic = \"110 F\""}},
		{"weather.cold.crawlspace", "43.5", [2]string{"mode = \"heating\"", "mode = \"heating\", crawlspace = \"50 F\""}}, // halfway from 70 to 17 °F
		{"weather.cold.garage", "27.6", [2]string{"mode = \"heating\"", "mode = \"heating\", garage = \"50 F\""}},         // four fifths of the way
		{"weather.hot", "40 % relative humidity outdoors", [2]string{}},
		{"zone.*.floor", "3.75", [2]string{}},
		{"zone.*.floor", "between air and mass", [2]string{}},
		{"zone.up.heat-loss", "0.20", [2]string{"up = { damper = \"up\",", "up = { damper = \"up\", heat-loss = \"20 kBtu/h\","}},
		{"damper.up.drive", "two-position", [2]string{"stop = \"10 %\"", "drive = \"modulating\", stop = \"10 %\""}},
		{"damper.up.blade", "round", [2]string{"stop = \"10 %\"", "blade = \"round\", stop = \"10 %\""}},
		{"damper.up.leakage", "3 %", [2]string{"stop = \"10 %\"", "leakage = \"1 %\", stop = \"10 %\""}},
		{"damper.down.blade", "N W/(2 (H + W)) = 0.5", [2]string{"blade = \"opposed\"", "blade = \"round\""}},
		{"damper.hand.leakage", "3 %", [2]string{"drive = \"hand\"", "drive = \"hand\", leakage = \"2 %\""}},
		{"damper.flap.leakage", "class backdraft", [2]string{"drive = \"backdraft\"", "drive = \"backdraft\", leakage = \"class 3\""}},
		{"damper.flap", "0.52", [2]string{}},
		{"damper.weight", "75° from shut", [2]string{}},
		{"damper.weight.leakage", "2 % of its area", [2]string{"opens-at = \"0.25 inwc\"", "opens-at = \"0.25 inwc\", leakage = \"class 3\""}},
		{"damper.weight.fully-open-at", "0.500", [2]string{"opens-at = \"0.25 inwc\"", "opens-at = \"0.25 inwc\", fully-open-at = \"0.4 inwc\""}},
		{"dump.lobby", "75° from shut", [2]string{}},
		{"dump.lobby.leakage", "2 % of its area", [2]string{}},
		{"dump.lobby.fully-open-at", "0.700", [2]string{"opens-at = \"0.35 inwc\"", "opens-at = \"0.35 inwc\", fully-open-at = \"0.5 inwc\""}},
		{"bypass.holding.holds", "0.020 in. w.c. from shut to open", [2]string{}},
		{"bypass.holding.holds", "3 % leakage", [2]string{}},
		{"bypass.weighted.unmixed", "20 % at the limit, band 0 to 50 %", [2]string{"damper = \"weight\"", "damper = \"weight\", unmixed = \"20 %\""}},
		{"supply.up-run.insulation", "R-6", [2]string{"place = \"attic\"", "place = \"attic\", insulation = \"R-8\""}},
		{"supply.*.place", "R-0.8", [2]string{}},
		{"supply.up-run.fittings", "elbow 90 smooth", [2]string{"elbow 90 smooth", "elbow 90 smooth r1.0"}},
		{"supply.up-1.compression", "4 %", [2]string{"size = \"8 in flex\"", "size = \"8 in flex\", compression = \"8 %\""}},
		{"supply.down-2.balance", "no gap", [2]string{"balance = \"70 %\", ", ""}},
		{`supply.down-2."register.balance"`, "opposed blades", [2]string{", balance = \"50 %\" }", " }"}},
		{`supply.down-1."register.height"`, "7.5 ft", [2]string{"pattern = \"high sidewall\"", "pattern = \"high sidewall\", height = \"6 ft\""}}, // half a foot under 8 ft
		{`supply.down-1."register.reach"`, "12.1 ft", [2]string{"pattern = \"high sidewall\"", "pattern = \"high sidewall\", reach = \"9 ft\""}},  // √147 ft²
		{`room.bed."door.width"`, "2.7 ft", [2]string{"undercut", "width = \"30 in\", undercut"}},
		{"room.bed.door", "15 in² of cracks", [2]string{"undercut", "shut = false, undercut"}},
		{"leakage.supply.exponent", "0.6", [2]string{"share = \"5 %\"", "exponent = 0.65, share = \"5 %\""}},
		{"leakage.return", "none", [2]string{"[leakage]", "[leakage]\nreturn = \"20 cfm at 25 Pa\""}},
		{"leakage.envelope", "none", [2]string{"[leakage]", "[leakage]\nenvelope = \"900 cfm at 50 Pa\""}},
	} {
		assert.True(t, tells(silent, c.path, c.value), "%s = %s is not told of the silent job", c.path, c.value)
		if c.with[0] == "" && c.with[1] == "" {
			continue
		}
		require.Equal(t, 1, strings.Count(silentJob, c.with[0]), c.with[0])
		given := toldOf(t, strings.Replace(silentJob, c.with[0], c.with[1], 1))
		assert.False(t, tells(given, c.path, c.value), "%s = %s is told although the job gives it", c.path, c.value)
	}
	pump := toldOf(t, strings.Replace(silentJob, "output = \"57", "kind = \"heat pump\", output = \"57", 1))
	assert.True(t, tells(pump, "equipment.heating.output", "rated at 70.0 °F entering and 47.0 °F outdoors"))
	assert.False(t, tells(pump, "equipment.heating.leaving-limit", ""), "a heat pump has none")
	tight := toldOf(t, strings.Replace(silentJob, "supply = { share = \"5 %\", at = \"25 Pa\" }", "", 1))
	assert.True(t, tells(tight, "leakage.supply", "none"))
	given := toldOf(t, strings.Replace(silentJob, "mode = \"cooling\"", "mode = \"cooling\", supply-air = \"54 F\"", 1))
	assert.False(t, tells(given, "equipment.cooling.capacity", "400"), "the supply temperature is given: no capacity goes in")
	metered := toldOf(t, strings.Replace(silentJob, "generic psc 3 ton", "generic constant airflow 3 ton", 1))
	assert.True(t, tells(metered, "equipment.blower", "lost in its cabinet"))
}

func toldOf(t *testing.T, job string) []network.Assumption {
	t.Helper()
	return state.Assumptions(networktest.Build(t, "silent.toml", []byte(job), network.Options{}))
}

func tells(list []network.Assumption, path, value string) bool {
	for _, a := range list {
		if a.Path == path && strings.Contains(a.Value, value) {
			return a.Why != ""
		}
	}
	return false
}
