package page_test

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page"
	"spillway/render/page/trial"
	"spillway/render/sheet"
)

// dossier solves a job for a report: as it stands and, with alternatives, each of them; at most so many states.
func dossier(t testing.TB, name string, data []byte, alternatives bool, states, steps int) *page.Dossier {
	t.Helper()
	base, err := trial.Open(name, data, "", nil)
	require.NoError(t, err)
	d := &page.Dossier{Version: "test", File: name + ".toml", Units: base.Graph().Job.Units}
	names := []string{""}
	if alternatives {
		for _, a := range base.Graph().Job.Alternatives {
			names = append(names, a.Name)
		}
	}
	for _, alternative := range names {
		in, err := trial.Open(name, data, alternative, nil)
		require.NoError(t, err)
		cases, err := in.All(t.Context(), in.States()[:min(states, len(in.States()))], nil)
		require.NoError(t, err)
		v := &page.Variant{Name: alternative, In: in, Cases: cases}
		page.Slide(v, name, data, nil, steps, nil)
		d.Variants = append(d.Variants, v)
	}
	return d
}

func written(t testing.TB, d *page.Dossier) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, page.Report(&b, d))
	return b.Bytes()
}

// A report is whole in itself: nothing in it makes a browser fetch anything. Addresses of namespaces are names, not places.
func TestReportIsSelfContained(t *testing.T) {
	outside := regexp.MustCompile(`(?i)(src|href|action|data|poster|srcset)\s*=\s*["']?\s*(https?:|//)|url\(\s*["']?\s*(https?:|//)|@import|<link[^>]+stylesheet|fetch\(|XMLHttpRequest|WebSocket|EventSource`)
	for _, name := range networktest.Examples(t) {
		t.Run(name, func(t *testing.T) {
			text := string(written(t, dossier(t, name, networktest.Example(t, name), false, 2, 2)))
			assert.Empty(t, outside.FindAllString(text, -1))
			rest := strings.ReplaceAll(text, "http://www.w3.org/2000/svg", "")
			assert.NotContains(t, rest, "http://")
			assert.NotContains(t, rest, "https://")
			assert.Contains(t, text, `default-src 'none'`, "and a policy that forbids it")
		})
	}
}

// The same dossier gives the same bytes, however the work was shared out.
func TestReportIsReproducible(t *testing.T) {
	data := networktest.Example(t, "two-floor")
	assert.True(t, bytes.Equal(written(t, dossier(t, "two-floor", data, true, 2, 3)), written(t, dossier(t, "two-floor", data, true, 2, 3))))
}

// What a report weighs: a two-zone house with all its sliders goes through a mailbox (our choice: 5 MB).
func TestReportSize(t *testing.T) {
	plain := written(t, dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 9, 0))
	full := written(t, dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 9, 11))
	t.Logf("nine states: %d kB, with sliders %d kB", len(plain)/1000, len(full)/1000)
	assert.Less(t, len(full), 5_000_000)
}

// Every state and every number of importance is in the file, the safety text too, without any script being run.
func TestReportSaysWhatItMust(t *testing.T) {
	d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), true, 9, 0)
	text := string(written(t, d))
	for _, v := range d.Variants {
		for _, c := range v.Cases {
			assert.Contains(t, text, escaped(sheet.Sentence(c.Outcome, d.Units)), c.Outcome.State.Name)
		}
	}
	assert.Contains(t, text, escaped(sheet.Caution))
	assert.Contains(t, text, "Sheet for the installer")
	assert.Contains(t, text, "Weighted dampers")
	assert.Equal(t, len(d.Variants)*9, strings.Count(text, `class="view state"`))
	for _, a := range d.Variants[0].In.Graph().Job.Assumptions {
		assert.Contains(t, text, escaped(a.Why))
	}
}

func escaped(s string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "'", "&#39;", `"`,
		"&#34;").Replace(s)
}

// A ledger on the page adds up to the blower's air, in the same text as the text report.
func TestPanelAgreesWithTheSheet(t *testing.T) {
	d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), true, 9, 0)
	for _, v := range d.Variants {
		for i, c := range v.Cases {
			panel, err := page.NewPanel(v.In, c, page.PanelOptions{ID: "x", Units: d.Units})
			require.NoError(t, err)
			sum := 0
			for _, l := range panel.Ledger {
				sum += number(t, l.Airflow)
			}
			assert.Equal(t, number(t, panel.Blower), sum, "%s %d", v.Name, i)
			var text bytes.Buffer
			require.NoError(t, sheet.Text(&text, &sheet.Sheet{Units: d.Units, Job: v.In.Graph().Job, Reports: []*sheet.Report{{Outcome: c.Outcome, Findings: c.Findings}}}, sheet.Style{}))
			assert.Contains(t, text.String(), "Blower "+panel.Blower+" ")
		}
	}
}

func number(t testing.TB, text string) (n int) {
	t.Helper()
	_, err := fmt.Sscan(strings.ReplaceAll(text, ",", ""), &n)
	require.NoError(t, err, text)
	return n
}

func TestNothingToReport(t *testing.T) {
	assert.ErrorIs(t, page.Report(&bytes.Buffer{}, &page.Dossier{}), page.ErrNothing)
}

// Steps are bounded in a large job and never without being a true range.
func TestStepsFor(t *testing.T) {
	d := dossier(t, "two-floor", networktest.Example(t, "two-floor"), false, 9, 0)
	assert.Equal(t, 11, page.StepsFor(d, 900))
	assert.Equal(t, 3, page.StepsFor(d, 40))
	assert.Equal(t, 0, page.StepsFor(d, 10))
}
