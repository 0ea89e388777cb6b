package network

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"spillway/network/catalog"
	"spillway/network/quantity"
)

// repair is a better way to write what stands at a place: the reader notes one only where a text
// has one reading.
type repair struct {
	at   span
	text string
}

// repair notes a better way to write what stands at a place of the file.
func (r *reader) repair(at span, text string) {
	if r.probing || at.in == nil || at.in.starts == nil || at.text() == text {
		return
	}
	r.repairs = append(r.repairs, repair{at, text})
}

// Repair is a change that Fix made.
type Repair struct {
	Line    int // from 1
	Was, Is string
}

// Fix returns a job file with what is badly written in it set right, wherever it has one reading:
// commas and blanks between the items of a row, units of bare numbers, the way to count fittings
// and the names of fittings and keys, quotes. It alters no number, order, name or comment and
// chooses between no two readings: a file without errors reads as before, also with each of its
// alternatives, and one with errors has no more of them.
func Fix(name string, data []byte) ([]byte, []Repair) {
	text, mark := strings.CutPrefix(string(data), byteOrderMark)
	var made []Repair
	refused := map[string]bool{}
	text, made = quoteValues(name, text, made)
	for range mostRepairs {
		state := readingOf(name, text)
		list := slices.DeleteFunc(repairsOf(name, text), func(p repair) bool {
			return refused[fmt.Sprint(p.at.start, p.text)]
		})
		if len(list) == 0 {
			break
		}
		all := slices.Clone(list)
		for len(list) > 0 { // all at once, else half of them, down to one
			if next := repaired(text, list); readingOf(name, next).noWorse(state) {
				for _, p := range list {
					made = append(made, Repair{p.at.lineNumber(), p.at.text(), p.text})
				}
				text = next
				break
			}
			if len(list) == 1 {
				refused[fmt.Sprint(all[0].at.start, all[0].text)] = true
			}
			list = list[:len(list)/2]
		}
	}
	if mark {
		text = byteOrderMark + text
	}
	slices.SortStableFunc(made, func(a, b Repair) int { return cmp.Compare(a.Line, b.Line) })
	return []byte(text), made
}

// mostRepairs bounds the rounds of Fix.
const mostRepairs = 2000

// repaired is a text with repairs made, which are in the order of their places.
func repaired(text string, list []repair) string {
	for _, p := range slices.Backward(list) {
		text = text[:p.at.start] + p.text + text[p.at.end:]
	}
	return text
}

// repairsOf are the repairs that the reader notes in a text, in the order of their places: of those
// that overlap the first.
func repairsOf(name, text string) []repair {
	root, found := parseLines(name, []byte(text))
	if root == nil || found != nil {
		return nil
	}
	var list []repair
	for _, alternative := range alternativesOf(root) {
		r := &reader{name: name, root: root.copied()}
		r.job(Options{Alternative: alternative})
		list = append(list, r.repairs...)
	}
	slices.SortStableFunc(list, func(a, b repair) int {
		return cmp.Or(cmp.Compare(a.at.start, b.at.start), cmp.Compare(b.at.end, a.at.end))
	})
	end := -1
	return slices.DeleteFunc(list, func(p repair) bool {
		if p.at.start < end {
			return true
		}
		end = max(p.at.end, p.at.start+1)
		return false
	})
}

// alternativesOf names the alternatives of a file, after "", the file as it stands.
func alternativesOf(root *node) []string {
	names := []string{""}
	for _, set := range root.child("alternative").all() {
		names = append(names, set.name)
	}
	return names
}

// reading is what a text is read as: its jobs, nil where there are errors, and how many.
type reading struct {
	jobs   []*Job
	errors int
}

func readingOf(name, text string) (is reading) {
	root, found := parseLines(name, []byte(text))
	if found != nil {
		return reading{errors: 1000 * len(found)}
	}
	for _, alternative := range alternativesOf(root) {
		job, found := readTree(name, root.copied(), Options{Alternative: alternative})
		is.jobs, is.errors = append(is.jobs, job), is.errors+len(found.Errors())
	}
	return is
}

