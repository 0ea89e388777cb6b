package jet

// Direction is where a jet starts towards.
type Direction uint8

const (
	// Horizontal jets cross the room from a wall or along a ceiling.
	Horizontal Direction = iota
	// Up jets leave a floor, a baseboard or a low wall upwards.
	Up
	// Down jets leave a ceiling downwards.
	Down
)

// Pattern is what a kind of outlet does with its air: a generic throw constant and the area it belongs to.
type Pattern struct {
	Name string
	K    float64 // throw constant
	// Spread is how far K may be off, as a share of it.
	Spread float64
	// FreeShare of the area named by Area that K wants: A_o = FreeShare × that area.
	FreeShare float64
	Area      string // which area: "core" or "neck"
	Direction Direction
	Attached  bool // clings to the ceiling while it is fast enough
	// Window of T025 over the room's length in which rooms are found comfortable.
	WindowLow, WindowHigh float64
}

// Windows of throw over length: our choice inside the rows of the table of throw for best ADPI (ASHRAE Fundamentals,
// older editions, from memory; two rows agree with published ones).
const (
	sidewallLow, sidewallHigh = 0.7, 2.0
	ceilingLow, ceilingHigh   = 0.5, 1.5
	sillLow, sillHigh         = 0.6, 1.7
)

// patterns has the throw constants of ASHRAE Handbook – Fundamentals (SI), ch. 20, Table 1, "generic
// values, example purposes". The plain names of outlets in floor, baseboard and low wall are the
// ordinary ones of houses, whose blades spread the air; "straight" is the table's row without
// spread. The floor's 2.0 (1.6 to 2.5) is our choice between the table's 1.6 and 4.7.
var patterns = [...]Pattern{
	{"high sidewall", 5.7, generic, 0.8, "core", Horizontal, true, sidewallLow, sidewallHigh},
	{"high sidewall, wide", 4.2, generic, 0.8, "core", Horizontal, true, sidewallLow, sidewallHigh},
	{"high sidewall linear, core under 100 mm", 4.4, generic, 0.5, "core", Horizontal, true, sidewallLow, sidewallHigh},
	{"high sidewall linear, core over 100 mm", 5.0, generic, 0.5, "core", Horizontal, true, sidewallLow, sidewallHigh},
	{"low sidewall up", 3.0, generic, 0.5, "core", Up, false, sillLow, sillHigh},
	{"low sidewall up, wide", 3.0, generic, 0.5, "core", Up, false, sillLow, sillHigh},
	{"low sidewall up, straight", 4.5, generic, 0.5, "core", Up, false, sillLow, sillHigh},
	{"baseboard up", 2.0, generic, 1, "core", Up, false, sillLow, sillHigh},
	{"baseboard up, wide", 2.0, generic, 1, "core", Up, false, sillLow, sillHigh},
	{"baseboard up, straight", 4.0, generic, 1, "core", Up, false, sillLow, sillHigh},
	{"floor", 2.0, 0.2, 0.5, "core", Up, false, sillLow, sillHigh},
	{"floor, wide", 1.6, generic, 0.5, "core", Up, false, sillLow, sillHigh},
	{"floor, straight", 4.7, generic, 0.5, "core", Up, false, sillLow, sillHigh},
	{"ceiling, all round", 1.1, generic, 1, "neck", Horizontal, true, ceilingLow, ceilingHigh},
	{"ceiling, four-way", 3.8, generic, 1, "neck", Horizontal, true, ceilingLow, ceilingHigh},
	{"ceiling slot", 5.5, generic, 0.5, "core", Horizontal, true, ceilingLow, ceilingHigh},
	{"ceiling slot, free", 3.9, generic, 0.5, "core", Horizontal, false, ceilingLow, ceilingHigh},
	{"ceiling slot, air curtain", 6.0, generic, 0.5, "core", Down, false, ceilingLow, ceilingHigh},
}

// generic is how far an outlet of a kind may be from the table's constant, as a share.
const generic = 0.3

// Lookup returns the pattern of a name and reports whether there is one:
//
//	high sidewall                           5.7   80 % of core     floor                      2.0   50 % of core
//	high sidewall, wide                     4.2   80 %             floor, wide                1.6   50 %
//	high sidewall linear, core under 100 mm 4.4   50 %             floor, straight            4.7   50 %
//	high sidewall linear, core over 100 mm  5.0   50 %             ceiling, all round         1.1   neck
//	low sidewall up                         3.0   50 %             ceiling, four-way          3.8   neck
//	low sidewall up, straight               4.5   50 %             ceiling slot               5.5   50 % of core
//	baseboard up                            2.0   core             ceiling slot, free         3.9   50 %
//	baseboard up, straight                  4.0   core             ceiling slot, air curtain  6.0   50 %
//
// and "low sidewall up, wide" and "baseboard up, wide", which are the plain ones.
func Lookup(name string) (Pattern, bool) {
	for _, p := range patterns {
		if p.Name == name {
			return p, true
		}
	}
	return Pattern{}, false
}

// EffectiveArea is the area A_o that K belongs to, m², from the core or neck area (Pattern.Area says which).
func (p Pattern) EffectiveArea(area float64) float64 { return p.FreeShare * area }
