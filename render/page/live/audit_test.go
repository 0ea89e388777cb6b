package live_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/render/page/browser"
	"spillway/render/page/live"
)

// The same audit as the report's, on the live page with a setting moved.
func TestLiveAccessibility(t *testing.T) {
	script := browser.Auditor(t)
	_, s, file := served(t, live.Options{})
	p := browser.Start(t).Page(t, 1400, 900)
	for _, scheme := range []string{"light", "dark"} {
		p.Media("", scheme)
		p.Open(s.URL + "/#" + strings.ReplaceAll(loft, " ", "%20"))
		shows(t, p, outcome(t, file.data, "", loft))
		p.Eval(`document.querySelector('input[data-path="damper.main.stop"]').focus()`, nil)
		p.Key("ArrowRight")
		shows(t, p, outcome(t, file.data, "", loft, "damper.main.stop=41 %"))
		p.Eval(`document.getElementById('show').click()`, nil)
		serious, passed := p.Audit(script)
		assert.Empty(t, serious, scheme)
		assert.Greater(t, passed, 15)
		p.Eval(`location.hash = 'all'`, nil)
		p.Wait(`document.getElementById('view-all').offsetHeight > 0`)
		serious, _ = p.Audit(script)
		assert.Empty(t, serious, "all states, %s", scheme)
	}
}
