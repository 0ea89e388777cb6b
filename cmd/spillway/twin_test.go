package main

import (
	"bytes"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"spillway/network/quantity"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twinJob is a house in which every number carries its unit; unit texts are turned into SI ones for its twin.
const twinJob = `title = "Twin"
[site]
elevation = "450 ft"
[weather]
hot  = { mode = "cooling", outdoor = "93 F", indoor = "75 F", humidity = "50 %" }
cold = { mode = "heating", outdoor = "8 F", indoor = "70 F" }
[equipment]
cooling    = { capacity = "3 ton", sensible = "75 %", tap = "high" }
heating    = { output = "60 kBtu/h", rise = ["35 F°", "65 F°"], leaving-limit = "160 F", tap = "medium" }
blower     = { table = "generic psc 3 ton" }
max-static = "0.5 inwc"
filter     = { drop = "0.08 inwc", at = "1200 cfm" }
coil       = { drop = "0.14 inwc", at = "1200 cfm" }
[zone]
main = { wants = "640 cfm", floor = "1450 ft2", heat-loss = "30 kBtu/h", heat-gain = "15 kBtu/h", damper = "main" }
loft = { wants = "430 cfm", floor = "680 ft2", heat-loss = "15 kBtu/h", heat-gain = "10 kBtu/h", damper = "loft" }
[damper]
main = { size = "14 in", stop = "40 %", leakage = "3 %" }
loft = { size = "14 in", stop = "0 %", leakage = "3 %" }
[supply]
trunk   = { from = "supply plenum", size = "20x10 in", length = "6 ft" }
main-t  = { from = "trunk", size = "14 in", length = "18 ft", fittings = ["straight on"], damper = "main" }
kitchen = { from = "main-t", size = "7 in", length = "14 ft", fittings = ["wye 45", "boot", "12 ft equivalent"], register = "10x6 in", wants = "320 cfm", insulation = "R-6", place = "attic" }
living  = { from = "main-t", size = "8 in", length = "18 ft", fittings = ["wye 45", "boot"], register = { size = "12x6 in", drop = "0.03 inwc", at = "160 cfm" }, wants = "320 cfm", insulation = "R-4", place = "crawlspace" }
riser   = { from = "trunk", size = "14 in", length = "20 ft", fittings = ["wye 45"], damper = "loft", rise = "9 ft" }
bed     = { from = "riser", size = "9 in flex", length = "14 ft", fittings = ["wye 45", "boot"], register = "12x6 in", room = "bed", wants = "430 cfm" }
[bypass]
relief  = { from = "supply plenum", to = "return plenum", size = "12 in", length = "5 ft", opens-at = "0.15 inwc", fully-open-at = "0.22 inwc" }
[return]
drop    = { to = "return plenum", grille = "20x20 in", size = "20x12 in", length = "8 ft" }
[room]
bed     = { zone = "loft", door = { width = "32 in", undercut = "0.5 in" } }
[leakage]
supply   = "4 % of blower at 0.1 inwc"
envelope = "1200 cfm at 0.2 inwc"
[limits]
trunk-velocity = "900 fpm"
`

// siTwin writes each quantity of a job in SI units, from the exact factors of the inch-pound units (NIST SP 811, app. B, from memory;
// inch of water conventional at 4 °C: 249.089 Pa, as the program has it).
func siTwin(job string) string {
	factors := map[string]struct {
		factor float64
		unit   string
	}{
		"ft": {0.3048, "m"}, "in": {25.4, "mm"}, "ft2": {0.3048 * 0.3048, "m2"}, "cfm": {0.3048 * 0.3048 * 0.3048 / 60 * 1000, "l/s"}, "fpm": {0.3048 / 60, "m/s"},
		"inwc": {249.089, "Pa"}, "F°": {5.0 / 9, "K"}, "ton": {12 * 0.29307107, "kW"}, "kBtu/h": {0.29307107, "kW"},
	}
	written := regexp.MustCompile(`([0-9.]+)(x[0-9.]+)? (ft2|ft|in|cfm|fpm|inwc|F°|F|ton|kBtu/h)\b°?`)
	const name = "generic psc 3 ton" // no quantity
	job = strings.ReplaceAll(job, name, "NAME")
	job = written.ReplaceAllStringFunc(job, func(text string) string {
		part := written.FindStringSubmatch(text)
		unit := part[3]
		if strings.HasSuffix(text, "°") {
			unit = "F°"
		}
		number := func(word string) string {
			x, _ := strconv.ParseFloat(word, 64)
			if unit == "F" {
				return strconv.FormatFloat((x-32)/1.8, 'g', -1, 64)
			}
			return strconv.FormatFloat(x*factors[unit].factor, 'g', -1, 64)
		}
		out := number(part[1])
		if part[2] != "" {
			out += "x" + number(part[2][1:])
		}
		if unit == "F" {
			return out + " C"
		}
		return out + " " + factors[unit].unit
	})
	job = regexp.MustCompile(`R-([0-9.]+)`).ReplaceAllStringFunc(job, func(text string) string {
		x, _ := strconv.ParseFloat(text[2:], 64)
		return strconv.FormatFloat(x*quantity.RValueIP, 'g', -1, 64) + " m2K/W"
	})
	return "units = \"si\"\n" + strings.ReplaceAll(job, "NAME", name)
}

// An inch-pound job and its twin in SI units give the same bytes of SI results, in JSON and CSV, all the way through; the texts of
// assumptions are in the file's own units and left out.
func TestTwinInSIGivesTheSameBytes(t *testing.T) {
	twin := siTwin(twinJob)
	require.NotContains(t, twin, "inwc")
	require.NotContains(t, twin, " ft")
	require.NotContains(t, twin, " in\"")
	results := func(job, format, system string) string {
		var out, messages bytes.Buffer
		code := run([]string{"solve", "-", "--units", system, "--format", format}, console{in: strings.NewReader(job), out: &out, err: &messages})
		require.Zero(t, code, "%s\n%s", messages.String(), job)
		return regexp.MustCompile(`(?s)"assumptions": \[.*?\n  \],`).ReplaceAllString(out.String(), "")
	}
	for _, system := range []string{"si", "ip"} {
		for _, format := range []string{"json", "csv"} {
			a, b := strings.Split(results(twinJob, format, system), "\n"), strings.Split(results(twin, format, system), "\n")
			require.Len(t, b, len(a))
			differ := 0
			for i := range a {
				if a[i] != b[i] && !lastDigits(a[i], b[i]) {
					if differ++; differ < 6 {
						assert.Equal(t, a[i], b[i], "%s in %s, line %d", format, system, i+1)
					}
				}
			}
			assert.Zero(t, differ, "%s in %s: lines that differ", format, system)
		}
	}
}

// lastDigits allows what rounding does to residuals and bounds, which are themselves rounding, and to a zero in CSV.
func lastDigits(a, b string) bool {
	for _, word := range []string{"residual", "_bound", "_within", "gap_w", "iterations"} {
		if strings.Contains(a, word) && strings.Contains(b, word) {
			return true
		}
	}
	x, y := strings.Split(a, ","), strings.Split(b, ",")
	if len(x) != 10 || len(y) != 10 {
		return false
	}
	const value = 6 // column of the table
	p, err1 := strconv.ParseFloat(x[value], 64)
	q, err2 := strconv.ParseFloat(y[value], 64)
	x[value], y[value] = "", ""
	return err1 == nil && err2 == nil && math.Abs(p-q) < 1e-9 && slices.Equal(x, y)
}
