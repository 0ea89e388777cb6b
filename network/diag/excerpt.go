package diag

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

const (
	widestLine = 110 // characters of a line that are shown
	leftOfMark = 40  // characters kept before the mark in a line that is cut
	tabWidth   = 4   // a tab is shown as blanks so that the caret stands right in any terminal
)

// excerpt cuts a line around a mark and makes it safe to print. It returns the text, and where and how long the mark is in
// it, all in characters. A column past the end of the line marks the place just behind it.
func excerpt(line string, column, length int) (text string, start, marked int) {
	if length < 1 {
		length = 1
	}
	first, last := column-1, column-1+length // characters of the line, last excluded
	cutFrom := 0
	if count := countUpTo(line, widestLine+1); count > widestLine && first > leftOfMark {
		cutFrom = first - leftOfMark
	}
	var b strings.Builder
	position, shown, start, end := 0, 0, -1, -1
	for i := 0; i < len(line); {
		r, size := utf8.DecodeRuneInString(line[i:])
		if position == first {
			start = shown
		}
		if position == last {
			end = shown
		}
		if position >= cutFrom {
			if position == cutFrom && cutFrom > 0 {
				b.WriteString("...")
				shown += 3
				if position == first {
					start = shown
				}
			}
			word := visibleRune(r, size, line[i])
			b.WriteString(word)
			shown += utf8.RuneCountInString(word)
			if shown >= widestLine && i+size < len(line) {
				b.WriteString("...")
				break
			}
		}
		i += size
		position++
	}
	if start < 0 {
		start = shown
	}
	if end < 0 || end > shown {
		end = shown
	}
	return b.String(), start, max(1, end-start)
}

// countUpTo counts characters but no more than so many, for a line may be very long.
func countUpTo(line string, most int) int {
	count := 0
	for range line {
		if count++; count >= most {
			break
		}
	}
	return count
}

// visibleRune is how one character is shown: control characters, bytes that are no UTF-8 and characters that turn the
// direction of writing become visible escapes.
// plain tells whether a text shows itself as it is, as nearly all do.
func plain(text string) bool {
	for _, r := range text {
		switch {
		case r >= 0x20 && r < 0x7f:
		case r < 0xa0, r == utf8.RuneError, unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
			return false
		}
	}
	return true
}

func visibleRune(r rune, size int, first byte) string {
	switch {
	case r == utf8.RuneError && size <= 1:
		return fmt.Sprintf(`\x%02x`, first)
	case r == '\t':
		return strings.Repeat(" ", tabWidth)
	case r < 0x20 || r == 0x7f:
		return fmt.Sprintf(`\x%02x`, r)
	case unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp):
		return fmt.Sprintf(`\u%04x`, r)
	}
	return string(r)
}

// longestMessage bounds how much of a long name or text a message repeats.
const longestMessage = 300

// Visible makes a text safe to print on one line, and cuts it when it is very long.
func Visible(text string) string {
	if len(text) < longestMessage && plain(text) {
		return text
	}
	var b strings.Builder
	count := 0
	for i := 0; i < len(text); {
		r, size := utf8.DecodeRuneInString(text[i:])
		b.WriteString(visibleRune(r, size, text[i]))
		i += size
		if count++; count >= longestMessage && i < len(text) {
			b.WriteString("...")
			break
		}
	}
	return b.String()
}

// Column turns a byte offset in a line into a column, counted in characters from 1. Bytes that are no UTF-8 count as one.
func Column(line string, offset int) int {
	if offset > len(line) {
		offset = len(line)
	}
	if offset < 0 {
		offset = 0
	}
	return utf8.RuneCountInString(line[:offset]) + 1
}
