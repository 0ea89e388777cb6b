package network

import (
	"strconv"
	"strings"
)

// scanner walks over a text that the TOML parser has accepted and builds the tree of nodes with their places, taking the
// values from the parser's result. The parser alone cannot tell where in an inline table a key stands, and maps lose order.
//
// As the text is known to be well formed, the scanner need not judge it; on anything unforeseen it steps on and never hangs.
type scanner struct {
	in  *origin
	pos int
}

// scanTree builds the tree of a text whose values are known.
func scanTree(in *origin, values map[string]any) *node {
	s := &scanner{in: in}
	root := &node{table: true}
	here, known := root, any(values)
	for s.blank(); s.pos < len(s.in.text); s.blank() {
		before := s.pos
		if s.peek() == '[' {
			here, known = s.header(root, values)
		} else {
			s.pair(here, known)
		}
		if s.pos == before {
			s.pos++
		}
	}
	return root
}

func (s *scanner) peek() byte {
	if s.pos < len(s.in.text) {
		return s.in.text[s.pos]
	}
	return 0
}

func (s *scanner) has(prefix string) bool { return strings.HasPrefix(s.in.text[s.pos:], prefix) }

// spaces skips blanks within a line.
func (s *scanner) spaces() {
	for s.pos < len(s.in.text) && (s.in.text[s.pos] == ' ' || s.in.text[s.pos] == '\t') {
		s.pos++
	}
}

// blank skips blanks, line ends and comments.
func (s *scanner) blank() {
	for s.pos < len(s.in.text) {
		switch s.in.text[s.pos] {
		case ' ', '\t', '\n', '\r':
			s.pos++
		case '#':
			for s.pos < len(s.in.text) && s.in.text[s.pos] != '\n' {
				s.pos++
			}
		default:
			return
		}
	}
}

// keyPart is one part of a dotted key.
type keyPart struct {
	name string
	at   span
}

// key reads a dotted key.
func (s *scanner) key() []keyPart {
	var parts []keyPart
	for {
		s.spaces()
		start := s.pos
		switch s.peek() {
		case '"', '\'':
			s.skipString()
		default:
			for s.pos < len(s.in.text) && isBare(s.in.text[s.pos]) {
				s.pos++
			}
		}
		if s.pos == start {
			return parts
		}
		word := s.in.text[start:s.pos]
		name := word
		if word[0] == '\'' {
			name = strings.Trim(word, "'")
		} else if word[0] == '"' {
			name = unquoteKey(word)
		}
		parts = append(parts, keyPart{name, span{s.in, start, s.pos}})
		s.spaces()
		if s.peek() != '.' {
			return parts
		}
		s.pos++
	}
}

// unquoteKey decodes a quoted key. The escapes of TOML are those of Go, but for \e.
func unquoteKey(word string) string {
	if name, err := strconv.Unquote(strings.ReplaceAll(word, `\e`, `\x1b`)); err == nil {
		return name
	}
	return strings.Trim(word, `"`)
}

// header reads [a.b] or [[a.b]] and returns the table that the following pairs belong to.
func (s *scanner) header(root *node, values map[string]any) (*node, any) {
	s.pos++
	array := s.peek() == '['
	if array {
		s.pos++
	}
	parts := s.key()
	for s.pos < len(s.in.text) && s.in.text[s.pos] != '\n' { // the closing brackets and a comment
		s.pos++
	}
	here, known := root, any(values)
	for i, part := range parts {
		last := i == len(parts)-1
		next := here.child(part.name)
		if next == nil {
			next = &node{name: part.name, key: part.at, value: part.at, table: true}
			if last && array {
				next.table, next.list = false, true
			}
			here.add(next)
		} else if last && next.implied {
			next.implied, next.key, next.value = false, part.at, part.at
		}
		known = lookup(known, part.name)
		if next.list {
			count := len(next.items)
			if last && array {
				next.items = append(next.items, &node{name: part.name, key: part.at, value: part.at, table: true})
				count++
			}
			if count == 0 {
				return &node{table: true}, nil
			}
			next, known = next.items[count-1], element(known, count-1)
		}
		here = next
	}
	return here, known
}

