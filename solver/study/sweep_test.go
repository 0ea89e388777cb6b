package study_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

func TestParseSpan(t *testing.T) {
	for _, c := range []struct {
		name, text string
		steps      int
		values     []string
		unit       string
	}{
		{"unit on both", "damper.main.stop=0 %..100 %", 3, []string{"0 %", "50 %", "100 %"}, "%"},
		{"unit on the second", "damper.main.stop=0..10 %", 3, []string{"0 %", "5 %", "10 %"}, "%"},
		{"falling", "x=0.3 inwc..0.1 inwc", 3, []string{"0.3 inwc", "0.2 inwc", "0.1 inwc"}, "inwc"},
		{"no unit", "equipment.filter.loading=1..3", 3, []string{"1", "2", "3"}, ""},
		{"material behind", "x=6 in flex..8 in flex", 2, []string{"6 in flex", "8 in flex"}, "in flex"},
		{"list of sizes", "x=20x8 in, 20x10 in", 9, []string{"20x8 in", "20x10 in"}, ""},
		{"list of words", "equipment.cooling.tap=low, high", 9, []string{"low", "high"}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			s, err := study.ParseSpan(c.text, c.steps)
			require.NoError(t, err)
			require.Equal(t, len(c.values), s.Len())
			for i, want := range c.values {
				assert.Equal(t, want, s.Value(i))
			}
			assert.Equal(t, c.unit, s.Unit())
		})
	}
	for _, bad := range []string{"", "x", "x=", "=1..2", "x=a..b", "x=1 %..2 deg", "x=1..1", "x=1,,2", "x=20x8 in..20x10 in", "x=1..inf"} {
		t.Run("refused "+bad, func(t *testing.T) {
			_, err := study.ParseSpan(bad, 5)
			assert.Error(t, err)
		})
	}
	_, err := study.ParseSpan("x=1..2", 1)
	assert.Error(t, err, "a range of one step")
}

// A knee is where a fresh solution on one side passes the limit and on the other does not.
func TestKneesAreCrossings(t *testing.T) {
	s := open(t, "two-floor", study.Options{})
	span := study.Span{Path: "damper.main.stop", From: "0 %", To: "100 %", Steps: 6}
	w, err := s.Sweep(study.Variant{}, span)
	require.NoError(t, err)
	require.NotEmpty(t, w.Knees)
	for _, k := range w.Knees {
		t.Run(fmt.Sprintf("%s %s %.1f", k.Finding.Level, k.Name, k.X), func(t *testing.T) {
			isPassed := func(x float64) bool {
				fresh := open(t, "two-floor", study.Options{Choose: only(k.State), Reread: true})
				p, err := fresh.Report(study.Variant{Set: []string{span.Path + "=" + span.At(x)}})
				require.NoError(t, err)
				for _, f := range p.Faults(k.Finding.Level == verdict.Caution) {
					if f.State == k.State && f.Name == k.Name && f.Where == k.Where {
						return true
					}
				}
				return false
			}
			const aside = 0.01 // percentage points
			assert.Equal(t, k.Below, isPassed(k.X-aside))
			assert.Equal(t, !k.Below, isPassed(k.X+aside))
		})
	}
}

// More opening in the satisfied zone's damper never raises the static nor lowers the blower's airflow: a fact of flow networks with
// a falling blower curve (Duffin 1947, on networks of monotone resistances; from memory).
func TestSweepFollowsMonotonicity(t *testing.T) {
	w, err := open(t, "two-floor", study.Options{}).Sweep(study.Variant{}, study.Span{Path: "damper.main.stop", From: "0 %", To: "100 %", Steps: 21})
	require.NoError(t, err)
	checked := 0
	for _, line := range w.Series {
		// The coil and the density of the air follow the temperatures, which the flow changes: that is worth a few thousandths.
		const slack = 0.1 * quantity.CFM
		for k := 1; k < len(line.Y); k++ {
			switch line.Name {
			case "external static":
				assert.LessOrEqual(t, line.Y[k], line.Y[k-1]+0.02, "%s at %g", line.State, line.X[k])
				checked++
			case "blower airflow":
				assert.GreaterOrEqual(t, line.Y[k], line.Y[k-1]-slack, "%s at %g", line.State, line.X[k])
				checked++
			}
		}
	}
	assert.Equal(t, 2*9*20, checked)
}

