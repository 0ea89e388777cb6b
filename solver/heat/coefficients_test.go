package heat

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network/evidencetest"
)

// Every coefficient of every curve, typed a second time: second-hand figures, as their sources say, so this finds slips of the hand only.
func TestPublishedCoefficients(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	surface := func(p Biquadratic) []float64 { return []float64{p.A, p.B, p.C, p.D, p.E, p.F} }
	line := func(p Quadratic) []float64 { return []float64{p.A, p.B, p.C} }
	single, generic := SingleSpeedCurve(), GenericCurve()
	for _, c := range []struct {
		name, source string
		want, ours   []float64
	}{
		{"single speed, capacity", nrel, []float64{3.670270705, -0.098652414, 0.000955906, 0.006552414, -0.0000156, -0.000131877}, surface(single.Capacity)},
		{"single speed, EIR", nrel + ", table 8", []float64{-3.302695861, 0.137871531, -0.001056996, -0.012573945, 0.000214638, -0.000145054}, surface(single.EIR)},
		{"single speed, capacity by airflow", nrel, []float64{0.718605468, 0.410099989, -0.128705457}, line(single.CapacityFlow)},
		{"single speed, EIR by airflow", nrel, []float64{1.32299905, -0.477711207, 0.154712157}, line(single.EIRFlow)},
		{"heat pump heating, capacity", nrel + ", table 12", []float64{0.566333415, -0.000744164, -0.0000103, 0.009414634, 0.0000506, -0.00000675}, surface(heatPumpCapacityCurve)},
		{"heat pump heating, EIR", nrel, []float64{0.718398423, 0.003498178, 0.000142202, -0.005724331, 0.00014085, -0.000215321}, surface(heatPumpEIRCurve)},
		{"generic, capacity", generic.Source, []float64{0.942587793, 0.009543347, 0.00068377, -0.011042676, 0.000005249, -0.00000972}, surface(generic.Capacity)},
		{"generic, EIR", generic.Source, []float64{0.342414409, 0.034885008, -0.0006237, 0.004977216, 0.000437951, -0.000728028}, surface(generic.EIR)},
		{"generic, capacity by airflow", generic.Source, []float64{0.8, 0.2, 0}, line(generic.CapacityFlow)},
		{"generic, EIR by airflow", generic.Source, []float64{1.1552, -0.1808, 0.0256}, line(generic.EIRFlow)},
	} {
		require.Len(t, c.ours, len(c.want), c.name)
		for i := range c.want {
			published(t, fmt.Sprintf("%s, coefficient %c", c.name, 'a'+rune(i)), c.source, c.want[i], c.ours[i], 0)
		}
	}
	// The bounds that the generic curve is stated for, °C and share of rated airflow.
	for _, c := range []struct {
		name      string
		low, high float64
		ours      Range
	}{{"wet bulb", 12.78, 23.89, generic.WetBulb}, {"outdoors", 18, 46.11, generic.Outdoor}, {"airflow", 0.5, 1.5, generic.FlowFraction}} {
		published(t, "generic, least "+c.name, generic.Source, c.low, c.ours.Low, 0)
		published(t, "generic, greatest "+c.name, generic.Source, c.high, c.ours.High, 0)
	}
}
