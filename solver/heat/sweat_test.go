package heat

import (
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/solver/air"
)

func TestSweatMargin(t *testing.T) {
	// Computed: 75 °F and 50 % has its dew point at 55.12 °F, so 55 °F supply air sweats a bare register by 0.1 °F.
	m, err := SweatMargin(celsius(55), room(t, 75, 0.5), 1, air.StandardPressure)
	require.NoError(t, err)
	computed(t, "bare register, °F", 55-55.12, m/fahr, 0.02)
	// A film that is a tenth of the wall lets the surface fall by a tenth of the difference.
	m, err = SweatMargin(celsius(55), room(t, 75, 0.5), 0.1, air.StandardPressure)
	require.NoError(t, err)
	computed(t, "insulated, °F", 73-55.12, m/fahr, 0.02)
	_, err = SweatMargin(10, air.Moist{Temperature: 20}, 1, air.StandardPressure)
	require.ErrorIs(t, err, air.ErrImpossible)
	_, err = SweatMargin(10, room(t, 75, 0.5), 2, air.StandardPressure)
	require.ErrorIs(t, err, ErrInput)
}
