package page_test

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page/browser"
)

// TestShow takes pictures of reports, to be looked at: SPILLWAY_SHOW=folder SPILLWAY_EXAMPLE=two-floor go test -run Show ./render/page
func TestShow(t *testing.T) {
	folder := os.Getenv("SPILLWAY_SHOW")
	if folder == "" {
		t.Skip("takes pictures only when SPILLWAY_SHOW names a folder; it checks nothing")
	}
	names := networktest.Examples(t)
	if one := os.Getenv("SPILLWAY_EXAMPLE"); one != "" {
		names = strings.Split(one, ",")
	}
	b := browser.Start(t)
	for _, name := range names {
		url := onDisk(t, dossier(t, name, networktest.Example(t, name), false, 12, 3))
		save := func(p *browser.Page, what string) {
			require.NoError(t, os.WriteFile(filepath.Join(folder, name+"-"+what+".png"), p.Screenshot(), 0o666))
		}
		p := b.Page(t, 1500, 950)
		for _, view := range []string{"v0", "v0s1", "v0-sheet", "about"} {
			p.Open(url + "#" + view)
			save(p, view+"-light")
		}
		p.Media("", "dark")
		p.Open(url + "#v0s1")
		save(p, "v0s1-dark")
		// Where a number comes from: one step, and some way down.
		ask := func(what string, further int) {
			p.Eval(`document.querySelector('.view.shown .figures [data-why="external static"] button').click()`, nil)
			p.Wait(popUpOpen)
			for range further {
				p.Eval(`(d => { if (d) d.open = true; })(document.querySelector('.whence-tree details:not([open])'))`, nil)
			}
			p.Wait(`document.querySelectorAll('.whence-tree code').length > ` + strconv.Itoa(further))
			require.NoError(t, os.WriteFile(filepath.Join(folder, name+"-"+what+".png"), p.Window(), 0o666))
			p.Key("Escape")
			p.Wait(popUpShut)
		}
		ask("why-dark", 3)
		p.Media("", "light")
		ask("why-light", 0)
		// The same with a damper moved.
		p.Eval(`(() => { const i = document.querySelector('.view.shown input[type=range]'); if (!i) return; i.value = i.value === i.max ? i.min : i.max; i.dispatchEvent(new Event('input')); })()`, nil)
		if p.Text(`!!document.querySelector('.view.shown input[type=range]')`) == "true" {
			p.Wait(`document.querySelector('.view.shown .panel').classList.contains('tried')`)
			ask("why-moved", 0)
		}
		p.Size(390, 800, 2)
		p.Open(url + "#v0s1")
		ask("why-phone", 2)
		save(p, "v0s1-phone")
		p.Size(1500, 950, 1)
		p.Media("print", "light")
		p.Open(url)
		require.NoError(t, os.WriteFile(filepath.Join(folder, name+".pdf"), p.PDF(), 0o666))
		p.Media("", "light")
	}
}
