package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

func stop(damper string, steps int) study.Span {
	return study.Span{Path: "damper." + damper + ".stop", From: "0 %", To: "100 %", Steps: steps}
}

// loftCalls are the call states of the two-floor house in which the main floor is satisfied.
var loftCalls = []string{"design-cooling: loft", "mild-cooling: loft", "heating: loft"}

// One stop: the window found by bisection is the one that solving at every half percent shows.
func TestTuneOneStopAgainstTryingAll(t *testing.T) {
	s := open(t, "two-floor", study.Options{Choose: only(loftCalls...)})
	found, err := s.Tune(study.Variant{}, study.Goal{Moves: []study.Span{stop("main", 101)},
		Priority: study.Comfort})
	require.NoError(t, err)
	require.True(t, found.Meets)
	require.True(t, found.Proved)
	require.Len(t, found.Windows, 1)
	w := found.Windows[0]
	fresh := open(t, "two-floor", study.Options{Choose: only(loftCalls...), Reread: true})
	first, last := math.Inf(1), math.Inf(-1)
	for i := range 201 {
		x := float64(i) / 2
		p, err := fresh.Report(study.Variant{Set: []string{fmt.Sprintf("damper.main.stop=%g %%", x)}})
		require.NoError(t, err)
		if len(p.Faults(false)) == 0 {
			first, last = min(first, x), max(last, x)
		}
	}
	assert.InDelta(t, first, w.From, 0.5, "least stop that keeps every limit")
	assert.InDelta(t, last, w.To, 0.5, "greatest stop that keeps every limit")
	x := 0.0
	_, err = fmt.Sscanf(found.Values[0], "%g %%", &x)
	require.NoError(t, err)
	assert.InDelta(t, first, x, 1, "the least opening, to a percent")
}

// What tuning says meets every limit has no fault in a fresh solution from the job file.
func TestTuneMeetsEveryLimit(t *testing.T) {
	for _, c := range []struct {
		job, alternative string
		priority         study.Priority
		moves            []study.Span
	}{
		{"two-floor", "", study.Quiet, []study.Span{stop("main", 21), stop("loft", 21)}},
		{"two-floor", "", study.Static, []study.Span{stop("main", 21), stop("loft", 21), {Path: "equipment.cooling.tap", List: []string{"low", "medium", "high"}}}},
		{"two-floor", "", study.Energy, []study.Span{stop("main", 21), stop("loft", 21)}},
		{"two-floor", "", study.Least, []study.Span{stop("main", 21), stop("loft", 21)}},
		{"two-floor", "bypass-to-plenum", study.Comfort, nil},
	} {
		t.Run(c.job+" "+c.alternative+" "+string(c.priority), func(t *testing.T) {
			v := study.Variant{Alternative: c.alternative}
			s := open(t, c.job, study.Options{})
			if c.moves == nil {
				g, err := s.Read(v)
				require.NoError(t, err)
				c.moves = study.DefaultMoves(g, 0)
				for i := range c.moves {
					c.moves[i].Steps = 11
				}
			}
			found, err := s.Tune(v, study.Goal{Moves: c.moves, Priority: c.priority})
			require.NoError(t, err)
			require.True(t, found.Meets)
			assert.True(t, found.Proved)
			assert.Empty(t, found.Never)
			fresh, err := open(t, c.job, study.Options{Reread: true, Courses: true}).Report(found.Variant)
			require.NoError(t, err)
			assert.Empty(t, fresh.Faults(false))
			assert.NotEmpty(t, found.Leeway)
			for _, w := range found.Windows {
				assert.Less(t, w.From, w.To)
			}
		})
	}
}

