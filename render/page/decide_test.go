package page_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
	"spillway/render/page/browser"
	"spillway/render/sheet"
	"spillway/solver/diagnose"
	"spillway/solver/study"
)

// The page to decide and sign prints on one sheet of letter paper, of every example and whichever
// option is chosen.
func TestDecisionPrintsOnOneSheet(t *testing.T) {
	b := browser.Start(t)
	p := b.Page(t, 1000, 1200)
	path := filepath.Join(t.TempDir(), "decide.html")
	for _, name := range networktest.Examples(t) {
		s := study.New(name, networktest.Example(t, name), study.Options{})
		g, err := s.Read(study.Variant{})
		require.NoError(t, err)
		found, err := s.Decide(study.Variant{}, g.Job.Alternatives, 0)
		require.NoError(t, err)
		for at := range found.Choices {
			c := &found.Choices[at]
			plan := diagnose.Handover(c.Result.Graph, c.Result.Outcomes[c.WorstCall].State)
			readings, err := diagnose.Expect(c.Result.Graph, plan)
			require.NoError(t, err)
			d := sheet.Decide(&sheet.Sheet{Job: g.Job, File: name + ".toml", Units: g.Job.Units},
				&sheet.Deciding{Decision: found, Chosen: at, Readings: readings,
					Mark: "0123456789ab"})
			var page bytes.Buffer
			require.NoError(t, sheet.WriteLetter(&page, d))
			require.NoError(t, os.WriteFile(path, page.Bytes(), 0o666))
			p.Open("file://" + path)
			assert.Equal(t, 1, bytes.Count(p.PDF(), []byte("/Type /Page\n")), "%s, %s", name,
				c.Name)
		}
	}
}
