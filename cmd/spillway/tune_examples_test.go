package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
)

// tuned is what this test reads of tune's JSON.
type tuned struct {
	Meets, Proved bool
	Override      string
	Never         []any
	Beyond        bool `json:"beyond_catalog"`
	Remedies      []struct {
		With *struct{ Override string } `json:"with_settings"`
	}
	Settings []struct {
		Path, Unit, Value string
		From              float64 `json:"holds_from"`
		To                float64 `json:"holds_to"`
	}
	BladeOff []struct {
		Path   string
		Faults int
	} `json:"blade_off"`
}

// What tune finds for the examples, pasted into their files, passes no limit in any call state of a
// fresh solution; where limits exclude one another it still keeps the hard ones and the zoning, or
// proposes nothing but changes, of which the first that serves is pasted. With -v it logs a table.
func TestTunedExamplesKeepTheirLimits(t *testing.T) {
	for _, c := range []struct {
		job, alternative string
		meets, proposes  bool
		long             bool
	}{
		{job: "two-floor", meets: true, proposes: true},
		{job: "two-floor", alternative: "bypass-to-plenum", meets: true, proposes: true},
		{job: "two-floor", alternative: "bypass-to-return-box", meets: true, proposes: true},
		{job: "two-floor", alternative: "dump-zone", proposes: true, long: true},
		{job: "first-look", meets: true, proposes: true},
		{job: "two-floor-si"},
		{job: "two-floor-si", alternative: "bypass-to-plenum", meets: true, proposes: true},
		{job: "noisy-bedroom"},
		{job: "noisy-bedroom", alternative: "bypass"},
		{job: "three-zone", proposes: true, long: true},
		{job: "three-zone", alternative: "weighted-bypass", meets: true, proposes: true,
			long: true},
		{job: "four-zone", meets: true, proposes: true, long: true},
	} {
		t.Run(strings.TrimSpace(c.job+" "+c.alternative), func(t *testing.T) {
			if testing.Short() && os.Getenv("CI") == "" && c.long {
				t.Skip("-short leaves out jobs of many call states; CI never does")
			}
			job := networktest.Example(t, c.job)
			name := filepath.Join(t.TempDir(), "house.toml")
			require.NoError(t, os.WriteFile(name, job, 0o644))
			before := faultsOf(t, name, c.alternative)
			assert.NotEmpty(t, before, "there is something to tune")

			var found tuned
			require.NoError(t, json.Unmarshal(output(t, "tune", name, "--alternative",
				c.alternative,
				"--format", "json"), &found))
			assert.Equal(t, c.meets, found.Meets)
			assert.Equal(t, c.proposes, found.Override != "")
			paste, alternative := found.Override, "tuned"
			if !c.proposes {
				if len(found.Remedies) == 0 || found.Remedies[0].With == nil {
					t.Logf("%d faults as it came; nothing serves: %v", len(before), found.Beyond)
					return
				}
				paste = found.Remedies[0].With.Override
			}
			require.NoError(t, os.WriteFile(name, []byte(string(job)+"\n"+paste), 0o644)) // pasted
			after := faultsOf(t, name, alternative)
			if c.meets {
				assert.Empty(t, after)
			}
			for _, f := range after {
				for _, hard := range []string{"external static", "airflow per ton",
					"temperature rise", "limit", "coil frost", "entering air",
					"zoning given away"} {
					assert.NotContains(t, f, hard)
				}
			}
			var settings []string
			for _, s := range found.Settings {
				settings = append(settings, s.Path+" "+s.Value)
			}
			was, _ := shares(t, name, c.alternative)
			share, kept := shares(t, name, alternative)
			t.Logf("| %s | %s | %d faults, callers %.0f %% -> %d faults, callers %.0f %%, zoning "+
				"kept %.0f %% | %v |",
				c.job, c.alternative, len(before), 100*was, len(after), 100*share, 100*kept,
				strings.Join(settings, ", "))
		})
	}
}

// shares are the least part of a call that reaches its callers and the least of the zoning that is
// kept, over all call states of a file.
func shares(t *testing.T, file, alternative string) (caller, kept float64) {
	t.Helper()
	var doc struct {
		States []struct {
			Zoning *struct {
				Share *float64 `json:"caller_share"`
				Kept  *float64
			}
		}
	}
	require.NoError(t, json.Unmarshal(output(t, "solve", file, "--alternative", alternative,
		"--format", "json"), &doc))
	caller, kept = 1, 1
	for _, s := range doc.States {
		if z := s.Zoning; z != nil && z.Share != nil && z.Kept != nil {
			caller, kept = min(caller, *z.Share), min(kept, *z.Kept)
		}
	}
	return caller, kept
}

// output is what a command prints; it must succeed.
func output(t *testing.T, args ...string) []byte {
	t.Helper()
	var out, errs bytes.Buffer
	require.Equal(t, solved, run(args, console{out: &out, err: &errs}), errs.String())
	return out.Bytes()
}

// faultsOf are the faults of all call states of a file, solved afresh.
func faultsOf(t *testing.T, file, alternative string, args ...string) (faults []string) {
	t.Helper()
	var doc judgedDocument
	require.NoError(t, json.Unmarshal(output(t, append([]string{"solve", file, "--alternative", alternative, "--format", "json"}, args...)...), &doc))
	require.NotEmpty(t, doc.States)
	for _, s := range doc.States {
		for _, f := range s.Findings {
			if f.Level == "fault" {
				faults = append(faults, s.Name+": "+f.Check+" of "+f.Where)
			}
		}
	}
	return faults
}
