// Package live serves the page on which settings are moved while the air is watched: it solves a job file again for every position, and
// tells the page when the file changes on disk.
//
// The server keeps no settings. A request says which alternative, which settings and which call state it means; the answer is a pure
// function of that and of the file, so that two pages, or two hands, cannot disturb each other. What was solved lately is kept.
//
// It must not know the file system: a Source hands it the file. Who may ask is decided in guard.go.
package live

import (
	"context"
	"errors"
	"log"
	"net/http"
	"sync"
	"time"

	"spillway/network/quantity"
	"spillway/render/page/trial"
)

// Source hands over the job file. The stamp differs whenever the file does; Source is called often and should be cheap: with the stamp
// that it gave last it may return no data.
type Source func(last string) (data []byte, stamp string, err error)

// Options of a desk.
type Options struct {
	Name        string // of the file, for messages
	Source      Source
	Units       *quantity.System // nil: the job's
	Set         []string         // settings from the command line, below those of the page
	Alternative string           // at first
	Every       time.Duration    // between two looks at the file; 0 takes 300 ms
	Log         *log.Logger      // of what goes wrong; nil is silent
}

// Desk is the server of the live page.
type Desk struct {
	opt Options
	mux *http.ServeMux

	mu      sync.Mutex
	file    file
	waiting map[chan struct{}]bool // pages that want to know of a change
	cache   cache
	slots   chan struct{} // solutions at once
}

// file is the job file as it is, and as it was when it could last be read.
type file struct {
	revision int // counts changes
	stamp    string
	data     []byte // the last that could be read without an error
	title    string
	problem  string // what is wrong with the file as it is now
}

// ErrNoSource is returned for a desk without a file.
var ErrNoSource = errors.New("live: no source of the job file")

// New reads the file and makes the desk. The file must be in order at first; its problems come as a diag.List.
func New(opt Options) (*Desk, error) {
	if opt.Source == nil {
		return nil, ErrNoSource
	}
	if opt.Every <= 0 {
		opt.Every = 300 * time.Millisecond
	}
	d := &Desk{opt: opt, waiting: map[chan struct{}]bool{}, slots: make(chan struct{}, mostAtOnce)}
	data, stamp, err := opt.Source("")
	if err != nil {
		return nil, err
	}
	in, err := trial.Open(opt.Name, data, opt.Alternative, opt.Set)
	if err != nil {
		return nil, err
	}
	d.file = file{revision: 1, stamp: stamp, data: data, title: in.Graph().Job.Title}
	d.routes()
	return d, nil
}

// mostAtOnce bounds how many requests are solved at the same time; the others wait.
const mostAtOnce = 2

// Watch looks at the file until the context ends. A file that cannot be read, or is wrong, leaves the last good one in place and tells
// the pages what is wrong.
func (d *Desk) Watch(ctx context.Context) {
	tick := time.NewTicker(d.opt.Every)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			d.Look()
		}
	}
}

// Look looks at the file once.
func (d *Desk) Look() {
	d.mu.Lock()
	last := d.file.stamp
	d.mu.Unlock()
	data, stamp, err := d.opt.Source(last)
	if err == nil && stamp == last {
		d.mu.Lock()
		defer d.mu.Unlock()
		return
	}
	problem, title := "", ""
	if err != nil {
		stamp, problem = "unreadable: "+err.Error(), err.Error()
		if stamp == last {
			return
		}
	} else if in, err := trial.Open(d.opt.Name, data, "", d.opt.Set); err != nil {
		problem = trial.Problems(d.opt.Name, err).Error()
	} else {
		title = in.Graph().Job.Title
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	d.file.stamp, d.file.problem = stamp, problem
	d.file.revision++
	if problem == "" {
		d.file.data, d.file.title = data, title
		d.cache.clear()
	}
	for c := range d.waiting {
		select {
		case c <- struct{}{}:
		default: // it has not read the last one yet
		}
	}
}

// now is the file as it is.
func (d *Desk) now() file {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.file
}

// listen registers a page that wants to know of changes.
func (d *Desk) listen() (changed chan struct{}, leave func()) {
	c := make(chan struct{}, 1)
	d.mu.Lock()
	defer d.mu.Unlock()
	d.waiting[c] = true
	return c, func() {
		d.mu.Lock()
		defer d.mu.Unlock()
		delete(d.waiting, c)
	}
}

func (d *Desk) logf(format string, args ...any) {
	if d.opt.Log != nil {
		d.opt.Log.Printf(format, args...)
	}
}
