package browser

import (
	"context"
	"encoding/json"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// Page is one tab.
type Page struct {
	t   testing.TB
	ctx context.Context

	mu       sync.Mutex
	said     []string // warnings, errors and exceptions
	requests []string
}

// Page opens an empty tab of a size in px. It closes with the test.
func (b *Browser) Page(t testing.TB, width, height int) *Page {
	t.Helper()
	p := &Page{t: t}
	ctx, shut := chromedp.NewContext(b.ctx, chromedp.WithListener(p.event))
	t.Cleanup(shut)
	p.ctx = ctx
	// A tab lives as long as the context of its first command, so that one has no limit of time.
	if err := chromedp.Do(p.ctx); err != nil {
		t.Fatal(err)
	}
	p.Size(width, height, 1)
	return p
}

// event notes what a test asks for later.
func (p *Page) event(event any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		p.requests = append(p.requests, e.Request.URL)
	case *runtime.EventExceptionThrown:
		p.said = append(p.said, "exception: "+(&chromedp.ExceptionError{ExceptionDetails: e.ExceptionDetails}).Error())
	case *runtime.EventConsoleAPICalled:
		switch e.Type {
		case runtime.ConsoleAPICalledTypeError, runtime.ConsoleAPICalledTypeWarning, runtime.ConsoleAPICalledTypeAssert:
			said := []string{string(e.Type) + ":"}
			for _, a := range e.Args {
				said = append(said, string(a.Value)+a.Description)
			}
			p.said = append(p.said, strings.Join(said, " "))
		}
	case *log.EventEntryAdded:
		if e.Entry.Level == log.EntryLevelError || e.Entry.Level == log.EntryLevelWarning {
			p.said = append(p.said, string(e.Entry.Level)+": "+e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

// run takes an action to its end, or ends the test.
func run[T any](p *Page, action chromedp.Action[T]) T {
	p.t.Helper()
	ctx, stop := context.WithTimeout(p.ctx, patience)
	defer stop()
	result, err := chromedp.Run(ctx, action)
	if err != nil {
		p.t.Fatal(err)
	}
	return result
}

// call is one command of the protocol, for what chromedp has no action of its own.
func call[P, R any](p *Page, command cdp.Command[P, R], params P) R {
	p.t.Helper()
	return run(p, func(ctx context.Context, tab *chromedp.Target) (R, error) { return cdp.Call(ctx, tab, command, params) })
}

// Open goes to an address and waits until it is loaded.
func (p *Page) Open(url string) {
	p.t.Helper()
	// By way of an empty page: an address that differs by its fragment alone would not be loaded again.
	run(p, chromedp.Steps(chromedp.Navigate("about:blank"), chromedp.Navigate(url)))
}

// In lets the page's failures count for a subtest while it runs.
func (p *Page) In(t testing.TB) {
	outer := p.t
	p.t = t
	t.Cleanup(func() { p.t = outer })
}

// Said is what the page complained of: console errors and warnings, exceptions, refused requests.
func (p *Page) Said() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string{}, p.said...)
}

// Requests are the addresses that the page asked for, data addresses aside.
func (p *Page) Requests() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out []string
	for _, r := range p.requests {
		if !strings.HasPrefix(r, "data:") && !strings.HasPrefix(r, "blob:") && r != "about:blank" {
			out = append(out, r)
		}
	}
	return out
}

// Eval evaluates an expression, which may be a promise, into a Go value; into may be nil.
func (p *Page) Eval(expression string, into any) {
	p.t.Helper()
	// By value and as JSON; without EvalAsValue chromedp would hand out a reference into the page.
	value := run(p, chromedp.Evaluate[*runtime.RemoteObject](expression, chromedp.EvalAwaitPromise, chromedp.EvalAsValue)).Value
	if into == nil {
		return
	}
	if err := json.Unmarshal(value, into); err != nil {
		p.t.Fatalf("%s gives %s: %v", expression, value, err)
	}
}

// Text evaluates an expression to a text.
func (p *Page) Text(expression string) string {
	p.t.Helper()
	var s string
	p.Eval("String("+expression+")", &s)
	return s
}

// Wait waits until an expression is true.
func (p *Page) Wait(expression string) {
	p.t.Helper()
	end := time.Now().Add(patience)
	for {
		var ok bool
		p.Eval("!!("+expression+")", &ok)
		if ok {
			return
		}
		if time.Now().After(end) {
			p.t.Fatalf("it never came that %s", expression)
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// keys are those that have a name of several letters.
var keys = map[string]string{
	"ArrowLeft": kb.ArrowLeft, "ArrowUp": kb.ArrowUp, "ArrowRight": kb.ArrowRight, "ArrowDown": kb.ArrowDown,
	"Home": kb.Home, "End": kb.End, "Tab": kb.Tab, "Enter": kb.Enter, "Escape": kb.Escape,
}

// Key presses and releases a key: "ArrowRight", "Home", "Tab", "Enter", or one letter.
func (p *Page) Key(key string, modifiers ...string) {
	p.t.Helper()
	held := map[string]chromedp.Modifier{
		"Alt": chromedp.ModifierAlt, "Control": chromedp.ModifierCtrl, "Meta": chromedp.ModifierMeta, "Shift": chromedp.ModifierShift,
	}
	var with []chromedp.Modifier
	for _, m := range modifiers {
		with = append(with, held[m])
	}
	if named, ok := keys[key]; ok {
		key = named
	}
	run(p, chromedp.KeyEvent(key, chromedp.KeyModifiers(with...)))
}

// Type types a text into what has the focus.
func (p *Page) Type(text string) {
	p.t.Helper()
	call(p, input.InsertText, input.InsertTextParams{Text: text})
}

// Drag presses the mouse at a place, moves it in steps and lets go.
func (p *Page) Drag(fromX, fromY, toX, toY float64, steps int) {
	p.t.Helper()
	held := func(e *input.DispatchMouseEventParams) {
		e.Button, e.Buttons, e.ClickCount = input.MouseButtonLeft, 1, 1
	}
	run(p, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, fromX, fromY))
	run(p, chromedp.MouseEvent(input.DispatchMouseEventTypeMousePressed, fromX, fromY, held))
	for i := 1; i <= steps; i++ {
		f := float64(i) / float64(steps)
		run(p, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, fromX+f*(toX-fromX), fromY+f*(toY-fromY), held))
	}
	run(p, chromedp.MouseEvent(input.DispatchMouseEventTypeMouseReleased, toX, toY, chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// Size sets the size of the window, px, and the device's pixels per px.
func (p *Page) Size(width, height int, scale float64) {
	p.t.Helper()
	run(p, chromedp.EmulateViewport(int64(width), int64(height), chromedp.EmulateScale(scale)))
}

// Media sets the kind of medium ("screen", "print" or "") and the preferred colours ("light", "dark").
func (p *Page) Media(kind, scheme string) {
	p.t.Helper()
	call(p, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: kind, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
}

// Screenshot is the whole page as PNG.
func (p *Page) Screenshot() []byte {
	p.t.Helper()
	return run(p, chromedp.FullScreenshot(100))
}

// Window is what the window shows of the page, as PNG.
func (p *Page) Window() []byte {
	p.t.Helper()
	return run(p, chromedp.CaptureScreenshot())
}

// PDF is the page as it prints.
func (p *Page) PDF() []byte {
	p.t.Helper()
	return run(p, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
}
