package catalog

// Stretch is a figure outside what the source of a row prints, or what a fit of ours rests on. The row still gives its coefficient.
type Stretch struct {
	Quantity  string
	Value     float64
	Low, High float64 // of the source
	Source    string
	Held      bool // the nearer end was used; otherwise the form goes on
}

// LastAngle is where the printed table of a blade ends, degrees from open. Between it and 90 degrees, where the gaps round the shut blade
// decide, Zeta leads the blade's share of the flow to nothing; the entries of one rectangular blade at 75 and 80 degrees are ours.
func (b Blade) LastAngle() float64 {
	if b.Kind == RectangularBlade {
		return rectangularAngles[len(rectangularAngles)-2]
	}
	if b.Kind == RoundBlade {
		return roundAngles[len(roundAngles)-1]
	}
	return bladeAngles[len(bladeAngles)-1]
}

// Ranges of junctions. Idelchik and TP-410 print branches and runs no larger than the main. The taps' branches were fitted to
// points of the handbook between the velocity ratios of tapLow and tapHigh, the conical tee to its one point; the run past a takeoff to
// points from 0.5 to runHigh, and to its table from runLow as remembered.
const (
	tapLow, tapHigh = 0.80, 1.12
	conicalPoint    = 0.80
	runLow, runHigh = 0.125, 1.16
)

// Stretched tells which of its arguments lie outside the range of a junction's formulas, for the flow share q of the branch and the areas a
// of the branch and s of the run over that of the combined leg, where the flow divides or joins. It allocates only if there are such.
func (j *Junction) Stretched(divides bool, q, a, s float64) []Stretch {
	if j.Form != SideBranch {
		return nil
	}
	var list []Stretch
	see := func(quantity string, value, low, high float64, source Source) {
		const rounding = 1e-9
		if value < low-rounding || value > high+rounding {
			list = append(list, Stretch{Quantity: quantity, Value: value, Low: low, High: high, Source: j.Name + ": " + source.String()})
		}
	}
	branch, run := j.Source, j.RunSource
	if !divides {
		branch, run = j.JoinSource, j.JoinSource
	}
	see("branch over main area", a, 0, 1, branch)
	see("run over main area", s, 0, 1, run)
	if !divides {
		return list
	}
	v, x := q/max(a, minRatio), (1-q)/max(s, minRatio)
	switch {
	case j.Linear == 0 || j.Run != RunTakeoff:
	case !j.Correction:
		see("branch over main velocity", v, conicalPoint, conicalPoint, branch)
	case j.Source.Mark == OurChoice:
		see("branch over main velocity", v, tapLow, tapHigh, branch)
	}
	if j.Run == RunTakeoff {
		see("run over main velocity", x, runLow, runHigh, run)
	}
	return list
}
