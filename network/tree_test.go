package network

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every kind of key, string and value that TOML has. The expected places below were counted by hand.
const allForms = `# comment with [brackets] and "quotes"
a = 1
"b c".'d.e' = 'raw \ text'   # behind
list = [ "x", # one
  [1, 2], { k = "v" } ]
multi = """
line = 2 # no key
"""
raw3 = '''it's ''quoted'' '''

[t.u]
x.y.z = { p = "q", r.s = [ 3.5 ], "u\u00e9" = true }
x.y.w = 2024-05-01T10:00:00Z
[t]
v = -1_000
[[arr]]
n = 1
[[arr]]
n = 2
[arr.sub]
m = inf
`

func TestScannerPlaces(t *testing.T) {
	root, found := parseText("x", []byte(allForms))
	require.Empty(t, found)
	place := func(s span) [3]int {
		line := s.in.line(s.start)
		return [3]int{line, s.start - s.in.starts[line-1] + 1, s.end - s.start}
	}
	for _, test := range []struct {
		name       string
		path       []string
		key, value [3]int // line, column, length in bytes
	}{
		{"plain", []string{"a"}, [3]int{2, 1, 1}, [3]int{2, 5, 1}},
		{"quoted and dotted", []string{"b c", "d.e"}, [3]int{3, 7, 5}, [3]int{3, 15, 12}},
		{"list over lines", []string{"list"}, [3]int{4, 1, 4}, [3]int{4, 8, 36}},
		{"in an inline table", []string{"t", "u", "x", "y", "z", "p"}, [3]int{12, 11, 1}, [3]int{12, 15, 3}},
		{"dotted in an inline table", []string{"t", "u", "x", "y", "z", "r", "s"}, [3]int{12, 22, 1}, [3]int{12, 26, 7}},
		{"escaped key", []string{"t", "u", "x", "y", "z", "ué"}, [3]int{12, 35, 9}, [3]int{12, 47, 4}},
		{"header that came implicitly first", []string{"t"}, [3]int{11, 2, 1}, [3]int{11, 2, 1}},
		{"date", []string{"t", "u", "x", "y", "w"}, [3]int{13, 5, 1}, [3]int{13, 9, 20}},
		{"multi-line text", []string{"multi"}, [3]int{6, 1, 5}, [3]int{6, 9, 25}},
		{"raw multi-line text", []string{"raw3"}, [3]int{9, 1, 4}, [3]int{9, 8, 22}},
	} {
		t.Run(test.name, func(t *testing.T) {
			n, all := root.find(test.path...)
			require.True(t, all)
			assert.Equal(t, test.key, place(n.key), "key")
			assert.Equal(t, test.value, place(n.value), "value")
		})
	}
	list, _ := root.find("list")
	require.Len(t, list.items, 3)
	assert.Equal(t, "x", list.items[0].leaf)
	assert.Equal(t, [3]int{5, 3, 6}, place(list.items[1].value))
	arr, _ := root.find("arr")
	require.Len(t, arr.items, 2)
	assert.EqualValues(t, 2, arr.items[1].child("n").leaf)
	assert.NotNil(t, arr.items[1].child("sub").child("m"))
}

// sameAsParser fails when the scanner's tree holds other keys or values than the parser's maps: the scanner may not see things.
func sameAsParser(t *testing.T, path string, n *node, values any) {
	t.Helper()
	switch v := values.(type) {
	case map[string]any:
		require.True(t, n.table, path)
		require.Len(t, n.children, len(v), path)
		for _, c := range n.children {
			child, ok := v[c.name]
			require.True(t, ok, "%s has no %q", path, c.name)
			sameAsParser(t, path+"."+c.name, c, child)
		}
	case []map[string]any:
		require.True(t, n.list, path)
		require.Len(t, n.items, len(v), path)
		for i := range v {
			sameAsParser(t, path, n.items[i], v[i])
		}
	case []any:
		require.True(t, n.list, path)
		require.Len(t, n.items, len(v), path)
		for i := range v {
			sameAsParser(t, path, n.items[i], v[i])
		}
	default:
		require.False(t, n.table || n.list, path)
		if f, ok := v.(float64); !ok || f == f {
			require.Equal(t, v, n.leaf, path)
		}
	}
	require.NotNil(t, n.byNameOrEmpty(), path)
}

func (n *node) byNameOrEmpty() map[string]*node {
	if n.byName == nil {
		return map[string]*node{}
	}
	return n.byName
}

func checkAgainstParser(t *testing.T, data []byte) {
	t.Helper()
	root, _ := parseText("x", data)
	if root == nil {
		return
	}
	var values map[string]any
	md, err := toml.Decode(strings.TrimPrefix(string(data), "\xef\xbb\xbf"), &values)
	require.NoError(t, err)
	sameAsParser(t, "", root, values)
	// The order of the file: every key of the parser, in its order, is found at a place behind the one before within its table.
	for _, key := range md.Keys() {
		_, all := root.find(key...)
		inList := false
		for i := range key {
			if n, ok := root.find(key[:i+1]...); ok && n.list {
				inList = true
			}
		}
		require.True(t, all || inList, key.String())
	}
}

func TestScannerAgreesWithParser(t *testing.T) {
	checkAgainstParser(t, []byte(allForms))
	checkAgainstParser(t, []byte(strings.ReplaceAll(allForms, "\n", "\r\n")))
	files, err := filepath.Glob("../examples/*.toml")
	require.NoError(t, err)
	bad, err := filepath.Glob(badJobs + "/*.toml")
	require.NoError(t, err)
	for _, file := range append(files, bad...) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		checkAgainstParser(t, data)
	}
}

func TestSplitPath(t *testing.T) {
	for _, test := range []struct {
		name, path string
		want       []string
		ok         bool
	}{
		{"plain", "damper.main.stop", []string{"damper", "main", "stop"}, true},
		{"quoted", `room."main bed".door`, []string{"room", "main bed", "door"}, true},
		{"blank in a name", `room.main bed.door`, []string{"room", "main bed", "door"}, true},
		{"dot in a quoted name", `supply."a.b".size`, []string{"supply", "a.b", "size"}, true},
		{"one part", "units", []string{"units"}, true},
		{"empty", "", nil, false},
		{"ends in a dot", "a.", nil, false},
		{"begins with a dot", ".a", nil, false},
		{"double dot", "a..b", nil, false},
		{"open quote", `a."b`, nil, false},
		{"text behind a quote", `"a"b`, nil, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, ok := SplitPath(test.path)
			assert.Equal(t, test.ok, ok)
			if ok {
				assert.Equal(t, test.want, got)
			}
		})
	}
}
