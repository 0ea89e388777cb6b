package diag_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/diag"
)

func TestText(t *testing.T) {
	long := strings.Repeat("a", 80) + "WRONG" + strings.Repeat("b", 200)
	for _, test := range []struct {
		name string
		d    diag.Diagnostic
		want string
	}{
		{"in full", diag.Diagnostic{Summary: "no such line", Fix: "look again", File: "a.toml", Line: 24, Column: 5, Length: 3, LineText: "x = abc"},
			"a.toml:24:5: error: no such line\n  24 | x = abc\n     |     ^^^\n  fix: look again\n"},
		{"caution without a fix", diag.Diagnostic{Severity: diag.Caution, Summary: "odd", File: "a.toml", Line: 1, Column: 1, LineText: "x"},
			"a.toml:1:1: caution: odd\n  1 | x\n    | ^\n"},
		{"whole file", diag.Diagnostic{Summary: "empty", File: "a.toml"}, "a.toml: error: empty\n"},
		{"a flag", diag.Diagnostic{Summary: "bad", File: "--set", Column: 3, Length: 1, LineText: "a=b"}, "--set: error: bad\n   | a=b\n   |   ^\n"},
		{"tab before the mark", diag.Diagnostic{Summary: "s", File: "f", Line: 1, Column: 2, LineText: "\tx"}, "f:1:2: error: s\n  1 |     x\n    |     ^\n"},
		{"characters of several bytes", diag.Diagnostic{Summary: "s", File: "f", Line: 1, Column: 5, Length: 2, LineText: "жжжжab"}, "f:1:5: error: s\n  1 | жжжжab\n    |     ^^\n"},
		{"control characters", diag.Diagnostic{Summary: "a\x1b[31mb", File: "f\n", Line: 1, Column: 2, LineText: "a\x1bb\u202e"},
			"f\\x0a:1:2: error: a\\x1b[31mb\n  1 | a\\x1bb\\u202e\n    |  ^^^^\n"},
		{"bytes that are no UTF-8", diag.Diagnostic{Summary: "s", File: "f", Line: 1, Column: 2, LineText: "a\xffb"}, "f:1:2: error: s\n  1 | a\\xffb\n    |  ^^^^\n"},
		{"past the end", diag.Diagnostic{Summary: "s", File: "f", Line: 1, Column: 9, LineText: "ab"}, "f:1:9: error: s\n  1 | ab\n    |   ^\n"},
		{"a long line is cut round the mark", diag.Diagnostic{Summary: "s", File: "f", Line: 7, Column: 81, Length: 5, LineText: long},
			"f:7:81: error: s\n  7 | ..." + strings.Repeat("a", 40) + "WRONG" + strings.Repeat("b", 62) + "...\n    | " + strings.Repeat(" ", 43) + "^^^^^\n"},
	} {
		t.Run(test.name, func(t *testing.T) { assert.Equal(t, test.want, test.d.Text()) })
	}
}

func TestList(t *testing.T) {
	l := diag.List{
		{Severity: diag.Caution, Summary: "third", File: "a", Line: 9, Column: 1},
		{Summary: "second", File: "a", Line: 2, Column: 7},
		{Summary: "first", File: "a", Line: 2, Column: 1},
		{Summary: "second", File: "a", Line: 2, Column: 7},
	}
	sorted := l.Sorted()
	var order []string
	for _, d := range sorted {
		order = append(order, d.Summary)
	}
	assert.Equal(t, []string{"first", "second", "third"}, order)
	assert.True(t, sorted.HasErrors())
	assert.Len(t, sorted.Errors(), 2)
	assert.Len(t, sorted.Cautions(), 1)
	require.Error(t, sorted.Err())
	require.NoError(t, sorted.Cautions().Err())
	require.NoError(t, diag.List(nil).Err())
	found, ok := diag.As(fmt.Errorf("reading: %w", sorted.Err()))
	require.True(t, ok)
	assert.Len(t, found, 3)
	_, ok = diag.As(errors.New("other"))
	assert.False(t, ok)
}

func TestNearest(t *testing.T) {
	known := []string{"trunk", "loft-main", "main-main", "bed-2", "bath", "max-static", "fully-open-at", "opens-at", "register"}
	for _, test := range []struct{ word, want string }{
		{"trnk", "trunk"}, {"turnk", "trunk"}, {"Trunk", "trunk"}, {"trunkk", "trunk"}, {"loft main", "loft-main"}, {"loft_main", "loft-main"},
		{"max_static", "max-static"}, {"regsiter", "register"}, {"regist", "register"}, {"fully-open", "fully-open-at"}, {"bd-2", "bed-2"},
		{"kitchen", ""}, {"x", ""}, {"", ""}, {"xyz", ""}, {strings.Repeat("t", 100), ""},
	} {
		t.Run("word "+test.word, func(t *testing.T) {
			got, ok := diag.Nearest(test.word, known)
			assert.Equal(t, test.want, got)
			assert.Equal(t, test.want != "", ok)
		})
	}
	assert.Equal(t, `did you mean "trunk"?`, diag.DidYouMean("trnk", known))
	assert.Equal(t, "known here: a, b", diag.DidYouMean("zzz", []string{"a", "b"}))
	assert.Empty(t, diag.DidYouMean("zzz", nil))
}

func FuzzText(f *testing.F) {
	f.Add("a\xffb\tжx", 3, 2)
	f.Fuzz(func(t *testing.T, line string, column, length int) {
		text := diag.Diagnostic{Summary: "s", File: "f", Line: 1, Column: max(1, column%1000), Length: length, LineText: line}.Text()
		for _, r := range text {
			if r < 0x20 && r != '\n' || r == 0x7f {
				t.Fatalf("control character in %q", text)
			}
		}
		if strings.Count(text, "\n") != 3 {
			t.Fatalf("%q is not three lines", text)
		}
		for _, l := range strings.Split(text, "\n") {
			if len([]rune(l)) > 400 {
				t.Fatalf("too long: %q", l)
			}
		}
	})
}
