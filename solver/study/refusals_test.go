package study_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/solver/air"
	"spillway/solver/study"
)

// What a study cannot answer it refuses in words that say what is wrong and where; as a question when it is the question that is wrong,
// so that the program can tell the two apart.
func TestQuestionsThatHaveNoAnswer(t *testing.T) {
	const loft = "design-cooling: loft"
	s := open(t, "two-floor", study.Options{Choose: only(loft)})
	none := study.Variant{}
	sweep := func(spans ...study.Span) error { _, err := s.Sweep(none, spans...); return err }
	reach := func(m study.Span, state, name, where string) error {
		_, _, err := s.Reach(none, m, state, name, where, 0.1, 1e-4)
		return err
	}
	size := func(goal study.SizeGoal) error { _, err := s.Size(none, goal); return err }
	spread := func(q study.Sampling) error { _, err := s.Spread(none, q); return err }
	diameter := func(q, rate float64) error {
		_, err := study.DiameterFor(q, rate, 1e-4, func(float64) float64 { return 1 }, air.Standard())
		return err
	}
	taps := study.Span{Path: "equipment.cooling.tap", List: []string{"low", "high"}}
	for _, c := range []struct {
		err  error
		says string
	}{
		{sweep(), "a sweep moves one setting or two, not 0"},
		{sweep(stop("main", 3), stop("loft", 3), taps), "a sweep moves one setting or two, not 3"},
		{sweep(stop("main", 9000), stop("loft", 9000)), "steps together, at most"},
		{sweep(study.Span{Path: "panel.second-stage-needs", List: []string{"1", "2"}}, stop("mian", 3)), `"mian"`},
		{reach(taps, loft, "bleed", "main"), "equipment.cooling.tap: a list has nothing between its values"},
		{reach(stop("main", 2), loft, "noise of bleed", "main"), `"design-cooling: loft" has no noise of bleed of "main"`},
		{reach(stop("main", 2), "cooling: attic", "bleed", "main"), `there is no call state "cooling: attic"`},
		{reach(study.Span{Path: "damper.main.stop", From: "0 %", To: "50 deg"}, loft, "bleed", "main"), "damper.main.stop"},
		{size(study.SizeGoal{}), "size by a friction rate or by a greatest static, one of the two"},
		{size(study.SizeGoal{Friction: 1, Static: 100}), "size by a friction rate or by a greatest static, one of the two"},
		{spread(study.Sampling{Samples: 2_000_000}), "a spread takes from 20 to 1000000 samples, not 2000000"},
		{spread(study.Sampling{Samples: 20, Tolerances: []network.Tolerance{{Name: "x", Of: "supply.nobody.length", By: "1 ft"}}}), `spread "x": there is no value at "supply.nobody.length"`},
		{spread(study.Sampling{Samples: 20, Tolerances: []network.Tolerance{{Name: "x", Of: "supply.*.length", From: "1 cfm", To: "2 cfm"}}}), "airflow"},
		{diameter(0, 1), "a duct is sized for an airflow and a friction rate above zero"},
		{diameter(1, 0), "a duct is sized for an airflow and a friction rate above zero"},
		{diameter(50, 1e-9), "no duct is large enough for 50 m³/s at 1e-09 Pa/m"},
	} {
		if assert.Error(t, c.err, c.says) {
			assert.Contains(t, c.err.Error(), c.says)
		}
	}
	assert.EqualError(t, &study.OutOfReach{Path: "damper.main.stop", From: "0 %", To: "100 %"}, "from 0 % to 100 % of damper.main.stop the target is not reached")
}

// A variant that has no solution is named by what it changes, alone, in a sweep and where every sample of a spread is like it.
func TestWhatDoesNotSolveIsNamed(t *testing.T) {
	const heating = "heating: loft"
	s := open(t, "two-floor", study.Options{Choose: only(heating)})
	cold := study.Variant{Alternative: "dump-zone"}.With("equipment.heating.kind", "heat pump").With("weather.design-heating.outdoor", "-80 F")
	_, err := s.Report(cold)
	require.Error(t, err)
	assert.Contains(t, err.Error(), `with alternative "dump-zone", equipment.heating.kind=heat pump, weather.design-heating.outdoor=-80 F: `)
	assert.Contains(t, err.Error(), "heat pump with -62.2 °C (-80.0 °F) outdoors, model good for")
	again := err.Error()
	_, err = s.Spread(cold, study.Sampling{Samples: 20, Tolerances: []network.Tolerance{{Of: "damper.main.stop", By: "5 deg"}}})
	assert.EqualError(t, err, again, "the job as it is comes first")
	_, err = s.Sweep(study.Variant{}.With("equipment.heating.kind", "heat pump"), study.Span{Path: "weather.design-heating.outdoor", From: "20 F", To: "-80 F", Steps: 2})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "weather.design-heating.outdoor=-80 F")
}

// Registers and grilles follow the face velocities that are asked for, else the usual 500 and 400 fpm: half the velocity, twice the face.
func TestFacesFollowTheirVelocity(t *testing.T) {
	s := open(t, "first-look", study.Options{})
	area := func(goal study.SizeGoal) (registers, grilles float64) {
		z, err := s.Size(study.Variant{}, goal)
		require.NoError(t, err)
		g, err := s.Read(z.Variant)
		require.NoError(t, err)
		for _, l := range g.Job.Supply {
			if l.Register != nil {
				registers += l.Register.Size.Area()
			}
		}
		for _, l := range g.Job.Return {
			if l.Grille != nil {
				grilles += l.Grille.Size.Area()
			}
		}
		return registers, grilles
	}
	const rate = 0.65 // Pa/m, about 0.08 in. of water per 100 ft
	registers, grilles := area(study.SizeGoal{Friction: rate})
	same, alike := area(study.SizeGoal{Friction: rate, SupplyFace: 500 * quantity.FPM, ReturnFace: 400 * quantity.FPM})
	assert.Equal(t, registers, same)
	assert.Equal(t, grilles, alike)
	larger, wider := area(study.SizeGoal{Friction: rate, SupplyFace: 250 * quantity.FPM, ReturnFace: 200 * quantity.FPM})
	assert.InDelta(t, 2, larger/registers, 0.35, "sizes that are sold")
	assert.InDelta(t, 2, wider/grilles, 0.35)
}
