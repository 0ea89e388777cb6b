package glossary

// entries is the one table of words. Figures in it are common practice; those that a check uses are
// in the list of limits, with their sources.
var entries = []Entry{
	// The system and its parts.
	{Word: "zone", Heads: []string{"zones", "zone", "zones and heat", "zones and cold"},
		Text: "A part of the house with a thermostat of its own and one or more motorized " +
			"dampers. All zones share one machine, so the machine's air must go somewhere even " +
			"when only one small zone calls.",
		See: []string{"zone damper", "call", "surplus"}},
	{Word: "zone damper", Also: []string{"damper"}, Heads: []string{"dampers", "damper"},
		Text: "A motorized blade in the duct of a zone. It is open while the zone calls and " +
			"goes to its minimum position when the zone is satisfied. Even shut, it leaks a few " +
			"percent.",
		See: []string{"stop", "blade", "damper leakage"}},
	{Word: "stop", Also: []string{"minimum position"},
		Text: "How far a zone damper stays open while its zone is satisfied: its minimum " +
			"position. A larger stop lets more surplus air bleed into a zone that did not ask " +
			"for it, and so takes the static down.",
		See: []string{"bleed", "static"}},
	{Word: "blade", Heads: []string{"blade"},
		Text: "The plate in a damper. Its angle counts from fully open, 0°, to shut, 90°. " +
			"Airflow does not follow the angle in proportion: the first degrees from open change " +
			"little, the last ones much."},
	{Word: "damper leakage", Also: []string{"leakage class"},
		Text: "The air that passes a damper that is shut, as a share of its nominal airflow " +
			"or as a class of a standard.",
		See: []string{"duct leakage"}},
	{Word: "open", Heads: []string{"open", "open %", "damper % open"},
		Text: "How far a damper is open: 0 % shut, 100 % with its blade along the air."},
	{Word: "position", Heads: []string{"stands"},
		Text: "Where a damper is in this call state, and why: open for its call, at its stop, " +
			"or where its weight or spring holds it."},
	{Word: "bypass", Also: []string{"bypass damper", "relief"},
		Heads: []string{"bypassed %"},
		Text: "A duct from the supply side straight back to the return, with a damper that " +
			"opens when the supply pressure rises. It takes surplus air away from the rooms, but " +
			"the machine then heats or cools air that it has heated or cooled already.",
		See: []string{"recirculated", "entering air", "barometric damper"}},
	{Word: "barometric damper", Also: []string{"weighted damper"},
		Text: "A damper that a weight holds shut. It opens by itself when the pressure across " +
			"it reaches its setting; no motor moves it.",
		See: []string{"bypass"}},
	{Word: "constant-pressure damper", Also: []string{"pressure-holding damper"},
		Text: "A damper whose drive opens it as far as it takes to hold the static at a " +
			"sensor.",
		See: []string{"bypass"}},
	{Word: "backdraft damper",
		Text: "A light flap that lets air pass one way only."},
	{Word: "balancing damper", Also: []string{"hand damper", "balance"},
		Text: "A damper set once, by hand, so that every run of a trunk gets its share."},
	{Word: "dump zone", Also: []string{"dump"},
		Text: "A hall, basement or other place into which surplus air is let on purpose when " +
			"few zones call. It is heated or cooled with it, wanted or not.",
		See: []string{"surplus"}},
	{Word: "plenum", Also: []string{"supply plenum", "return plenum"},
		Text: "The box on the machine from which the supply trunks leave (supply plenum) or " +
			"into which the return ducts lead (return plenum)."},
	{Word: "trunk",
		Text: "A main duct from which several branches leave."},
	{Word: "branch", Also: []string{"run"}, Heads: []string{"run"},
		Text: "One length of duct of one size: from a trunk or plenum to a register, or from " +
			"a grille to the return. The job file calls each a line of its table."},
	{Word: "duct", Heads: []string{"ducts", "to"},
		Text: "What carries the air between machine and rooms. The table of ducts goes in the " +
			"order of the air, each piece to the next takeoff.",
		See: []string{"friction rate"}},
	{Word: "takeoff", Also: []string{"tap of a duct", "wye", "tee"},
		Text: "The fitting by which a branch leaves a trunk. A wye or a 45-degree tap turns " +
			"the air gently; a plain tee costs several times as much pressure."},
	{Word: "fitting", Also: []string{"elbow", "boot", "transition"},
		Text: "Anything in a duct that turns the air or changes its section. Its loss is a " +
			"coefficient, C, times the velocity pressure.",
		See: []string{"velocity pressure"}},
	{Word: "register", Heads: []string{"registers", "register", "loudest", "register or grille"},
		Text: "The outlet with blades through which supply air enters a room. What faces the " +
			"air going back is a return grille.",
		See: []string{"face velocity", "throw"}},
	{Word: "grille", Also: []string{"return grille"},
		Text: "The opening without a damper through which room air goes back to the machine.",
		See:  []string{"return"}},
	{Word: "return", Also: []string{"return air"}, Heads: []string{"return"},
		Text: "The way of the air from the rooms back to the machine. In the table of zones: " +
			"the air that the zone's grilles take, which seldom equals what its registers give.",
		See: []string{"against house"}},
	{Word: "free area",
		Text: "The part of the face of a register or grille through which air can pass; " +
			"blades and frame take the rest."},
	{Word: "room", Heads: []string{"room"},
		Text: "Where a register or grille is. A room with a door that shuts has a pressure of " +
			"its own.",
		See: []string{"against house", "undercut"}},
	{Word: "undercut", Also: []string{"transfer grille", "jump duct"},
		Text: "The gap under a door, through which the air of a closed room gets back to the " +
			"return. Where it is too small the room is pressed up; a transfer grille or a jump " +
			"duct to the hall helps."},
	{Word: "part", Heads: []string{"parts", "part", "kind"},
		Text: "Anything that the air passes on its way: filter, coil, damper, register, leak."},
	{Word: "port", Heads: []string{"static at the ports"},
		Text: "A small hole, closed by a plug, at which static pressure is read with a probe."},

	// The machine.
	{Word: "blower", Heads: []string{"blower", "blower kwh"},
		Text: "The fan of the furnace or air handler. It moves less air the greater the " +
			"pressure against it; where its curve meets that of the ducts is what it moves.",
		See: []string{"external static", "speed tap"}},
	{Word: "speed tap", Also: []string{"tap", "blower tap"},
		Text: "One of the fixed speeds of a blower, chosen by a wire on its motor or a " +
			"switch. Each has its own row in the blower table."},
	{Word: "blower table", Also: []string{"fan curve"},
		Text: "The maker's table of airflow against external static, one row for each speed " +
			"tap."},
	{Word: "constant-airflow blower", Also: []string{"variable-speed blower", "ecm"},
		Text: "A blower whose motor speeds up until a set airflow is reached. When dampers " +
			"close it does not give up air: static, noise and watts rise instead."},
	{Word: "fan", Heads: []string{"fan"},
		Text: "In the sheet for a building code: whether the power that the blower takes for " +
			"each airflow is within the code's limit.",
		See: []string{"blower", "fan power"}},
	{Word: "fan power", Also: []string{"w/cfm", "fan efficacy", "W per l/s"},
		Heads: []string{"w/cfm", "W per l/s"},
		Text: "The electric power of the blower over the airflow that it moves. High figures " +
			"mean tight ducts or a poor motor."},
	{Word: "furnace",
		Text: "A machine that heats air by burning gas or oil. Its heat exchanger needs air: " +
			"with too little its limit switch trips.",
		See: []string{"limit", "rise"}},
	{Word: "heat pump",
		Text: "An air conditioner that can turn its circuit round and heat."},
	{Word: "coil", Also: []string{"evaporator", "cooling coil"},
		Text: "The cold heat exchanger in the air of a cooling machine. It takes heat and " +
			"moisture from the air; wet, it resists the air more.",
		See: []string{"coil frost"}},
	{Word: "filter", Also: []string{"loading"},
		Text: "What catches dust before the blower. Its drop grows as it loads: a dirty " +
			"filter can take more static than all ducts together."},
	{Word: "stage", Also: []string{"two-stage", "low stage"},
		Text: "A step of a machine's capacity. On its low stage a machine needs less air, so " +
			"a small zone that calls alone leaves less surplus."},
	{Word: "capacity", Also: []string{"total capacity", "ton", "output"},
		Text: "What a machine takes from the air (cooling) or gives to it (heating). A ton of " +
			"cooling is 12,000 Btu/h, 3.52 kW."},
	{Word: "sensible heat", Also: []string{"sensible", "sensible heat ratio", "latent heat"},
		Text: "The part of the heat that changes the temperature of the air. The rest, " +
			"latent, changes its moisture. A cooling coil does both."},
	{Word: "cfm per ton", Also: []string{"airflow per ton"}, Heads: []string{"cfm/ton",
		"l/s per kW"},
		Text: "The airflow over the cooling capacity. 400 cfm per ton is usual; well below it " +
			"the coil gets cold and can freeze."},
	{Word: "rise", Also: []string{"temperature rise"},
		Text: "By how much the air gets warmer in the machine. The rating plate of a furnace " +
			"gives the least and the greatest; too little air makes it too great."},
	{Word: "limit", Also: []string{"limit switch", "high limit", "high-limit switch",
		"limit sensor",
		"limit trip"}, Heads: []string{"limit sensor"},
		Text: "The switch beside a furnace's heat exchanger that stops the burner when the " +
			"air there gets too hot. Its sensor lags behind the air; printed is when it trips " +
			"and where it would settle. Tripping on every call wears the heat exchanger out. " +
			"Never defeat it.",
		See: []string{"rise", "entering air"}},
	{Word: "trip", Heads: []string{"trips in recovery", "trips settled"},
		Text: "The limit switch opens and the burner stops. In recovery: while a zone is " +
			"being brought back from its setback; settled: while it is merely held.",
		See: []string{"limit"}},
	{Word: "margin to the limit", Heads: []string{"below limit", "above frost"},
		Text: "How far the furnace's limit sensor settles below the temperature at which it " +
			"trips, or how far the coil stays above freezing.",
		See: []string{"limit",
			"coil frost"}},
	{Word: "cut-out", Heads: []string{"cutouts"},
		Text: "A sensor of the zone panel in the leaving air stops burner or compressor " +
			"before the machine's own limit does; the blower runs on."},
	{Word: "coil frost", Also: []string{"frost", "coil freeze-up", "time to frost"},
		Heads: []string{"coil frost", "coil iced"},
		Text: "The coldest part of the coil reaches freezing, and its moisture freezes on it. " +
			"Ice blocks the air, which makes the coil colder still. It takes long calls: printed " +
			"is when freezing begins.",
		See: []string{"evaporating temperature", "cfm per ton"}},
	{Word: "evaporating temperature", Also: []string{"evaporating", "saturated suction"},
		Heads: []string{"evaporating"},
		Text: "The temperature at which the refrigerant boils in the coil. It falls when less " +
			"or colder air crosses the coil."},
	{Word: "entering air", Also: []string{"entering", "mixed air"}, Heads: []string{"entering",
		"in"},
		Text: "The air that enters the machine: return air, mixed with what a bypass sends " +
			"back. Around a bypass of share r it settles at return + r × rise / (1 − r).",
		See: []string{"bypass", "unmixed"}},
	{Word: "leaving air", Also: []string{"leaving", "supply air"},
		Heads: []string{"leaving", "out", "supply", "air"},
		Text: "The air that leaves the machine, and with the loss of the duct what a register " +
			"gives."},
	{Word: "recirculated", Also: []string{"recirc"}, Heads: []string{"recirc %", "recirc"},
		Text: "The share of the blower's air that a bypass sends straight back to the inlet.",
		See:  []string{"bypass"}},
	{Word: "unmixed", Also: []string{"unmixed share", "stratified"},
		Text: "The share of a bypass's air that reaches the machine as a strip which has not " +
			"mixed with the return. Hot strips trip limits that well-mixed air would not. It can " +
			"hardly be predicted; the farther upstream a bypass joins, the less arrives unmixed."},
	{Word: "run time", Heads: []string{"median", "longest", "median run", "longest settled"},
		Text: "How long the machine runs at a stretch: half of the runs are shorter than the " +
			"median. Settled: while a zone is held, not brought back from its setback."},
	{Word: "starts", Also: []string{"cycling", "short cycling"}, Heads: []string{"starts"},
		Text: "How often burner or compressor start. Many short runs are hard on the machine " +
			"and do not dry the air."},
	{Word: "energy", Heads: []string{"energy kbtu", "energy kwh"},
		Text: "What burner or compressor take in over the day: heat of the fuel, or " +
			"electricity."},
	{Word: "recovery", Also: []string{"setback"}, Heads: []string{"recovery"},
		Text: "The time from a change of the set point until the zone is there."},

	// Calls and what zones get.
	{Word: "call", Also: []string{"calls", "calling zone"}, Heads: []string{"call", "calls"},
		Text: "A thermostat asks for heat or cooling; otherwise its zone is satisfied. In the " +
			"tables of a day: how often it called."},
	{Word: "call state", Also: []string{"state"},
		Heads: []string{"call state", "call states", "zones that call for cooling"},
		Text: "Which zones call, in which mode, at which stage: every combination is one call " +
			"state. A zoned house is as many duct systems as it has call states, and each is " +
			"solved."},
	{Word: "satisfied", Also: []string{"satisfied zone"},
		Text: "The zone's thermostat does not call; its damper is at its stop."},
	{Word: "zone panel", Also: []string{"panel"},
		Text: "The control that hears the thermostats, moves the dampers and runs the " +
			"machine."},
	{Word: "wants", Also: []string{"wanted", "design airflow"},
		Heads: []string{"wants", "wanted", "asks"},
		Text: "The airflow that carries the design load of a register, room or zone. What it " +
			"gets beyond that while it calls is surplus.",
		See: []string{"surplus", "design load"}},
	{Word: "gets", Heads: []string{"gets", "given"},
		Text: "What arrives in the zone, as airflow or as heat or cold, beside what it asks " +
			"for."},
	{Word: "needs", Also: []string{"design load", "heat loss", "heat gain", "load"},
		Heads: []string{"needs"},
		Text: "The heat that a zone loses in the coldest design weather, or gains in the " +
			"hottest, per hour. A machine should carry it, and not much more."},
	{Word: "share of want", Heads: []string{"% of want", "of its want before, %", "after, %"},
		Text: "The airflow of a register over what it wants: 100 % is just right."},
	{Word: "short", Also: []string{"shortfall"}, Heads: []string{"short", "short, °F·h",
		"short, K·h",
		"short °F·h", "short K·h"},
		Text: "How much less a calling zone gets than it wants. Over a day: how far and how " +
			"long it was under its set point in heating or above it in cooling, degrees times " +
			"hours."},
	{Word: "over", Heads: []string{"over, °F·h", "over, K·h", "over °F·h", "over K·h"},
		Text: "How far and how long a zone was past its set point, too warm in heating or too " +
			"cold in cooling: degrees times hours. That is what surplus air does to zones that " +
			"did not ask.",
		See: []string{"drift"}},
	{Word: "surplus", Also: []string{"surplus air", "excess air"},
		Heads: []string{"surplus", "surplus air"},
		Text: "The air that the blower moves beyond what the calling zones want. It does not " +
			"vanish: it is forced into the calling zones, bleeds into the others, goes round a " +
			"bypass, into a dump zone or out of leaks.",
		See: []string{"ledger", "bleed",
			"bypass"}},
	{Word: "the most of it", Heads: []string{"the most of it", "cfm the most of it",
		"l/s the most of it"},
		Text: "Where the greatest part of the surplus goes."},
	{Word: "ledger", Also: []string{"where the air goes"},
		Text: "The account of the blower's air: every line is a way on which some of it goes, " +
			"and they add up to the whole."},
	{Word: "bleed",
		Text: "Surplus air that passes the damper of a satisfied zone at its stop, wanted or " +
			"not.",
		See: []string{"stop", "neutral bleed"}},
	{Word: "neutral bleed", Also: []string{"neutral"}, Heads: []string{"neutral"},
		Text: "The bleed that would just carry a satisfied zone's own load, so that it " +
			"neither warms nor cools. More makes it drift past its set point."},
	{Word: "drift", Heads: []string{"drift"},
		Text: "How fast the temperature of a satisfied zone moves while another zone calls, " +
			"per hour: warmer or colder by what bleeds into it, against its own load.",
		See: []string{"bleed", "neutral bleed", "ends off"}},
	{Word: "ends off", Also: []string{"drift ends"}, Heads: []string{"ends °F off", "ends K off",
		"off after"},
		Text: "Where the drift of a satisfied zone would end if calls went on like this, as a " +
			"distance from its set point; beside it, after what time it is a given distance off."},
	{Word: "calls itself", Heads: []string{"calls itself"},
		Text: "After what time a satisfied zone has drifted so far that its own thermostat " +
			"calls."},
	{Word: "set point", Heads: []string{"set point, °F", "set point, °C", "mean", "lowest",
		"highest"},
		Text: "The temperature that a thermostat holds; beside it the mean, lowest and " +
			"highest temperature of the zone over the day."},
	{Word: "callers keep", Also: []string{"callers' share"}, Heads: []string{"callers keep %",
		"callers keep"},
		Text: "The part of the heat or cold of a call that reaches the zones that call.",
		See:  []string{"zoning kept"}},
	{Word: "zoning kept", Also: []string{"zoning"},
		Text: "How much of the possible zoning a call keeps: 100 % when all its heat or cold " +
			"goes to the zones that call, 0 % when they get no more of it than with every zone " +
			"damper open.",
		See: []string{"callers keep"}},

	// Pressure and air.
	{Word: "airflow", Also: []string{"cfm", "l/s", "m³/h"}, Heads: []string{"cfm", "l/s",
		"airflow"},
		Text: "How much air passes, by volume and time: cubic feet per minute or liters per " +
			"second, of standard air."},
	{Word: "external static", Also: []string{"static", "static pressure", "total external static",
		"ESP",
		"external static pressure"}, Heads: []string{"static", "static at its end"},
		Text: "Static pressure is what the air presses on the walls of a duct with. External " +
			"static is the rise across the blower cabinet that filter, coil and ducts outside it " +
			"take: the number to hold against the rating plate, commonly 0.50 in. w.c. In a " +
			"table of registers or ducts it is the static there, against the house.",
		See: []string{"blower", "drop"}},
	{Word: "in. w.c.", Also: []string{"inches of water", "inwc", "Pa", "pascal", "pressure"},
		Heads: []string{"in. w.c.", "Pa"},
		Text: "Inches of water column, the trade's unit of pressure: 1 in. w.c. is 249 Pa. " +
			"Duct pressures are a few tenths."},
	{Word: "against house", Also: []string{"room pressure"}, Heads: []string{"against house"},
		Text: "The pressure in a zone or room against the open house. A few pascals move " +
			"doors, pull outdoor air in, and can pull on a natural-draft appliance."},
	{Word: "drop", Also: []string{"pressure drop", "loss"}, Heads: []string{"drop"},
		Text: "The pressure that a part takes from the air. It grows about with the square of " +
			"the airflow."},
	{Word: "friction rate", Heads: []string{"per 100 ft", "per m", "in. w.c. per 100 ft",
		"Pa per m",
		"in. w.c./100 ft", "Pa/m"},
		Text: "The drop of a straight duct over 100 ft, or a meter."},
	{Word: "velocity", Also: []string{"fpm", "duct velocity", "m/s"}, Heads: []string{"fpm", "m/s"},
		Text: "How fast the air goes: airflow over section. Fast air is loud, and its losses " +
			"grow with the square.",
		See: []string{"velocity pressure", "face velocity"}},
	{Word: "velocity pressure",
		Text: "The pressure that moving air gives up when it is stopped: (fpm/4005)² in. w.c. " +
			"for standard air. Losses of fittings are multiples of it."},
	{Word: "face velocity", Also: []string{"face"}, Heads: []string{"face", "fastest face"},
		Text: "Airflow over the whole face of a register, grille, filter or coil, blades and " +
			"all.",
		See: []string{"noise criterion"}},
	{Word: "duct leakage", Also: []string{"leakage", "leak"},
		Text: "The air that leaves through joints before it reaches a register, or enters on " +
			"the return side. Leaks outside the house are lost altogether."},
	{Word: "wet bulb", Also: []string{"humidity", "dew point"},
		Text: "What a thermometer in a wet wick reads: with the plain temperature it says how " +
			"moist the air is. At the dew point the air begins to sweat on cold metal."},
	{Word: "temperature", Heads: []string{"°F", "°C"},
		Text: "Of the air at that place."},
	{Word: "size", Also: []string{"section"}, Heads: []string{"size"},
		Text: "The inside of a duct or the face of a register: one number for round, two for " +
			"rectangular or oval."},
	{Word: "amount", Heads: []string{"pieces", "ft", "m", "to buy", "ft²", "m²", "lb", "kg"},
		Text: "How much of a part the job takes, and how much that is as it is sold."},

	// Noise and jets.
	{Word: "noise criterion", Also: []string{"NC", "noise"}, Heads: []string{"noise", "nc"},
		Text: "A single figure for the noise in a room, from a set of curves over the octave " +
			"bands. NC 25 to 30 suits a bedroom; 10 more sounds twice as loud.",
		See: []string{"band", "dba"}},
	{Word: "band", Heads: []string{"band", "usual is 500 to 750", "usual is 2.54 to 3.81"},
		Text: "Between which values a figure lies, as well as it is known. Noise is hardly " +
			"predicted to better than 10; a maker's rating narrows it."},
	{Word: "dBA", Also: []string{"decibel", "dB(A)"}, Heads: []string{"dba"},
		Text: "The noise as a sound meter reads it, weighted as the ear hears."},
	{Word: "octave band", Also: []string{"governs", "Hz"}, Heads: []string{"governs hz"},
		Text: "The band of frequencies that decides the noise criterion: low ones rumble, " +
			"high ones hiss."},
	{Word: "heard most", Heads: []string{"heard most"},
		Text: "What is the loudest at the register: the register itself, a damper, or the " +
			"blower through the duct."},
	{Word: "throw", Also: []string{"reach", "terminal velocity"}, Heads: []string{"throw"},
		Text: "How far from a register its air still moves at 50 fpm. Too short, and the far " +
			"side of the room stands still; too long, and it strikes a wall or a person.",
		See: []string{"draft"}},
	{Word: "draft", Also: []string{"draught"},
		Text: "Moving air that chills people: cold and fast where they sit or lie.",
		See:  []string{"throw"}},

	// Judgement.
	{Word: "fault", Also: []string{"caution", "finding", "F/c", "FAULT"},
		Heads: []string{"fault", "caution", "f/c"},
		Text: "A finding is a value past a limit. A caution is worth a look; a fault should " +
			"not be built like this. F/c counts faults and cautions.",
		See: []string{"limit of a check"}},
	{Word: "limit of a check", Also: []string{"check", "guideline"},
		Heads: []string{"limits that may be passed"},
		Text: "The value from which a check is a caution or a fault. Each has a source; the " +
			"command limits lists them, and [limits] in the job file overrides them."},
	{Word: "certificate", Also: []string{"proof", "proven"},
		Text: "How nearly the printed numbers solve the equations. It says nothing of how " +
			"well the equations describe a real house: that is some 15 % of an airflow."},
	{Word: "assumption", Also: []string{"default"},
		Text: "A value that the job file does not give and the program took, with its reason. " +
			"--verbose lists them."},
	{Word: "option", Heads: []string{"option", "steel +", "parts +", "least"},
		Text: "One way to build and set a house, on the page to decide and sign: the file as " +
			"it stands, one of its alternatives, or the changes that were found. Steel and " +
			"parts are what it takes beside the file as it stands; least is the worst of all " +
			"call states."},
	{Word: "class of a check", Heads: []string{"safety", "machine", "code", "zoning", "comfort"},
		Text: "What a check is there for, the gravest first: that nobody is hurt, that the " +
			"machine lasts, that a code is kept, that the house is still zoned, that it is " +
			"comfortable and quiet. The page to decide shows the worst of each class."},
	{Word: "stop as it is set", Heads: []string{"zone damper", "while satisfied",
		"while its zone calls"},
		Text: "How far a zone damper is open while its zone is satisfied and while it calls: in " +
			"percent, and in degrees of its blade from the shut and from the open mark of the " +
			"actuator."},
	{Word: "reading to confirm", Heads: []string{"reading", "in call state", "within"},
		Text: "What should be read on the day the settings are made, in which call state, and " +
			"how far off a reading may be before something is different from the model."},
	{Word: "alternative", Heads: []string{"alternative"},
		Text: "A named set of changes in the job file: the same house with a bypass, say."},
	{Word: "worst", Heads: []string{"at its worst", "worst over all call states", "at worst"},
		Text: "The most unfavorable value over all call states. What is best for one call " +
			"state is seldom best for all."},
	{Word: "setting", Heads: []string{"setting", "found", "until", "limits hold",
		"other limits hold",
		"settings to leave", "should be"},
		Text: "What can be set, the value that was found, and how far it may be off before a " +
			"check fails."},
	{Word: "percentile", Also: []string{"doubt", "spread"},
		Heads: []string{"as it is", "5 %", "50 %", "95 %", "most of it from", "holds %", "clear %"},
		Text: "The inputs that are not exactly known are drawn many times. Under the 5 % " +
			"value lies one draw in twenty, under 50 % half of them. Beside it: the input from " +
			"which most of the scatter comes, and in how many draws a limit holds, or holds " +
			"without a caution."},
	{Word: "time", Heads: []string{"time", "share", "time course, min"},
		Text: "How long, and which share of the whole. A time course begins with the call."},

	// Readings.
	{Word: "reading", Heads: []string{"readings", "at", "what", "read", "±", "unit", "as found"},
		Text: "A value that somebody measured: where, what, and by how much the instrument " +
			"may be off."},
	{Word: "expected", Heads: []string{"expected", "tolerance", "as left"},
		Text: "What the house as drawn would read there, within the tolerance. As left: what " +
			"is read after the work, to be filled in."},
	{Word: "as built", Heads: []string{"as built ±"},
		Text: "By how much a real house differs from its drawing even without a fault: " +
			"fittings, lengths, leaks."},
	{Word: "sigma", Also: []string{"standard deviation", "σ"}, Heads: []string{"σ off"},
		Text: "How far a reading is from what was expected, in standard deviations of " +
			"instrument and house together. Up to 2 is nothing; beyond 3 something is different."},
	{Word: "cause", Also: []string{"weight", "BIC"},
		Heads: []string{"causes", "weight", "χ²", "bic", "how much"},
		Text: "What would explain the readings: a dirty filter, a damper that is shut. The " +
			"weight is how likely a cause is beside the others; χ² is how badly it fits all " +
			"readings, and BIC is the same with a penalty for each value that was set to fit."},
	{Word: "put right", Heads: []string{"put right:", "then"},
		Text: "What the house would do once a cause is put right, beside what it does now."},
	{Word: "before and after", Heads: []string{"was"},
		Text: "The value before the change."},
}