// What stops alone cannot mend, because ducts are too small for what the zones want, sizing first and then tuning may: what is proposed
// in the end keeps hard limits and zoning in every call state of a fresh solution.
func TestSizeThenTuneMeetsEveryLimit(t *testing.T) {
	for _, c := range []struct {
		job  string
		rate float64 // in. of water per 100 ft
		set  []string
	}{
		{"three-zone", 0.04, []string{"supply.trunk.size=24x10 in", "supply.studio-trunk.size=8 in", "return.drop.size=24x12 in"}},
		{"noisy-bedroom", 0.04, []string{"equipment.filter.loading=1"}},
	} {
		t.Run(c.job, func(t *testing.T) {
			s := open(t, c.job, study.Options{})
			as, err := s.Read(study.Variant{Set: c.set})
			require.NoError(t, err)
			alone := study.DefaultMoves(as, 0)
			for i := range alone {
				alone[i].Steps = 6
			}
			stops, err := s.Tune(study.Variant{Set: c.set}, study.Goal{Moves: alone, Priority: study.Comfort})
			require.NoError(t, err)
			assert.NotEmpty(t, stops.Report.Faults(false), "stops alone")
			z, err := s.Size(study.Variant{Set: c.set}, study.SizeGoal{Friction: c.rate * quantity.InchWater / (100 * quantity.Foot)})
			require.NoError(t, err)
			g, err := s.Read(z.Variant)
			require.NoError(t, err)
			moves := study.DefaultMoves(g, 0)
			for i := range moves {
				moves[i].Steps = 6
			}
			found, err := s.Tune(z.Variant, study.Goal{Moves: moves, Priority: study.Comfort})
			require.NoError(t, err)
			if found.Infeasible { // ducts are not all: then nothing is proposed, and the proof is beside it
				assert.Empty(t, found.Values)
				assert.True(t, len(found.Never) > 0 || found.Conflict != nil)
				return
			}
			fresh, err := open(t, c.job, study.Options{Reread: true, Courses: true}).Report(found.Variant)
			require.NoError(t, err)
			for _, f := range fresh.Faults(false) {
				class := verdict.ClassOf(f.Name)
				assert.False(t, class.Hard() || class == verdict.Zoning, "%+v", f.Check)
			}
		})
	}
}

// Branch and bound finds what trying every point of the grid finds.
func TestTuneSeveralAgainstTryingAll(t *testing.T) {
	const steps = 21
	s := open(t, "two-floor", study.Options{Choose: only(append([]string{"mild-cooling: main", "heating: main"}, loftCalls...)...)})
	for _, priority := range study.Priorities() {
		t.Run(string(priority), func(t *testing.T) {
			moves := []study.Span{stop("main", steps), stop("loft", steps)}
			found, err := s.Tune(study.Variant{}, study.Goal{Moves: moves, Priority: priority})
			require.NoError(t, err)
			require.True(t, found.Meets)
			require.True(t, found.Proved)

			var variants []study.Variant
			for i := range steps {
				for k := range steps {
					variants = append(variants, study.Variant{}.With(moves[0].Path, moves[0].Value(i)).With(moves[1].Path, moves[1].Value(k)))
				}
			}
			reports, err := s.Reports(variants)
			require.NoError(t, err)
			good := func(main, loft float64) bool { // with a position, in percent
				v := study.Variant{}.With(moves[0].Path, fmt.Sprintf("%.10g %%", min(max(main, 0), 100))).With(moves[1].Path, fmt.Sprintf("%.10g %%", min(max(loft, 0), 100)))
				p, err := s.Report(v)
				require.NoError(t, err)
				return len(p.Faults(false)) == 0
			}
			worth := func(p *study.Report) float64 {
				worst, sum := 0.0, 0.0
				if priority == study.Least || priority == study.Comfort { // the part of a call that is lost, the worst first
					for i := range p.States {
						lost := 1 - p.Value(i, "delivered share", "")
						worst, sum = math.Max(worst, lost), sum+lost
					}
					return 1000*math.Round(1000*worst) + sum/float64(len(p.States))
				}
				if priority == study.Quiet { // what is under NC 15 nobody hears; then 10 °F/h of drift weigh as much as 1 NC
					loud, drift := 15.0, 0.0
					for i := range p.States {
						loud = max(loud, p.Value(i, "loudest register", ""))
						if x := p.Value(i, "worst drift", ""); x > drift {
							drift = x
						}
					}
					return loud + drift*1.8*3600/10
				}
				for i := range p.States {
					switch priority {
					case study.Static:
						worst = max(worst, p.Value(i, "external static", ""))
					case study.Energy:
						sum += p.Value(i, "blower power", "") / p.Value(i, "delivered share", "")
					}
				}
				return worst + sum/float64(len(p.States))
			}
			best := math.Inf(1)
			for i := range steps {
				for k := range steps {
					const off = 100 * 5 / 90.0 // 5 degrees of blade
					x, y := moves[0].X(i), moves[1].X(k)
					least := priority == study.Least || priority == study.Comfort // at the edge of a limit
					if len(reports[i*steps+k].Faults(false)) == 0 && (least || good(x-off, y) && good(x+off, y) && good(x, y-off) && good(x, y+off)) {
						best = min(best, worth(reports[i*steps+k]))
					}
				}
			}
			require.False(t, math.IsInf(best, 1))
			assert.InEpsilon(t, best, worth(found.Report), 2e-3)
			assert.LessOrEqual(t, found.Solved, steps*steps)
		})
	}
}

