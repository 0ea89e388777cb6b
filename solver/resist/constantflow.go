package resist

// ConstantFlowData describes a blower whose motor holds an airflow.
type ConstantFlowData struct {
	Flow  float64 // volume flow held at no static, m³/s at the inlet
	Droop float64 // flow lost per Pa of static, m³/s per Pa; zero means LeastDroop, which is also the least

	// Limit is the table of the motor at its speed or power limit, which the blower follows once it can no longer hold
	// its flow; it must pass FanTable.Check. Empty means no limit, honest only where statics stay low.
	Limit FanTable

	// Loss inside the cabinet (Pa) and overall efficiency give the electrical input; zero efficiency means not known.
	InternalLoss float64
	Efficiency   float64

	Density float64 // of the air at the inlet, kg/m³
}

// ConstantFlow is a blower that holds its airflow up to a limit and then follows the limit's falling curve:
//
//	rise = min( (Q_set − Q)/droop, rise_limit(Q) )
//
// The droop (our choice unless given, see LeastDroop) makes the held part nearly vertical yet a function. The law is
// strictly increasing as a drop, with a kink where the limit takes over.
type ConstantFlow struct {
	set, droop   float64
	density      float64
	limited      bool
	limit        Fan
	internalLoss float64
	efficiency   float64
}

// NewConstantFlow checks the data and prepares the law.
func NewConstantFlow(d ConstantFlowData) (ConstantFlow, error) {
	in := inputs{element: "constant-airflow blower"}
	in.positive("flow", d.Flow)
	in.notNegative("droop", d.Droop)
	in.notNegative("internal loss", d.InternalLoss)
	in.within("efficiency", d.Efficiency, 0, 1)
	in.positive("air density", d.Density)
	if in.err != nil {
		return ConstantFlow{}, in.err
	}
	c := ConstantFlow{
		set: d.Flow, droop: max(d.Droop, LeastDroop), density: d.Density,
		internalLoss: d.InternalLoss, efficiency: d.Efficiency,
	}
	if len(d.Limit) > 0 {
		limit, err := NewFan(d.Limit, d.Density)
		if err != nil {
			return ConstantFlow{}, err
		}
		c.limit, c.limited = limit, true
	}
	return c, nil
}

// At returns the same blower in air of another density (kg/m³). The volume flow held stays; the limit goes with density.
func (c ConstantFlow) At(density float64) ConstantFlow {
	c.density = density
	if c.limited {
		c.limit = c.limit.At(density)
	}
	return c
}

// Drop implements flow.Law; it is negative while the blower pushes.
func (c ConstantFlow) Drop(q float64) (drop, slope float64) {
	drop, slope = c.held(q)
	if c.limited {
		if d, m := c.limit.Drop(q); d > drop {
			return d, m
		}
	}
	return drop, slope
}

func (c ConstantFlow) held(q float64) (drop, slope float64) {
	return (q/c.density - c.set) / c.droop, 1 / (c.density * c.droop)
}

// Limited tells whether the blower is on its limit curve rather than holding its flow.
func (c ConstantFlow) Limited(q float64) bool {
	if !c.limited {
		return false
	}
	held, _ := c.held(q)
	limit, _ := c.limit.Drop(q)
	return limit > held
}

// Watts is the electrical input at a mass flow,
//
//	W = Q (rise + internal loss) / efficiency
//
// known is false when no efficiency was given.
func (c ConstantFlow) Watts(q float64) (watts float64, known bool) {
	if c.efficiency == 0 {
		return 0, false
	}
	drop, _ := c.Drop(q)
	return max(0, q/c.density*(c.internalLoss-drop)/c.efficiency), true
}
