package browser

import (
	"os"
	"testing"
)

// AuditScript is the environment variable that names an accessibility audit in the form of the axe-core library (axe.min.js of the npm
// package, which .ci/run fetches).
const AuditScript = "SPILLWAY_AXE"

// Auditor reads the audit's script. Where there is none the test is skipped with those words; under CI=true it fails.
func Auditor(t testing.TB) string {
	t.Helper()
	path := os.Getenv(AuditScript)
	if path == "" {
		if os.Getenv("CI") == "true" {
			t.Fatalf("%s is not set, and under CI the accessibility audit must run: npm pack axe-core", AuditScript)
		}
		t.Skipf("%s does not name an axe.min.js: the accessibility audit did not run", AuditScript)
	}
	script, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(script)
}

// Audit runs the audit on the page as it stands and returns what it found that is serious or worse, a line each, and how many rules
// were tried and passed.
func (p *Page) Audit(script string) (serious []string, passed int) {
	p.t.Helper()
	p.Eval(script+";0", nil)
	var r struct {
		Serious []string
		Passed  int
	}
	p.Eval(`axe.run(document).then(r => ({
  Serious: r.violations.filter(v => v.impact === 'serious' || v.impact === 'critical').map(v => v.id + ': ' + v.help + ': ' + v.nodes.slice(0, 3).map(n => n.target + ' ' + n.html.slice(0, 160)).join(' | ')),
  Passed: r.passes.length}))`, &r)
	return r.Serious, r.Passed
}
