package catalog

var blades = []Blade{
	{Row{Name: "opposed", Aliases: []string{"opposed blades", "opposed blade"}, Source: memory("handbook fitting CR9-4, opposed blades")}, OpposedBlades},
	{Row{Name: "parallel", Aliases: []string{"parallel blades", "parallel blade"}, Source: memory("handbook fitting CR9-3, parallel blades")}, ParallelBlades},
	{Row{Name: "rectangular", Aliases: []string{"single rectangular", "rectangular blade"}, Source: memory("handbook fitting CR9-1, one rectangular blade; 70 and 80 degrees are our choice")}, RectangularBlade},
	{Row{Name: "round", Aliases: []string{"butterfly", "round blade"}, Source: memory("handbook fitting CD9-1, round blade; within 10 to 15 % of Weisbach's throttle valve (read) and of the closed form of a thin plate")}, RoundBlade},
}

// Round blade that fills the duct, handbook fitting CD9-1, D/D0 = 1, from memory.
var (
	roundAngles = [...]float64{0, 10, 20, 30, 40, 50, 60, 70, 75, 80}
	roundZeta   = [...]float64{0.19, 0.67, 1.76, 4.38, 11.2, 32.0, 113, 619, 2010, 10350}
)

// Round blade smaller than the duct, handbook fitting CD9-1, D/D0 < 1, from memory and with less confidence: a ring
// formula agrees within 15 % for 0.7 to 0.9 and within 40 % below. The column for 90 degrees is ours: the table goes on
// flattening as it does from 80 to 85.
var (
	ringRatios = [...]float64{0.5, 0.6, 0.7, 0.8, 0.9}
	ringAngles = [...]float64{0, 10, 20, 30, 40, 50, 60, 70, 75, 80, 85, 90}
	ringZeta   = [len(ringRatios)][len(ringAngles)]float64{
		{0.19, 0.27, 0.37, 0.49, 0.61, 0.74, 0.86, 0.96, 0.99, 1.02, 1.04, 1.05},
		{0.19, 0.32, 0.48, 0.69, 0.94, 1.21, 1.48, 1.72, 1.82, 1.89, 1.93, 1.95},
		{0.19, 0.37, 0.64, 1.01, 1.51, 2.12, 2.81, 3.46, 3.73, 3.94, 4.08, 4.13},
		{0.19, 0.45, 0.87, 1.55, 2.60, 4.13, 6.14, 8.38, 9.40, 10.3, 10.8, 11.0},
		{0.19, 0.54, 1.22, 2.51, 4.97, 9.57, 17.8, 30.5, 38.0, 45.0, 50.1, 52.0},
	}
)

// One rectangular blade, handbook fitting CR9-1, from memory, to 65 degrees; rows H/W below 0.25, to 1, above 1. At 70
// degrees the fitting's 210 and Weisbach's rectangular throttle valve, 368, both from memory, lie far apart: their
// geometric mean 278 is our choice, and the other rows keep their ratio to it. The last column is ours too: the fitting
// table at 70 degrees times the round blade's ratio between 70 and 80, since both blades uncover the same share of the duct.
var (
	rectangularAngles = [...]float64{0, 10, 20, 30, 40, 50, 60, 65, 70, 80}
	rectangularZeta   = [3][len(rectangularAngles)]float64{
		{0.04, 0.30, 1.1, 3.0, 8.0, 23, 60, 100, 190 * rectangularMean, 190 * roundLastRatio},
		{0.08, 0.33, 1.2, 3.3, 9.0, 26, 70, 128, 210 * rectangularMean, 210 * roundLastRatio},
		{0.13, 0.35, 1.3, 3.6, 10, 29, 80, 155, 230 * rectangularMean, 230 * roundLastRatio},
	}
)

const (
	roundLastRatio  = 10350.0 / 619
	rectangularMean = 278.0 / 210
)

// Multi-blade dampers, handbook fittings CR9-3 and CR9-4, from memory; rows L/R = N W / (2 (H + W)).
var (
	bladeAngles      = [...]float64{0, 10, 20, 30, 40, 50, 60, 70, 80}
	bladeProportions = [...]float64{0.3, 0.5, 1.0, 1.5}
	parallelZeta     = [len(bladeProportions)][len(bladeAngles)]float64{
		{0.52, 0.79, 1.4, 2.3, 5.0, 9, 14, 32, 116},
		{0.52, 0.92, 1.5, 2.4, 5.0, 9, 18, 45, 188},
		{0.52, 1.0, 1.6, 2.6, 5.4, 10, 24, 65, 361},
		{0.52, 1.0, 1.6, 2.7, 5.4, 10, 28, 102, 576},
	}
	opposedZeta = [len(bladeProportions)][len(bladeAngles)]float64{
		{0.52, 0.85, 2.1, 4.1, 9, 21, 73, 284, 807},
		{0.52, 1.0, 2.3, 5.4, 13, 33, 122, 377, 1045},
		{0.52, 1.2, 2.7, 7.3, 21, 65, 245, 547, 1521},
		{0.52, 1.4, 3.2, 9.0, 28, 107, 361, 677, 1654},
	}
)
