package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page"
	"spillway/render/page/browser"
	"spillway/render/page/trial"
	"spillway/render/sheet"
)

// onDisk writes a report where a browser can open it by its path, as by double click.
func onDisk(t *testing.T, d *page.Dossier) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, os.WriteFile(path, written(t, d), 0o666))
	return "file://" + path
}

const (
	shownTitle = `document.querySelector('.view.shown').getAttribute('id')`
	shownAir   = `document.querySelector('.view.shown .figures dd').textContent`
)

// A report opens from a file, moves by keys and clicks, redraws by its sliders with what was solved, prints, fits a phone, and neither
// complains nor asks for anything.
func TestReportInABrowser(t *testing.T) {
	b := browser.Start(t)
	data := networktest.Example(t, "two-floor")
	d := dossier(t, "two-floor", data, false, 3, 5)
	url := onDisk(t, d)
	p := b.Page(t, 1400, 900)
	p.Open(url)

	t.Run("keys", func(t *testing.T) {
		p.In(t)
		assert.Equal(t, "v0", p.Text(shownTitle))
		p.Key("ArrowRight")
		p.Wait(shownTitle + ` === 'v0s0'`)
		p.Key("ArrowRight")
		p.Wait(shownTitle + ` === 'v0s1'`)
		assert.Equal(t, "1", p.Text(`document.querySelectorAll('nav a[aria-current]').length`))
		p.Key("ArrowLeft")
		p.Wait(shownTitle + ` === 'v0s0'`)
		p.Key("Home")
		p.Wait(shownTitle + ` === 'v0'`)
		p.Key("ArrowLeft")
		assert.Equal(t, "v0", p.Text(shownTitle), "there is nothing before the first")
	})
	t.Run("click", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.querySelector('.overview tbody tr:nth-child(2) a').click()`, nil)
		p.Wait(shownTitle + ` === 'v0s1'`)
		assert.Equal(t, "1", p.Text(`[...document.querySelectorAll('.view')].filter(v => v.offsetHeight > 0).length`))
	})
	t.Run("keyboard only", func(t *testing.T) {
		p.In(t)
		p.Open(url)
		p.Key("Tab")
		assert.Equal(t, "skip", p.Text(`document.activeElement.className`))
		for range 3 {
			p.Key("Tab")
		}
		assert.Equal(t, "A", p.Text(`document.activeElement.tagName`))
		p.Key("Enter")
		p.Wait(shownTitle + `.startsWith('v0s')`)
		p.Wait(`document.activeElement.id === 'main'`)
	})
	t.Run("slider", func(t *testing.T) {
		p.In(t)
		p.Open(url + "#v0s1")
		before := p.Text(`document.querySelector('.view.shown .picture svg').outerHTML`)
		asIs := p.Text(shownAir)
		p.Eval(`document.querySelector('.view.shown input[type=range]').focus()`, nil)
		p.Key("ArrowRight")
		p.Wait(`document.querySelector('.view.shown .panel').classList.contains('tried')`)
		position := p.Text(`document.querySelector('.view.shown output').textContent`)
		knob := d.Variants[0].Sliders[1][0].Setting
		in, err := trial.Open("two-floor", data, "", []string{knob.Path + "=" + position})
		require.NoError(t, err)
		c, err := in.Solve(t.Context(), d.Variants[0].Cases[1].Outcome.State)
		require.NoError(t, err)
		blower, _, _ := sheet.NewPrinter(d.Units).Ledger(c.Outcome)
		assert.Equal(t, blower, p.Text(shownAir), "at "+position)
		assert.Equal(t, sheet.Sentence(c.Outcome, d.Units), p.Text(`document.querySelector('.view.shown .sentence').textContent`))
		assert.NotEqual(t, before, p.Text(`document.querySelector('.view.shown .picture svg').outerHTML`), "the picture is another one")
		assert.Equal(t, "v0s1", p.Text(shownTitle), "the arrow moved the slider, not the page")
		p.Eval(`document.querySelector('.view.shown .back').click()`, nil)
		p.Wait(`!document.querySelector('.view.shown .panel').classList.contains('tried')`)
		assert.Equal(t, asIs, p.Text(shownAir))
	})
	t.Run("every step", func(t *testing.T) {
		p.In(t)
		p.Open(url + "#v0s1")
		for k, s := range d.Variants[0].Sliders[1] {
			for n, step := range s.Steps {
				if step.Case == nil {
					continue
				}
				p.Eval(`(() => { const i = document.querySelectorAll('.view.shown input[type=range]')[`+string(rune('0'+k))+`]; i.value = `+string(rune('0'+n))+`; i.dispatchEvent(new Event('input')); })()`, nil)
				blower, _, _ := sheet.NewPrinter(d.Units).Ledger(step.Case.Outcome)
				p.Wait(shownAir + ` === '` + blower + `' && document.querySelector('.view.shown .sentence').textContent === ` + quoted(sheet.Sentence(step.Case.Outcome, d.Units)))
			}
		}
	})
	t.Run("phone", func(t *testing.T) {
		p.In(t)
		p.Size(390, 800, 2)
		for _, id := range []string{"v0", "v0s1", "v0-sheet", "about"} {
			p.Open(url + "#" + id)
			assert.Equal(t, "true", p.Text(`document.documentElement.scrollWidth <= 390`), "%s is wider than the phone", id)
		}
		p.Open(url + "#v0s1")
		zone := `(r => r.left >= 0 && r.left < 100)(document.querySelector('#v0s1 .picture .band').getBoundingClientRect())`
		assert.Equal(t, "true", p.Text(zone), "the picture begins where the zones are: who calls, and where the surplus ends")
		p.Size(1400, 900, 1)
	})
	t.Run("print", func(t *testing.T) {
		p.In(t)
		p.Open(url)
		pdf := p.PDF()
		assert.True(t, bytes.HasPrefix(pdf, []byte("%PDF-")))
		pages := bytes.Count(pdf, []byte("/Type /Page\n"))
		t.Logf("%d pages, %d kB", pages, len(pdf)/1000)
		// The overview, three states on two to four pages, the sheet, what is assumed.
		assert.Greater(t, pages, 8)
		assert.Less(t, pages, 22)
		p.Media("print", "light")
		assert.Equal(t, "0", p.Text(`[...document.querySelectorAll('nav,.sliders,.skip')].filter(v => v.offsetHeight > 0).length`))
		assert.Equal(t, p.Text(`document.querySelectorAll('.view').length`), p.Text(`[...document.querySelectorAll('.view')].filter(v => v.offsetHeight > 0).length`))
		p.Media("", "light")
	})
	assert.Empty(t, p.Said())
	for _, r := range p.Requests() {
		assert.Regexp(t, `^file://.*/report\.html(#.*)?$`, r)
	}
}

