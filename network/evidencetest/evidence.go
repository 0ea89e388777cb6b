// Package evidencetest holds the program against values from outside it, and says of every such value what it proves.
//
// A test declares the kind of evidence once and then checks its rows:
//
//	func TestPublishedFriction(t *testing.T) {
//		evidence.Of(t, evidence.Formula)
//		evidence.Row{Case: "200 mm, 860 L/s, Pa/m", Source: "…, Example 9", Want: 40, Ours: ours, Within: 0.5}.Check(t)
//	}
//
// Check asserts the value and logs the row for .ci/published, which gathers testdata/published.md. A row without a kind, a row
// that is logged twice, and a tolerance that a wrong sign would pass fail the test. In a test named TestComputed… the value is
// of our own arithmetic: Check asserts it and logs nothing.
//
// The package is for tests only, as net/http/httptest is.
package evidencetest

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Kind is what agreement with a value proves.
type Kind string

const (
	// Whole is a published value against the whole program: a job file read, built and solved.
	Whole Kind = "program"
	// Formula is a published value against one formula of the program.
	Formula Kind = "formula"
	// Twice is a printed table typed a second time. It finds slips of the hand, nothing else.
	Twice Kind = "typed twice"
	// Fitted is a value that a constant of the program was chosen to meet: the row shows how well the fit holds.
	Fitted Kind = "fitted"
	// Memory is a value that is remembered, or common practice: not published.
	Memory Kind = "memory"
)

// Kinds are all kinds, the strongest first.
var Kinds = []Kind{Whole, Formula, Twice, Fitted, Memory}

// T is what a test has.
type T interface {
	require.TestingT
	Helper()
	Name() string
	Logf(format string, args ...any)
	Cleanup(func())
}

// Row is one value from outside the program beside the program's own.
type Row struct {
	Case   string  // what is compared, with its unit; no other row of the source may say the same
	Source string  // where the value stands
	Want   float64 // the value of the source
	Ours   float64
	// Within is how far Ours may be from Want, in the unit of the value: half the last printed digit, or what Why explains.
	Within float64
	// Why says why Within is wide. It is required where Within is more than a fifth of Want and more than half of its last
	// digit, and where zero or the opposite sign would pass.
	Why string
	// Printed is the value as the source prints it, where %g of Want does not show it.
	Printed string
}

var (
	mutex    sync.Mutex
	declared = map[string]Kind{}  // by the name of a top-level test
	seen     = map[string]owner{} // by kind-independent key of a row
)

// owner is the test that logged a row.
type owner struct {
	name string
	t    T
}

// Of declares the kind of the rows that t and its subtests check from here on.
func Of(t T, kind Kind) {
	t.Helper()
	require.Contains(t, Kinds, kind, "an unknown kind of evidence")
	mutex.Lock()
	defer mutex.Unlock()
	name := root(t)
	declared[name] = kind
	t.Cleanup(func() {
		mutex.Lock()
		defer mutex.Unlock()
		delete(declared, name)
	})
}

// Check asserts that the program is as near to the source as the row says, and logs the row.
func (r Row) Check(t T) {
	t.Helper()
	if strings.HasPrefix(t.Name(), "TestComputed") {
		assert.InDelta(t, r.Want, r.Ours, r.Within*(1+1e-9), "%s (%s)", r.Case, r.Source)
		return
	}
	if flaw := r.flaw(); flaw != "" {
		assert.Fail(t, r.Case+": "+flaw)
	}
	assert.InDelta(t, r.Want, r.Ours, r.Within*(1+1e-9), "%s (%s)", r.Case, r.Source)
	printed := r.Printed
	if printed == "" {
		printed = fmt.Sprintf("%.10g", r.Want)
	}
	row(t, r.Case, r.Source, printed, fmt.Sprintf("%.5g", r.Ours), fmt.Sprintf("%+.2g", r.Ours-r.Want), r.Why)
}

// Text is a row whose values are words: it asserts that they are equal, and logs them.
func Text(t T, name, source, want, ours string) {
	t.Helper()
	assert.Equal(t, want, ours, name)
	row(t, name, source, want, ours, "", "")
}

// flaw is what is wrong with the row itself, or "".
func (r Row) flaw() string {
	switch {
	case r.Case == "" || r.Source == "":
		return "a row needs a case and a source"
	case !(r.Within >= 0):
		return "a tolerance is not negative"
	case r.Why != "":
		return ""
	case r.Want != 0 && r.Within >= math.Abs(r.Want):
		return fmt.Sprintf("zero would pass ±%g about %g; tighten the tolerance or say in Why what it is for", r.Within, r.Want)
	case r.Want != 0 && r.Within > 0.2*math.Abs(r.Want) && r.Within > 1.2*halfDigit(r.Want, r.Printed):
		return fmt.Sprintf("±%g is more than a fifth of %g; tighten the tolerance or say in Why what it is for", r.Within, r.Want)
	}
	return ""
}

// halfDigit is half a unit of the last digit of a value as printed: 0.005 for 0.03.
func halfDigit(value float64, printed string) float64 {
	if printed == "" {
		printed = strconv.FormatFloat(math.Abs(value), 'f', -1, 64)
	}
	if point := strings.IndexByte(printed, '.'); point >= 0 {
		return 0.5 * math.Pow(10, -float64(len(printed)-point-1))
	}
	return 0.5
}

// row logs a row under the kind that its test declared.
func row(t T, name, source, want, ours, difference, why string) {
	t.Helper()
	mutex.Lock()
	kind, first := declared[root(t)], seen[name+"|"+source+"|"+want]
	if first.t == nil || first.name == t.Name() && first.t != t { // the second is a run again, under -count
		seen[name+"|"+source+"|"+want] = owner{t.Name(), t}
		first = owner{}
	}
	mutex.Unlock()
	if kind == "" {
		assert.Fail(t, root(t)+" checks a row of no kind: declare it with evidence.Of")
		return
	}
	if first.t != nil {
		assert.Fail(t, fmt.Sprintf("%s | %s | %s is checked by %s already", name, source, want, first.name))
	}
	for _, mark := range []string{"memory", "remembered", "common practice"} {
		if strings.Contains(source, mark) && kind != Memory {
			assert.Fail(t, fmt.Sprintf("%s: the source is %q, the kind %q; a remembered value is of the kind %q", name, source, kind, Memory))
		}
	}
	t.Logf("published | %s | %s | %s | %s | %s | %s | %s", kind, name, source, want, ours, difference, why)
}

// root is the name of the top-level test.
func root(t T) string {
	name, _, _ := strings.Cut(t.Name(), "/")
	return name
}
