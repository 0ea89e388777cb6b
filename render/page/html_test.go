package page_test

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/networktest"
)

// voids are the elements of HTML that have no end tag (HTML standard, 13.1.2).
var voids = map[string]bool{"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true, "input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true}

// parsedHTML reads a page as XML would be read, with HTML's void elements, and holds it against the rules that browsers forgive and screen
// readers do not: every tag closed in order, ids unique, references that lead somewhere, names for all that needs one.
func parsedHTML(t *testing.T, page string) {
	t.Helper()
	// Scripts and style sheets are no markup.
	for _, raw := range []string{"script", "style"} {
		for at := 0; ; {
			open := strings.Index(page[at:], "<"+raw)
			if open < 0 {
				break
			}
			open += at
			begin := open + strings.IndexByte(page[open:], '>') + 1
			end := begin + strings.Index(page[begin:], "</"+raw+">")
			require.GreaterOrEqual(t, end, begin, "%s is not closed", raw)
			page = page[:begin] + page[end:]
			at = begin
		}
	}
	page = strings.TrimPrefix(page, "<!DOCTYPE html>\n")
	d := xml.NewTokenDecoder(&htmlReader{d: xml.NewDecoder(strings.NewReader(closeVoids(page)))})
	ids := map[string]bool{}
	var refs []string
	labels := map[string]bool{}
	var inputs []string
	depth, headings := 0, 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			depth++
			has := map[string]string{}
			for _, a := range e.Attr {
				_, twice := has[a.Name.Local]
				require.False(t, twice, "%s has %s twice", e.Name.Local, a.Name.Local)
				has[a.Name.Local] = a.Value
			}
			if id, ok := has["id"]; ok {
				require.False(t, ids[id], "id %q is used twice", id)
				require.Regexp(t, `^[A-Za-z][A-Za-z0-9_-]*$`, id)
				ids[id] = true
			}
			for _, k := range []string{"aria-labelledby", "aria-controls"} {
				refs = append(refs, strings.Fields(has[k])...)
			}
			if h := has["href"]; strings.HasPrefix(h, "#") {
				refs = append(refs, h[1:])
			}
			switch e.Name.Local {
			case "label":
				labels[has["for"]] = true
				refs = append(refs, has["for"])
			case "input", "select", "textarea":
				if has["aria-label"] == "" {
					inputs = append(inputs, has["id"])
				}
			case "h1":
				headings++
			case "th":
				assert.NotEmpty(t, has["scope"], "a head of a table says of what")
			case "img":
				assert.Contains(t, has, "alt")
			case "a", "button":
				_, hidden := has["hidden"]
				assert.False(t, hidden)
			}
			if role := has["role"]; role == "region" || role == "img" {
				assert.NotEmpty(t, has["aria-label"]+has["aria-labelledby"], "%s without a name", role)
			}
		case xml.EndElement:
			depth--
		}
	}
	assert.Zero(t, depth)
	assert.Equal(t, 1, headings, "one h1")
	for _, r := range refs {
		assert.True(t, ids[r], "#%s leads nowhere", r)
	}
	for _, i := range inputs {
		assert.True(t, labels[i], "input %q has no label", i)
	}
}

// htmlReader hands tokens on.
type htmlReader struct{ d *xml.Decoder }

func (r *htmlReader) Token() (xml.Token, error) { return r.d.RawToken() }

// closeVoids turns <input ...> into <input .../> and bare attributes into attr="".
func closeVoids(page string) string {
	var b strings.Builder
	for {
		open := strings.IndexByte(page, '<')
		if open < 0 {
			b.WriteString(page)
			return b.String()
		}
		b.WriteString(page[:open])
		page = page[open:]
		end, quote := 0, byte(0)
		for end = 1; end < len(page); end++ {
			c := page[end]
			if quote != 0 {
				if c == quote {
					quote = 0
				}
				continue
			}
			if c == '"' || c == '\'' {
				quote = c
			}
			if c == '>' {
				break
			}
		}
		tag := page[:end+1]
		page = page[end+1:]
		name := strings.ToLower(strings.FieldsFunc(tag[1:], func(r rune) bool { return r == ' ' || r == '>' || r == '/' || r == '\n' })[0])
		for _, bare := range []string{"hidden", "disabled"} {
			tag = strings.ReplaceAll(tag, " "+bare+">", " "+bare+`="">`)
			tag = strings.ReplaceAll(tag, " "+bare+" ", " "+bare+`="" `)
		}
		if voids[name] && !strings.HasSuffix(tag, "/>") {
			tag = strings.TrimSuffix(tag, ">") + "/>"
		}
		b.WriteString(tag)
	}
}

func TestReportIsGoodHTML(t *testing.T) {
	for _, name := range networktest.Examples(t) {
		t.Run(name, func(t *testing.T) {
			parsedHTML(t, string(written(t, dossier(t, name, networktest.Example(t, name), true, 2, 2))))
		})
	}
}

// Any name that a job file can hold comes through as text: markup in it stays a name.
func TestReportSurvivesAnyName(t *testing.T) {
	text := string(networktest.Example(t, "two-floor"))
	evil := `</script><script>alert(1)</script>&"'🏠 שלום ` + strings.Repeat("long ", 30)
	quoted := strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(evil)
	text = strings.Replace(text, `title = "Two floors, one 3-ton system, two zones"`, `title = "`+quoted+`"`, 1)
	text = strings.ReplaceAll(text, `room = "kitchen"`, `room = "`+quoted+`"`)
	text = strings.ReplaceAll(text, "\nkitchen    =", "\n\"<b onclick='x'>\" =")
	html := string(written(t, dossier(t, "x<y>", []byte(text), false, 2, 2)))
	parsedHTML(t, html)
	assert.NotContains(t, html, "<script>alert")
	assert.NotContains(t, html, "<b onclick")
	assert.Equal(t, 1, strings.Count(html, "<script>"), "our own and no other")
	assert.Contains(t, html, "&lt;script&gt;alert(1)")
}