// pair reads KEY = VALUE into a table.
func (s *scanner) pair(here *node, known any) {
	parts := s.key()
	s.spaces()
	if len(parts) == 0 || s.peek() != '=' {
		return
	}
	s.pos++
	s.spaces()
	for i, part := range parts {
		known = lookup(known, part.name)
		if i == len(parts)-1 {
			n := &node{name: part.name, key: part.at}
			s.valueInto(n, known)
			here.add(n)
			return
		}
		next := here.child(part.name)
		if next == nil {
			next = &node{name: part.name, key: part.at, value: part.at, table: true, implied: true}
			here.add(next)
		}
		here = next
	}
}

// valueInto reads a value into a node.
func (s *scanner) valueInto(n *node, known any) {
	start := s.pos
	switch s.peek() {
	case '"', '\'':
		s.skipString()
		n.leaf = known
	case '[':
		s.pos++
		n.list = true
		for s.blank(); s.pos < len(s.in.text) && s.peek() != ']'; s.blank() {
			before := s.pos
			item := &node{name: n.name, key: n.key}
			s.valueInto(item, element(known, len(n.items)))
			n.items = append(n.items, item)
			s.blank()
			if s.peek() == ',' {
				s.pos++
			} else if s.pos == before {
				s.pos++
			}
		}
		s.pos++
	case '{':
		s.pos++
		n.table = true
		for s.blank(); s.pos < len(s.in.text) && s.peek() != '}'; s.blank() {
			before := s.pos
			s.pair(n, known)
			s.blank()
			if s.peek() == ',' {
				s.pos++
			} else if s.pos == before {
				s.pos++
			}
		}
		s.pos++
	default:
		for s.pos < len(s.in.text) && !strings.ContainsRune(",]}#\n\r", rune(s.in.text[s.pos])) {
			s.pos++
		}
		n.leaf = known
	}
	s.pos = min(s.pos, len(s.in.text))
	end := s.pos
	for end > start && (s.in.text[end-1] == ' ' || s.in.text[end-1] == '\t') {
		end--
	}
	n.value = span{s.in, start, end}
	if !n.table && !n.list && n.leaf == nil {
		n.leaf = s.in.text[start:end] // cannot happen while scanner and parser agree
	}
}

// skipString steps over a string of any of the four kinds.
func (s *scanner) skipString() {
	quote := s.in.text[s.pos : s.pos+1]
	if triple := strings.Repeat(quote, 3); s.has(triple) {
		s.pos += 3
		for s.pos < len(s.in.text) {
			switch {
			case s.in.text[s.pos] == '\\' && quote == `"`:
				s.pos += 2
			case s.has(triple):
				s.pos += 3
				for i := 0; i < 2 && s.peek() == quote[0]; i++ { // up to two quotes may end the text itself
					s.pos++
				}
				return
			default:
				s.pos++
			}
		}
		s.pos = min(s.pos, len(s.in.text))
		return
	}
	s.pos++
	for s.pos < len(s.in.text) && s.in.text[s.pos] != '\n' {
		switch {
		case s.in.text[s.pos] == '\\' && quote == `"`:
			s.pos += 2
		case s.in.text[s.pos] == quote[0]:
			s.pos++
			return
		default:
			s.pos++
		}
	}
	s.pos = min(s.pos, len(s.in.text))
}

// lookup and element step into the parser's values; nil where they do not fit.
func lookup(values any, name string) any {
	switch v := values.(type) {
	case map[string]any:
		return v[name]
	case []map[string]any:
		if len(v) > 0 {
			return v[len(v)-1][name]
		}
	}
	return nil
}

func element(values any, i int) any {
	switch v := values.(type) {
	case []any:
		if i < len(v) {
			return v[i]
		}
	case []map[string]any:
		if i < len(v) {
			return v[i]
		}
	}
	return nil
}
