package network

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/BurntSushi/toml"

	"spillway/network/diag"
)

// What a job file may hold. Real ones are a few thousand bytes; the bounds keep hostile ones from costing time.
const (
	mostBytes       = 1 << 20
	mostLineBytes   = 16 << 10
	mostNesting     = 32
	mostSyntaxFinds = 10
)

// parseText turns a job file's bytes into a tree. Every syntax error of the file is found, not only the first: the line that
// the parser stopped at is blanked out and the rest read again. The tree is nil when there is any.
func parseText(name string, data []byte) (*node, diag.List) {
	root, found := parseLines(name, data)
	if found != nil {
		return nil, found
	}
	return root, nil
}

// parseLines does as parseText but returns what could be read of a text with syntax errors; nil when nothing could.
func parseLines(name string, data []byte) (*node, diag.List) {
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if d, ok := unreadable(name, data); !ok {
		return nil, diag.List{d}
	}
	in := newOrigin(name, string(data))
	if found := in.hostile(); found != nil {
		return nil, found
	}
	var found diag.List
	text, lastLine := in.text, 0
	for {
		values, err := parseTOML(text)
		if err == nil {
			if found != nil {
				rest := scanTree(newOrigin(name, text), values)
				explainRepeats(found, rest)
				rest.children = slices.DeleteFunc(rest.children, func(c *node) bool { return strings.HasPrefix(c.name, "-") })
				rest.moveTo(in)
				return rest, found
			}
			return scanTree(in, values), nil
		}
		d, line := syntaxDiagnostic(in, err)
		if line != lastLine {
			found = append(found, d)
		}
		next := in.blanked(text, max(line, 1))
		if line == lastLine || line == 0 || len(found) >= mostSyntaxFinds || len(next) != len(text) {
			return nil, found.Sorted()
		}
		text, lastLine = next, line
	}
}

// unreadable refuses what is no text at all.
func unreadable(name string, data []byte) (diag.Diagnostic, bool) {
	d := diag.Diagnostic{File: name}
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		d.Summary, d.Fix = "the file is empty", "a job file needs at least [equipment], [zone], [damper], [supply] and [return]; start from one of the examples"
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		d.Summary, d.Fix = "the file is UTF-16 text", "save it as UTF-8"
	case len(data) > 16*mostBytes: // beyond that it is not even taken apart into lines
		d.Summary = fmt.Sprintf("the file has %d bytes; a job file has at most %d", len(data), mostBytes)
	case bytes.IndexByte(data, 0) >= 0:
		d.Summary, d.Fix = "this is not a text file (it holds zero bytes)", "give the job file, a text in TOML"
	default:
		return d, true
	}
	return d, false
}

// hostile finds what is text but cannot be a job file: a huge file or line, bytes that are no UTF-8, brackets nested without end.
func (o *origin) hostile() diag.List {
	var found diag.List
	at := func(offset, length int, summary, fix string) {
		d := diag.Diagnostic{Summary: summary, Fix: fix}
		span{o, offset, offset + length}.place(&d)
		found = append(found, d)
	}
	depth, dots := 0, 0
	for i, start := range o.starts {
		line := o.text[start:]
		if i+1 < len(o.starts) {
			line = o.text[start : o.starts[i+1]-1]
		}
		if len(line) > mostLineBytes {
			at(start, 1, fmt.Sprintf("a line of %d bytes; a line of a job file has at most %d", len(line), mostLineBytes), "break it into several")
			return found
		}
		if !utf8.ValidString(line) {
			for j := 0; j < len(line); {
				r, size := utf8.DecodeRuneInString(line[j:])
				if r == utf8.RuneError && size == 1 {
					at(start+j, 1, fmt.Sprintf("the byte \\x%02x is no UTF-8 text", line[j]), "save the file as UTF-8")
					break
				}
				j += size
			}
			if len(found) >= mostSyntaxFinds {
				return found
			}
			continue
		}
		var quote byte
		for j := 0; j < len(line); j++ {
			c := line[j]
			switch {
			case quote != 0:
				if c == '\\' && quote == '"' {
					j++
				} else if c == quote {
					quote = 0
				}
				continue
			case c == '"' || c == '\'':
				quote = c
			case c == '#':
				j = len(line)
			case c == '[' || c == '{':
				depth++
			case c == ']' || c == '}':
				depth = max(0, depth-1)
			case c == '.':
				dots++
			case !isBare(c) && c != ' ' && c != '\t':
				dots = 0
			}
			if depth > mostNesting || dots > mostNesting {
				at(start+j, 1, "nested too deep", "a job file nests four deep at most")
				return found
			}
		}
		dots = 0
	}
	if len(o.text) > mostBytes && found == nil {
		found = append(found, diag.Diagnostic{File: o.name, Summary: fmt.Sprintf("the file has %d bytes; a job file has at most %d", len(o.text), mostBytes)})
	}
	return found
}

