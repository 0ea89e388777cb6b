package live_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/render/page/browser"
	"spillway/render/page/live"
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// printed is what the explain command prints of a number, down to the inputs, in one line; the heading apart.
func printed(t testing.TB, o *state.Outcome, name string) (head, tree string) {
	t.Helper()
	step, err := derive.New(o, verdict.Judge(o)).Explain(name)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, sheet.Write(&b, sheet.Explain(&sheet.Sheet{Units: o.Graph.Job.Units, Job: o.Graph.Job}, &sheet.Explanation{State: o.State.Name, Step: step}), "text", sheet.Style{}))
	head, rest, _ := strings.Cut(b.String(), "\n")
	_, tree, _ = strings.Cut(rest, "\n\n")
	return head, strings.Join(strings.Fields(tree), " ")
}

// The live page fetches a derivation when it is asked for, for the settings that it shows.
func TestPopUpsOfTheLivePage(t *testing.T) {
	desk, s, file := served(t, live.Options{})
	data := bytes.Clone(file.data)
	p := browser.Start(t).Page(t, 1500, 1000)
	p.Open(s.URL + "/#" + strings.ReplaceAll(loft, " ", "%20"))
	shows(t, p, outcome(t, data, "", loft))
	const isOpen, isShut = `document.querySelector('dialog.whence')?.open`, `!document.querySelector('dialog.whence')?.open`
	button := func(name string) string {
		return fmt.Sprintf(`document.querySelector('#panel [data-why="%s"] button')`, name)
	}
	says := func(o *state.Outcome, name string) {
		t.Helper()
		head, tree := printed(t, o, name)
		assert.Equal(t, head, p.Text(`document.querySelector('#whence-h').textContent`))
		p.Eval(`(b => b.hidden || b.click())(document.querySelector('#whence-all'))`, nil)
		assert.Equal(t, tree, strings.Join(strings.Fields(p.Text(`document.querySelector('.whence-tree').textContent`)), " "))
	}
	asked := func() int { return strings.Count(strings.Join(p.Requests(), "\n"), "/explain") }

	t.Run("keyboard", func(t *testing.T) {
		p.In(t)
		assert.Zero(t, asked(), "nothing is fetched before it is asked for")
		p.Eval(button("external static")+`.focus()`, nil)
		p.Key("Enter")
		p.Wait(isOpen)
		says(outcome(t, data, "", loft), "external static")
		assert.Equal(t, 1, asked())
		p.Key("Escape")
		p.Wait(isShut)
		p.Wait(`document.activeElement.closest('[data-why]')?.dataset.why === 'external static'`) // the focus comes back a moment after the pop-up is shut
	})
	t.Run("with a setting moved", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.querySelector('input[data-path="damper.main.stop"]').focus()`, nil)
		p.Key("ArrowRight")
		moved := outcome(t, data, "", loft, "damper.main.stop=41 %")
		shows(t, p, moved)
		for _, name := range []string{"surplus", "bleed into main", "leaving air"} {
			p.Eval(button(name)+`.click()`, nil)
			p.Wait(isOpen)
			says(moved, name)
			p.Key("Escape")
			p.Wait(isShut)
		}
	})
	t.Run("drawn anew while open", func(t *testing.T) {
		p.In(t)
		p.Eval(button("surplus")+`.focus()`, nil)
		p.Key("Enter")
		p.Wait(isOpen)
		p.Eval(`window.before = `+button("surplus"), nil)
		file.touch()
		desk.Look()
		p.Wait(`window.before !== ` + button("surplus"))
		p.Key("Escape")
		p.Wait(`document.activeElement.closest('[data-why]')?.dataset.why === 'surplus'`) // the focus goes to the same number, a moment after the pop-up is shut
	})
	t.Run("drawn anew under the focus", func(t *testing.T) {
		p.In(t)
		p.Eval(button("surplus")+`.focus()`, nil)
		p.Eval(`window.before = `+button("surplus"), nil)
		file.touch()
		desk.Look()
		p.Wait(`window.before !== ` + button("surplus"))
		assert.Equal(t, "surplus", p.Text(`document.activeElement.closest('[data-why]')?.dataset.why`), "the focus stays with the number")
	})
	t.Run("all states", func(t *testing.T) {
		p.In(t)
		p.Eval(`location.hash = 'all'`, nil)
		p.Wait(`document.querySelector('#overview [data-why] button')?.offsetHeight > 0`)
		p.Eval(`document.querySelectorAll('#overview [data-why="surplus"] button')[2].click()`, nil)
		p.Wait(isOpen)
		name := p.Text(`document.querySelectorAll('#overview [data-why="surplus"]')[2].closest('tr').dataset.in`)
		says(outcome(t, data, "", name, "damper.main.stop=41 %"), "surplus")
		p.Key("Escape")
		p.Wait(isShut)
	})
	assert.Empty(t, p.Said())
}

// The audit with a pop-up open.
func TestLivePopUpAccessibility(t *testing.T) {
	script := browser.Auditor(t)
	_, s, file := served(t, live.Options{})
	p := browser.Start(t).Page(t, 1400, 900)
	for _, scheme := range []string{"light", "dark"} {
		p.Media("", scheme)
		p.Open(s.URL + "/#" + strings.ReplaceAll(loft, " ", "%20"))
		shows(t, p, outcome(t, file.data, "", loft))
		p.Eval(`document.querySelector('#panel .figures button.why').click()`, nil)
		p.Wait(`document.querySelector('dialog.whence')?.open`)
		serious, passed := p.Audit(script)
		assert.Empty(t, serious, scheme)
		assert.Greater(t, passed, 15)
	}
}

// Asking for a derivation is guarded as every question is: by host, origin, kind and size; what is not a number, a state or a setting is
// said to be none.
func TestExplainIsGuarded(t *testing.T) {
	_, s, _ := served(t, live.Options{})
	send := func(body string, change func(r *http.Request)) (int, string) {
		r, err := http.NewRequest(http.MethodPost, s.URL+"/explain", strings.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Content-Type", "application/json")
		if change != nil {
			change(r)
		}
		answer, err := http.DefaultClient.Do(r)
		require.NoError(t, err)
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		return answer.StatusCode, string(text)
	}
	good := `{"state":"` + loft + `","name":"surplus"}`
	status, text := send(good, nil)
	require.Equal(t, http.StatusOK, status)
	var a struct {
		State      string
		Derivation struct{ Names map[string]any }
	}
	require.NoError(t, json.Unmarshal([]byte(text), &a))
	assert.Equal(t, loft, a.State)
	assert.Len(t, a.Derivation.Names, 1)
	for _, c := range []struct {
		why, body string
		change    func(r *http.Request)
		status    int
	}{
		{"a foreign host", good, func(r *http.Request) { r.Host = "example.org" }, http.StatusMisdirectedRequest},
		{"a foreign page", good, func(r *http.Request) { r.Header.Set("Origin", "http://example.org") }, http.StatusForbidden},
		{"another site", good, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, http.StatusForbidden},
		{"a form", good, func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, http.StatusUnsupportedMediaType},
		{"no JSON", "surplus", nil, http.StatusBadRequest},
		{"an unknown key", `{"state":"x","name":"y","more":1}`, nil, http.StatusBadRequest},
		{"two questions", good + good, nil, http.StatusBadRequest},
		{"no name", `{"state":"` + loft + `"}`, nil, http.StatusBadRequest},
		{"a long name", `{"name":"` + strings.Repeat("x", 2000) + `"}`, nil, http.StatusBadRequest},
		{"a setting without a path", `{"name":"surplus","set":[{"path":"","value":"1"}]}`, nil, http.StatusBadRequest},
		{"a long question", `{"name":"` + strings.Repeat("x", 100_000) + `"}`, nil, http.StatusRequestEntityTooLarge},
	} {
		status, _ := send(c.body, c.change)
		assert.Equal(t, c.status, status, c.why)
	}
	for _, c := range []struct{ body, says string }{
		{`{"state":"` + loft + `","name":"surplos"}`, `did you mean \"surplus\"`},
		{`{"state":"moon","name":"surplus"}`, `no call state`},
		{`{"state":"` + loft + `","name":"surplus","set":[{"path":"damper.main.stop","value":"much"}]}`, "damper.main.stop"},
	} {
		status, text := send(c.body, nil)
		assert.Equal(t, http.StatusOK, status)
		assert.Contains(t, text, `"problem":`)
		assert.Contains(t, text, c.says)
	}
	r, err := http.Get(s.URL + "/explain")
	require.NoError(t, err)
	r.Body.Close()
	assert.Equal(t, http.StatusMethodNotAllowed, r.StatusCode)
}
