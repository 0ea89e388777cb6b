package pool

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestEachDoesEveryPieceOnce(t *testing.T) {
	for _, workers := range []int{0, 1, 3, 64} {
		var done [100]atomic.Int32
		err := Each(t.Context(), workers, len(done), func(_ context.Context, i int) error {
			done[i].Add(1)
			return nil
		})
		assert.NoError(t, err)
		for i := range done {
			assert.EqualValues(t, 1, done[i].Load(), "%d workers, piece %d", workers, i)
		}
	}
	assert.NoError(t, Each(t.Context(), 4, 0, nil))
}

// Pieces start in order, so the lowest failing index is always among those that ran, whatever the
// number of workers.
func TestEachReturnsTheLowestError(t *testing.T) {
	for _, workers := range []int{1, 2, 8} {
		for range 20 {
			err := Each(t.Context(), workers, 50, func(_ context.Context, i int) error {
				if i%10 == 7 {
					return fmt.Errorf("piece %d", i)
				}
				return nil
			})
			assert.EqualError(t, err, "piece 7", "%d workers", workers)
		}
	}
}

func TestEachEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	var started atomic.Int32
	err := Each(ctx, 1, 1000, func(context.Context, int) error {
		if started.Add(1) == 3 {
			cancel()
		}
		return nil
	})
	assert.ErrorIs(t, err, context.Canceled)
	assert.EqualValues(t, 3, started.Load())

	broken := errors.New("broken")
	err = Each(ctx, 1, 1, func(context.Context, int) error { return broken })
	assert.ErrorIs(t, err, context.Canceled, "nothing is started after the end")
}
