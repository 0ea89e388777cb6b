package live_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"spillway/render/page/browser"
	"spillway/render/page/live"
)

// TestShow takes pictures of the live page, to be looked at: SPILLWAY_SHOW=folder go test -run Show ./render/page/live
func TestShow(t *testing.T) {
	folder := os.Getenv("SPILLWAY_SHOW")
	if folder == "" {
		t.Skip("takes pictures only when SPILLWAY_SHOW names a folder; it checks nothing")
	}
	_, s, file := served(t, live.Options{})
	p := browser.Start(t).Page(t, 1500, 1300)
	save := func(name string) {
		require.NoError(t, os.WriteFile(filepath.Join(folder, "live-"+name+".png"), p.Screenshot(), 0o666))
	}
	p.Open(s.URL + "/#" + strings.ReplaceAll(loft, " ", "%20"))
	shows(t, p, outcome(t, file.data, "", loft))
	save("first")
	p.Media("", "dark")
	p.Eval(`(() => { const s = document.getElementById('alternative'); s.value = 'bypass-to-plenum'; s.dispatchEvent(new Event('change')); })()`, nil)
	shows(t, p, outcome(t, file.data, "bypass-to-plenum", loft))
	p.Eval(`document.querySelector('input[data-path="damper.main.stop"]').focus()`, nil)
	p.Key("ArrowRight")
	shows(t, p, outcome(t, file.data, "bypass-to-plenum", loft, "damper.main.stop=1 %"))
	p.Eval(`document.getElementById('show').click()`, nil)
	save("moved-dark")
	p.Media("", "light")
	p.Size(390, 800, 2)
	save("phone")
	p.Size(1500, 1300, 1)
	p.Eval(`location.hash = 'all'`, nil)
	p.Wait(`document.getElementById('view-all').offsetHeight > 0`)
	file.put([]byte("title = \"broken\nx"), nil)
	save("all")
}
