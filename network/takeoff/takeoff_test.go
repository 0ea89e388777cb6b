package takeoff_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/catalog"
	"spillway/network/evidencetest"
	"spillway/network/networktest"
	"spillway/network/quantity"
	"spillway/network/section"
	"spillway/network/takeoff"
)

func job(t *testing.T, set ...string) *network.Job {
	t.Helper()
	return networktest.Graph(t, "two-floor", "", set...).Job
}

// find adds up the items of a group that a test picks.
func find(list *takeoff.List, g takeoff.Group, pick func(*takeoff.Item) bool) (sum takeoff.Item) {
	for i := range list.Items {
		if it := &list.Items[i]; it.Group == g && pick(it) {
			sum.Count += it.Count
			sum.Length += it.Length
			sum.Buy += it.Buy
			sum.Area += it.Area
			sum.Mass += it.Mass
		}
	}
	return sum
}

func inches(d float64) func(*takeoff.Item) bool {
	return func(it *takeoff.Item) bool {
		return it.Gauge > 0 && it.Size.Shape == section.Round && near(it.Size.Width,
			d*quantity.Inch)
	}
}

func near(a, b float64) bool { return a > b*0.999 && a < b*1.001 }

// The bare metal of the house of two floors with a return drop of 20x12 in., by hand: perimeter
// times length times the weight of the gauge.
func TestComputedSteelOfTwoFloors(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	list := takeoff.Of(job(t, "return.drop.size=20x12 in"))
	rect := func(width float64) func(*takeoff.Item) bool {
		return func(it *takeoff.Item) bool {
			return near(it.Size.Width, width*quantity.Inch) &&
				it.Gauge > 0
		}
	}
	check := func(name string, area, pounds float64, it takeoff.Item) {
		evidencetest.Row{Case: name + ", ft²", Source: "by hand", Want: area, Within: 0.05,
			Ours: it.Area / quantity.SquareFoot}.Check(t)
		evidencetest.Row{Case: name + ", lb", Source: "by hand", Want: pounds, Within: 0.05,
			Ours: it.Mass / quantity.Pound}.Check(t)
	}
	check("38 ft of 14 in.", 139.3, 91.4, find(list, takeoff.Duct, inches(14)))
	check("20x10 and 20x12", 72.7, 84.0, find(list, takeoff.Duct, rect(20)))
	returns := find(list, takeoff.Duct, inches(16))
	twelve := find(list, takeoff.Duct, inches(12))
	returns.Area += twelve.Area
	returns.Mass += twelve.Mass
	check("16 in. 6 ft and 12 in. 18 ft", 81.7, 56.7, returns)
	runs := find(list, takeoff.Duct, inches(7))
	six := find(list, takeoff.Duct, inches(6))
	runs.Area += six.Area
	runs.Mass += six.Mass
	check("five runs, 84 ft", 152.0-0.2, 99.6, runs)
	for gauge, pounds := range map[int]float64{30: 228.1, 28: 19.6, 24: 84.0} {
		it := find(list, takeoff.Steel, func(it *takeoff.Item) bool { return it.Gauge == gauge })
		assert.InDelta(t, pounds, it.Mass/quantity.Pound, 0.06, "%d gauge", gauge)
	}
	assert.InDelta(t, 331.7, list.Straight/quantity.Pound, 0.15, "all bare metal, lb")
	// The fittings, each as 3 ft of its duct, and 15 % on all.
	assert.Greater(t, list.Steel, 1.15*list.Straight)
	// The flexible duct lies as 10, 21 and 14 ft and is bought longer.
	flex := find(list, takeoff.Duct, func(it *takeoff.Item) bool { return it.Material == "flex" })
	assert.InDelta(t, 45, flex.Length/quantity.Foot, 1e-9)
	assert.InDelta(t, list.Flex, flex.Buy, 1e-9)
	assert.InDelta(t, 45/0.96+4*2, flex.Buy/quantity.Foot, 0.01,
		"4 %% of compression, 1 ft for each end")
}