// A report of many states has them packed: each is put in its place when it is shown, with its sliders and derivations, and all when the
// page is printed; a browser that runs no script is told so.
func TestPackedStates(t *testing.T) {
	d := dossier(t, "four-zone", networktest.Example(t, "four-zone"), false, 50, 0)
	v := d.Variants[0]
	for i := range v.Cases {
		if i != 41 {
			v.Cases[i].System = v.Cases[41].System // one picture of it is enough
		}
	}
	data := networktest.Example(t, "four-zone")
	one := &page.Variant{In: v.In, Cases: v.Cases[41:42]}
	page.Slide(one, "four-zone", data, nil, 2, nil)
	v.Sliders = make([][]page.Slider, len(v.Cases))
	v.Sliders[41] = one.Sliders[0]
	text := string(written(t, d))
	parsedHTML(t, text)
	assert.Contains(t, text, "this call state is packed")
	assert.Less(t, len(text), 2_000_000)

	p := browser.Start(t).Page(t, 1400, 900)
	p.Open(onDisk(t, d))
	sentence := func(i int) string {
		return `document.querySelector('#v0s` + strconv.Itoa(i) + ` .sentence')?.textContent === ` + quoted(sheet.Sentence(v.Cases[i].Outcome, d.Units))
	}
	p.Eval(`location.hash = 'v0s3'`, nil)
	p.Wait(sentence(3))
	p.Eval(`location.hash = 'v0s41'`, nil)
	p.Wait(sentence(41))
	plain := &page.Dossier{Version: d.Version, File: d.File, Units: d.Units, Variants: []*page.Variant{{In: v.In, Cases: v.Cases[41:42]}}}
	plainText := string(written(t, plain))
	from := strings.Index(plainText, `<div data-part="tables"`)
	to := from + strings.Index(plainText[from:], "</section>\n<section")
	p.Eval(`window.tables = document.createElement('template'); tables.innerHTML = `+quoted(strings.ReplaceAll(plainText[from:to], "\n", " ")), nil)
	assert.Equal(t, "true", p.Text(`(clean => clean(tables.content.querySelector('[data-part=tables]')) === clean(document.querySelector('#v0s41 [data-part=tables]')))(e => e.textContent.replace(/\s+/g, ' '))`))
	head, _ := explained(t, d, v.Cases[41], "external static")
	p.Eval(`document.querySelector('.view.shown .figures [data-why="external static"] button').click()`, nil)
	p.Wait(popUpOpen)
	assert.Equal(t, "external static: "+head, p.Text(popUpTitle))
	p.Key("Escape")
	p.Wait(popUpShut)
	at := 0
	for v.Sliders[41][0].Steps[at].Case == nil {
		at++
	}
	p.Eval(`(() => { const i = document.querySelector('.view.shown input[type=range]'); i.value = `+strconv.Itoa(at)+`; i.dispatchEvent(new Event('input')); })()`, nil)
	p.Wait(`document.querySelector('.view.shown .sentence').textContent === ` + quoted(sheet.Sentence(v.Sliders[41][0].Steps[at].Case.Outcome, d.Units)))

	assert.Equal(t, "48", p.Text(`document.querySelectorAll('[data-packed]').length`))
	p.Eval(`dispatchEvent(new Event('beforeprint'))`, nil)
	assert.Equal(t, "0", p.Text(`document.querySelectorAll('[data-packed]').length`))
	assert.Equal(t, "true", p.Text(sentence(49)))
	p.Wait(`document.querySelector('#v0s41 .panel').classList.contains('tried')`)
	assert.Empty(t, p.Said())
}

