// Package browser drives a Chromium for tests: it opens pages, presses keys, drags the mouse, reads the page, and keeps what the page said
// on its console and what it asked the network for.
//
// It is a thin face over chromedp, in the words of our tests: what fails, fails the test. It is for tests only; nothing of the program
// imports it.
package browser

import (
	"context"
	"os"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// Browser is a running browser.
type Browser struct {
	ctx context.Context
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
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("hide-scrollbars", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-quic", true))
	allocator, release := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(func() {
		end()
		release()
	})
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("cannot start %s: %v", path, err)
	}
	return &Browser{ctx}
}
