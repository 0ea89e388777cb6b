package page_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page"
	"spillway/render/page/browser"
	"spillway/render/page/trial"
	"spillway/render/sheet"
	"spillway/solver/derive"
)

// explained is what the explain command prints of a number, in one line: its heading and its tree down to the inputs.
func explained(t testing.TB, d *page.Dossier, c *trial.Case, name string) (head, tree string) {
	t.Helper()
	step, err := derive.New(c.Outcome, c.Findings).Explain(name)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, sheet.Write(&b, sheet.Explain(&sheet.Sheet{Units: d.Units, Job: c.Outcome.Graph.Job}, &sheet.Explanation{State: c.Outcome.State.Name, Step: step}), "text", sheet.Style{}))
	head, rest, _ := strings.Cut(b.String(), "\n")
	_, tree, _ = strings.Cut(rest, "\n\n") // after what state it is in
	_, head, _ = strings.Cut(head, ": ")
	return head, oneLine(tree)
}

// differs shows where two texts part; "" when they do not.
func differs(want, got string) string {
	if want == got {
		return ""
	}
	at := 0
	for at < min(len(want), len(got)) && want[at] == got[at] {
		at++
	}
	from := max(0, at-60)
	return fmt.Sprintf("want …%q, got …%q", want[from:min(len(want), at+80)], got[from:min(len(got), at+80)])
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// opened opens the pop-ups of the shown view in turn, one in so many, and one in so many of these down to the inputs, and gives what each
// shows.
func opened(p *browser.Page, stride, whole int) (list []popUp) {
	p.Eval(fmt.Sprintf(every, stride, stride*whole), &list)
	return list
}

const every = `(async () => {
  const out = [];
  const tick = () => new Promise(r => setTimeout(r, 0));
  const cells = document.querySelectorAll('.view.shown [data-why],.view.shown [data-ask]');
  for (let n = 0; n < cells.length; n += %d) {
    const cell = cells[n], b = cell.querySelector('button.why');
    if (!b) { out.push({Name: cell.dataset.why, Head: 'no button'}); continue; }
    b.click();
    const d = () => document.querySelector('dialog.whence');
    for (let i = 0; i < 2000 && !(d() && d().open); i++) await tick();
    const whole = n %% %d === 0, all = d().querySelector('#whence-all'), tree = d().querySelector('.whence-tree');
    if (whole && !all.hidden) all.click();
    const first = [...(tree.querySelector('li')?.childNodes || [])].filter(e => e.tagName !== 'UL').map(e => e.textContent).join('');
    out.push({Name: cell.dataset.why || cell.dataset.ask, Head: d().querySelector('h2').textContent, Note: d().querySelector('#whence-note').textContent,
      Command: d().querySelector('#whence-ask').hidden ? '' : d().querySelector('#whence-ask code').textContent, Shown: cell.textContent,
      Tree: whole ? tree.textContent || '-' : '', First: first});
    d().close();
    await tick();
  }
  return out;
})()`

// popUp is what one shows: its heading, where it is, its whole tree or "", what it says of the number itself, and the command to copy; and
// what the page shows of the number.
type popUp struct{ Name, Head, Note, Tree, First, Command, Shown string }

// agrees holds a pop-up against what the explain command prints.
func agrees(t *testing.T, d *page.Dossier, c *trial.Case, g popUp, where string) {
	t.Helper()
	head, tree := explained(t, d, c, g.Name)
	assert.Equal(t, g.Name+": "+head, g.Head, where)
	if g.Tree != "" {
		assert.Empty(t, differs(tree, oneLine(g.Tree)), "%s: %s", where, g.Name)
	}
	first := oneLine(g.First)
	assert.Greater(t, len(first), 10)
	assert.Empty(t, differs(tree[:min(len(tree), len(first))], first), "%s: %s", where, g.Name)
	assert.Equal(t, "in "+where+"; equations are in SI and hold to the last digit shown", g.Note)
	assert.Empty(t, g.Command)
}

// filed holds a pop-up of a number with a damper moved against what the explain command prints of the house as its file says, and the command
// that it shows against what the page shows: run as it stands, it derives the number of the house with the damper moved.
func filed(t *testing.T, run func(command string) string, d *page.Dossier, c, moved *trial.Case, g popUp, what string) {
	t.Helper()
	where := c.Outcome.State.Name
	if derive.New(c.Outcome, c.Findings).Has(g.Name) {
		head, tree := explained(t, d, c, g.Name)
		assert.Equal(t, g.Name+", as the file says: "+head, g.Head)
		first := oneLine(g.First)
		assert.Empty(t, differs(tree[:min(len(tree), len(first))], first), g.Name)
		assert.Equal(t, "This is "+where+" as the file says, not with "+what+". The command derives the number with it:", g.Note)
	} else {
		assert.Equal(t, g.Name, g.Head)
		assert.Equal(t, "In "+where+" with "+what+". As the file says, this number is not there; the command derives it:", g.Note)
	}
	require.NotEmpty(t, g.Command)
	if g.Tree == "" {
		return // one in so many is run
	}
	head, tree := explained(t, d, moved, g.Name)
	out := run(g.Command + " --depth 0")
	_, printed, _ := strings.Cut(strings.ReplaceAll(out, "two-floor.toml:", "two-floor:"), "\n\n") // the test reads it by its short name
	assert.Equal(t, g.Name+": "+head, strings.SplitN(out, "\n", 2)[0], g.Command)
	assert.Empty(t, differs(tree, oneLine(printed)), g.Command)
}

// shell runs commands as they are pasted, with a fresh build of the program, in the folder of the
// examples written out.
func shell(t *testing.T) func(command string) string {
	t.Helper()
	folder := t.TempDir()
	out, err := exec.Command("go", "build", "-o", folder, "spillway/cmd/spillway").CombinedOutput()
	require.NoError(t, err, string(out))
	return func(command string) string {
		t.Helper()
		cmd := exec.Command("sh", "-c", command)
		cmd.Dir = filepath.Join("..", "..", "testdata", "jobs", "long")
		cmd.Env = append(os.Environ(), "PATH="+folder+string(os.PathListSeparator)+os.Getenv("PATH"))
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s: %s", command, out)
		return string(out)
	}
}

// Every number of a state has a pop-up that shows just what the explain command prints: its heading, and every value, equation and origin
// down to the inputs; with a damper moved, those of the house as its file says, and the command for the others.
func TestEveryNumberOfTheReportExplainsItself(t *testing.T) {
	b := browser.Start(t)
	for _, name := range []string{"two-floor", "two-floor-si"} { // units of the trade, and SI
		d := dossier(t, name, networktest.Example(t, name), false, 6, 3)
		p := b.Page(t, 1400, 900)
		url := onDisk(t, d)
		v := d.Variants[0]
		compare := func(c *trial.Case, where string, stride int) {
			t.Helper()
			got := opened(p, stride, 12)
			assert.Greater(t, len(got), 100/stride, where)
			seen := map[string]bool{}
			for _, g := range got {
				agrees(t, d, c, g, where)
				seen[g.Name] = true
			}
			for _, want := range []string{"blower airflow", "surplus", "external static", "leaving air", "entering wet bulb"} {
				assert.True(t, stride > 1 || seen[want], "%s, %s", want, where)
			}
			if t.Failed() {
				t.FailNow()
			}
		}
		p.Open(url + "#v0s1")
		if name != "two-floor" {
			compare(v.Cases[1], v.Cases[1].Outcome.State.Name, 4)
			continue
		}
		compare(v.Cases[1], v.Cases[1].Outcome.State.Name, 1) // cooling
		p.Open(url + "#v0s4")                                 // heating
		s := v.Sliders[4][0]
		at := 0
		for s.Steps[at].Case == nil {
			at++
		}
		p.Eval(fmt.Sprintf(`(() => { const i = document.querySelector('.view.shown input[type=range]'); i.value = %d; i.dispatchEvent(new Event('input')); })()`, at), nil)
		p.Wait(`document.querySelector('.view.shown .panel').classList.contains('tried')`)
		got := opened(p, 6, 4)
		assert.Greater(t, len(got), 16)
		run, differ := shell(t), 0
		for _, g := range got {
			filed(t, run, d, v.Cases[4], s.Steps[at].Case, g, s.Setting.Name+" at "+s.Setting.Text(s.Steps[at].Value))
			if !strings.Contains(g.Head, strings.Fields(g.Shown + " -")[0]) {
				differ++
			}
		}
		assert.Greater(t, differ, 5, "the numbers that are shown are of the moved damper")
		if t.Failed() {
			t.FailNow()
		}
		p.Eval(`document.querySelector('.view.shown .back').click()`, nil)
		p.Wait(`!document.querySelector('.view.shown .panel').classList.contains('tried')`)
		compare(v.Cases[4], v.Cases[4].Outcome.State.Name, 8)
		assert.Empty(t, p.Said())
	}
}

const (
	popUpOpen  = `document.querySelector('dialog.whence')?.open`
	popUpShut  = `!document.querySelector('dialog.whence')?.open`
	popUpTitle = `document.querySelector('#whence-h').textContent`
	focused    = `document.activeElement.closest('[data-why]')?.dataset.why`
)

// focusOn is true when a number has the focus, which comes back to it a moment after its pop-up is shut.
func focusOn(name string) string { return fmt.Sprintf("%s === %q", focused, name) }

// A pop-up opens by a click and by the keyboard, closes by Escape, by a click beside it and by its button, and gives the focus back. The
// arrow keys go from number to number. Print knows nothing of it. An audit finds nothing serious while one is open.
func TestPopUpsOfTheReport(t *testing.T) {
	b := browser.Start(t)
	d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 2, 3)
	url := onDisk(t, d)
	p := b.Page(t, 1400, 900)
	p.Open(url + "#v0s1")
	head, _ := explained(t, d, d.Variants[0].Cases[1], "external static")
	click := func(selector string) {
		t.Helper()
		var at struct{ X, Y float64 }
		p.Eval(`(() => { const r = document.querySelector('`+selector+`').getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2}; })()`, &at)
		p.Drag(at.X, at.Y, at.X, at.Y, 1)
	}
	const static = `.view.shown .figures [data-why="external static"] button`

	t.Run("by mouse", func(t *testing.T) {
		p.In(t)
		click(static)
		p.Wait(popUpOpen)
		assert.Equal(t, "external static: "+head, p.Text(popUpTitle))
		assert.Equal(t, "true", p.Text(`document.querySelector('`+static+`').getAttribute('aria-expanded')`))
		assert.Contains(t, p.Text(`document.querySelector('.whence-tree').textContent`), "what one way round the system loses outside the blower")
		// Steps below open one by one.
		assert.Equal(t, "0", p.Text(`document.querySelectorAll('.whence-tree details[open]').length`))
		click(".whence-tree summary")
		p.Wait(`document.querySelector('.whence-tree details[open] code')`)
		p.Key("Escape")
		p.Wait(popUpShut)
		p.Wait(focusOn("external static"))
		assert.Equal(t, "false", p.Text(`document.querySelector('`+static+`').getAttribute('aria-expanded')`))
		click(static)
		p.Wait(popUpOpen)
		p.Drag(1380, 20, 1380, 20, 1) // beside it
		p.Wait(popUpShut)
		p.Wait(focusOn("external static"))
	})
	t.Run("with a damper moved", func(t *testing.T) {
		p.In(t)
		p.Eval(`(() => { const i = document.querySelector('.view.shown input[type=range]'); i.value = i.value === i.max ? i.min : i.max; i.dispatchEvent(new Event('input')); })()`, nil)
		p.Wait(`document.querySelector('.view.shown .panel').classList.contains('tried')`)
		click(static)
		p.Wait(popUpOpen)
		assert.Equal(t, "external static, as the file says: "+head, p.Text(popUpTitle))
		s := d.Variants[0].Sliders[1][0]
		set := s.Setting.Path + "=" + s.Setting.Text(s.Steps[0].Value)
		if s.Now == 0 || s.Now != len(s.Steps)-1 {
			set = s.Setting.Path + "=" + s.Setting.Text(s.Steps[len(s.Steps)-1].Value)
		}
		command := `spillway explain two-floor.toml "external static" --set "` + set + `" --state "` + d.Variants[0].Cases[1].Outcome.State.Name + `"`
		assert.Equal(t, command, p.Text(`document.querySelector('#whence-ask code').textContent`))
		p.Eval(`[...document.querySelectorAll('#whence-ask button')][0].click()`, nil)
		p.Wait(`document.querySelector('#whence-ask button').textContent !== 'copy'`)
		assert.Equal(t, command, p.Text(`getSelection().toString()`), "selected, so that a browser that lets no page copy can be asked to")
		p.Key("Escape")
		p.Wait(popUpShut)
		p.Eval(`document.querySelector('.view.shown .back').click()`, nil)
		p.Wait(`!document.querySelector('.view.shown .panel').classList.contains('tried')`)
		click(static)
		p.Wait(popUpOpen)
		assert.Equal(t, "external static: "+head, p.Text(popUpTitle))
		assert.Equal(t, "true", p.Text(`document.querySelector('#whence-ask').hidden`))
		p.Key("Escape")
		p.Wait(popUpShut)
	})
	t.Run("by keyboard", func(t *testing.T) {
		p.In(t)
		p.Eval(`document.querySelector('.view.shown .ledger table button.why').focus()`, nil)
		first := p.Text(focused)
		p.Key("ArrowDown")
		second := p.Text(focused)
		assert.NotEqual(t, first, second, "the arrow goes to the next line")
		assert.Equal(t, "v0s1", p.Text(shownTitle), "and leaves the page where it is")
		p.Key("Enter")
		p.Wait(popUpOpen)
		assert.True(t, strings.HasPrefix(p.Text(popUpTitle), second+": "))
		assert.Equal(t, "true", p.Text(`document.querySelector('dialog.whence').contains(document.activeElement)`))
		p.Key("Escape")
		p.Wait(popUpShut)
		p.Wait(focusOn(second))
		p.Key(" ")
		p.Wait(popUpOpen)
		for range 12 { // the focus stays within
			p.Key("Tab")
			assert.Equal(t, "true", p.Text(`document.activeElement === document.body || document.querySelector('dialog.whence').contains(document.activeElement)`))
		}
		p.Eval(`[...document.querySelectorAll('.whence button')].find(b => b.textContent === 'close').focus()`, nil)
		p.Key("Enter")
		p.Wait(popUpShut)
		p.Wait(focusOn(second))
	})
	t.Run("overview", func(t *testing.T) {
		p.In(t)
		p.Open(url + "#v0")
		got := opened(p, 1, 3)
		require.Greater(t, len(got), 6)
		for i, g := range got {
			c := d.Variants[0].Cases[i*2/len(got)] // two states, as many numbers in each
			agrees(t, d, c, g, c.Outcome.State.Name)
		}
	})
	t.Run("print", func(t *testing.T) {
		p.In(t)
		p.Open(url + "#v0s1")
		click(static)
		p.Wait(popUpOpen)
		p.Media("print", "light")
		assert.Equal(t, "none", p.Text(`getComputedStyle(document.querySelector('dialog.whence')).display`))
		assert.Equal(t, "0", p.Text(`[...document.querySelectorAll('.ask')].filter(b => b.offsetHeight > 0).length`))
		assert.NotEqual(t, "0", p.Text(`document.querySelector('`+static+`').offsetHeight`), "the number itself is printed")
		p.Media("", "light")
		p.Key("Escape")
		p.Wait(popUpShut)
	})
	t.Run("phone", func(t *testing.T) {
		p.In(t)
		p.Size(390, 800, 2)
		p.Open(url + "#v0s1")
		p.Eval(`document.querySelector('`+static+`').click()`, nil)
		p.Wait(popUpOpen)
		p.Eval(`document.querySelector('#whence-all').click()`, nil)
		assert.Equal(t, "true", p.Text(`(r => r.left >= 0 && r.right <= 390 && r.bottom <= 800 && r.top > 0)(document.querySelector('dialog.whence').getBoundingClientRect())`))
		assert.Equal(t, "true", p.Text(`(e => e.scrollWidth <= e.clientWidth)(document.querySelector('.whence-tree'))`), "nothing is wider than the panel")
		p.Size(1400, 900, 1)
	})
	assert.Empty(t, p.Said())
	for _, r := range p.Requests() {
		assert.Regexp(t, `^file://.*/report\.html(#.*)?$`, r)
	}
}

// The audit, with a pop-up open down to the inputs, light and dark.
func TestPopUpAccessibility(t *testing.T) {
	script := browser.Auditor(t)
	url := onDisk(t, dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 2, 3))
	p := browser.Start(t).Page(t, 1400, 900)
	for _, scheme := range []string{"light", "dark"} {
		p.Media("", scheme)
		p.Open(url + "#v0s1")
		for _, whole := range []bool{false, true} {
			p.Eval(`document.querySelector('.view.shown .figures button.why').click()`, nil)
			p.Wait(popUpOpen)
			if whole {
				p.Eval(`document.querySelector('#whence-all').click()`, nil)
			}
			serious, passed := p.Audit(script)
			assert.Empty(t, serious, "%s, whole tree %v", scheme, whole)
			assert.Greater(t, passed, 15)
			var low []string
			p.Eval(contrast, &low)
			assert.Empty(t, low, scheme)
			p.Key("Escape")
			p.Wait(popUpShut)
		}
	}
	assert.Empty(t, p.Said())
}
