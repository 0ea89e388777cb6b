// Package pool runs independent pieces of work on several cores, with results that do not depend on
// how many. It knows nothing of ducts.
package pool

import (
	"context"
	"runtime"
	"sync"
)

// Each calls f for 0 to n-1 on the given number of workers (0: one per core) and waits for all that
// were started. After a failure or the end of ctx no further piece is started. It returns the error
// of the lowest index, or that of ctx if no piece failed.
func Each(ctx context.Context, workers, n int, f func(ctx context.Context, i int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	failures := make([]error, n)
	var mu sync.Mutex
	next, failed := 0, false
	take := func() (int, bool) {
		mu.Lock()
		defer mu.Unlock()
		if next >= n || failed || ctx.Err() != nil {
			return 0, false
		}
		next++
		return next - 1, true
	}
	var wait sync.WaitGroup
	for range min(workers, n) {
		wait.Go(func() {
			for {
				i, ok := take()
				if !ok {
					return
				}
				if failures[i] = f(ctx, i); failures[i] != nil {
					mu.Lock()
					failed = true
					mu.Unlock()
				}
			}
		})
	}
	wait.Wait()
	for _, err := range failures {
		if err != nil {
			return err
		}
	}
	return ctx.Err()
}