func quoted(s string) string {
	var b bytes.Buffer
	b.WriteByte('"')
	for _, r := range s {
		if r == '"' || r == '\\' {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	b.WriteByte('"')
	return b.String()
}

// Text stands out from its ground, in light and in dark (Web Content Accessibility Guidelines 2.2, 1.4.3: 4.5, large text 3).
func TestReportContrast(t *testing.T) {
	b := browser.Start(t)
	url := onDisk(t, dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 2, 3))
	p := b.Page(t, 1400, 900)
	for _, scheme := range []string{"light", "dark"} {
		p.Media("", scheme)
		for _, id := range []string{"v0", "v0s1", "v0-sheet"} {
			p.Open(url + "#" + id)
			var low []string
			p.Eval(contrast, &low)
			assert.Empty(t, low, "%s, %s", scheme, id)
		}
	}
	assert.Empty(t, p.Said())
}

// contrast lists the texts of the page, outside pictures, that do not stand out.
const contrast = `(() => {
  const lum = c => { const f = v => { v /= 255; return v <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4; }; return .2126 * f(c[0]) + .7152 * f(c[1]) + .0722 * f(c[2]); };
  const parse = s => (s.match(/[\d.]+/g) || []).map(Number);
  const low = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const e = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || !e.offsetHeight || e.closest('script,style,svg,.hidden,.skip,:disabled')) continue;
    let ground = [255, 255, 255];
    for (let g = e; g; g = g.parentElement) { const c = parse(getComputedStyle(g).backgroundColor); if (c.length === 3 || c[3] > 0) { ground = c; break; } }
    const style = getComputedStyle(e), ink = parse(style.color);
    const a = lum(ink), b = lum(ground), ratio = (Math.max(a, b) + .05) / (Math.min(a, b) + .05);
    const size = parseFloat(style.fontSize), large = size >= 24 || size >= 18.66 && style.fontWeight >= 700;
    if (ratio < (large ? 3 : 4.5)) low.push(walk.currentNode.data.trim().slice(0, 40) + ' ' + ratio.toFixed(2));
  }
  return low;
})()`
