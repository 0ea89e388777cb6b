package independent_test

import "math"

// Coefficients are on the velocity pressure of the duct that they stand for, unless the comment
// says otherwise.
const (
	roughSteel = 0.09e-3 // m, galvanised, average; Handbook of Fundamentals 2021 (SI), ch. 21, Table 1
	roughFlex  = 0.9e-3  // m, flexible; same table

	plenumTakeoff = 0.85 // abrupt exit from a plenum into a duct, textbook of duct examples
	smoothElbow   = 0.15 // r/D 1.5, duct design manual, 4th ed., Table A-7 A
	vanedElbow    = 0.15 // single vanes, from memory
	boot          = 1.3  // mitred elbow 1.2 and a widening; no open table is known (our choice)
	exitToPlenum  = 1.0  // all velocity pressure is lost
)

// section is the cross-section of a duct.
type section struct{ area, diameter float64 } // m², hydraulic m

func round(d float64) section { return section{math.Pi / 4 * d * d, d} }
func rectangle(a, b float64) section {
	return section{a * b, 2 * a * b / (a + b)} // 4A/P
}

// darcy is the friction factor: Colebrook by fixed-point iteration, 64/Re below 2000, Churchill
// (1977) between.
func darcy(re, rough float64) float64 {
	switch {
	case re < 2000:
		return 64 / math.Max(re, 1e-6)
	case re < 4000:
		a := math.Pow(2.457*math.Log(1/(math.Pow(7/re, 0.9)+0.27*rough)), 16)
		b := math.Pow(37530/re, 16)
		return 8 * math.Pow(math.Pow(8/re, 12)+math.Pow(a+b, -1.5), 1.0/12)
	}
	x := 7.0 // 1/√f
	for range 60 {
		next := -2 * math.Log10(rough/3.7+2.51*x/re)
		if math.Abs(next-x) < 1e-13 {
			break
		}
		x = next
	}
	return 1 / (x * x)
}

// duct is a straight length with its fittings.
type duct struct {
	section
	length, rough, local, factor float64 // factor multiplies friction
}

// drop is the loss of total pressure in Pa at a mass flow of kg/s.
func (d duct) drop(q float64, a air, p float64) float64 {
	rho := a.density(p)
	v := q / rho / d.area
	re := rho * math.Abs(v) * d.diameter / a.viscosity()
	return (d.factor*darcy(re, d.rough/d.diameter)*d.length/d.diameter + d.local) * rho / 2 * v * math.Abs(v)
}

// flexFactor multiplies the friction of flexible duct compressed by a percentage; same chapter, eq.
// 22 and 23, D in mm there.
func flexFactor(percent, diameter float64) float64 {
	return 1 + 0.58*percent*math.Exp(-0.00496*1000*diameter)
}

// coefficient is a loss of so many velocity pressures of a section.
func coefficient(zeta, area, q, rho float64) float64 {
	return zeta * q * math.Abs(q) / (2 * rho * area * area)
}

// A register of free-area share f, Idelchik's grid with free discharge, and a grille, his grid at a
// sharp-edged inlet; on the face (from memory, both limits known).
func registerZeta(f float64) float64 { return math.Pow((1+0.707*math.Sqrt(1-f))/f, 2) }
func grilleZeta(f float64) float64   { return math.Pow((1.707-f)/f, 2) }

// rated is the drop of a part from one point, with a power n of the flow; other air enters as by
// the Reynolds number.
func rated(drop, flow, n, q, rho, mu float64) float64 {
	ratio := math.Abs(q) / (flow * rhoS)
	return math.Copysign(drop*math.Pow(ratio, n)*math.Pow(mu/muStd, 2-n)*rhoS/rho, q)
}

// bladeZeta is a round blade at an angle from open: handbook fitting CD9-1 (from memory), straight
// in ln ζ between its rows.
func bladeZeta(angle float64) float64 {
	zeta := []float64{0.19, 0.67, 1.76, 4.38, 11.2, 32.0, 113, 619}
	if angle >= 70 {
		return math.Inf(1) // beyond, the gaps decide
	}
	i := int(angle / 10)
	share := angle/10 - float64(i)
	if share == 0 {
		return zeta[i]
	}
	// A parabola through three rows, in ln ζ: between rows the table is not straight.
	at := func(k int) float64 { return math.Log(zeta[k]) }
	if i+2 < len(zeta) {
		return math.Exp(at(i) + share*(at(i+1)-at(i)) + share*(share-1)/2*(at(i+2)-2*at(i+1)+at(i)))
	}
	return math.Exp(at(i) + share*(at(i+1)-at(i)))
}

// damperZeta puts the gaps beside the blade: a share of the flow at 700 fpm passes the shut damper
// at 0.25 in. of water, velocity pressure (V/4005)². elements.md 1.4.
func damperZeta(open, leakage float64) float64 {
	gaps := 0.25 / math.Pow(700*leakage/4005, 2)
	passes := 1 / math.Sqrt(gaps)
	if blade := bladeZeta(90 * (1 - open)); !math.IsInf(blade, 1) {
		passes += 1 / math.Sqrt(blade)
	}
	return 1 / (passes * passes)
}

// reliefDrop is a weighted damper that opens in proportion between two pressures to 75 degrees from
// shut, the blade as Idelchik's thin grid with 0.19 for its shaft and 2 % of its area as gaps;
// elements.md 2.3.
func reliefDrop(opens, full, area, q, rho float64) float64 {
	if q <= 0 {
		return coefficient(reliefZeta(0), area, q, rho)
	}
	passes := func(drop float64) float64 { // flow at a drop
		phi := 75 * math.Min(1, math.Max(0, (drop-opens)/(full-opens)))
		return area * math.Sqrt(2*rho*drop/reliefZeta(phi))
	}
	return bisect(0, 2000, func(drop float64) float64 { return passes(drop) - q })
}

func reliefZeta(phi float64) float64 {
	const gaps = 0.02
	f := gaps + (1-gaps)*(1-math.Cos(phi*math.Pi/180))
	return math.Pow((0.707*math.Sqrt(1-f)+1-f)/f, 2) + 0.19
}

// blower is a three-tap table of airflow over static; the generic PSC blower of 2.5 tons scaled to
// three, elements.md 3.4.
type blower struct{ flow, watts [10]float64 } // cfm, W at 0.1, 0.2, … 1.0 in. of water

var blowers = map[string]blower{
	"high": {[10]float64{1139, 1106, 1063, 1008, 943, 866, 779, 681, 571, 451},
		[10]float64{560, 550, 535, 520, 500, 480, 455, 430, 400, 370}},
	"medium": {[10]float64{892, 860, 821, 776, 724, 666, 601, 530, 452, 368},
		[10]float64{430, 425, 415, 405, 390, 375, 360, 340, 320, 300}},
}

const blowerScale = 1.2 // 3 tons over 2.5

// rise is the static in Pa and the power in W at a flow in m³/s, both for standard air.
func (b blower) rise(flow float64) (float64, float64) {
	want := flow / cfm / blowerScale
	static := bisect(0.01, 1.2, func(s float64) float64 { return want - parabola(b.flow, s) })
	return static * inwc, blowerScale * parabola(b.watts, static)
}

// parabola interpolates a row over 0.1 to 1.0 through the three nearest points.
func parabola(row [10]float64, s float64) float64 {
	k := min(max(int(math.Round(s*10))-1, 1), 8)
	u := s*10 - float64(k+1)
	return row[k] + u*(row[k+1]-row[k-1])/2 + u*u*(row[k+1]-2*row[k]+row[k-1])/2
}
