package verdict_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/state"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// No finding may flip when the same job is written in SI instead of I-P. The text of each example is rewritten unit by unit with the
// exact factors of the units (international foot, inch and Btu; in. w.c. at 4 °C as the reader has it), solved and judged both ways, as it
// stands and with random changes.
func TestFindingsAreTheSameInEitherUnits(t *testing.T) {
	rewritten := 0
	for _, name := range networktest.Examples(t) {
		data := networktest.Example(t, name)
		if strings.Contains(string(data), `units = "si"`) {
			continue
		}
		rewritten++
		metric := toSI(string(data))
		require.NotContains(t, metric, `inwc"`)
		require.NotContains(t, metric, `cfm"`)
		t.Run(name, func(t *testing.T) {
			bothWays(t, data, []byte(metric), nil)
		})
	}
	require.GreaterOrEqual(t, rewritten, 5)

	ip := networktest.Example(t, "two-floor")
	si := []byte(toSI(string(ip)))
	t.Run("random changes", func(t *testing.T) {
		rapid.Check(t, func(r *rapid.T) {
			bothWays(r, ip, si, [][2]string{
				change(r, "damper.main.stop=%s %%", 0, 100, 1),
				change(r, "damper.loft.stop=%s %%", 0, 50, 1),
				{fmt.Sprintf("equipment.filter.loading=%d", rapid.IntRange(1, 4).Draw(r, "loading")), ""},
				changeUnit(r, "supply.study.length", "ft", "m", 5, 60, 0.3048),
				changeUnit(r, "limits.max-static", "inwc", "Pa", 0.2, 0.9, inchWater),
				changeUnit(r, "zone.loft.heat-loss", "kBtu/h", "kW", 8, 25, 0.29307107),
			})
		})
	})
}

const inchWater = 249.089 // Pa, water at 4 °C; the reader's own factor, so that the two texts say the same

func change(r *rapid.T, format string, low, high, _ float64) [2]string {
	return [2]string{fmt.Sprintf(format, strconv.FormatFloat(rapid.Float64Range(low, high).Draw(r, format), 'f', 9, 64)), ""}
}

func changeUnit(r *rapid.T, path, ip, si string, low, high, factor float64) [2]string {
	v := rapid.Float64Range(low, high).Draw(r, path)
	return [2]string{fmt.Sprintf("%s=%.12f %s", path, v, ip), fmt.Sprintf("%s=%.12f %s", path, v*factor, si)}
}

// bothWays solves and judges two texts, with changes to each (the second of a pair where it is given).
func bothWays(t networktest.T, ip, si []byte, changes [][2]string) {
	t.Helper()
	var sets [2][]string
	for _, c := range changes {
		sets[0] = append(sets[0], c[0])
		if c[1] == "" {
			c[1] = c[0]
		}
		sets[1] = append(sets[1], c[1])
	}
	var all [2][]string
	for i, data := range [][]byte{ip, si} {
		g := networktest.Build(t, "job.toml", data, network.Options{Set: sets[i]})
		s := statetest.Solver(t, g)
		for _, cs := range state.States(g) {
			o, err := s.Quick().Solve(cs)
			require.NoError(t, err)
			for _, f := range verdict.Judge(o) {
				if f.Level != verdict.OK { // of checks in order only the nearest place is named, and two can be equally near
					all[i] = append(all[i], fmt.Sprintf("%s: %s %s at %q", cs.Name, f.Level, f.Check, f.Where))
				}
			}
		}
	}
	assert.ElementsMatch(t, all[0], all[1])
}

var written = regexp.MustCompile(`(?m)(?:^|[\s,{\[=])(?:([a-z-]+)\s*=\s*)?"(-?[0-9.]+)(?:x([0-9.]+))? ([A-Za-z0-9/]+)( flex)?"`)

// toSI rewrites every quantity of a job file that carries a unit, and bare numbers of a blower's table.
func toSI(ip string) string {
	factors := map[string]struct {
		unit   string
		factor float64
	}{
		"ft": {"m", 0.3048}, "in": {"mm", 25.4}, "cfm": {"l/s", 0.3048 * 0.3048 * 0.3048 / 60 * 1000}, "inwc": {"Pa", inchWater}, "kBtu/h": {"kW", 0.29307107},
		"ft2": {"m2", 0.3048 * 0.3048}, "ton": {"kW", 12000 * 0.29307107 / 1000}, "fpm": {"m/s", 0.00508},
	}
	number := func(text string, factor, offset float64) string {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return text
		}
		return strconv.FormatFloat((v-offset)*factor, 'f', 14, 64)
	}
	var spans = map[string]bool{"rise": true, "heating-rise": true, "cooling-drop": true}
	var b strings.Builder
	if !strings.Contains(ip, `units = "ip"`) { // the default
		b.WriteString("units = \"si\"\n")
	}
	section := ""
	for line := range strings.Lines(ip) {
		if strings.HasPrefix(line, "[") {
			section = strings.Trim(strings.TrimSpace(strings.SplitN(line, "#", 2)[0]), "[]")
		}
		if strings.HasPrefix(line, "#") {
			b.WriteString(line)
			continue
		}
		line = strings.Replace(line, `units = "ip"`, `units = "si"`, 1)
		if strings.HasPrefix(section, "blower") {
			line = bareTable(line, number)
		}
		spanList := regexp.MustCompile(`rise\s*=\s*\[[^\]]*\]`)
		line = spanList.ReplaceAllStringFunc(line, func(list string) string {
			return regexp.MustCompile(`"([0-9.]+) F"`).ReplaceAllStringFunc(list, func(q string) string {
				return `"` + number(strings.TrimSuffix(strings.Trim(q, `"`), " F"), 1/1.8, 0) + ` K"`
			})
		})
		line = written.ReplaceAllStringFunc(line, func(match string) string {
			m := written.FindStringSubmatch(match)
			head := match[:strings.Index(match, `"`)]
			switch f, ok := factors[m[4]]; {
			case m[4] == "F" && spans[m[1]]:
				return head + `"` + number(m[2], 1/1.8, 0) + ` K"`
			case m[4] == "F":
				return head + `"` + number(m[2], 1/1.8, 32) + ` C"`
			case ok && m[3] != "":
				return head + `"` + number(m[2], f.factor, 0) + "x" + number(m[3], f.factor, 0) + " " + f.unit + m[5] + `"`
			case ok:
				return head + `"` + number(m[2], f.factor, 0) + " " + f.unit + m[5] + `"`
			}
			return match
		})
		b.WriteString(line)
	}
	return b.String()
}

// bareTable rewrites the bare numbers of a blower's table: statics in inches of water, airflows in cfm; watts stay.
func bareTable(line string, number func(string, float64, float64) string) string {
	list := func(key string, factor float64) {
		line = regexp.MustCompile(key+`\s*=\s*\[[0-9., ]*\]`).ReplaceAllStringFunc(line, func(all string) string {
			head, body, _ := strings.Cut(all, "[")
			return head + "[" + regexp.MustCompile(`[0-9.]+`).ReplaceAllStringFunc(body, func(n string) string { return number(n, factor, 0) })
		})
	}
	list("static", inchWater)
	list("airflow", 0.3048*0.3048*0.3048/60*1000)
	return line
}
