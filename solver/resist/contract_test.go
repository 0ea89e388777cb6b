package resist

import "spillway/solver/flow"

var (
	_ flow.Law      = (*Duct)(nil)
	_ flow.Law      = Local{}
	_ flow.Law      = PowerLaw{}
	_ flow.Law      = TwoWay{}
	_ flow.Law      = Series{}
	_ flow.Law      = (*Relief)(nil)
	_ flow.Law      = Fan{}
	_ flow.Law      = ConstantFlow{}
	_ flow.Law      = (*StallFan)(nil)
	_ flow.Machine  = (*StallFan)(nil)
	_ flow.Coupling = (*Junction)(nil)
)
