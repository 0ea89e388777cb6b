package derive

import "strings"

// replaceWord replaces a symbol in a sum by another expression.
func replaceWord(expression, symbol, by string) string {
	terms := strings.Split(expression, " + ")
	for i := range terms {
		if terms[i] == symbol {
			terms[i] = by
		}
	}
	return strings.Join(terms, " + ")
}
