// Package clock runs a house through time: zones with mass, thermostats, a zone panel and a machine,
// from event to event. What a call state gives to the zones comes from a Source; between two events
// every coefficient is constant, so temperatures are sums of exponentials and no time step is taken.
//
//	Run      a House through a Climate, into a Ledger
//	Source   what the solved ducts give in a call
//
// The equations, per zone i with its air (and contents) T and its mass M, in SI:
//
//	Ca dT/dt = Ga (To − T) + Gam (M − T) + Σj K (Tj − T) + qa + g (Tr + y R − T)
//	Cm dM/dt = Gm (To − M) + Gam (T − M) + qm
//	τs dθ/dt = T + s a (c − ½) − θ
//	τy dy/dt = u − y           blower on;   τoff dy/dt = −y   blower off
//
// g is m cp of the air that the zone is given, R how much warmer than the return air Tr it arrives
// when the machine has its full capacity, y the share of that capacity which reaches the air, θ the
// thermostat's sensor with its anticipation a, c = 1 while it calls, s = +1 in heating and −1 in
// cooling, u = 1 while the burner or compressor runs. Every bypass is inside R.
//
// The package knows no job file, no ducts and no paper. It opens nothing and has no clock of its own.
package clock
