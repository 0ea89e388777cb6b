package live_test

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/render/page/browser"
	"spillway/render/page/live"
	"spillway/render/sheet"
	"spillway/solver/state"
)

const (
	sentence = `document.querySelector('#panel .sentence')?.textContent`
	idle     = `document.body.dataset.settled === '1'`
)

// shows waits until the page shows an outcome.
func shows(t *testing.T, p *browser.Page, o *state.Outcome) {
	t.Helper()
	want := sheet.Sentence(o, o.Graph.Job.Units)
	p.Wait(fmt.Sprintf("%s === %q && !document.querySelector('.following')", sentence, want)) // and the whole answer, not only what follows the hand
	blower, _, _ := sheet.NewPrinter(o.Graph.Job.Units).Ledger(o)
	assert.Equal(t, blower, p.Text(`document.querySelector('#panel .figures dd').textContent`))
}

// value is what a setting stands at on the page.
func value(p *browser.Page, path string) string {
	return p.Text(fmt.Sprintf(`document.querySelector('input[data-path="%s"]').nextElementSibling.value`, path))
}

// A hand at the page: a damper is dragged in the picture, a slider moved by keys, a value typed, an alternative chosen, all undone; each
// time the page shows what the solver gives for the same settings. The file changes and breaks under it.
func TestLivePageInABrowser(t *testing.T) {
	desk, s, file := served(t, live.Options{})
	data := bytes.Clone(file.data)
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	go desk.Watch(ctx)
	p := browser.Start(t).Page(t, 1500, 1300)
	p.Open(s.URL + "/#" + strings.ReplaceAll(loft, " ", "%20"))
	shows(t, p, outcome(t, data, "", loft))

	t.Run("drag a damper", func(t *testing.T) {
		p.In(t)
		var at struct{ X, Y float64 }
		p.Eval(`(() => { const r = document.querySelector('[data-damper="main"] circle').getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; })()`, &at)
		p.Drag(at.X, at.Y, at.X+54, at.Y, 12) // 54 px to the right: 30 % further open
		p.Wait(`!document.body.classList.contains('turning') && ` + idle)
		assert.Equal(t, "70 %", value(p, "damper.main.stop"))
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=70 %"))
		assert.Contains(t, p.Text(`document.getElementById('moved').textContent`), "damper.main.stop = 70 %")
	})
	t.Run("drag the weight of a bypass that has no damper of its own name", func(t *testing.T) {
		p.In(t)
		pick := func(alternative string) {
			p.Eval(fmt.Sprintf(`(() => { const s = document.getElementById('alternative'); s.value = %q; s.dispatchEvent(new Event('change')); })()`, alternative), nil)
		}
		p.Eval(`document.getElementById('reset').click()`, nil)
		pick("bypass-to-plenum")
		shows(t, p, outcome(t, data, "bypass-to-plenum", loft))
		var at struct{ X, Y float64 }
		p.Eval(`(() => { const r = document.querySelector('[data-damper="=relief damper"] circle').getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; })()`, &at)
		p.Drag(at.X, at.Y, at.X-18, at.Y, 6) // 18 px to the left: a tenth of the range lighter; the range ends a step before it is fully open
		p.Wait(`!document.body.classList.contains('turning') && ` + idle)
		lighter := value(p, "bypass.relief.opens-at")
		assert.Equal(t, "0.13 inwc", lighter)
		shows(t, p, outcome(t, data, "bypass-to-plenum", loft, "bypass.relief.opens-at="+lighter))
		assert.Equal(t, "false", p.Text(`document.getElementById('panel').classList.contains('following')`), "at rest everything is there")
		p.Eval(`document.getElementById('reset').click()`, nil)
		pick("")
		p.Eval(`(() => { const i = document.querySelector('input[data-path="damper.main.stop"]').nextElementSibling; i.value = '70 %'; i.dispatchEvent(new Event('change')); })()`, nil)
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=70 %"))
	})
	t.Run("undo and redo", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.activeElement.blur()`, nil)
		p.Key("z", "Control")
		shows(t, p, outcome(t, data, "", loft))
		p.Key("z", "Control", "Shift")
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=70 %"))
	})
	t.Run("slider by keys", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.querySelector('input[data-path="damper.main.stop"]').focus()`, nil)
		p.Key("ArrowLeft")
		p.Key("ArrowLeft")
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=68 %"))
	})
	t.Run("typed", func(t *testing.T) {
		p.In(t)
		p.Eval(`(() => { const i = document.querySelector('input[data-path="damper.main.stop"]').nextElementSibling; i.focus(); i.select(); })()`, nil)
		p.Type("25")
		p.Key("Enter")
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=25 %"))
	})
	t.Run("refused", func(t *testing.T) {
		p.In(t)
		p.Eval(`(() => { const i = document.querySelector('input[data-path="damper.main.stop"]').nextElementSibling; i.focus(); i.select(); })()`, nil)
		p.Type("lots")
		p.Key("Enter")
		p.Wait(`document.getElementById('refused').textContent.includes('lots')`)
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=25 %"))
		p.Eval(`document.getElementById('undo').click()`, nil)
		p.Wait(`document.getElementById('refused').textContent === ''`)
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=25 %"))
	})
	t.Run("the change as TOML", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.getElementById('show').click()`, nil)
		text := p.Text(`document.getElementById('toml').textContent`)
		assert.Equal(t, outcome(t, data, "", loft, "damper.main.stop=25 %").Blower, outcome(t, append(bytes.Clone(data), "\n"+text...), "tried", loft).Blower)
	})
	t.Run("another state by keys", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.activeElement.blur()`, nil)
		p.Key("ArrowRight")
		shows(t, p, outcome(t, data, "", "design-cooling: all zones", "damper.main.stop=25 %"))
		p.Key("ArrowLeft")
		shows(t, p, outcome(t, data, "", loft, "damper.main.stop=25 %"))
	})
	t.Run("an alternative", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.getElementById('reset').click()`, nil)
		shows(t, p, outcome(t, data, "", loft))
		p.Eval(`(() => { const s = document.getElementById('alternative'); s.value = 'bypass-to-plenum'; s.dispatchEvent(new Event('change')); })()`, nil)
		shows(t, p, outcome(t, data, "bypass-to-plenum", loft))
		p.Eval(`document.getElementById('undo').click()`, nil)
		shows(t, p, outcome(t, data, "", loft))
	})
	t.Run("every state", func(t *testing.T) {
		p.In(t)
		p.Eval(`location.hash = 'all'`, nil)
		p.Wait(`document.querySelectorAll('#overview tbody tr').length === 9 && document.getElementById('view-all').offsetHeight > 0`)
		p.Eval(`document.querySelectorAll('#overview tbody a')[1].click()`, nil)
		p.Wait(`document.getElementById('view-state').offsetHeight > 0`)
		shows(t, p, outcome(t, data, "", loft))
	})
	t.Run("the file changes", func(t *testing.T) {
		p.In(t)
		changed := bytes.Replace(data, []byte(`stop = "40 %"`), []byte(`stop = "90 %"`), 1)
		file.put(changed, nil)
		shows(t, p, outcome(t, changed, "", loft))
		file.put(changed[:len(changed)/2], nil)
		p.Wait(`!document.getElementById('trouble').hidden && /house\.toml:\d+/.test(document.getElementById('trouble').textContent)`)
		shows(t, p, outcome(t, changed, "", loft))
		file.put(data, nil)
		shows(t, p, outcome(t, data, "", loft))
		p.Wait(`document.getElementById('trouble').hidden`)
	})
	t.Run("phone", func(t *testing.T) {
		p.In(t)
		p.Size(390, 800, 2)
		assert.Equal(t, "true", p.Text(`document.documentElement.scrollWidth <= 390`))
		p.Size(1500, 1300, 1)
	})
	t.Run("names and labels", func(t *testing.T) {
		p.In(t)
		var missing []string
		p.Eval(`[...document.querySelectorAll('input,select,button,textarea')].filter(e => !(e.labels && e.labels.length) && !e.getAttribute('aria-label') && !e.textContent.trim()).map(e => e.outerHTML)`, &missing)
		assert.Empty(t, missing)
		var twice []string
		p.Eval(`(() => { const ids = [...document.querySelectorAll('[id]')].map(e => e.id); return ids.filter((x, i) => ids.indexOf(x) !== i); })()`, &twice)
		assert.Empty(t, twice)
	})
	require.Empty(t, p.Said())
	for _, r := range p.Requests() {
		assert.True(t, strings.HasPrefix(r, s.URL), "%s is elsewhere", r)
	}
}
