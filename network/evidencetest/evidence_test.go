package evidencetest

import (
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// recorder is a test that fails in silence.
type recorder struct {
	name   string
	failed []string
	logged []string
	undo   []func()
}

func (r *recorder) Errorf(format string, args ...any) {
	r.failed = append(r.failed, fmt.Sprintf(format, args...))
}
func (r *recorder) FailNow()     { panic(r.failed) }
func (r *recorder) Helper()      {}
func (r *recorder) Name() string { return r.name }
func (r *recorder) Logf(format string, args ...any) {
	r.logged = append(r.logged, fmt.Sprintf(format, args...))
}
func (r *recorder) Cleanup(f func()) { r.undo = append(r.undo, f) }

func TestRowsThatAreRefused(t *testing.T) {
	good := Row{Case: "c", Source: "s", Want: 0.21, Ours: 0.2, Within: 0.02}
	for name, c := range map[string]struct {
		change func(*Row)
		says   string
	}{
		"good":                        {func(*Row) {}, ""},
		"no case":                     {func(r *Row) { r.Case = "" }, "needs a case"},
		"no source":                   {func(r *Row) { r.Source = "" }, "needs a case and a source"},
		"too far":                     {func(r *Row) { r.Ours = 0.3 }, "Max difference"},
		"a wrong sign passes":         {func(r *Row) { r.Ours, r.Within = -0.154, 0.4 }, "zero would pass"},
		"a wrong sign, explained":     {func(r *Row) { r.Ours, r.Within, r.Why = -0.154, 0.4, "the sources differ" }, ""},
		"a third":                     {func(r *Row) { r.Within = 0.07 }, "more than a fifth"},
		"half the last digit":         {func(r *Row) { r.Want, r.Ours, r.Within = 0.02, 0.018, 0.005 }, ""},
		"half the last digit printed": {func(r *Row) { r.Want, r.Ours, r.Within, r.Printed = 0.02, 0.018, 0.005, "0.020" }, "more than a fifth"},
		"memory as published":         {func(r *Row) { r.Source = "handbook, from memory" }, "a remembered value is of the kind"},
	} {
		t.Run(name, func(t *testing.T) {
			r := &recorder{name: "TestPublished" + t.Name()}
			Of(r, Formula)
			row := good
			row.Source += t.Name() // every row once
			if name == "no source" {
				row.Source = ""
			}
			c.change(&row)
			row.Check(r)
			if c.says == "" {
				assert.Empty(t, r.failed)
			} else {
				assert.Contains(t, strings.Join(r.failed, "\n"), c.says)
			}
		})
	}
}

func TestARowOfNoKindIsNotLogged(t *testing.T) {
	r := &recorder{name: "TestPublishedNothing"}
	Row{Case: "kindless", Source: "s", Want: 1, Ours: 1}.Check(r)
	assert.Contains(t, strings.Join(r.failed, "\n"), "evidence.Of")
	assert.Empty(t, r.logged)
	Of(r, Twice)
	Row{Case: "kind", Source: "s", Want: 1, Ours: 1}.Check(r)
	assert.Equal(t, []string{"published | typed twice | kind | s | 1 | 1 | +0 | "}, r.logged)
	for _, f := range r.undo {
		f()
	}
	r.failed = nil
	Row{Case: "later", Source: "s", Want: 1, Ours: 1}.Check(r)
	assert.NotEmpty(t, r.failed, "a declaration ends with its test")
}

func TestARowIsLoggedOnce(t *testing.T) {
	first, second, again := &recorder{name: "TestPublishedA"}, &recorder{name: "TestPublishedB"}, &recorder{name: "TestPublishedA"}
	row := Row{Case: "once", Source: "s", Want: 1, Ours: 1}
	for _, r := range []*recorder{first, second, again} {
		Of(r, Formula)
		row.Check(r)
	}
	assert.Empty(t, first.failed)
	assert.Contains(t, strings.Join(second.failed, "\n"), "is checked by TestPublishedA already")
	assert.Empty(t, again.failed, "the same test run again")
	row.Check(again)
	assert.Len(t, again.failed, 1)
}

func TestOurOwnArithmeticIsNoEvidence(t *testing.T) {
	r := &recorder{name: "TestComputedDrop"}
	Row{Case: "computed", Source: "computed from the formula", Want: 1, Ours: 1}.Check(r)
	assert.Empty(t, r.failed)
	assert.Empty(t, r.logged)
	Row{Case: "computed", Source: "computed from the formula", Want: 1, Ours: 2}.Check(r)
	assert.NotEmpty(t, r.failed)
}

// The table that .ci/published gathers: each row has a kind and stands once over all packages, and the counts on top are those of
// the rows.
func TestPublishedTableIsSound(t *testing.T) {
	data, err := os.ReadFile("../../testdata/published.md")
	require.NoError(t, err)
	cell := regexp.MustCompile(`\s*\|\s*`)
	rows, room := map[string]string{}, ""
	count := map[string]map[string]int{"all": {}}
	summary := map[string][]string{}
	for line := range strings.Lines(string(data)) {
		line = strings.TrimSpace(line)
		if heading, ok := strings.CutPrefix(line, "## "); ok {
			room = heading
			count[room] = map[string]int{}
		}
		if !strings.HasPrefix(line, "|") {
			continue
		}
		cells := cell.Split(strings.TrimSpace(strings.Trim(line, "|")), -1)
		if room == "" {
			summary[cells[0]] = cells[1:]
			continue
		}
		if cells[0] == "kind" || strings.HasPrefix(cells[0], "---") {
			continue
		}
		require.Len(t, cells, 7, line)
		require.Contains(t, Kinds, Kind(cells[0]), line)
		key := strings.Join(cells[1:4], " | ")
		assert.NotContains(t, rows, key, "in %s, and in %s already", room, rows[key])
		rows[key] = room
		count[room][cells[0]]++
		count["all"][cells[0]]++
	}
	assert.Greater(t, len(rows), 1000)
	assert.GreaterOrEqual(t, count["all"][string(Whole)], 60, "values that went through the whole program")
	for room, kinds := range count {
		total := 0
		require.Len(t, summary[room], len(Kinds)+1, room)
		for i, kind := range Kinds {
			assert.Equal(t, fmt.Sprint(kinds[string(kind)]), summary[room][i], "%s, %s", room, kind)
			total += kinds[string(kind)]
		}
		assert.Equal(t, fmt.Sprint(total), summary[room][len(Kinds)], room)
	}
}
