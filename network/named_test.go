package network_test

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name finds a part only where a person typed it. Elsewhere parts are found by id: two of them may have been given one name, and the
// composed name of one may be that of another.
func TestNamesFindPartsOnlyWhereTyped(t *testing.T) {
	typed := map[string]int{
		"network/graph.go":          2, // where they are declared
		"network/readings_place.go": 2, // places of ports and readings
	}
	seen := map[string]int{}
	require.NoError(t, filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		name := filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator)))
		if n := bytes.Count(text, []byte("NodeNamed(")) + bytes.Count(text, []byte("ElementNamed(")); n > 0 {
			seen[name] = n
		}
		return nil
	}))
	assert.Equal(t, typed, seen)
}