// blanked returns the text with one line turned into blanks, so that all offsets stay. In place of a table's header a header
// that nobody writes is put, so that what follows does not fall into the table before.
func (o *origin) blanked(text string, line int) string {
	start := o.starts[line-1]
	end := len(text)
	if line < len(o.starts) {
		end = o.starts[line] - 1
	}
	instead := ""
	if strings.HasPrefix(strings.TrimSpace(text[start:end]), "[") {
		instead = fmt.Sprintf("[-%d]", line)
	}
	return text[:start] + instead + strings.Repeat(" ", max(0, end-start-len(instead))) + text[end:]
}

// parseTOML runs the parser; a panic of its own becomes an error.
func parseTOML(text string) (values map[string]any, err error) {
	defer func() {
		if r := recover(); r != nil {
			values, err = nil, fmt.Errorf("%v", r)
		}
	}()
	_, err = toml.Decode(text, &values)
	return values, err
}

// definedTwice matches the parser's message for a key or table that stands twice.
var definedTwice = regexp.MustCompile(`^Key '(.*)' has already been defined`)

// syntaxDiagnostic says in our words, as far as we have any, what the parser found, and at which line.
func syntaxDiagnostic(in *origin, err error) (diag.Diagnostic, int) {
	var parse toml.ParseError
	if !errors.As(err, &parse) {
		return diag.Diagnostic{File: in.name, Summary: "the file cannot be parsed: " + firstLine(err.Error())}, 0
	}
	line := min(max(parse.Position.Line, 1), len(in.starts))
	start := min(max(parse.Position.Start, in.starts[line-1]), len(in.text))
	if end := in.starts[line-1] + len(in.lineText(line)); start > end {
		start = end
	}
	length := max(1, min(parse.Position.Len, in.starts[line-1]+len(in.lineText(line))-start))
	d := diag.Diagnostic{Summary: "this is not TOML: " + firstLine(parse.Message)}
	for _, known := range []struct{ found, summary, fix string }{
		{"strings cannot contain newlines", "the closing quote is missing", `put a " at the end of the text`},
		{"unexpected EOF", "the file ends too early", "a quote or bracket is left open"},
		{"expected '.' or '='", "a \"=\" is missing after the key", "write KEY = VALUE; a key of two words has a hyphen (heat-loss), a name of two words goes into quotes"},
		{"expected '.' or ']'", "the \"]\" of the table's name is missing", "a name with blanks in it goes into quotes, [\"like this\"]"},
		{"expected value but found", "a value is missing or has no quotes", `a text or a number with its unit goes into quotes, like "12 ft"`},
		{"expected a comma", "a comma or closing bracket is missing", `close the { } or [ ]; a number with its unit goes into quotes, like "12 ft"`},
		{"expected a top-level item to end", "something stands behind the value", `a number with its unit goes into quotes, like "12 ft"`},
		{"newlines not allowed within inline tables", "a { } part must stand on one line", ""},
		{"bare keys cannot contain", "a name has a character that needs quotes", "put the name into quotes"},
	} {
		if strings.Contains(parse.Message, known.found) {
			d.Summary, d.Fix = known.summary, known.fix
		}
	}
	if m := definedTwice.FindStringSubmatch(parse.Message); m != nil {
		// The parser's place is where the value or the header's brackets begin; underline from there to the end of the word.
		text := in.lineText(line)
		from := len(text) - len(strings.TrimLeft(text, " \t["))
		length = wordLength(text[from:])
		start = in.starts[line-1] + from
		d.Summary, d.Fix = definedAgain(m[1], text[from:from+length])+" is defined twice", "give each part a name of its own"
	}
	if atLineStart := start == in.starts[line-1]; atLineStart && line > 1 && strings.Contains(parse.Message, `'\n'`) {
		// What is missing is missing at the end of the line before.
		start, length, line = in.starts[line-2]+len(in.lineText(line-1)), 1, line-1
	}
	span{in, start, start + length}.place(&d)
	return d, line
}

// definedAgain is the path of a part that stands twice. For a part in one line the parser names a key within it.
func definedAgain(path, word string) string {
	if i := strings.LastIndex(path, word); i >= 0 {
		path = path[:i+len(word)]
	}
	return `"` + path + `"`
}

func wordLength(text string) int {
	n := strings.IndexAny(text, " \t=]#")
	if n < 0 {
		return len(text)
	}
	return n
}

// explainRepeats adds to each "defined twice" where the first one stands.
func explainRepeats(found diag.List, root *node) {
	for i := range found {
		name, ok := strings.CutSuffix(found[i].Summary, " is defined twice")
		if !ok {
			continue
		}
		first, ok := root.find(strings.Split(strings.Trim(name, `"`), ".")...)
		if ok && first.key.in != nil {
			found[i].Summary += fmt.Sprintf(" (first on line %d)", first.key.in.line(first.key.start))
		}
	}
}

func firstLine(text string) string {
	text, _, _ = strings.Cut(text, "\n")
	return text
}