// Steel of a foot of duct, by hand from the gauge and its nominal weight in three decimals.
func TestComputedPoundsPerFoot(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	round := func(d float64) section.Section { return section.NewRound(d * quantity.Inch) }
	rect := func(w, h float64) section.Section {
		return section.NewRectangular(w*quantity.Inch, h*quantity.Inch)
	}
	for _, c := range []struct {
		name string
		s    section.Section
		want float64
	}{
		{"5", round(5), 0.86}, {"6", round(6), 1.03}, {"7", round(7), 1.20}, {"8", round(8), 1.37},
		{"9", round(9), 1.55}, {"10", round(10), 1.72}, {"12", round(12), 2.06}, {"14", round(14),
			2.40},
		{"16", round(16), 3.27}, {"18", round(18), 3.68}, {"20", round(20), 4.74},
		{"8x8", rect(8, 8), 1.75}, {"12x8", rect(12, 8), 2.60}, {"16x8", rect(16, 8), 3.62},
		{"20x8", rect(20, 8), 5.39}, {"12x10", rect(12, 10), 2.86}, {"16x10", rect(16, 10), 3.93},
		{"20x10", rect(20, 10), 5.78}, {"24x12", rect(24, 12), 6.94},
	} {
		g, _ := catalog.GaugeFor(c.s, 0)
		evidencetest.Row{Case: c.name + " in., lb/ft", Source: "by hand", Want: c.want,
			Within: 0.006,
			Ours:   c.s.Perimeter() * g.Mass / quantity.Pound * quantity.Foot}.Check(t)
	}
}

// Wrap is counted round half its thickness: 2 in. on 8 in. round is 2.62 ft² a foot.
func TestComputedWrap(t *testing.T) {
	evidencetest.Of(t, evidencetest.Memory)
	list := takeoff.Of(job(t, "supply.main-trunk.place=attic", "supply.main-trunk.size=8 in",
		"damper.main.size=8 in"))
	wrap := find(list, takeoff.Insulation, func(it *takeoff.Item) bool { return it.Name == "wrap" })
	evidencetest.Row{Case: "2 in. of wrap on 8 in., ft²/ft", Source: "by hand", Want: 2.62,
		Within: 0.005,
		Ours:   wrap.Area / quantity.SquareFoot / 1.1 / 18}.Check(t)
}

// What an alternative adds is what its lines say, and a job against itself adds nothing.
func TestCompare(t *testing.T) {
	base := takeoff.Of(job(t))
	assert.Empty(t, takeoff.Compare(base, base))
	other := takeoff.Of(networktest.Graph(t, "two-floor", "bypass-to-return-box").Job)
	changes := takeoff.Compare(base, other)
	var names []string
	for _, c := range changes {
		require.False(t, c.Drop, c.Name)
		names = append(names, c.Name)
	}
	assert.Equal(t, []string{"duct", "elbow 90 smooth", "plenum takeoff", "wye 45",
		"barometric damper"}, names)
	assert.InDelta(t, 18, changes[0].Length/quantity.Foot, 1e-9)
	back := takeoff.Compare(other, base)
	require.Len(t, back, len(changes))
	for i, c := range back {
		assert.True(t, c.Drop)
		assert.InDelta(t, changes[i].Length, c.Length, 1e-9)
		assert.Equal(t, changes[i].Count, c.Count)
	}
}

// Every run, register, grille and fitting of every example is in its list, counted from the job by
// plain sums.
func TestNothingIsLost(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		g := networktest.Graph(t, name, "")
		list := takeoff.Of(g.Job)
		var runs, registers, grilles, written, balances int
		length := 0.0
		for _, l := range g.Job.Lines() {
			if l.Length > 0 {
				runs++
			}
			length += float64(l.Length)
			if l.Register != nil {
				registers++
			}
			if l.Grille != nil {
				grilles++
			}
			if l.Balance != nil {
				balances++
			}
			for _, f := range l.Fittings {
				if f.Name != network.StraightOn && !strings.HasSuffix(f.Name, " straight") {
					written += max(f.Count, 1)
				}
			}
		}
		for _, r := range g.Job.Rooms {
			if r.Transfer != nil {
				grilles++
			}
		}
		all := func(*takeoff.Item) bool { return true }
		duct := find(list, takeoff.Duct, all)
		assert.Equal(t, runs, duct.Count, name)
		assert.InDelta(t, length, duct.Length, 1e-9, name)
		assert.GreaterOrEqual(t, duct.Buy, length-1e-9, name)
		assert.Equal(t, registers+grilles, find(list, takeoff.Opening, all).Count, name)
		inFile := func(it *takeoff.Item) bool { return !it.Implied }
		assert.Equal(t, written, find(list, takeoff.Fitting, inFile).Count+
			find(list, takeoff.Boot, inFile).Count, name)
		assert.Equal(t, balances, find(list, takeoff.Damper,
			func(it *takeoff.Item) bool { return it.Name == "balancing damper" }).Count, name)
		zoneDampers := find(list, takeoff.Control,
			func(it *takeoff.Item) bool { return it.Name == "damper actuator" }).Count
		assert.GreaterOrEqual(t, zoneDampers, len(g.Job.Zones), name)
	}
}