// Nothing smaller clears the same limits: of all positions of the stops on the marks, none that is nowhere wider than what was found,
// and somewhere narrower, is without a fault; nor does any without a fault send more of its worst call to the callers.
func TestNothingSmallerClearsTheSameLimits(t *testing.T) {
	for _, c := range []struct {
		job          string
		stops        []string
		coarse, fine int
	}{{"two-floor", []string{"main", "loft"}, 21, 41}, {"first-look", []string{"day", "bed"}, 21, 41}} {
		t.Run(c.job, func(t *testing.T) {
			steps := c.fine
			if testing.Short() {
				steps = c.coarse
			}
			s := open(t, c.job, study.Options{})
			moves := []study.Span{stop(c.stops[0], steps), stop(c.stops[1], steps)}
			found, err := s.Tune(study.Variant{}, study.Goal{Moves: moves, Priority: study.Least})
			require.NoError(t, err)
			require.True(t, found.Meets)
			require.True(t, found.Proved)
			assert.Empty(t, found.Remedies)
			lost := func(p *study.Report) float64 {
				worst := 0.0
				for i := range p.States {
					worst = math.Max(worst, 1-p.Value(i, "delivered share", ""))
				}
				return worst
			}
			var x, y float64
			_, err = fmt.Sscanf(strings.Join(found.Values, " "), "%g %% %g %%", &x, &y)
			require.NoError(t, err)
			kept := 0
			for i := range steps {
				for k := range steps {
					a, b := moves[0].X(i), moves[1].X(k)
					p, err := s.Report(study.Variant{}.With(moves[0].Path, moves[0].Value(i)).With(moves[1].Path, moves[1].Value(k)))
					require.NoError(t, err)
					if len(p.Faults(false)) > 0 {
						continue
					}
					kept++
					assert.False(t, a <= x && b <= y && (a < x || b < y), "%g and %g %% are less than %g and %g %%", a, b, x, y)
					assert.GreaterOrEqual(t, lost(p), lost(found.Report)-1e-3)
				}
			}
			assert.Positive(t, kept)
			t.Logf("%g and %g %%; %d of %d positions are without a fault", x, y, kept, steps*steps)
		})
	}
}

