package live

import (
	"strings"

	"spillway/render/page/trial"
)

// cache keeps the installations that were opened lately: the hand goes to and fro. It is cleared when the file changes.
type cache struct {
	entries map[string]*trial.Installation
	order   []string
}

// mostCached is how many are kept.
const mostCached = 64

func cacheKey(alternative string, set []string) string {
	return alternative + "\x00" + strings.Join(set, "\x00")
}

func (c *cache) get(key string) *trial.Installation { return c.entries[key] }

func (c *cache) put(key string, in *trial.Installation) {
	if c.entries == nil {
		c.entries = map[string]*trial.Installation{}
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
func (d *Desk) open(f file, alternative string, set []string) (*trial.Installation, error) {
	key := cacheKey(alternative, set)
	d.mu.Lock()
	in := d.cache.get(key)
	fresh := d.file.revision == f.revision
	d.mu.Unlock()
	if in != nil && fresh {
		return in, nil
	}
	in, err := trial.Open(d.opt.Name, f.data, alternative, set)
	if err != nil {
		return nil, err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.file.revision == f.revision {
		d.cache.put(key, in)
	}
	return in, nil
}
