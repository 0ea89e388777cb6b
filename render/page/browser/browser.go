// Package browser drives a Chromium for tests: it opens pages, presses keys, drags the mouse, reads the page, and keeps what the page said
// on its console and what it asked the network for.
//
// It speaks the browser's debugging protocol over a pipe, so that no port is opened and no module is needed. It is for tests only; nothing
// of the program imports it.
package browser

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"
)

// Browser is a running browser.
type Browser struct {
	cmd     *exec.Cmd
	in      io.WriteCloser
	mu      sync.Mutex
	next    int
	waiting map[int]chan reply
	pages   map[string]*Page
	ended   chan struct{}
}

type reply struct {
	Result json.RawMessage `json:"result"`
	Error  *struct {
		Message string `json:"message"`
	} `json:"error"`
}

type message struct {
	ID      int             `json:"id"`
	Session string          `json:"sessionId"`
	Method  string          `json:"method"`
	Params  json.RawMessage `json:"params"`
	reply
}

// patience is how long one command may take; printing a long report on a busy machine is the slowest.
const patience = 2 * time.Minute

// find looks for a browser.
func find() string {
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	return ""
}

// Start starts a browser that ends with the test. Where there is none the test is skipped with those words, but under CI=true it fails: a
// check that is not made must not look like one that was.
func Start(t testing.TB) *Browser {
	t.Helper()
	path := find()
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatal("no Chromium is installed, and under CI the browser tests must run: apt-get install chromium")
		}
		t.Skip("no Chromium is installed: the browser tests did not run")
	}
	theirIn, ourOut, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	ourIn, theirOut, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	b := &Browser{in: ourOut, waiting: map[int]chan reply{}, pages: map[string]*Page{}, ended: make(chan struct{})}
	b.cmd = exec.Command(path, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-component-update",
		"--disable-sync", "--disable-default-apps", "--disable-extensions", "--hide-scrollbars", "--force-color-profile=srgb", "--user-data-dir="+t.TempDir(), "--remote-debugging-pipe", "about:blank")
	b.cmd.ExtraFiles = []*os.File{theirIn, theirOut}
	if err := b.cmd.Start(); err != nil {
		t.Fatalf("cannot start %s: %v", path, err)
	}
	theirIn.Close()
	theirOut.Close()
	go b.listen(ourIn)
	t.Cleanup(func() {
		_, _ = b.call("", "Browser.close", nil)
		ourOut.Close()
		gone := make(chan struct{})
		go func() { _ = b.cmd.Wait(); close(gone) }()
		select {
		case <-gone:
		case <-time.After(5 * time.Second):
			_ = b.cmd.Process.Kill()
			<-gone
		}
		time.Sleep(100 * time.Millisecond) // its children let go of the folder that the test takes away
	})
	return b
}

// listen hands answers to those who wait, and events to their page.
func (b *Browser) listen(r io.Reader) {
	defer close(b.ended)
	in := bufio.NewReaderSize(r, 1<<20)
	for {
		line, err := in.ReadBytes(0)
		if err != nil {
			return
		}
		var m message
		if json.Unmarshal(line[:len(line)-1], &m) != nil {
			continue
		}
		b.mu.Lock()
		if m.ID != 0 {
			if c := b.waiting[m.ID]; c != nil {
				delete(b.waiting, m.ID)
				c <- m.reply
			}
			b.mu.Unlock()
			continue
		}
		page := b.pages[m.Session]
		b.mu.Unlock()
		if page != nil {
			page.event(m.Method, m.Params)
		}
	}
}

// call sends a command and waits for its answer.
func (b *Browser) call(session, method string, params any) (json.RawMessage, error) {
	b.mu.Lock()
	b.next++
	id := b.next
	c := make(chan reply, 1)
	b.waiting[id] = c
	command := map[string]any{"id": id, "method": method}
	if session != "" {
		command["sessionId"] = session
	}
	if params != nil {
		command["params"] = params
	}
	data, err := json.Marshal(command)
	if err == nil {
		_, err = b.in.Write(append(data, 0))
	}
	b.mu.Unlock()
	if err != nil {
		return nil, err
	}
	select {
	case r := <-c:
		if r.Error != nil {
			return nil, fmt.Errorf("%s: %s", method, r.Error.Message)
		}
		return r.Result, nil
	case <-b.ended:
		return nil, errors.New("the browser ended")
	case <-time.After(patience):
		return nil, fmt.Errorf("%s: no answer", method)
	}
}
