package main

import (
	"bytes"
	"io"
	"net"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a call has wrong is told in a sentence that says what would be right; nothing is printed as a result. Each of these is a branch
// that no other test comes to.
func TestRefusals(t *testing.T) {
	const small = "testdata/small.toml"
	const readings = "../../examples/readings/noisy-bedroom.toml"
	job, err := os.ReadFile(small)
	require.NoError(t, err)
	edited := func(old, new string) string {
		require.Contains(t, string(job), old)
		name := filepath.Join(t.TempDir(), "house.toml")
		require.NoError(t, os.WriteFile(name, []byte(strings.Replace(string(job), old, new, 1)), 0o600))
		return name
	}
	wrong := edited(`stop = "25 %"`, `stop = "25 bananas"`)
	for _, c := range []struct {
		args []string
		in   string
		code int
		says string
	}{
		{args: []string{"draw", "-", "--against", "file", "--state", "cooling: loft"}, in: string(job), code: wrongCall, says: "--against reads the job twice, which standard input cannot be"},
		{args: []string{"draw", small, "--against", "all", "--state", "cooling: loft"}, code: wrongCall, says: `--against takes one alternative, or "file"`},
		{args: []string{"draw", small, "--against", "nothing", "--state", "cooling: loft"}, code: wrongCall, says: `there is no alternative "nothing"`},
		{args: []string{"draw", small, "--state", "attic"}, code: wrongCall, says: `there is no call state "attic"`},
		{args: []string{"report", wrong}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"report", small, "--steps", "1"}, code: wrongCall, says: "--steps is 0, or 2 to 101"},
		{args: []string{"report", small, "--state", "attic"}, code: wrongCall, says: small + `: there is no call state "attic"`},
		{args: []string{"explain", wrong, "surplus"}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"fit", small, readings, "more"}, code: wrongCall, says: `fit takes one job file and one readings file, and "more" is one too many`},
		{args: []string{"fit", small, readings, "--alternative", "all"}, code: wrongCall, says: "fit takes one alternative at a time: the one that is built"},
		{args: []string{"fit", small, readings, "--top", "0"}, code: wrongCall, says: "--top lists at least one cause"},
		{args: []string{"fit", "-", "-"}, code: wrongCall, says: "only one of the two files can come from standard input"},
		{args: []string{"fit", small, "-"}, in: "state = \"cooling: attic\"\n[reading]\na = { at = \"blower inlet\", static = -0.3 }\n", code: wrongCall, says: `standard input:1:9: error: the installation has no call state "cooling: attic"`},
		{args: []string{"fit", wrong, readings}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"limits", small, "--alternative", "all"}, code: wrongCall, says: "limits takes one alternative"},
		{args: []string{"new", "--bypass", "--units", "metres"}, code: wrongCall, says: `--units cannot be "metres"`},
		{args: []string{"new", "--tons", "three"}, code: wrongCall, says: `"three" is not a capacity in tons; write 3`},
		{args: []string{"new", "--heat", "60 cfm"}, code: wrongCall, says: `write "60 kBtu/h", "heat pump 34 kBtu/h" or none`},
		{args: []string{"new", "--ask"}, in: "House\nip\n3\n60 kBtu/h\nup 400 cfm, down\nattic\nperhaps\n", code: wrongCall, says: `"perhaps" is neither yes nor no`},
		{args: []string{"new", "--ask"}, in: "House\nmetric\n", code: wrongCall, says: `there is no system of units "metric"; write ip or si`},
		{args: []string{"size", small}, code: wrongCall, says: "size takes --friction or --static, one of the two"},
		{args: []string{"size", small, "--friction", "much"}, code: wrongCall, says: `--friction: write a rate such as "0.08 inwc/100ft" or "0.8 Pa/m"`},
		{args: []string{"size", small, "--static", "-0.2 inwc"}, code: wrongCall, says: `--static: write a pressure such as "0.45 inwc"`},
		{args: []string{"size", small, "--friction", "0.0000001 Pa/m"}, code: wrongCall, says: "no duct is large enough"},
		{args: []string{"sweep", wrong, "--move", "damper.main.stop=0..100 %"}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"sweep", "-", "--move", "damper.mian.stop=0..100 %", "--steps", "3"}, in: string(job), code: wrongCall, says: `"mian"`},
		{args: []string{"tune", small, "--move", "damper.main.stop"}, code: wrongCall, says: "--move: "},
		{args: []string{"tune", small, "--send", "main"}, code: wrongCall, says: `--send: write ZONE=AIRFLOW, such as "main=400 cfm"`},
		{args: []string{"tune", small, "--send", "main=300 cfm"}, code: wrongCall, says: "--send needs one --move, the setting that is to do it"},
		{args: []string{"tune", small, "--send", "main=300 cfm", "--move", "damper.main.stop=0..100 %"}, code: wrongCall, says: "--send needs one --state, the call in which it is to be so"},
		{args: []string{"tune", small, "--send", "main=300 cfm", "--move", "damper.main.stop=0..100 %", "--state", "attic"}, code: wrongCall, says: `there is no call state "attic"`},
		{args: []string{"tune", small, "--send", "main=9000 cfm", "--move", "damper.main.stop=0..100 %", "--state", "cooling: loft"}, code: unsolvable, says: "go into main, not 9000 cfm"},
		{args: []string{"tune", small, "--send", "nobody=300 cfm", "--move", "damper.main.stop=0..100 %", "--state", "cooling: loft"}, code: wrongCall, says: `"cooling: loft" has no bleed of "nobody"`},
		{args: []string{"tune", small, "--send", "main=300 cfm", "--move", "equipment.cooling.tap=high, low", "--state", "cooling: loft"}, code: wrongCall, says: "a list has nothing between its values"},
		{args: []string{"tune", small, "--balance", "--state", "cooling"}, code: wrongCall, says: "--balance takes one --state"},
		{args: []string{"tune", small, "--ask", "main=50 %", "--state", "cooling: loft"}, code: wrongCall, says: "with --ask, --state is the mode: cooling, heating or fan"},
		{args: []string{"tune", small, "--ask", "main"}, code: wrongCall, says: `--ask: write ZONE=SHARE, such as "living=80 %"`},
		{args: []string{"tune", small, "--ask", "main=50 %"}, code: wrongCall, says: `--ask needs --blower "LEAST..MOST", such as "500..1600 cfm"`},
		{args: []string{"tune", wrong, "--ask", "main=50 %"}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"tune", wrong, "--balance"}, code: wrongCall, says: `"25 bananas"`},
		{args: []string{"spread", small, "--samples", "19"}, code: wrongCall, says: "a spread takes from 20 to 1000000 samples, not 19"},
		{args: []string{"compare", small, "--with", "nothing"}, code: wrongCall, says: `there is no alternative "nothing"`},
	} {
		t.Run(strings.Join(c.args, " "), func(t *testing.T) {
			var out, messages bytes.Buffer
			code := run(c.args, console{in: strings.NewReader(c.in), out: &out, err: &messages})
			assert.Equal(t, c.code, code)
			assert.Empty(t, out.String())
			assert.Contains(t, messages.String(), c.says)
		})
	}
}

