package sound_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/solver/sound"
)

// register is the outlet of the benchmarks, in range of its formula.
func register() sound.Outlet { return sound.Outlet{Flow: 0.06, FaceArea: 0.026, Drop: 18} }

// benchmarkPower times one source and insists that it is worth timing.
func benchmarkPower(b *testing.B, source source) {
	power(b, source)
	b.ReportAllocs()
	for b.Loop() {
		_, _, _ = source.Power()
	}
}

func BenchmarkOutlet(b *testing.B) { benchmarkPower(b, register()) }
func BenchmarkDamper(b *testing.B) {
	benchmarkPower(b, sound.Damper{Flow: 0.15, Area: 0.0324, Height: 0.203, Drop: 40})
}
func BenchmarkTakeOff(b *testing.B) {
	benchmarkPower(b, sound.TakeOff{BranchFlow: 0.15, BranchArea: 0.04, MainVelocity: 5})
}

func BenchmarkRateNC(b *testing.B) {
	levels := power(b, register())
	b.ReportAllocs()
	for b.Loop() {
		sound.RateNC(levels)
	}
}

// One register in one state: its own noise, a zone damper through flexible duct, elbow and split, the room, both answers.
func BenchmarkWholeRegister(b *testing.B) {
	damper := sound.Damper{Flow: 0.1, Area: 0.0324, Height: 0.203, Drop: 40}
	flex := sound.FlexDuct{Diameter: 0.15, Length: 3}
	bend := sound.Bend{Width: 0.2}
	split := sound.Split{Branch: 0.018, All: 0.05}
	room, _, _ := bedroom().Loss()
	b.ReportAllocs()
	for b.Loop() {
		zone, _, _ := damper.Power()
		flexLoss, _, _ := flex.Loss()
		bendLoss, _, _ := bend.Loss()
		splitLoss, _, _ := split.Loss()
		own, _, _ := register().Power()
		arriving := carry(zone, quiet(bendLoss), quiet(splitLoss), quiet(flexLoss))
		j, err := sound.Judge(sound.Opening{Own: own, Borne: arriving}, room)
		require.NoError(b, err)
		_ = j
	}
}

// The hot path allocates nothing while inputs stay in range.
func TestNoAllocations(t *testing.T) {
	outlet, damper := register(), sound.Damper{Flow: 0.15, Area: 0.0324, Height: 0.203, Drop: 40}
	flex := sound.FlexDuct{Diameter: 0.15, Length: 3}
	room, _, _ := bedroom().Loss()
	allocations := testing.AllocsPerRun(100, func() {
		own, _, _ := outlet.Power()
		zone, _, _ := damper.Power()
		loss, _, _ := flex.Loss()
		arriving := carry(zone, quiet(loss))
		if _, err := sound.Judge(sound.Opening{Own: own, Borne: arriving}, room); err != nil {
			panic(err)
		}
	})
	require.Zero(t, allocations)
}