// A job that is made so that two limits exclude each other: a static that asks for a wide stop, a trunk velocity that allows a narrow
// one only. Tuning names that pair, and solving the whole grid agrees.
func TestTuneNamesTheConflict(t *testing.T) {
	limits := []string{"limits.max-static=0.43 inwc", "limits.trunk-velocity=725 fpm", "limits.least-zoning-kept=0.1 %"}
	for _, c := range []struct {
		name  string
		moves []study.Span
	}{
		{"one stop", []study.Span{stop("main", 101)}},
		{"stop and an idle setting", []study.Span{stop("main", 41), stop("loft", 2)}},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := open(t, "two-floor", study.Options{Choose: only("design-cooling: loft")})
			found, err := s.Tune(study.Variant{Set: limits}, study.Goal{Moves: c.moves, Priority: study.Static})
			require.NoError(t, err)
			require.False(t, found.Meets)
			require.Empty(t, found.Never)
			require.NotNil(t, found.Conflict)
			assert.True(t, found.Conflict.Proved)
			var names []string
			for _, k := range found.Conflict.Checks {
				names = append(names, k.Name+" "+k.Where)
			}
			assert.ElementsMatch(t, []string{"external static ", "duct velocity trunk"}, names)

			// Brute force: every setting passes one of the two; each alone is kept somewhere; the widths are the least seen.
			least := map[string]float64{}
			kept := map[string]bool{}
			for i := range 101 {
				p, err := s.Report(study.Variant{Set: limits}.With("damper.main.stop", fmt.Sprintf("%d %%", i)))
				require.NoError(t, err)
				passed := map[string]float64{}
				for _, f := range p.Faults(false) {
					passed[f.Name+" "+f.Where] = math.Abs(f.Finding.Value-f.Finding.Limit) / f.Finding.Limit
				}
				_, static := passed[names[0]]
				_, trunk := passed[names[1]]
				assert.True(t, static || trunk, "at %d %% neither is passed", i)
				for k, name := range names {
					if _, other := passed[names[1-k]]; !other {
						if x, seen := least[name]; !seen || passed[name] < x {
							least[name] = passed[name]
						}
					}
					if _, bad := passed[name]; !bad {
						kept[name] = true
					}
				}
			}
			assert.Equal(t, study.DropGuidelines, found.Dropped, "the guideline is given up, not the rating")
			for _, f := range found.Report.Faults(false) {
				assert.Equal(t, "duct velocity", f.Name)
			}
			for k, name := range names {
				assert.True(t, kept[name], "%s is kept somewhere", name)
				assert.InDelta(t, least[name], found.Conflict.Beyond[k], 0.015, name)
			}
		})
	}
}

// The stop that sends 400 cfm into the main floor while the loft calls, to 1 cfm, and the same from a sweep in steps of a tenth of a
// percent.
func TestReachSendsASurplus(t *testing.T) {
	const name = "design-cooling: loft"
	s := open(t, "two-floor", study.Options{Choose: only(name)})
	x, reached, err := s.Reach(study.Variant{}, stop("main", 2), name, "bleed", "main", 400*quantity.CFM, 0.1*quantity.CFM)
	require.NoError(t, err)
	assert.InDelta(t, 400, reached/quantity.CFM, 0.1)
	assert.InDelta(t, math.Round(100*x), 100*x, 1e-9, "two decimals are enough for a tenth of a cfm")

	fresh, err := open(t, "two-floor", study.Options{Choose: only(name), Reread: true}).Report(study.Variant{Set: []string{fmt.Sprintf("damper.main.stop=%.10f %%", x)}})
	require.NoError(t, err)
	assert.InDelta(t, 400, fresh.Value(0, "bleed", "main")/quantity.CFM, 1)

	span := study.Span{Path: "damper.main.stop", From: "50 %", To: "54 %", Steps: 41}
	w, err := s.Sweep(study.Variant{}, span)
	require.NoError(t, err)
	nearest, off := 0.0, math.Inf(1)
	for _, p := range w.Points {
		if d := math.Abs(p.Report.Value(0, "bleed", "main")/quantity.CFM - 400); d < off {
			nearest, off = p.X[0], d
		}
	}
	assert.InDelta(t, nearest, x, 0.1)

	_, _, err = s.Reach(study.Variant{}, stop("main", 2), name, "bleed", "main", 4000*quantity.CFM, 1)
	var far *study.OutOfReach
	require.ErrorAs(t, err, &far)
	_, _, err = s.Reach(study.Variant{}, stop("main", 2), name, "bleed", "attic", 400*quantity.CFM, 1)
	require.Error(t, err)
}

func TestTuneRefuses(t *testing.T) {
	s := open(t, "two-floor", study.Options{Choose: only("heating: loft")})
	for _, c := range []struct {
		name string
		goal study.Goal
	}{
		{"nothing to move", study.Goal{Priority: study.Quiet}},
		{"no such priority", study.Goal{Moves: []study.Span{stop("main", 3)}, Priority: "cheap"}},
		{"no such damper", study.Goal{Moves: []study.Span{stop("mian", 3)}, Priority: study.Quiet}},
		{"bad range", study.Goal{Moves: []study.Span{{Path: "damper.main.stop", From: "0 %", To: "50 deg", Steps: 3}}, Priority: study.Quiet}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := s.Tune(study.Variant{}, c.goal)
			require.Error(t, err)
			assert.NotEmpty(t, strings.TrimSpace(err.Error()))
		})
	}
}
