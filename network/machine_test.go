package network

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every kind of the job file either burns fuel, or has a compressor, or is electric resistance; a
// heater without a compressor has a limit switch (common practice).
func TestMachineKinds(t *testing.T) {
	for kind, want := range map[MachineKind]struct{ fuel, compressor, limit bool }{
		NoMachine:    {},
		Cooler:       {compressor: true},
		Furnace:      {fuel: true, limit: true},
		ElectricHeat: {limit: true},
		HeatPump:     {compressor: true},
	} {
		assert.Equal(t, want.fuel, kind.BurnsFuel(), kind)
		assert.Equal(t, want.compressor, kind.HasCompressor(), kind)
		assert.Equal(t, want.limit, kind.HasLimit(), kind)
	}
	assert.Len(t, machines, 5)
}
