package live

import (
	"context"
	"strings"
	"sync"

	"spillway/render/page/trial"
	"spillway/solver/state"
)

// cache keeps the installations that were opened lately: the hand goes to and fro. It is cleared when the file changes.
type cache struct {
	entries map[string]*opened
	order   []string
}

// opened is an installation with its outcomes as they stand, from which moved ones set out.
type opened struct {
	*trial.Installation
	mu     sync.Mutex
	stands map[string]*state.Outcome // by call state, quickly solved
}

// at solves a call state quickly, once. A state without a solution is nil: others then start cold.
func (o *opened) at(ctx context.Context, s state.CallState) *state.Outcome {
	o.mu.Lock()
	defer o.mu.Unlock()
	if known, ok := o.stands[s.Name]; ok {
		return known
	}
	outcome, err := o.Solver().Quick().SolveContext(ctx, s)
	if ctx.Err() != nil {
		return nil // not known, so that the next who asks solves it
	}
	if err != nil {
		outcome = nil
	}
	if o.stands == nil {
		o.stands = map[string]*state.Outcome{}
	}
	o.stands[s.Name] = outcome
	return outcome
}

// mostCached is how many are kept.
const mostCached = 64

func cacheKey(alternative string, set []string) string {
	return alternative + "\x00" + strings.Join(set, "\x00")
}

func (c *cache) get(key string) *opened { return c.entries[key] }

func (c *cache) put(key string, in *opened) {
	if c.entries == nil {
		c.entries = map[string]*opened{}
	}
	if _, known := c.entries[key]; !known {
		c.order = append(c.order, key)
	}
	c.entries[key] = in
	for len(c.order) > mostCached {
		delete(c.entries, c.order[0])
		c.order = c.order[1:]
	}
}

func (c *cache) clear() { c.entries, c.order = nil, nil }

// open returns the installation of a request, for the file of a revision.
func (d *Desk) open(f file, alternative string, set []string) (*opened, error) {
	key := cacheKey(alternative, set)
	d.mu.Lock()
	in := d.cache.get(key)
	fresh := d.file.revision == f.revision
	d.mu.Unlock()
	if in != nil && fresh {
		return in, nil
	}
	fit, err := trial.Open(d.opt.Name, f.data, alternative, set)
	if err != nil {
		return nil, err
	}
	in = &opened{Installation: fit}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.file.revision == f.revision {
		d.cache.put(key, in)
	}
	return in, nil
}
