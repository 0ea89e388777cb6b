package sound_test

import (
	"fmt"
	"testing"

	"spillway/network/evidencetest"
	"spillway/solver/sound"
)

// Whole tables, typed a second time, so that no cell of ours can be off by a slip of the hand.

func TestPublishedFlexTable(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	for _, row := range []struct {
		diameter float64 // in.
		by       [4][7]float64
	}{
		{4, [4][7]float64{{2, 3, 3, 8, 9, 11, 7}, {3, 6, 6, 16, 19, 21, 14}, {5, 8, 9, 23, 28, 32, 20}, {6, 11, 12, 31, 37, 42, 27}}},
		{5, [4][7]float64{{2, 3, 4, 8, 10, 10, 7}, {4, 6, 7, 16, 19, 21, 13}, {5, 9, 11, 24, 29, 31, 20}, {7, 12, 14, 32, 38, 41, 26}}},
		{6, [4][7]float64{{2, 3, 4, 8, 10, 10, 7}, {4, 6, 9, 17, 19, 20, 13}, {6, 9, 13, 25, 29, 30, 20}, {8, 12, 17, 33, 38, 40, 26}}},
		{7, [4][7]float64{{2, 3, 5, 8, 9, 10, 6}, {4, 6, 10, 17, 19, 19, 13}, {6, 9, 14, 25, 28, 29, 19}, {8, 12, 19, 33, 37, 38, 25}}},
		{8, [4][7]float64{{2, 3, 5, 8, 9, 9, 6}, {4, 6, 11, 17, 19, 19, 12}, {6, 8, 16, 25, 28, 28, 18}, {8, 11, 21, 33, 37, 36, 22}}},
		{9, [4][7]float64{{2, 3, 6, 8, 9, 9, 6}, {4, 6, 11, 17, 19, 18, 11}, {6, 8, 17, 25, 28, 27, 17}, {8, 11, 22, 33, 37, 36, 22}}},
		{10, [4][7]float64{{2, 3, 6, 8, 9, 9, 5}, {4, 5, 11, 16, 18, 17, 11}, {6, 8, 17, 24, 27, 26, 16}, {8, 10, 22, 32, 36, 34, 21}}},
		{12, [4][7]float64{{2, 2, 5, 8, 9, 8, 5}, {3, 5, 10, 15, 17, 16, 9}, {5, 7, 15, 23, 26, 23, 14}, {7, 9, 20, 30, 34, 31, 18}}},
	} {
		for i, want := range row.by {
			length := 3 * float64(i+1)
			got := loss(t, sound.FlexDuct{Diameter: row.diameter * inch, Length: length * foot})
			octaves(t, fmt.Sprintf("flexible %g in., %g ft", row.diameter, length), long+", Table 14.4", want[:], got, 1e-9)
		}
	}
}

// Read in the middle of each class of frequency times width, at 1000 Hz, where the width in inches is the product.
func TestPublishedBendTable(t *testing.T) {
	evidencetest.Of(t, evidencetest.Twice)
	middles := []float64{1, 2.8, 5.6, 11, 22, 40} // kHz·in.
	for _, row := range []struct {
		name string
		kind sound.BendKind
		loss [6]float64
	}{
		{"round", sound.RoundBend, [6]float64{0, 1, 2, 3, 3, 3}},
		{"square", sound.SquareBend, [6]float64{0, 1, 5, 8, 4, 3}},
		{"square, vanes", sound.VanedBend, [6]float64{0, 1, 4, 6, 4, 4}},
		{"square, lined", sound.LinedBend, [6]float64{0, 1, 6, 11, 10, 10}},
	} {
		for i, want := range row.loss {
			got := loss(t, sound.Bend{Kind: row.kind, Width: middles[i] * inch})
			published(t, fmt.Sprintf("%s elbow, %g kHz·in.", row.name, middles[i]), long+", Tables 14.5 to 14.7; Bies, Table 8.11", want, got[4], 0)
		}
	}
}
