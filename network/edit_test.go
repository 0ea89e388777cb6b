package network

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	strict "github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// editedFiles are the examples, in rows and written out, and the jobs of every part.
func editedFiles(t *testing.T) map[string][]byte {
	t.Helper()
	files := map[string][]byte{}
	for _, pattern := range []string{"../examples/*.toml", "../testdata/jobs/long/*.toml",
		"../testdata/jobs/*.toml"} {
		list, err := filepath.Glob(pattern)
		require.NoError(t, err)
		for _, file := range list {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			files[strings.TrimPrefix(file, "../")] = data
		}
	}
	require.Greater(t, len(files), 15)
	return files
}

// settingsOf are settings of all that a job has, and some that it has not.
func settingsOf(job *Job) (list []string) {
	add := func(value string, path ...string) { list = append(list, PathText(path...)+"="+value) }
	for _, t := range job.lineTables() {
		for i := range t.lines {
			l := &t.lines[i]
			name := string(t.name)
			add("9 in", name, l.Name, "size")
			add("21 ft", name, l.Name, "length")
			add("x 1.5", name, l.Name, "length")
			add("R-7", name, l.Name, "insulation")
			add("attic", name, l.Name, "place")
			add("3 ft", name, l.Name, "rise")
			if l.Register != nil {
				add("13x7 in", name, l.Name, "register", "size")
				add("77 cfm", name, l.Name, "wants")
				add("55 %", name, l.Name, "balance")
			}
			if l.OpensAt > 0 {
				add("0.11 inwc", name, l.Name, "opens-at")
				add("0.44 inwc", name, l.Name, "fully-open-at")
			}
		}
	}
	for i := range job.Dampers {
		add("35 %", "damper", job.Dampers[i].Name, "stop")
		add("90 %", "damper", job.Dampers[i].Name, "open")
		add("4 %", "damper", job.Dampers[i].Name, "leakage")
		add("13 in", "damper", job.Dampers[i].Name, "size")
	}
	for i := range job.Zones {
		add("222 cfm", "zone", job.Zones[i].Name, "wants")
		add("11 kBtu/h", "zone", job.Zones[i].Name, "heat-loss")
		add("4", "zone", job.Zones[i].Name, "people")
	}
	for i := range job.Weather {
		add("about 91 F", "weather", job.Weather[i].Name, "outdoor")
	}
	add("1.5", "equipment", "filter", "loading")
	add("0.09 inwc", "equipment", "filter", "drop")
	add("1111 cfm", "equipment", "filter", "at")
	add("0.44 inwc", "equipment", "max-static")
	add("72 %", "equipment", "cooling", "sensible")
	add("150 F", "equipment", "heating", "leaving-limit")
	add("6 % of blower at 25 Pa", "leakage", "supply")
	add("33", "limits", "nc")
	add("supply plenum", "port", "a new one")
	add("2 zones", "panel", "second-stage-needs")
	add(`{ from = "supply plenum", to = "return plenum", size = "8 in", length = "9 ft", `+
		`opens-at = "0.2 inwc" }`, "bypass", "relief-two")
	add("from plenum to plenum, 8 in, 9 ft, opens at 0.2 inwc", "bypass", "relief-3")
	add(`a "new" title`, "title")
	return list
}

// Every setting that the reader takes can be written into every file, as it stands and in each of
// its alternatives: the file then reads as with the setting, keeps all its comments and all lines
// but those of the part, and is TOML 1.0 to a parser that is not ours.
func TestEditReadsBack(t *testing.T) {
	tried, tested, refused := 0, 0, map[string]int{}
	every := 23 // a step that no count of parts divides
	if testing.Short() {
		every = 61
	}
	files := editedFiles(t)
	for _, file := range slices.Sorted(maps.Keys(files)) { // the same settings in every run
		data := files[file]
		base, found := Read(file, data, Options{})
		require.NotNil(t, base, "%s: %s", file, found)
		alternatives := []string{""}
		for i := range base.Alternatives {
			alternatives = append(alternatives, base.Alternatives[i].Name)
		}
		for _, alternative := range alternatives {
			job, _ := Read(file, data, Options{Alternative: alternative})
			for _, setting := range settingsOf(job) {
				if tested++; tested%every != 0 {
					continue
				}
				opt := Options{Alternative: alternative, Set: []string{setting}}
				want, _ := Read(file, data, opt)
				if want == nil {
					continue
				}
				tried++
				is, said := Edit(file, data, alternative, []string{setting})
				if is == nil {
					refused[fmt.Sprintf("%s %s %s: %s", file, alternative, setting, said)]++
					continue
				}
				got, said := Read(file, is, Options{Alternative: alternative})
				require.NotNil(t, got, "%s %s: %s", file, setting, said)
				assert.True(t, same(got, want), "%s %s %s", file, alternative, setting)
				var values map[string]any
				assert.NoError(t, strict.Unmarshal(is, &values), "%s %s", file, setting)
				keepsLines(t, string(data), string(is), setting)
			}
		}
	}
	assert.Greater(t, tried, 60)
	t.Logf("%d settings", tried)
	for text := range refused {
		t.Error(text)
	}
}