// The same question gives the same answer on any number of cores, and through the file.
func TestSweepIsTheSameOnAnyNumberOfWorkers(t *testing.T) {
	spans := []study.Span{{Path: "damper.main.stop", From: "0 %", To: "60 %", Steps: 4}, {Path: "equipment.filter.loading", List: []string{"1", "3"}}}
	var texts []string
	for _, opt := range []study.Options{{Workers: 1}, {Workers: 4}, {Workers: 3, Reread: true}} {
		opt.Choose = only("heating: loft", "mild-cooling: loft")
		w, err := open(t, "two-floor", opt).Sweep(study.Variant{}, spans...)
		require.NoError(t, err)
		text := ""
		for _, p := range w.Points {
			text += fmt.Sprintln(p.Values, p.X)
			for _, st := range p.Report.States {
				text += fmt.Sprintln(st.State.Name, st.Values, st.Findings)
			}
		}
		texts = append(texts, text)
	}
	assert.Equal(t, texts[0], texts[1])
	sameTextWithin(t, texts[0], texts[2])
}

func TestCompareIsTraceable(t *testing.T) {
	s := open(t, "two-floor", study.Options{Courses: true})
	c, err := s.Compare([]study.Variant{{}, {Alternative: "bypass-to-plenum"}, {Alternative: "dump-zone"}})
	require.NoError(t, err)
	require.Len(t, c.States, 9)
	names := map[string]study.Line{}
	for _, l := range c.Lines {
		names[l.Measure.Name+"/"+l.Measure.Where] = l
		for k, cell := range l.Cells {
			if cell.State == "" {
				continue
			}
			found := false
			for _, o := range c.Results[k].Outcomes {
				found = found || o.State.Name == cell.State && l.Measure.Read(o) == cell.Value
			}
			assert.True(t, found, "%s of alternative %d is not what %q gives", l.Measure.Name, k, cell.State)
		}
	}
	// Only the bypass recirculates: a dump and a bleed bring room air back (the definition of recirculation).
	r := names["recirculated/"]
	assert.Zero(t, r.Cells[0].Value)
	assert.Greater(t, r.Cells[1].Value, 0.2)
	assert.Zero(t, r.Cells[2].Value)
	hard := func(k int) (n int) {
		for i := range c.Causes[k].Causes {
			if cause := &c.Causes[k].Causes[i]; cause.Level == verdict.Fault && cause.Class.Hard() {
				n++
			}
		}
		return n
	}
	for k := 1; k < len(c.Ranks); k++ {
		assert.LessOrEqual(t, hard(c.Ranks[k-1]), hard(c.Ranks[k]),
			"no guideline outweighs safety or equipment")
	}
	assert.Equal(t, []int{-1, -1, -1}, c.Same)
}

// An alternative that changes nothing is called that, and neither it nor the job is the better one.
func TestComparisonSaysWhatChangesNothing(t *testing.T) {
	data := append(networktest.Example(t, "first-look"),
		"\n[alternative.modulating]\ndamper.day.drive = \"modulating\"\n"...)
	c, err := study.New("job", data, study.Options{}).Compare([]study.Variant{{},
		{Alternative: "modulating"}})
	require.NoError(t, err)
	assert.Equal(t, []int{-1, 0}, c.Same)
	assert.True(t, c.Tie(0, 1))
	c, err = study.New("job", data, study.Options{}).Compare([]study.Variant{{},
		{Set: []string{"damper.day.stop=40 %"}}})
	require.NoError(t, err)
	assert.Equal(t, []int{-1, -1}, c.Same)
	assert.False(t, c.Tie(0, 1))
}

// BenchmarkSweep is a thousand settings of a stop in every call state of the two-floor house: changed in the graph, and read from the
// file every time.
func BenchmarkSweep(b *testing.B) {
	for _, c := range []struct {
		name   string
		reread bool
	}{{"changed", false}, {"read", true}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				s := open(b, "two-floor", study.Options{Workers: 1, Reread: c.reread})
				var variants []study.Variant
				span := study.Span{Path: "damper.main.stop", From: "0 %", To: "100 %", Steps: 1000}
				for i := range span.Len() {
					variants = append(variants, study.Variant{}.With(span.Path, span.Value(i)))
				}
				if _, err := s.Reports(variants); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/1000/9, "µs/state")
		})
	}
}