// A question that cannot be read to its end is not answered by itself.
func TestNewWhenStandardInputBreaks(t *testing.T) {
	var out, messages bytes.Buffer
	code := run([]string{"new", "--ask"}, console{in: io.MultiReader(strings.NewReader("House\n"),
		brokenReader{}), out: &out, err: &messages})
	assert.Equal(t, wrongCall, code)
	assert.Empty(t, out.String())
	assert.Contains(t, messages.String(), "cannot read the answer: input/output error")
}

// A port that another program holds is said to be.
func TestServeWhenThePortIsTaken(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	code, out, messages := call("serve", "testdata/small.toml", "--listen", taken.Addr().String())
	assert.Equal(t, unsolvable, code)
	assert.Empty(t, out)
	assert.Contains(t, messages, "cannot listen: ")
	assert.Contains(t, messages, taken.Addr().String())
}

// The same job from standard input says what it says from its file.
func TestStandardInputSaysTheSame(t *testing.T) {
	job, err := os.ReadFile("testdata/small.toml")
	require.NoError(t, err)
	name := regexp.MustCompile(`testdata/small\.toml|standard input`)
	for _, args := range [][]string{
		{"solve", "JOB", "-v"}, {"sweep", "JOB", "--move", "damper.main.stop=0..100 %", "--steps", "3"},
		{"explain", "JOB", "surplus", "--state", "cooling: loft"},
	} {
		with := func(job string) []string {
			replaced := append([]string(nil), args...)
			replaced[1] = job
			return replaced
		}
		want := name.ReplaceAllString(solvedText(t, nil, with("testdata/small.toml")...), "JOB")
		assert.Equal(t, want, name.ReplaceAllString(solvedText(t, job, with("-")...), "JOB"), args[0])
	}
}

// A number of states that share a name in a folder get files of their own.
func TestPicturesOfOneName(t *testing.T) {
	taken := map[string]bool{}
	assert.Equal(t, []string{"loft.svg", "loft-2.svg", "loft-3.svg"}, []string{freeName("loft", taken), freeName("loft", taken), freeName("loft", taken)})
}