// keepsLines asserts that a file keeps its lines in their order but for one, with its comment.
func keepsLines(t *testing.T, was, is, setting string) {
	t.Helper()
	old, changed := strings.Split(was, "\n"), 0
	at := 0
	lines := strings.Split(is, "\n")
	for _, line := range old {
		if i := slices.Index(lines[at:], line); i >= 0 && i < 6 {
			at += i + 1
			continue
		}
		changed++
		if _, comment, ok := strings.Cut(line, " # "); ok {
			assert.Contains(t, is, comment, setting)
		}
	}
	assert.LessOrEqual(t, changed, 1, "%s:\n%s", setting, is)
}

// Several settings at once, drawn at random with a seed, read back as well, and writing them twice
// changes nothing.
func TestEditSoak(t *testing.T) {
	random := rand.New(rand.NewPCG(14, 7))
	files := editedFiles(t)
	var names []string
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	rounds := 120
	if testing.Short() {
		rounds = 12
	}
	for range rounds {
		name := names[random.IntN(len(names))]
		job, _ := Read(name, files[name], Options{})
		all := settingsOf(job)
		var set []string
		for range 1 + random.IntN(8) {
			if s := all[random.IntN(len(all))]; !strings.Contains(s, "=x ") {
				set = append(set, s)
			}
		}
		want, _ := Read(name, files[name], Options{Set: set})
		if want == nil {
			continue
		}
		is, said := Edit(name, files[name], "", set)
		require.NotNil(t, is, "%s %v: %s", name, set, said)
		got, said := Read(name, is, Options{})
		require.NotNil(t, got, "%s", said)
		require.True(t, same(got, want), "%s %v\n%s", name, set, is)
		again, _ := Edit(name, is, "", set)
		require.Equal(t, string(is), string(again), "%s %v", name, set)
		added, said := AddAlternative(name, files[name], Alternative{Name: "as-tried"}, set)
		require.NotNil(t, added, "%s", said)
		got, _ = Read(name, added, Options{Alternative: "as-tried"})
		require.NotNil(t, got)
		require.True(t, same(got, want), "%s %v", name, set)
	}
}

// How edits look, on a row, an inherited value, a table and a file of another system's line ends.
func TestEditInPlace(t *testing.T) {
	rows, err := os.ReadFile("../examples/two-floor.toml")
	require.NoError(t, err)
	long, err := os.ReadFile("../testdata/jobs/long/two-floor.toml")
	require.NoError(t, err)
	for _, c := range []struct {
		data            []byte
		alternative     string
		set, was, wants string
	}{
		{rows, "", "damper.main.stop=30 %", `main = "stop 40 %"`, `main = "stop 30 %"`},
		{rows, "", "damper.main.leakage=2 %", `main = "stop 40 %"`,
			`main = "stop 40 %, leakage 2 %"`},
		{rows, "", "supply.hall.size=7 in", `hall     = "6 in, 8 ft, 10x4, 90 cfm"`,
			`hall     = "7 in, 8 ft, 10x4, 90 cfm"`},
		{rows, "", "supply.hall.register=12x4", `"6 in, 8 ft, 10x4, 90 cfm"`,
			`"6 in, 8 ft, 12x4, 90 cfm"`},
		{rows, "", "supply.study.material=galvanized", `"7 in, 9 ft, 10x6, 120 cfm"`,
			`"7 in, 9 ft, 10x6, 120 cfm, material galvanized"`},
		{rows, "", "return.loft-grille.rise=-11 ft", "down 9 ft", "rise -11 ft"},
		{rows, "", "equipment.filter.at=1000 cfm", `"0.08 inwc at 1200 cfm"`,
			`"0.08 inwc at 1000 cfm"`},
		{rows, "", "equipment.filter.loading=2", `"0.08 inwc at 1200 cfm"`,
			`"0.08 inwc at 1200 cfm, loading 2"`},
		{rows, "bypass-to-plenum", "bypass.relief.opens-at=0.17 inwc", "opens 0.15 to 0.22 inwc",
			"opens at 0.17 inwc, fully open at 0.22 inwc"},
		{rows, "dump-zone", "damper.main.stop=10 %", `damper.main.stop = "0 %"
dump`, `damper.main.stop = "10 %"
dump`},
		{rows, "", "supply.study.length=+ 2 ft", `"7 in, 9 ft, 10x6`, `"7 in, 11 ft, 10x6`},
		{long, "", "damper.main.stop=30 %", `stop = "40 %", leakage`, `stop = "30 %", leakage`},
		{long, "", "damper.main.open=95 %", `"40 %", leakage = "3 %" }`,
			`"40 %", leakage = "3 %", open = "95 %" }`},
	} {
		is, said := Edit("f.toml", c.data, c.alternative, []string{c.set})
		require.NotNil(t, is, "%s: %s", c.set, said)
		assert.Contains(t, string(c.data), c.was)
		assert.Equal(t, strings.Replace(string(c.data), c.was, c.wants, 1), string(is), c.set)

		windows := []byte(byteOrderMark + strings.ReplaceAll(string(c.data), "\n", "\r\n"))
		other, said := Edit("f.toml", windows, c.alternative, []string{c.set})
		require.NotNil(t, other, "%s: %s", c.set, said)
		assert.Equal(t, byteOrderMark+strings.ReplaceAll(string(is), "\n", "\r\n"), string(other))
	}
	_, said := Edit("f.toml", rows, "", []string{"damper.mian.stop=30 %"})
	assert.Contains(t, said.Error(), `there is no damper "mian" to change`)
}
