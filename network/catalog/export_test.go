package catalog

// BladeCell is one entry of a blade table, for tests that change it.
type BladeCell struct {
	Kind    BladeKind
	Setting Setting // what chooses its row
	Angle   float64
	Value   *float64
}

// BladeCells lists every entry of every blade table, row by row.
func BladeCells() []BladeCell {
	var cells []BladeCell
	add := func(kind BladeKind, s Setting, angles, row []float64) {
		for i := range row {
			cells = append(cells, BladeCell{kind, s, angles[i], &row[i]})
		}
	}
	add(RoundBlade, Setting{}, roundAngles[:], roundZeta[:])
	for i, ratio := range ringRatios {
		add(RoundBlade, Setting{BladeRatio: ratio}, ringAngles[:], ringZeta[i][:])
	}
	for i, proportion := range []float64{0.2, 1, 2} {
		add(RectangularBlade, Setting{Proportion: proportion}, rectangularAngles[:], rectangularZeta[i][:])
	}
	for i, proportion := range bladeProportions {
		add(ParallelBlades, Setting{Proportion: proportion}, bladeAngles[:], parallelZeta[i][:])
		add(OpposedBlades, Setting{Proportion: proportion}, bladeAngles[:], opposedZeta[i][:])
	}
	return cells
}
