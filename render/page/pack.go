package page

import (
	"bytes"
	"compress/gzip"
	"encoding/base64"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"spillway/render/columns"
)

// pages packs pages that have much in common, the panels of many states or those of a state with its dampers moved, for the page's script.
// Lines that stand at the same place of different pages are one slot: a text with holes, and for each hole a column of what the pages have
// there, which are mostly numbers. A path of a picture shares its columns with the other paths that go through the same points.
type pages struct {
	keys  []string
	lists [][]int // for each page its slots
	slots []*slot
	known map[string]*line // lines by their text
	bares map[string]int   // texts without numbers
	index map[place]int    // slots

	pieces, numbers []string // of the line at hand
}

// line is one taken apart into its numbers and the text around them.
type line struct {
	pieces, numbers []string
	bare            int  // which text without numbers
	anchor          bool // it gives an id
}

// place is where a line stands: which of those with the same text without numbers after the last line that gives an id.
type place struct{ anchor, bare, turn int }

// slot is a line of some pages.
type slot struct {
	pieces []string   // of the text, around its holes
	holes  [][]string // for each page in which it is, what fills them
	at     []int      // these pages
}

func newPages() *pages {
	return &pages{known: map[string]*line{}, bares: map[string]int{}, index: map[place]int{}}
}

// add puts in a page.
func (p *pages) add(key, text string) {
	at := len(p.keys)
	p.keys = append(p.keys, key)
	list := make([]int, 0, strings.Count(text, "\n")+1)
	anchor := -1
	turns := map[[2]int]int{}
	for t := range strings.SplitSeq(text, "\n") {
		l := p.apart(t)
		if l.anchor {
			anchor = l.bare
		}
		turn := turns[[2]int{anchor, l.bare}]
		turns[[2]int{anchor, l.bare}]++
		k, ok := p.index[place{anchor, l.bare, turn}]
		if !ok {
			k = len(p.slots)
			p.index[place{anchor, l.bare, turn}] = k
			p.slots = append(p.slots, &slot{pieces: l.pieces})
		}
		s := p.slots[k]
		s.at, s.holes = append(s.at, at), append(s.holes, l.numbers)
		list = append(list, k)
	}
	p.lists = append(p.lists, list)
}

func (p *pages) apart(text string) *line {
	if l, ok := p.known[text]; ok {
		return l
	}
	text = strings.Clone(text) // not the whole page
	l := &line{anchor: strings.Contains(text, ` id="`)}
	p.pieces, p.numbers = apart(p.pieces[:0], p.numbers[:0], text)
	l.pieces, l.numbers = slices.Clone(p.pieces), slices.Clone(p.numbers)
	bare := strings.Join(l.pieces, "\n")
	var ok bool
	if l.bare, ok = p.bares[bare]; !ok {
		l.bare = len(p.bares)
		p.bares[bare] = l.bare
	}
	p.known[text] = l
	return l
}

// apart takes a line apart into its numbers and the text around them, of which there is one more, and appends both. A hyphen belongs to a
// number unless it may be part of a name.
func apart(pieces, numbers []string, text string) (_, _ []string) {
	from := 0
	for i := 0; i < len(text); {
		if !digit(text[i]) {
			i++
			continue
		}
		end := i
		for end < len(text) && digit(text[end]) {
			end++
		}
		if end+1 < len(text) && text[end] == '.' && digit(text[end+1]) {
			for end++; end < len(text) && digit(text[end]); end++ {
			}
		}
		if i > from && text[i-1] == '-' && (i-1 == from || !nameMark(text[i-2]) || text[i-2] == 'M' || text[i-2] == 'L') {
			i--
		}
		pieces, numbers = append(pieces, text[from:i]), append(numbers, text[i:end])
		i, from = end, end
	}
	return append(pieces, text[from:]), numbers
}

func digit(c byte) bool { return '0' <= c && c <= '9' }

func nameMark(c byte) bool {
	return digit(c) || 'a' <= c && c <= 'z' || 'A' <= c && c <= 'Z' || c == '-' || c == '_' || c == '.' || c >= 0x80
}

// packedPages is what the script gets. The text of page keys[n] are the lines of lists[pages[n]], [first slot, how many, first slot, …],
// put together. A slot is [text, column, …]; each line end in its text is a hole, filled from the column of its turn.
type packedPages struct {
	Keys    []string          `json:"keys"`
	Pages   []int             `json:"pages"`
	Lists   [][]int           `json:"lists"`
	Slots   []json.RawMessage `json:"slots"`
	Columns []json.RawMessage `json:"columns"` // as columns.Numbers or columns.Texts write them
}

// packed packs the pages.
func (p *pages) packed() (string, error) {
	out := packedPages{Keys: p.keys}
	known, lists := map[string]int{}, map[string]int{}
	texts := make([]string, len(p.keys))
	for _, s := range p.slots {
		text := s.pieces[0]
		var refs []byte
		for h, after := range s.pieces[1:] {
			if s.same(h) {
				text += s.holes[0][h] + after
				continue
			}
			text += "\n" + after
			c := s.column(h, texts)
			at, ok := known[c]
			if !ok {
				at = len(out.Columns)
				known[c] = at
				out.Columns = append(out.Columns, json.RawMessage(c))
			}
			refs = strconv.AppendInt(append(refs, ','), int64(at), 10)
		}
		quoted, err := json.Marshal(text)
		if err != nil {
			return "", err
		}
		out.Slots = append(out.Slots, slices.Concat([]byte{'['}, quoted, refs, []byte{']'}))
	}
	for _, list := range p.lists {
		runs := runsOf(list)
		key, err := json.Marshal(runs)
		if err != nil {
			return "", err
		}
		at, ok := lists[string(key)]
		if !ok {
			at = len(out.Lists)
			lists[string(key)] = at
			out.Lists = append(out.Lists, runs)
		}
		out.Pages = append(out.Pages, at)
	}
	plain, err := json.Marshal(out)
	if err != nil {
		return "", err
	}
	return zipped(plain)
}

// same tells whether all pages fill a hole alike.
func (s *slot) same(hole int) bool {
	for _, holes := range s.holes {
		if holes[hole] != s.holes[0][hole] {
			return false
		}
	}
	return true
}

// column writes what fills a hole in every page; texts is memory, one for each. A page without this line repeats the one before.
func (s *slot) column(hole int, texts []string) string {
	k := 0
	for i := range texts {
		if k+1 < len(s.at) && s.at[k+1] <= i {
			k++
		}
		texts[i] = s.holes[k][hole]
	}
	if c, ok := columns.Numbers(texts); ok {
		return c
	}
	quoted := make([]string, len(texts))
	for i, t := range texts {
		quoted[i] = `"` + t + `"` // digits
	}
	return columns.Texts(quoted)
}

// runsOf writes a list as [first, how many in a row, first, …].
func runsOf(list []int) []int {
	var runs []int
	for i, k := range list {
		if i > 0 && k == list[i-1]+1 {
			runs[len(runs)-1]++
		} else {
			runs = append(runs, k, 1)
		}
	}
	return runs
}

// zipped is data as a page carries it: gzip, base64url without padding.
func zipped(plain []byte) (string, error) {
	var b bytes.Buffer
	z, err := gzip.NewWriterLevel(&b, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := z.Write(plain); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return base64.RawURLEncoding.EncodeToString(b.Bytes()), nil
}
