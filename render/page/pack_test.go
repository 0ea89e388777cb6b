package page

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// unpacked reads packed pages as packedPages describes them.
func unpacked(t require.TestingT, data string) map[string]string {
	raw, err := base64.RawURLEncoding.DecodeString(data)
	require.NoError(t, err)
	z, err := gzip.NewReader(bytes.NewReader(raw))
	require.NoError(t, err)
	plain, err := io.ReadAll(z)
	require.NoError(t, err)
	var p struct {
		Keys    []string
		Pages   []int
		Lists   [][]int
		Slots   [][]any
		Columns []json.RawMessage
	}
	require.NoError(t, json.Unmarshal(plain, &p))
	out := map[string]string{}
	for n, key := range p.Keys {
		var lines []string
		list := p.Lists[p.Pages[n]]
		for i := 0; i < len(list); i += 2 {
			for k := list[i]; k < list[i]+list[i+1]; k++ {
				pieces := strings.Split(p.Slots[k][0].(string), "\n")
				line := pieces[0]
				for h, after := range pieces[1:] {
					line += cell(t, p.Columns[int(p.Slots[k][h+1].(float64))], n) + after
				}
				lines = append(lines, line)
			}
		}
		out[key] = strings.Join(lines, "\n")
	}
	return out
}

// cell is what a column has for one page.
func cell(t require.TestingT, column json.RawMessage, at int) string {
	var texts struct {
		V []string
		C []int
	}
	if json.Unmarshal(column, &texts) == nil {
		return texts.V[texts.C[at]]
	}
	var list []any
	require.NoError(t, json.Unmarshal(column, &list))
	decimals, v, n := int(list[0].(float64)), 0, 0
	for i := 1; n <= at; i++ {
		if zeros, ok := list[i].([]any); ok {
			n += int(zeros[0].(float64))
			continue
		}
		v += int(list[i].(float64))
		n++
	}
	digits := fmt.Sprintf("%0*d", max(decimals, -1-decimals)+1, max(v, -v))
	cut := len(digits) - max(decimals, -1-decimals)
	text := digits[:cut]
	if cut < len(digits) {
		text += "." + digits[cut:]
		if decimals > 0 {
			text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
		}
	}
	if v < 0 {
		text = "-" + text
	}
	return text
}

// Whatever pages there are, each comes back byte for byte.
func TestPagesComeBack(t *testing.T) {
	number := rapid.OneOf(
		rapid.Map(rapid.IntRange(-50, 2000), strconv.Itoa),
		rapid.Map(rapid.Float64Range(-10, 1000), func(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }),
		rapid.SampledFrom([]string{"007", "-0", "1.", "1,234", "-0.00", "1.2.3", "--4", "99999999999999999999", "NC", ""}))
	shape := rapid.SampledFrom([]string{"", "plain", `<g id="v0s1-#">`, "<path d=\"M# #L# #\" />", "M-#", "a-#", "# #", "<td>#</td>", "é#", "\t#\"\\"})
	rapid.Check(t, func(t *rapid.T) {
		all := newPages()
		want := map[string]string{}
		for n := range rapid.IntRange(1, 6).Draw(t, "pages") {
			var lines []string
			for range rapid.IntRange(1, 12).Draw(t, "lines") {
				line := shape.Draw(t, "line")
				for strings.Contains(line, "#") {
					line = strings.Replace(line, "#", number.Draw(t, "number"), 1)
				}
				lines = append(lines, line)
			}
			key := fmt.Sprint("p ", n)
			want[key] = strings.Join(lines, "\n")
			all.add(key, want[key])
		}
		data, err := all.packed()
		require.NoError(t, err)
		require.Equal(t, want, unpacked(t, data))
	})
}

// Paths through the same points share their columns; a line that moved down is still the same line.
func TestPagesShare(t *testing.T) {
	all := newPages()
	for n := range 4 {
		text := fmt.Sprintf("<g id=\"a\">\n<path d=\"M%d.5 2\"/>\n<path d=\"M%d.5 3\"/>\n</g>", n*n, n*n)
		if n == 2 {
			text = "<p>first</p>\n" + text
		}
		all.add(fmt.Sprint(n), text)
	}
	assert.Len(t, all.slots, 5)
	data, err := all.packed()
	require.NoError(t, err)
	assert.Equal(t, "<p>first</p>\n<g id=\"a\">\n<path d=\"M4.5 2\"/>\n<path d=\"M4.5 3\"/>\n</g>", unpacked(t, data)["2"])
}
