package catalog

// blowerModels are the generic tables, airflow in cfm and power in W at 0.1, 0.2, ... 1.0 in. of water of external static.
//
// The airflows are smooth curves through ONE published table each, so the shape is good evidence and the level is a
// single sample; the powers are constructed to published ranges of W per cfm, and the whole of the constant-airflow
// machine is constructed. Powers of the lower constant-torque taps are those of the high tap times one ratio each, from
// 30 % efficiency with 0.25 in. of water of loss in the cabinet (falling with the square of the airflow) at 0.5; those
// of the lower constant-airflow settings keep the efficiency of the high one.
var blowerModels = []blowerModel{
	{
		word: "constant airflow", kind: ConstantAirflow, tons: 3,
		source: "constructed: holds its airflow to 0.7 in. of water at the high setting, then meets its limit; 24 to 37 % efficiency",
		taps: []tapTable{
			{"high",
				[10]float64{1206, 1205, 1204, 1203, 1202, 1200, 1195, 1185, 1140, 1070},
				[10]float64{205, 225, 260, 285, 320, 355, 380, 405, 420, 425}},
			{"medium",
				[10]float64{1006, 1005, 1004, 1003, 1002, 1001, 1000, 999, 998, 997},
				[10]float64{134, 156, 187, 210, 240, 270, 293, 318, 350, 387}},
			{"low",
				[10]float64{806, 805, 804, 803, 802, 801, 800, 799, 798, 797},
				[10]float64{83, 104, 130, 150, 174, 198, 218, 238, 264, 293}},
		},
	},
	{
		word: "constant torque", kind: ConstantTorque, tons: 3,
		source: "airflow: straight lines through a five-tap table on an unbranded product sheet of a 3-ton air handler (within 12 cfm); power constructed",
		taps: []tapTable{
			{"high",
				[10]float64{1603, 1567, 1531, 1496, 1460, 1425, 1389, 1353, 1318, 1282},
				[10]float64{385, 396, 407, 418, 429, 440, 450, 460, 470, 480}},
			{"medium-high",
				[10]float64{1406, 1363, 1321, 1279, 1236, 1194, 1151, 1109, 1067, 1024},
				[10]float64{295, 304, 312, 321, 329, 337, 345, 353, 360, 368}},
			{"medium",
				[10]float64{1107, 1054, 1000, 947, 894, 841, 788, 735, 681, 628},
				[10]float64{187, 192, 197, 203, 208, 213, 218, 223, 228, 233}},
			{"medium-low",
				[10]float64{951, 893, 834, 775, 717, 658, 600, 541, 482, 424},
				[10]float64{141, 145, 149, 153, 157, 161, 165, 168, 172, 176}},
		},
	},
	{
		word: "psc", kind: MultiTap, tons: 2.5,
		source: "airflow: curves through a three-tap table of an educational text on blower static and airflow (within 18 cfm to 0.7 in. of water, extended above); power constructed",
		taps: []tapTable{
			{"high",
				[10]float64{1139, 1106, 1063, 1008, 943, 866, 779, 681, 571, 451},
				[10]float64{560, 550, 535, 520, 500, 480, 455, 430, 400, 370}},
			{"medium",
				[10]float64{892, 860, 821, 776, 724, 666, 601, 530, 452, 368},
				[10]float64{430, 425, 415, 405, 390, 375, 360, 340, 320, 300}},
			{"low",
				[10]float64{636, 607, 572, 531, 483, 429, 368, 301, 227, 147},
				[10]float64{300, 295, 290, 280, 270, 260, 250, 235, 220, 205}},
		},
	},
}
