package diag

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Nearest returns the known word that a misspelt word was most likely meant to be.
//
// Words are compared by the number of letters to insert, delete, replace or swap with the next ("optimal string alignment"
// distance), blind to letter case and taking blanks, hyphens and underscores as the same. A word is near when the distance is at
// most a third of its length, and at least 1. Of equally near words the first of the list is taken. A word of three letters or
// more that only one known word begins with is near to it too.
func Nearest(word string, known []string) (string, bool) {
	const longest = 64 // nobody misspells a longer name by a letter; keeps the cost bounded on hostile input
	if word == "" || len(word) > longest {
		return "", false
	}
	folded := fold(word)
	best, bestDistance := "", -1
	begun, beginnings := "", 0
	for _, k := range known {
		if k == "" || len(k) > longest {
			continue
		}
		other := fold(k)
		begins := len(other) >= len(folded) && slices.Equal(other[:len(folded)], folded)
		// Names whose lengths differ by more than a likeness allows need no table of letters.
		if apart := max(len(other)-len(folded), len(folded)-len(other)); apart <= max(1, len(folded)/3) {
			if d := distance(folded, other); bestDistance < 0 || d < bestDistance {
				best, bestDistance = k, d
			}
		}
		if begins {
			begun = k
			beginnings++
		}
	}
	length := utf8.RuneCountInString(word)
	switch {
	case bestDistance == 0:
		return best, true
	case length < 3: // one letter of two is no likeness
		return "", false
	case bestDistance > 0 && bestDistance <= max(1, length/3):
		return best, true
	case beginnings == 1:
		return begun, true
	}
	return "", false
}

// Alike reports whether two words differ by one letter in eight at most: nearer than Nearest asks, for names that people make
// up, where "main bath" and "main bed" are two.
func Alike(a, b string) bool {
	const apart = 8
	x, y := fold(a), fold(b)
	return distance(x, y) <= max(1, max(len(x), len(y))/apart)
}

var hyphens = strings.NewReplacer("_", "-", " ", "-")

func fold(word string) []rune {
	return []rune(hyphens.Replace(strings.ToLower(word)))
}

// distance is the optimal string alignment distance, three rows at a time.
func distance(a, b []rune) int {
	twoBack, back, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range back {
		back[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := back[j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			row[j] = min(change, back[j]+1, row[j-1]+1)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], twoBack[j-2]+1)
			}
		}
		twoBack, back, row = back, row, twoBack
	}
	return back[len(b)]
}

// DidYouMean is the fix for a misspelt word: the nearest known word when there is one, else the known words when there are few
// enough to list. It is "" when there is nothing to say.
func DidYouMean(word string, known []string) string {
	near, _ := Nearest(word, known)
	return Suggest(near, known)
}

// Suggest is DidYouMean for a nearest name that was found already; "" when there is none.
func Suggest(near string, known []string) string {
	if near != "" {
		return `did you mean "` + near + `"?`
	}
	const listable = 12
	if len(known) == 0 || len(known) > listable {
		return ""
	}
	return "known here: " + strings.Join(known, ", ")
}
