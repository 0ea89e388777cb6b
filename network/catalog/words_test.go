package catalog

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every word of the list is in lower case, stands once, and its full name is one that a job file of
// tables may write too. Names that LookupFitting reads by itself mean the same to it.
func TestFittingWordsNameRowsOfTheCatalog(t *testing.T) {
	seen := map[string]bool{}
	for _, w := range FittingWords() {
		names := append([]string{w.Write}, w.Also...)
		_, isFitting := LookupFitting(w.Name)
		_, isJunction := LookupJunction(w.Name)
		assert.True(t, isFitting || isJunction || w.Name == "straight on", w.Name)
		for _, name := range names {
			assert.Equal(t, normalise(name), name)
			assert.False(t, seen[name], "%q stands twice", name)
			seen[name] = true
			if f, ok := LookupFitting(name); ok {
				assert.Equal(t, w.Name, f.Name, name)
			}
			if j, ok := LookupJunction(name); ok {
				assert.Equal(t, w.Name, j.Name, name)
			}
		}
		loss := w.Usual()
		assert.Equal(t, w.Name == "straight on", loss.Source.Text == "", w.Name)
		assert.NotEmpty(t, loss.At, w.Name)
	}
}

// A capped wye loses 0.61 and an exit 1.0 (Handbook of Fundamentals 2021 (SI), chapter 21, Example
// 9); a duct that begins flush with a wall 0.5 (Idelchik, diagram 3-1). A plain tee into a branch
// as
// fast as its main: 1.3, TP-410 without its factor (seen second-hand).
func TestUsualLossesArePublished(t *testing.T) {
	for word, want := range map[string]float64{"capped wye": 0.61, "exit": 1, "flush entry": 0.5,
		"tee": 1.3} {
		w, ok := LookupFittingWord(word)
		require.True(t, ok, word)
		assert.InDelta(t, want, w.Usual().C, 1e-12, word)
	}
}

// Words are taken with any case and blanks, whole before in part.
func TestFittingsAreFound(t *testing.T) {
	for words, want := range map[string]string{"Shoe  Tap": "tap 45", "lateral": "wye",
		"elbow 60 flex": "elbow 60 flex", "conical": "conical tee"} {
		found := FindFittingWords(words)
		require.Len(t, found, 1, words)
		assert.Equal(t, want, found[0].Write, words)
	}
	assert.Greater(t, len(FindFittingWords("vane")), 0)
	assert.Nil(t, FindFittingWords("gizmo"))
	assert.Nil(t, FindFittingWords(" "))
}
