package main

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/quantity"
	"spillway/network/starter"
)

// What the head of a first file says is what solve finds: with --strict the exit code is that of a
// fault unless the head says that there is none. The answers are a seeded sample of all
// combinations.
func TestNewSaysWhatSolveFinds(t *testing.T) {
	pick := rand.New(rand.NewPCG(11, 7))
	of := func(list ...string) string { return list[pick.IntN(len(list))] }
	calls := 16
	if testing.Short() {
		calls = 5
	}
	clean := 0
	for range calls {
		args := []string{"new", "--tons", of("2", "3", "5"), "--heat", of("none", "45 kBtu/h",
			"heat pump"),
			"--ducts", of("inside", "attic", "crawlspace"), "--units", of("ip",
				"si"), "--zones", of("day, night",
				"main 1450 ft2 (kitchen, living, hall), loft 680 ft2 up 9 ft",
				"a 900 ft2, b 700 ft2, c 400 ft2")}
		if pick.IntN(2) == 0 {
			args = append(args, "--bypass")
		}
		name := filepath.Join(t.TempDir(), "first.toml")
		var out, messages bytes.Buffer
		code := run(append(args, "-o", name), console{in: strings.NewReader(""), out: &out,
			err: &messages})
		require.Zero(t, code, "%s: %s", args, messages.String())
		data, err := os.ReadFile(name)
		require.NoError(t, err)
		head, _, _ := strings.Cut(string(data), "\ntitle = ")
		messages.Reset()
		code = run([]string{"solve", name, "--strict", "--summary"}, console{out: &out,
			err: &messages})
		if strings.Contains(strings.ReplaceAll(head, "\n# ", " "), "No call state is at fault.") {
			assert.Equal(t, solved, code, "%s\n%s\n%s", args, head, messages.String())
			clean++
			continue
		}
		assert.NotEqual(t, solved, code, "%s\n%s", args, head)
		assert.Regexp(t, `\n# - |cannot be solved`, head)
	}
	assert.Positive(t, clean, "some house must be without a fault")
}

func TestZoneAnswers(t *testing.T) {
	for text, want := range map[string]starter.Zone{
		"day":                {Name: "day"},
		"zone 2":             {Name: "zone 2"},
		"up 430 cfm up 9 ft": {Name: "up", Wants: 430 * quantity.CFM, Up: 9 * quantity.Foot},
		"up stairs 430cfm":   {Name: "up stairs", Wants: 430 * quantity.CFM},
		"loft 680 ft2 loss 15 kBtu/h gain 8 kBtu/h up 9 ft": {Name: "loft",
			Floor: 680 * quantity.SquareFoot,
			Loss:  15000 * quantity.BtuPerHour, Gain: 8000 * quantity.BtuPerHour,
			Up: 9 * quantity.Foot},
		"cellar (gym, bath) 200 cfm down 9 ft": {Name: "cellar", Wants: 200 * quantity.CFM,
			Up: -9 * quantity.Foot, Rooms: []string{"gym", " bath"}},
	} {
		z, err := parseZone(text, quantity.IP)
		require.NoError(t, err, text)
		assert.InDelta(t, float64(want.Wants), float64(z.Wants), 1e-9, text)
		assert.InDelta(t, float64(want.Up), float64(z.Up), 1e-9, text)
		z.Wants, z.Up = want.Wants, want.Up
		assert.Equal(t, want, z, text)
	}
}
