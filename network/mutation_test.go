package network

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quoted is a text of a job file with what stands before it in its line.
var quoted = regexp.MustCompile(`"([^"\n]*)"`)

// mutation is one slip of the pen in one text of a file.
type mutation struct {
	name  string
	apply func(r *rand.Rand, text string) string
}

// mutations are the slips that are tried. Each returns the text itself where it does not apply.
var mutations = []mutation{
	{"unit dropped", func(_ *rand.Rand, text string) string {
		return regexp.MustCompile(`^([0-9.x]+) [A-Za-z/%]+$`).ReplaceAllString(text, "$1")
	}},
	{"unit of another kind", func(r *rand.Rand, text string) string {
		if !regexp.MustCompile(`^[0-9.]+ [A-Za-z/%]+$`).MatchString(text) {
			return text
		}
		number, _, _ := strings.Cut(text, " ")
		return number + " " + []string{"in", "ft", "cfm", "inwc", "Pa", "F", "kBtu/h", "%", "ton", "deg"}[r.IntN(10)]
	}},
	{"letter changed", func(r *rand.Rand, text string) string {
		at := r.IntN(len(text))
		if c := text[at] | 0x20; c < 'a' || c > 'z' {
			return text
		}
		return text[:at] + string(rune('a'+r.IntN(26))) + text[at+1:]
	}},
	{"letter dropped", func(r *rand.Rand, text string) string { at := r.IntN(len(text)); return text[:at] + text[at+1:] }},
	{"letter doubled", func(r *rand.Rand, text string) string { at := r.IntN(len(text)); return text[:at+1] + text[at:] }},
	{"digit changed", func(r *rand.Rand, text string) string {
		at := r.IntN(len(text))
		if text[at] < '0' || text[at] > '9' {
			return text
		}
		return text[:at] + string('0'+(text[at]-'0'+byte(1+r.IntN(9)))%10) + text[at+1:]
	}},
	{"count in front", func(_ *rand.Rand, text string) string {
		if !strings.HasPrefix(text, "elbow") {
			return text
		}
		return "2 " + text
	}},
	{"text said twice", func(_ *rand.Rand, text string) string { return text + " " + text }},
	{"words swapped", func(_ *rand.Rand, text string) string {
		first, rest, found := strings.Cut(text, " ")
		if !found {
			return text
		}
		return rest + " " + first
	}},
}

// plainText are the keys whose text has no effect on the air: a change of it changes the Job by that text alone.
var plainText = regexp.MustCompile(`^\s*(title|note)\b|[#]`)

// Whatever slip of the pen is made in a text of an example, the file is refused or remarked upon in its line, or another
// job is read. A changed text that leaves the Job as it was, with no word about it, was not read at all.
func TestNoSlipIsReadInSilence(t *testing.T) {
	files, err := filepath.Glob("../examples/*.toml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	r := rand.New(rand.NewPCG(1, 2)) // seeded: the same slips in every run
	tried, refused, changed, equal := 0, 0, 0, 0
	for _, file := range files {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		text := string(data)
		if at := strings.Index(text, "[alternative"); at >= 0 {
			text = text[:at] // as the file stands
		}
		base, found := Read("x.toml", []byte(text), Options{})
		require.NotNil(t, base, "%s", found)
		before := len(found)
		places := quoted.FindAllStringSubmatchIndex(text, -1)
		for range 80 {
			place := places[r.IntN(len(places))]
			old := text[place[2]:place[3]]
			line := 1 + strings.Count(text[:place[2]], "\n")
			if old == "" || plainText.MatchString(lineUpTo(text, place[2])) {
				continue
			}
			m := mutations[r.IntN(len(mutations))]
			slip := m.apply(r, old)
			if slip == old {
				continue
			}
			tried++
			mutated := text[:place[2]] + slip + text[place[3]:]
			job, found := Read("x.toml", []byte(mutated), Options{})
			what := fmt.Sprintf("%s:%d: %s: %q for %q", filepath.Base(file), line, m.name, slip, old)
			switch {
			case job == nil:
				refused++
				assert.True(t, told(found.Error(), line, slip), "%s: refused without naming it:\n%s", what, found)
			case !sameJob(base, job):
				changed++
			case len(found) > before:
				changed++
			default:
				equal++
				assert.True(t, sameMeaning(m.name, old, slip), "%s: read as if nothing had changed", what)
			}
		}
	}
	t.Logf("%d slips: %d refused, %d read as another job, %d of the same meaning", tried, refused, changed, equal)
	assert.Greater(t, tried, 200)
	assert.Greater(t, refused, tried/4)
}

// lineUpTo is what stands before an offset in its line.
func lineUpTo(text string, offset int) string {
	return text[strings.LastIndexByte(text[:offset], '\n')+1 : offset]
}

// told reports whether messages point at a line or quote a text.
func told(messages string, line int, text string) bool {
	return strings.Contains(messages, fmt.Sprintf("x.toml:%d:", line)) || strings.Contains(messages, text)
}

// sameJob compares two jobs, their assumptions included but for where they were read from.
func sameJob(a, b *Job) bool {
	x, y := *a, *b
	x.tree, y.tree = nil, nil
	return reflect.DeepEqual(x, y)
}

// sameMeaning reports whether a slip may leave the meaning: a unit that a bare number has anyway, or a zero that no number
// needs, or a blank.
func sameMeaning(name, old, slip string) bool {
	squeezed := func(s string) string { return strings.Join(strings.Fields(strings.ToLower(s)), "") }
	was, ok := leadNumber(old)
	is, _ := leadNumber(slip)
	bare := strings.Trim(slip, "0123456789. ") == ""
	return name == "unit dropped" || squeezed(old) == squeezed(slip) || ok && was == is && (bare || strings.HasSuffix(old, slip))
}
