package browser

import (
	"encoding/base64"
	"encoding/json"
	"strings"
	"sync"
	"testing"
	"time"
)

// Page is one tab.
type Page struct {
	t       testing.TB
	b       *Browser
	session string

	mu       sync.Mutex
	said     []string // warnings, errors and exceptions
	requests []string
	loaded   chan struct{}
}

// Page opens an empty tab of a size in px.
func (b *Browser) Page(t testing.TB, width, height int) *Page {
	t.Helper()
	p := &Page{t: t, b: b, loaded: make(chan struct{}, 16)}
	var target struct {
		ID string `json:"targetId"`
	}
	p.must(b.call("", "Target.createTarget", map[string]any{"url": "about:blank"}))(&target)
	var attached struct {
		Session string `json:"sessionId"`
	}
	p.must(b.call("", "Target.attachToTarget", map[string]any{"targetId": target.ID, "flatten": true}))(&attached)
	p.session = attached.Session
	b.mu.Lock()
	b.pages[p.session] = p
	b.mu.Unlock()
	for _, domain := range []string{"Page", "Runtime", "Network", "Log"} {
		p.do(domain+".enable", nil)
	}
	p.Size(width, height, 1)
	return p
}

func (p *Page) must(data json.RawMessage, err error) func(into any) {
	p.t.Helper()
	if err != nil {
		p.t.Fatal(err)
	}
	return func(into any) {
		p.t.Helper()
		if err := json.Unmarshal(data, into); err != nil {
			p.t.Fatal(err)
		}
	}
}

func (p *Page) do(method string, params any) json.RawMessage {
	p.t.Helper()
	data, err := p.b.call(p.session, method, params)
	if err != nil {
		p.t.Fatal(err)
	}
	return data
}

// event notes what a test asks for later.
func (p *Page) event(method string, params json.RawMessage) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch method {
	case "Page.loadEventFired":
		select {
		case p.loaded <- struct{}{}:
		default:
		}
	case "Network.requestWillBeSent":
		var e struct {
			Request struct {
				URL string `json:"url"`
			} `json:"request"`
		}
		if json.Unmarshal(params, &e) == nil {
			p.requests = append(p.requests, e.Request.URL)
		}
	case "Runtime.exceptionThrown":
		p.said = append(p.said, "exception: "+string(params))
	case "Runtime.consoleAPICalled":
		var e struct {
			Type string `json:"type"`
		}
		if json.Unmarshal(params, &e) == nil && (e.Type == "error" || e.Type == "warning" || e.Type == "assert") {
			p.said = append(p.said, e.Type+": "+string(params))
		}
	case "Log.entryAdded":
		var e struct {
			Entry struct {
				Level string `json:"level"`
				Text  string `json:"text"`
				URL   string `json:"url"`
			} `json:"entry"`
		}
		if json.Unmarshal(params, &e) == nil && (e.Entry.Level == "error" || e.Entry.Level == "warning") {
			p.said = append(p.said, e.Entry.Level+": "+e.Entry.Text+" "+e.Entry.URL)
		}
	}
}

