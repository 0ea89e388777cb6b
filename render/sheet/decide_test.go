package sheet

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/networktest"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// A blade turns by 0.9° for each per cent: by hand, and the usual marks of actuators, 0° shut and
// 90° open (common practice).
func TestComputedMarks(t *testing.T) {
	for _, c := range []struct {
		percent float64
		shut    string
		cam     float64
	}{{23.6, "21°", 25}, {25, "22.5°", 25}, {44.6, "40°", 45}, {45, "40.5°", 45}, {60, "54°", 55},
		{50, "45°", 45}} {
		text := Marks(network.Position(c.percent / 100))
		assert.Contains(t, text, fmt.Sprintf("= %s from shut", c.shut), "%g %%", c.percent)
		assert.InDelta(t, c.cam, CamStop(network.Position(c.percent/100)), 1e-9, "%g %%", c.percent)
	}
	assert.Equal(t, "shut (0 %, 0°)", Marks(0))
	assert.Equal(t, "open (100 %, 90°)", Marks(1))
	assert.Contains(t, Marks(0.45), "49.5° from open")
}

func decided(t *testing.T, name string) *Deciding {
	t.Helper()
	s := study.New(name, networktest.Example(t, name), study.Options{})
	g, err := s.Read(study.Variant{})
	require.NoError(t, err)
	found, err := s.Decide(study.Variant{}, g.Job.Alternatives, 0)
	require.NoError(t, err)
	return &Deciding{Decision: found, Chosen: found.Best, Mark: "0123456789ab"}
}

// The page lists every option, and of the one chosen every setting of the installer's sheet.
func TestDecideNamesOptionsAndSettings(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		f := decided(t, name)
		for at := range f.Choices {
			f.Chosen = at
			c := &f.Choices[at]
			job := f.Choices[0].Result.Graph.Job
			var b bytes.Buffer
			require.NoError(t, Write(&b, Decide(&Sheet{Job: job, File: name, Units: job.Units},
				f), "text",
				Style{}))
			text := strings.Join(strings.Fields(b.String()), " ")
			for i := 1; i < len(f.Choices); i++ {
				assert.Contains(t, text, f.Choices[i].Name+":", name)
			}
			for _, table := range Settings(c.Result.Graph, job.Units) {
				for _, row := range table.Rows {
					assert.Contains(t, text, row[0], "%s: %s", name, table.Caption)
					if table.Caption == ZoneDampers || table.Caption == BlowerSettings {
						assert.Contains(t, text, row[len(row)-1], name)
						assert.Contains(t, text, row[max(len(row)-2, 1)], name)
					}
				}
			}
			assert.Contains(t, text, "Never defeat or move a limit switch")
			assert.Contains(t, text, "carbon")
		}
	}
}

// The option that ranks first has no class at fault that another, graver one does not have: counted
// class by class, what can hurt somebody or the machine by how far it is past its limit.
func TestBestHasTheLeastOfTheGravest(t *testing.T) {
	classes := []verdict.Class{verdict.SafetyClass, verdict.Equipment, verdict.Code, verdict.Zoning,
		verdict.Comfort, verdict.Guideline}
	for _, name := range networktest.Examples(t) {
		f := decided(t, name)
		causes := func(c *study.Choice, class verdict.Class) (n float64) {
			for _, cause := range c.Effect.Digest.Causes {
				switch {
				case cause.Class != class || cause.Level != verdict.Fault:
				case class.Hard():
					n += max(math.Round(2*min(cause.Harm, 3))/2, 1)
				default:
					n++
				}
			}
			return n
		}
		best := &f.Choices[f.Best]
		for i := range f.Choices {
			for _, class := range classes {
				b, o := causes(best, class), causes(&f.Choices[i], class)
				assert.LessOrEqual(t, b, o, "%s: %s against %s, %s", name, best.Name,
					f.Choices[i].Name,
					class)
				if b < o {
					break
				}
			}
		}
	}
}

// The chosen option and the best are among the rows, however many the file has.
func TestDecideShowsTheChosen(t *testing.T) {
	f := decided(t, "two-floor")
	for len(f.Choices) < 20 {
		f.Choices = append(f.Choices, f.Choices[1])
	}
	for _, at := range [][2]int{{0, 0}, {19, 19}, {5, 8}, {19, 3}, {18, 19}} {
		f.Chosen, f.Best = at[0], at[1]
		shown := f.shown()
		assert.Len(t, shown, mostChoices)
		assert.Subset(t, shown, []int{0, at[0], at[1]})
		assert.IsIncreasing(t, shown)
	}
}
