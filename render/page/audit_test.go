package page_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"spillway/network/networktest"
	"spillway/render/page/browser"
)

// An audit by someone else's rules (axe-core, which holds a page against the Web Content Accessibility Guidelines) finds nothing serious in
// any view, light or dark.
func TestReportAccessibility(t *testing.T) {
	script := browser.Auditor(t)
	url := onDisk(t, dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 2, 3))
	p := browser.Start(t).Page(t, 1400, 900)
	for _, c := range []struct{ view, scheme string }{{"v0", "light"}, {"v0s1", "light"}, {"v0-sheet", "light"}, {"about", "light"}, {"v0s1", "dark"}} {
		p.Media("", c.scheme)
		p.Open(url + "#" + c.view)
		serious, passed := p.Audit(script)
		assert.Empty(t, serious, "%s, %s", c.view, c.scheme)
		assert.Greater(t, passed, 15)
	}
	// The audit itself is awake: it finds what is planted.
	p.Eval(`document.querySelector('.view.shown').insertAdjacentHTML('beforeend', '<button></button><img src="data:,">')`, nil)
	serious, _ := p.Audit(script)
	assert.NotEmpty(t, serious)
}
