package catalog

// DefaultJunction is what a branch leaves its duct by when the file does not say.
const DefaultJunction = "tee"

const (
	idelchik    = "Idelchik, Handbook of Hydraulic Resistance, section 7 (3rd ed. 2006 and 1960, seen second-hand)"
	duct2021    = "Handbook of Fundamentals 2021 (SI), chapter 21 Duct Design"
	takeoffText = "our fit to " + duct2021 + ", Tables 10 and 11 and Example 8, and to its table below x = 0.5 as remembered"
	bullText    = "FDBR handbook, and Idelchik, diagram 7-29 (seen second-hand)"
	boxText     = "still air: one velocity pressure lost on entering, flush entry 0.5 on leaving (Idelchik, diagram 3-1)"
)

// 2 cos α of the wyes.
const (
	twiceCos30 = 1.7320508075688772
	twiceCos45 = 1.4142135623730951
	twiceCos60 = 1.0
)

var junctions = []Junction{
	{
		// k1 and k2 by least squares over the four points of the handbook (v from 0.80 to 1.12, within 0.05), with Idelchik's A'.
		Row: Row{
			Name: "45-entry tap", Aliases: []string{"45 entry tap", "45 tap", "boot tap", "shoe tap", "45-entry tee"},
			Source: ourChoice("our fit to the points of " + duct2021 + ", Tables 10 and 11 and Example 8, with the factor A' of " + idelchik),
		},
		RunSource: ourChoice(takeoffText), JoinSource: ourChoice("taken as a 60-degree wye: " + idelchik),
		DivergingAngle: 45, ConvergingAngle: 60, Linear: 1.33, Square: 0.80, Correction: true, Run: RunTakeoff,
	},
	{
		Row:       Row{Name: "box", Aliases: []string{"plenum box", "junction box", "distribution box"}, Source: ourChoice(boxText)},
		RunSource: ourChoice(boxText), JoinSource: ourChoice(boxText),
		DivergingAngle: 90, ConvergingAngle: 90, Form: StillAirBox,
	},
	{
		Row:       Row{Name: "bullhead tee", Aliases: []string{"bullhead"}, Source: published(bullText)},
		RunSource: published(bullText), JoinSource: published(bullText),
		DivergingAngle: 90, ConvergingAngle: 90, Square: splitSquare, Form: Bullhead,
	},
	{
		// k2 of the plain tee and K = 1 at q = 0; k1 from the one published point, C_b = 0.87 at v = 0.8.
		Row: Row{
			Name: "conical tee", Aliases: []string{"conical takeoff", "cone tee"},
			Source: ourChoice("form of the plain tee through the one point of " + duct2021 + ", Tables 10 and 11"),
		},
		RunSource: ourChoice(takeoffText), JoinSource: ourChoice("taken as a plain tee: " + idelchik),
		DivergingAngle: 90, ConvergingAngle: 90, Linear: 0.794, Square: 0.3, Run: RunTakeoff,
	},
	{
		Row: Row{
			Name: "tee", Aliases: []string{"90 tee", "tee 90", "straight tee", "plain tee"},
			Source: published("TP-410, Flow of Fluids through Valves, Fittings and Pipe (seen second-hand), without its factor for equal legs"),
		},
		RunSource: published(idelchik + "; a smaller run adds 0.14 of its own velocity pressure (our choice)"), JoinSource: published(idelchik),
		DivergingAngle: 90, ConvergingAngle: 90, Square: 0.3, Run: RunTee,
	},
	{
		Row:       Row{Name: "wye 30", Aliases: []string{"30 wye", "lateral 30"}, Source: published(idelchik)},
		RunSource: ourChoice(takeoffText), JoinSource: published(idelchik),
		DivergingAngle: 30, ConvergingAngle: 30, Linear: twiceCos30, Square: 1, Correction: true, Run: RunTakeoff,
	},
	{
		Row:       Row{Name: "wye 45", Aliases: []string{"45 wye", "wye", "lateral", "lateral 45"}, Source: published(idelchik)},
		RunSource: ourChoice(takeoffText), JoinSource: published(idelchik),
		DivergingAngle: 45, ConvergingAngle: 45, Linear: twiceCos45, Square: 1, Correction: true, Run: RunTakeoff,
	},
	{
		Row:       Row{Name: "wye 60", Aliases: []string{"60 wye", "lateral 60"}, Source: published(idelchik)},
		RunSource: ourChoice(takeoffText), JoinSource: published(idelchik),
		DivergingAngle: 60, ConvergingAngle: 60, Linear: twiceCos60, Square: 1, Correction: true, Run: RunTakeoff,
	},
}
