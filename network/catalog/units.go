package catalog

// Units in which the tables are printed, in SI. Only literals use them; everything that leaves the package is SI.
const (
	mm   = 1e-3           // m
	inch = 0.0254         // m
	foot = 0.3048         // m
	fpm  = 0.00508        // m/s
	cfm  = 4.719474432e-4 // m³/s
	inwc = 249.089        // Pa, water at 4 °C

	// UnitVelocity is the velocity in fpm whose velocity pressure in standard air is 1 in. of water, the constant with
	// which the trade's leakage figures are written: p_v = (V/4005)².
	UnitVelocity = 4005.0
)
