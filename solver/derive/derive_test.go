package derive_test

import (
	"fmt"
	"math"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/derive"
	"spillway/solver/internal/formula/formulatest"
	"spillway/solver/state/statetest"
	"spillway/solver/verdict"
)

// printed is a value with the six significant digits that are printed.
func printed(v float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	if err != nil {
		return v
	}
	return rounded
}

// ulp is half a unit of the last printed digit.
func ulp(v float64) float64 {
	if v == 0 {
		return 0
	}
	return 0.5000001 * math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-5)
}

// check works a step out again from its printed inputs: what is left over may be no more than rounding of what is printed explains.
func check(s *derive.Step) error {
	values := map[string]float64{s.Symbol: printed(s.Value)}
	for _, in := range s.Inputs {
		if _, twice := values[in.Symbol]; twice && in.Symbol != s.Symbol {
			return fmt.Errorf("%s: symbol %s stands for two values", s.Name, in.Symbol)
		}
		values[in.Symbol] = printed(in.Value)
	}
	if len(s.Inputs) > 0 {
		for _, in := range s.Inputs {
			if in.Symbol == s.Symbol {
				return fmt.Errorf("%s: %s stands for the result and for an input", s.Name, in.Symbol)
			}
		}
	}
	left, size, err := formulatest.Residual(s.Equation, values)
	if err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	allowed := 1e-12 * size
	for symbol := range values {
		v := values[symbol]
		values[symbol] = v + ulp(v)
		up, _, _ := formulatest.Residual(s.Equation, values)
		values[symbol] = v - ulp(v)
		down, _, _ := formulatest.Residual(s.Equation, values)
		values[symbol] = v
		allowed += math.Max(math.Abs(up-left), math.Abs(down-left))
	}
	if !(math.Abs(left) <= 1.05*allowed) {
		return fmt.Errorf("%s = %.9g by %q leaves %.3g, rounding explains %.3g (inputs %v)", s.Name, s.Value, s.Equation, left, allowed, values)
	}
	return nil
}

// Every number of every example, in every call state, is worked out again from its printed inputs by an evaluator of its own, down to
// the leaves. An arithmetic check: it holds the explanations against the solver, whose laws they must restate.
func TestEveryExplainedNumberFollowsFromItsPrintedInputs(t *testing.T) {
	for _, file := range networktest.Jobs(t) {
		data := networktest.File(t, file)
		names := networktest.Alternatives(t, data)
		if testing.Short() || path.Base(file) != "two-floor.toml" && os.Getenv("CI") == "" {
			names = names[:1]
			t.Logf("%s: its alternatives are worked out where CI is set, and without -short", file)
		}
		for _, alternative := range names {
			t.Run(strings.TrimSuffix(path.Base(file), ".toml")+"/"+alternative, func(t *testing.T) {
				t.Parallel()
				for _, o := range statetest.SolveAll(t, networktest.Build(t, file, data, network.Options{Alternative: alternative})) {
					steps, wrong := 0, 0
					done := map[*derive.Step]bool{}
					x := derive.New(o, verdict.Judge(o))
					x.Every(func(name derive.Name, s *derive.Step) {
						if !assert.NotNil(t, s, "%s: %s", o.State.Name, name.Name) {
							return
						}
						for _, step := range s.All() {
							if done[step] {
								continue
							}
							done[step] = true
							steps++
							if step.Defect != "" && wrong < 10 {
								wrong++
								t.Errorf("%s: %s: %s: %s", o.State.Name, name.Name, step.Name, step.Defect)
							}
							if step.Leaf() {
								assert.NotEmpty(t, step.Origin.Text, "%s: %s has no origin", o.State.Name, step.Name)
								assert.NotEqual(t, derive.Derived, step.Origin.Kind, "%s: %s", o.State.Name, step.Name)
								continue
							}
							if err := check(step); err != nil && wrong < 10 {
								wrong++
								t.Errorf("%s: %s: %v", o.State.Name, name.Name, err)
							}
						}
					})
					assert.Greater(t, steps, 100)
				}
			})
		}
	}
}

// The evaluator finds a wrong number: a value that is off in its fifth digit, and an equation that is not the step's.
func TestTheEvaluatorFindsAWrongNumber(t *testing.T) {
	o := statetest.SolveAll(t, networktest.Graph(t, "first-look", ""))[0]
	s, err := derive.New(o, nil).Explain("blower airflow")
	require.NoError(t, err)
	require.NoError(t, check(s))
	wrong := *s
	wrong.Value *= 1 + 3e-5
	assert.Error(t, check(&wrong), "a value off by 3e-5")
	wrong = *s
	wrong.Equation = "Q = ρs / m"
	assert.Error(t, check(&wrong), "another equation")
}

