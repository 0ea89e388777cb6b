package trial_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/render/page/trial"
	"spillway/render/schematic"
)

// Every setting that a page offers can be put to where it stands and to both its ends, in every example with every alternative, and
// where it stands it changes nothing.
func TestKnobsAreSettings(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		t.Run(name, func(t *testing.T) {
			data := networktest.Example(t, name)
			base, err := trial.Open(name, data, "", nil)
			require.NoError(t, err)
			alternatives := []string{""}
			for _, a := range base.Graph().Job.Alternatives {
				alternatives = append(alternatives, a.Name)
			}
			for _, alternative := range alternatives {
				in, err := trial.Open(name, data, alternative, nil)
				require.NoError(t, err)
				before, err := in.Solve(t.Context(), in.States()[0])
				require.NoError(t, err)
				for _, k := range in.Graph().Settings("") {
					sets := []string{set(&k, k.Value), set(&k, k.Low), set(&k, k.High)}
					if k.Choices != nil {
						sets = []string{k.Path + "=" + k.Word}
						assert.Contains(t, k.Choices, k.Word)
					}
					for i, set := range sets {
						moved, err := trial.Open(name, data, alternative, []string{set})
						require.NoError(t, err, set)
						if i == 0 {
							after, err := moved.Solve(t.Context(), in.States()[0])
							require.NoError(t, err, set)
							assert.InEpsilon(t, before.Outcome.Blower.Airflow, after.Outcome.Blower.Airflow, 1e-6, "%s is not where it stood", set)
						}
					}
				}
			}
		})
	}
}

// A damper follows its stop while its zone is satisfied and its opening while it calls: common practice of zone panels.
func TestKnobsMoveWhatTheyShould(t *testing.T) {
	in, err := trial.Open("two-floor", networktest.Example(t, "two-floor"), "", nil)
	require.NoError(t, err)
	for _, s := range in.States() {
		c, err := in.Solve(t.Context(), s)
		require.NoError(t, err)
		for _, k := range in.Graph().Settings("") {
			if !k.Blade || trial.Balances(in.Graph(), &k) {
				continue
			}
			calls := false
			for _, z := range s.Calling {
				calls = calls || k.Path == "damper."+z+"."+k.Key()
			}
			assert.Equal(t, calls == (k.Key() == "open"), trial.Moves(&k, c.Outcome), "%s, %s", s.Name, k.Path)
		}
	}
}

// The curve of the ducts passes through the operating point, for at full speed it is the same problem; more air asks for more static.
func TestSystemCurve(t *testing.T) {
	for _, alternative := range []string{"", "bypass-to-plenum"} {
		in, err := trial.Open("two-floor", networktest.Example(t, "two-floor"), alternative, nil)
		require.NoError(t, err)
		for _, s := range in.States() {
			c, err := in.Solve(t.Context(), s)
			require.NoError(t, err)
			curve := in.System(t.Context(), c.Outcome)
			require.GreaterOrEqual(t, len(curve.Airflow), 4, s.Name)
			met := false
			for i := range curve.Airflow {
				if i > 0 {
					assert.Greater(t, curve.Airflow[i], curve.Airflow[i-1], s.Name)
					assert.Greater(t, curve.Static[i], curve.Static[i-1], s.Name)
				}
				if d := curve.Airflow[i] - c.Outcome.Blower.Airflow; d < 1e-8 && d > -1e-8 {
					met = true
					assert.InDelta(t, c.Outcome.Blower.ExternalStatic, curve.Static[i], 1e-6, s.Name)
				}
			}
			assert.True(t, met, "%s: the curve misses the operating point", s.Name)
		}
	}
}