// noWorse reports whether a reading is as another was: the same jobs where there were any, and no
// more errors.
func (is reading) noWorse(was reading) bool {
	if is.errors > was.errors || len(is.jobs) != len(was.jobs) {
		return false
	}
	for i, job := range was.jobs {
		if job != nil && (is.jobs[i] == nil || !same(job, is.jobs[i])) {
			return false
		}
	}
	return true
}

// unquotedValue is a number with its unit that stands without quotes.
var unquotedValue = regexp.MustCompile(
	`(=\s*)([0-9][0-9.,/x]*\s*[A-Za-z%°][^,#"'{}\[\]\r\n=]*?)(\s*(?:[,}#\r]|$))`)

// quoteValues puts the quotes around numbers with their unit in the lines with a syntax error,
// where that leaves fewer errors.
func quoteValues(name, text string, made []Repair) (string, []Repair) {
	for range mostSyntaxFinds {
		_, found := parseLines(name, []byte(text))
		if len(found) == 0 {
			break
		}
		before := text
		for _, d := range found {
			lines := strings.Split(text, "\n")
			if d.Line < 1 || d.Line > len(lines) {
				continue
			}
			was := lines[d.Line-1]
			lines[d.Line-1] = unquotedValue.ReplaceAllString(was, `$1"$2"$3`)
			next := strings.Join(lines, "\n")
			if _, left := parseLines(name, []byte(next)); len(left) < len(found) {
				text, found = next, left
				made = append(made, Repair{d.Line, strings.TrimSpace(was),
					strings.TrimSpace(lines[d.Line-1])})
				break
			}
		}
		if text == before {
			break
		}
	}
	return text, made
}

// repairItem notes how an item of a row that is refused is written, where it can mean one thing.
func (rr *rowReader) repairItem(it rowItem, c class) {
	if list, ways := rr.division(it.text); ways == 1 && c.problem == missingComma(it.text) {
		rr.repair(rr.span(it.start, it.end), strings.Join(list, ", "))
	} else if c.repair != "" {
		rr.repair(rr.span(it.start, it.end), c.repair)
	}
}

// repairComma notes the blank behind a comma between two digits that can only part two items.
func (rr *rowReader) repairComma(it rowItem) {
	i := commaInNumber(it.text)
	first, second := it.text[:i], it.text[i+1:]
	if !thousandsAt.MatchString(it.text) && !isBareNumber(first) && rr.valid(first) &&
		rr.valid(second) && !rr.valid(first+"."+second) {
		rr.repair(rr.span(it.start, it.end), first+", "+second)
	}
}

// repairFitting notes the name of a fitting and its count as they are to be written.
func (rr *rowReader) repairFitting(it rowItem, c class) {
	count, name := "", c.fitting
	if m := countFirst.FindStringSubmatch(name); m != nil {
		count, name = m[1]+"x ", m[2]
	}
	for _, w := range catalog.FittingWords() {
		if w.Name == name {
			rr.repair(rr.span(it.start, it.end), count+w.Write)
			return
		}
	}
}

// repairNumber notes the unit of a bare number, which is that of the file's system.
func (r *reader) repairNumber(n *node, kind quantity.Kind) {
	if _, bare := plainNumber(n); !bare || r.inList || n.row {
		return
	}
	if unit := kind.Symbol(r.system); unit != "" {
		r.repair(n.value, fmt.Sprintf("%q", n.value.text()+" "+unit))
	}
}

// repairKey notes the name of a key that is written in capitals, with "_", or as the trade says.
func (r *reader) repairKey(n *node, key string, trade bool) {
	if trade || foldName(n.name) == key {
		r.repair(n.key, key)
	}
}

// missingComma is the problem of an item that divides into several.
func missingComma(text string) string { return fmt.Sprintf("a comma is missing in %q", text) }