func TestExplainFindsNumbersByTheWordsOfTheTrade(t *testing.T) {
	o := statetest.SolveAll(t, networktest.Graph(t, "two-floor", ""))[1]
	x := derive.New(o, verdict.Judge(o))
	for _, c := range []struct{ asked, name string }{
		{"external static", "external static"},
		{"ESP", "external static"},
		{"loft-bed register airflow", "loft-bed register airflow"},
		{"loft bed register cfm", "loft-bed register airflow"},
		{"the surplus", "surplus"},
		{"watts of the blower", "blower power"},
		{"Trunk Drop", "trunk drop"},
	} {
		s, err := x.Explain(c.asked)
		require.NoError(t, err, c.asked)
		assert.Equal(t, c.name, s.Name, c.asked)
	}
	var wrong *derive.NotFoundError
	_, err := x.Explain("external statc")
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, "external static", wrong.Near)
	_, err = x.Explain("loft register") // many fit
	require.ErrorAs(t, err, &wrong)
	assert.NotEmpty(t, wrong.Fits)
	_, err = x.Explain("moon")
	require.ErrorAs(t, err, &wrong)
	assert.Empty(t, wrong.Near)
}

// Down to the inputs: the airflow of a register rests on the job file, the catalogue, assumptions and the solution, each with its place.
func TestARegistersAirflowRestsOnTheJobFile(t *testing.T) {
	o := statetest.SolveAll(t, networktest.Graph(t, "two-floor", ""))[1]
	s, err := derive.New(o, nil).Explain("loft-bed register airflow")
	require.NoError(t, err)
	kinds := map[derive.Kind]int{}
	place := ""
	for _, step := range s.All() {
		kinds[step.Origin.Kind]++
		if step.Name == "loft-bed register width" {
			place = fmt.Sprintf("%s:%d", filepath.Base(step.Origin.Place.File), step.Origin.Place.Line)
		}
		if step.Origin.Kind == derive.Solved && step.Quantity == derive.MassFlow {
			assert.Less(t, step.Origin.High-step.Origin.Low, 1e-6, step.Name)
		}
	}
	assert.Equal(t, "two-floor.toml:51", place) // the line of loft-bed in the example
	for _, kind := range []derive.Kind{derive.Derived, derive.File, derive.Catalogue, derive.Constant, derive.Solved} {
		assert.Positive(t, kinds[kind], kind)
	}
}

// What was once only named is spelt out: in a house with dampers, a coil and a burner none of these ends in a model.
func TestTheseAreSpeltOut(t *testing.T) {
	spelt, heard := map[string]bool{}, 0
	for _, c := range []struct{ file, alternative string }{{"two-floor", "bypass-to-plenum"}, {"noisy-bedroom", ""}} {
		for _, o := range statetest.SolveAll(t, networktest.Graph(t, c.file, c.alternative)) {
			x := derive.New(o, nil)
			x.Every(func(name derive.Name, s *derive.Step) {
				for _, what := range []string{"register noise", "free throw", "room noise", "register throw", "zone drift", "zone drift end", "zone heat needed", "zone off after", "zone call share",
					"time to limit", "evaporating temperature", "evaporating temperature second estimate", "cooling capacity", "sensible share", "damper blade", "damper drop", "relief drop", "leaving air after 2 min"} {
					if strings.HasSuffix(name.Name, what) && !s.Leaf() {
						spelt[what] = true
					}
				}
			})
			audible := 0
			for k := range o.Registers {
				r := &o.Registers[k]
				if !(r.NC > 15) {
					continue // under the lowest curve a number is only an extrapolation
				}
				audible++
				s, err := x.Explain(o.Graph.Elements[o.Graph.Registers[k].Element].Name + " noise")
				require.NoError(t, err)
				assert.False(t, s.Leaf(), "%s: noise of %s", o.State.Name, s.Name)
			}
			heard += audible
		}
	}
	assert.Greater(t, heard, 3)
	for _, what := range []string{"register noise", "free throw", "room noise", "register throw", "zone drift", "zone drift end", "zone heat needed", "zone off after", "zone call share",
		"time to limit", "evaporating temperature", "evaporating temperature second estimate", "cooling capacity", "sensible share", "damper blade", "damper drop", "relief drop", "leaving air after 2 min"} {
		assert.True(t, spelt[what], what)
	}
}