// Every damper that can be moved is a damper of the picture by the same name, weighted ones with an arm and hand balances of a bypass too; a
// setting moved quickly is the setting read from the file, and is solved to what the reader's is, as printed.
func TestKnobsArePartsOfThePicture(t *testing.T) {
	text := string(networktest.Example(t, "two-floor"))
	for _, c := range []struct {
		name, text, alternative string
		paths                   []string
	}{
		{"own weight", text, "bypass-to-plenum", []string{"bypass.relief.opens-at", "bypass.relief.fully-open-at"}},
		{"dump", text, "dump-zone", []string{"dump.hall-dump.opens-at"}},
		{"arm", strings.Replace(text, `opens-at = "0.15 inwc", fully-open-at = "0.22 inwc" }`, `damper = "weight" }`+"\ndamper.weight = { drive = \"barometric\", opens-at = \"0.15 inwc\", arm = \"35 deg\" }", 1),
			"bypass-to-plenum", []string{"damper.weight.opens-at", "damper.weight.arm"}},
		{"balance", strings.Replace(text, `opens-at = "0.15 inwc", fully-open-at = "0.22 inwc" }`, `balance = "40 %" }`, 1), "bypass-to-plenum", []string{"bypass.relief.balance"}},
		{"balances of runs", balanced(t, text), "", []string{"supply.study.balance", "return.hall-grille.balance"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			in, err := trial.Open("x", []byte(c.text), c.alternative, nil)
			require.NoError(t, err)
			s, err := in.Solve(t.Context(), in.States()[0])
			require.NoError(t, err)
			var picture strings.Builder
			require.NoError(t, in.Plan.Draw(&picture, s.Outcome, schematic.Options{}))
			var paths []string
			for _, k := range in.Graph().Settings("") {
				if k.Element == network.None || k.Key() == "loading" {
					continue
				}
				paths = append(paths, k.Path)
				assert.Contains(t, picture.String(), `data-damper="`+schematic.DamperName(&in.Graph().Elements[k.Element])+`"`, k.Path)
				moved := set(&k, k.Value+3*k.Step)
				if k.Value+3*k.Step > k.High {
					moved = set(&k, k.Value-3*k.Step)
				}
				read, err := trial.Open("x", []byte(c.text), c.alternative, []string{moved})
				require.NoError(t, err, moved)
				want, err := read.Solve(t.Context(), in.States()[0])
				require.NoError(t, err)
				quick, err := in.Moved([]string{moved}, s.Outcome)
				require.NoError(t, err, moved)
				assert.Same(t, &in.Graph().Nodes[0], &quick.Graph().Nodes[0], "nothing is read again")
				got, err := quick.Solve(t.Context(), in.States()[0])
				require.NoError(t, err)
				assert.InEpsilon(t, want.Outcome.Blower.Airflow, got.Outcome.Blower.Airflow, 1e-5, k.Path)
				assert.InEpsilon(t, want.Outcome.Ledger.Surplus, got.Outcome.Ledger.Surplus, 1e-5, k.Path)
			}
			assert.Subset(t, paths, c.paths)
		})
	}
}

// balanced is the two-floor job with a hand damper in one run and one behind a grille.
func balanced(t *testing.T, text string) string {
	t.Helper()
	for _, run := range []string{`register = "10x6 in", room = "study",`, `grille = "20x20 in", size = "16 in",`} {
		require.Equal(t, 1, strings.Count(text, run), run)
		text = strings.Replace(text, run, run+` balance = "60 %",`, 1)
	}
	return text
}

// Neither of the two pressures of a weighted damper can be drawn past the other.
func TestPressuresOfAWeightStopShortOfEachOther(t *testing.T) {
	in, err := trial.Open("x", networktest.Example(t, "two-floor"), "bypass-to-plenum", nil)
	require.NoError(t, err)
	ends := map[string]string{}
	for _, k := range in.Graph().Settings("") {
		switch k.Path {
		case "bypass.relief.opens-at":
			ends[k.Path] = set(&k, k.High)
		case "bypass.relief.fully-open-at":
			ends[k.Path] = set(&k, k.Low)
		}
	}
	require.Len(t, ends, 2)
	for _, set := range ends {
		_, err := trial.Open("x", networktest.Example(t, "two-floor"), "bypass-to-plenum", []string{set})
		assert.NoError(t, err, set)
	}
}

func TestOpenSaysWhatIsWrong(t *testing.T) {
	data := networktest.Example(t, "two-floor")
	_, err := trial.Open("house.toml", data, "", []string{"damper.main.stop=purple"})
	require.Error(t, err)
	list := trial.Problems("house.toml", err)
	require.NotEmpty(t, list)
	assert.Contains(t, list[0].Text(), "purple")

	_, err = trial.Open("house.toml", []byte(strings.Replace(string(data), "20x10 in", "20x10 inn", 1)), "", nil)
	list = trial.Problems("house.toml", err)
	require.NotEmpty(t, list)
	assert.Positive(t, list[0].Line)

	_, err = trial.Open("house.toml", data, "nowhere", nil)
	require.Error(t, err)
}

func TestNamesThatNeedQuotes(t *testing.T) {
	text := strings.ReplaceAll(string(networktest.Example(t, "two-floor")), `damper = "main"`, `damper = "main \u0026 <hall>"`)
	text = strings.Replace(text, "main = { size = \"14 in\", blade", "\"main & <hall>\" = { size = \"14 in\", blade", 1)
	text = strings.Replace(text, `damper.main.stop = "0 %"`, `damper."main & <hall>".stop = "0 %"`, -1)
	in, err := trial.Open("x", []byte(text), "", nil)
	require.NoError(t, err)
	found := false
	for _, k := range in.Graph().Settings("") {
		if k.Name == "main & <hall>, stop" {
			found = true
			moved, err := trial.Open("x", []byte(text), "", []string{set(&k, 0.7)})
			require.NoError(t, err)
			for _, d := range moved.Graph().Job.Dampers {
				if d.Name == "main & <hall>" {
					assert.InDelta(t, 0.7, float64(d.Stop), 1e-12)
				}
			}
		}
	}
	assert.True(t, found)
}

func set(s *network.Setting, si float64) string { return s.Path + "=" + s.Text(si) }