// Open goes to an address and waits until it is loaded.
func (p *Page) Open(url string) {
	p.t.Helper()
	// By way of an empty page: an address that differs by its fragment alone would not be loaded again.
	for _, at := range []string{"about:blank", url} {
		for len(p.loaded) > 0 {
			<-p.loaded
		}
		p.do("Page.navigate", map[string]any{"url": at})
		select {
		case <-p.loaded:
		case <-time.After(patience):
			p.t.Fatalf("%s does not load", at)
		}
	}
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
	var r struct {
		Result struct {
			Value json.RawMessage `json:"value"`
		} `json:"result"`
		Exception *struct {
			Text      string `json:"text"`
			Exception struct {
				Description string `json:"description"`
			} `json:"exception"`
		} `json:"exceptionDetails"`
	}
	p.must(p.b.call(p.session, "Runtime.evaluate", map[string]any{"expression": expression, "returnByValue": true, "awaitPromise": true}))(&r)
	if r.Exception != nil {
		p.t.Fatalf("%s\n%s %s", expression, r.Exception.Text, r.Exception.Exception.Description)
	}
	if into == nil {
		return
	}
	if err := json.Unmarshal(r.Result.Value, into); err != nil {
		p.t.Fatalf("%s gives %s: %v", expression, r.Result.Value, err)
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

// Key presses and releases a key: "ArrowRight", "Home", "Tab", "Enter", or one letter.
func (p *Page) Key(key string, modifiers ...string) {
	p.t.Helper()
	bits := 0
	for _, m := range modifiers {
		bits |= map[string]int{"Alt": 1, "Control": 2, "Meta": 4, "Shift": 8}[m]
	}
	codes := map[string]int{"ArrowLeft": 37, "ArrowUp": 38, "ArrowRight": 39, "ArrowDown": 40, "Home": 36, "End": 35, "Tab": 9, "Enter": 13, "Escape": 27, " ": 32}
	params := map[string]any{"type": "rawKeyDown", "key": key, "code": key, "windowsVirtualKeyCode": codes[key], "modifiers": bits}
	if len(key) == 1 {
		params["windowsVirtualKeyCode"] = int(strings.ToUpper(key)[0])
		params["code"] = "Key" + strings.ToUpper(key)
	}
	if key == "Enter" {
		params["type"], params["text"] = "keyDown", "\r"
	}
	p.do("Input.dispatchKeyEvent", params)
	params["type"] = "keyUp"
	delete(params, "text")
	p.do("Input.dispatchKeyEvent", params)
}

// Type types a text into what has the focus.
func (p *Page) Type(text string) {
	p.t.Helper()
	p.do("Input.insertText", map[string]any{"text": text})
}

// Drag presses the mouse at a place, moves it in steps and lets go.
func (p *Page) Drag(fromX, fromY, toX, toY float64, steps int) {
	p.t.Helper()
	mouse := func(kind string, x, y float64, buttons int) {
		p.do("Input.dispatchMouseEvent", map[string]any{"type": kind, "x": x, "y": y, "button": "left", "buttons": buttons, "clickCount": 1})
	}
	mouse("mouseMoved", fromX, fromY, 0)
	mouse("mousePressed", fromX, fromY, 1)
	for i := 1; i <= steps; i++ {
		f := float64(i) / float64(steps)
		mouse("mouseMoved", fromX+f*(toX-fromX), fromY+f*(toY-fromY), 1)
	}
	mouse("mouseReleased", toX, toY, 0)
}

// Size sets the size of the window, px, and the device's pixels per px.
func (p *Page) Size(width, height int, scale float64) {
	p.t.Helper()
	p.do("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": height, "deviceScaleFactor": scale, "mobile": false})
}

// Media sets the kind of medium ("screen", "print" or "") and the preferred colours ("light", "dark").
func (p *Page) Media(kind, scheme string) {
	p.t.Helper()
	p.do("Emulation.setEmulatedMedia", map[string]any{"media": kind, "features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}}})
}

// Screenshot is the whole page as PNG.
func (p *Page) Screenshot() []byte {
	p.t.Helper()
	return p.data("Page.captureScreenshot", map[string]any{"format": "png", "captureBeyondViewport": true})
}

// Window is what the window shows of the page, as PNG.
func (p *Page) Window() []byte {
	p.t.Helper()
	return p.data("Page.captureScreenshot", map[string]any{"format": "png"})
}

// PDF is the page as it prints.
func (p *Page) PDF() []byte {
	p.t.Helper()
	return p.data("Page.printToPDF", map[string]any{"printBackground": false, "preferCSSPageSize": true})
}

func (p *Page) data(method string, params any) []byte {
	p.t.Helper()
	var r struct {
		Data string `json:"data"`
	}
	p.must(p.b.call(p.session, method, params))(&r)
	data, err := base64.StdEncoding.DecodeString(r.Data)
	if err != nil {
		p.t.Fatal(err)
	}
	return data
}
