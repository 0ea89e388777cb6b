package resist

import (
	"math"
	"testing"

	"spillway/solver/air"
	"spillway/solver/flow"
)

func benchmarkLaw(b *testing.B, law flow.Law, flows ...float64) {
	b.ReportAllocs()
	var sum float64
	for i := 0; b.Loop(); i++ {
		drop, slope := law.Drop(flows[i%len(flows)])
		sum += drop + slope
	}
	_ = sum
}

// Flows that a duct of 200 mm sees, one after the other, so that the processor cannot learn one answer.
var turbulentFlows = []float64{0.05, 0.11, 0.23, 0.31, 0.17, 0.08, 0.29}

func BenchmarkDuctTurbulent(b *testing.B) {
	benchmarkLaw(b, roundDuct(0.2, 5, steel009, 1, air.Standard()), turbulentFlows...)
}

func BenchmarkDuctTransition(b *testing.B) {
	benchmarkLaw(b, roundDuct(0.2, 5, steel009, 1, air.Standard()), 0.0075, 0.008, 0.0085, 0.009, 0.01)
}

func BenchmarkDuctLaminar(b *testing.B) {
	benchmarkLaw(b, roundDuct(0.2, 5, steel009, 1, air.Standard()), 0.001, 0.0015, 0.002)
}

// BenchmarkFriction sets the friction factor with its slope beside plain Newton iteration on Colebrook's equation. The figure to
// quote is the ratio within one run.
func BenchmarkFriction(b *testing.B) {
	reynolds := []float64{2e4, 5e4, 1.1e5, 7e4, 3e5, 9e3, 6.1e4, 1.7e4}
	const rough = 4.5e-4
	for _, way := range []struct {
		name  string
		solve func(re float64) (f, exponent float64)
	}{
		{"ours", func(re float64) (f, exponent float64) { return friction(re, rough) }},
		{"Newton from 8", func(re float64) (f, exponent float64) { return newtonColebrook(re, rough, 8) }},
		{"Newton from an explicit formula", func(re float64) (f, exponent float64) {
			return newtonColebrook(re, rough, -log10Twice*math.Log(rough/3.7+5.74*math.Pow(re, -0.9)))
		}},
	} {
		b.Run(way.name, func(b *testing.B) {
			sum := 0.0
			for i := 0; b.Loop(); i++ {
				f, exponent := way.solve(reynolds[i&7])
				sum += f + exponent
			}
			_ = sum
		})
	}
}

func BenchmarkLocal(b *testing.B) {
	benchmarkLaw(b, must(NewLocal(2, 0.03, air.Standard())), turbulentFlows...)
}

func BenchmarkPowerLaw(b *testing.B) {
	benchmarkLaw(b, must(NewPowerLaw(Rating{Drop: 50, Flow: 0.5, Exponent: 1.6}, air.Standard())), turbulentFlows...)
}

func BenchmarkFan(b *testing.B) {
	fan := must(NewFan(houseTable(1139, 1106, 1063, 1008, 943, 866, 779, 681, 571, 451), air.StandardDensity))
	benchmarkLaw(b, fan, 0.61, 0.55, 0.47, 0.38, 0.59, 0.31)
}

func BenchmarkRelief(b *testing.B) {
	relief := must(NewRelief(ReliefData{SetPressure: 60, ArmAngle: 30, Area: circle(12 * inch), LeakFraction: 0.02, Air: air.Standard()}))
	benchmarkLaw(b, relief, 0.05, 0.2, 0.35, 0.5, 0.1, 0.6)
}

func BenchmarkJunction(b *testing.B) {
	j := junctionOf(b, "wye 45", [2]float64{1, 0.5})
	flows := [][]float64{{1, 0.3}, {0.4, 0.8}, {0.7, -0.1}, {0.9, 0.05}}
	drop, jac := make([]float64, 2), make([]float64, 4)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		j.Add(flows[i%len(flows)], drop, jac)
	}
}

func BenchmarkNewJunction(b *testing.B) {
	data := JunctionData{Run: 0, Branch: 1, CommonArea: 1, RunArea: 1, BranchArea: 0.5, Kind: kindNamed(b, "wye 45"), Density: 1.2}
	b.ReportAllocs()
	for b.Loop() {
		_, _ = NewJunction(data)
	}
}
