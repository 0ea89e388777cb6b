package doctest

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network/quantity"
	"spillway/render/internal/csvout"
	"spillway/render/internal/doc"
	"spillway/render/internal/html"
	"spillway/render/internal/jsonout"
	"spillway/render/internal/markdown"
	"spillway/render/internal/text"
)

// Tables of any names and numbers: the three writers for people hold the same cells.
func TestWritersHoldTheSameCells(t *testing.T) {
	kinds := []quantity.Kind{quantity.KindAirflow, quantity.KindStatic, quantity.KindTemperature, quantity.KindFraction}
	rapid.Check(t, func(r *rapid.T) {
		table := &doc.Table{Columns: []doc.Column{{Head: "name", Left: true}}}
		columns := rapid.IntRange(1, 4).Draw(r, "columns")
		for i := range columns {
			table.Columns = append(table.Columns, doc.Column{Kind: kinds[i], Unit: true, For: rapid.SampledFrom([]doc.Where{0, doc.Text, doc.Page}).Draw(r, "for")})
		}
		for range rapid.IntRange(1, 6).Draw(r, "rows") {
			row := []doc.Cell{doc.Name(rapid.StringMatching(`[a-z|*_<>&\\#~\[\] ÄŁ猫é'"-]{0,12}`).Draw(r, "name"))}
			for i := range columns {
				c := doc.Of(kinds[i], rapid.Float64Range(-1e3, 1e3).Draw(r, "value"))
				c.Tone = doc.Tone(rapid.IntRange(0, 6).Draw(r, "tone"))
				c.Unit = rapid.Bool().Draw(r, "unit")
				row = append(row, c)
			}
			table.Add(row...)
		}
		units := rapid.SampledFrom([]quantity.System{quantity.IP, quantity.SI}).Draw(r, "units")
		SameCells(t, &doc.Doc{Units: units, Blocks: []doc.Block{&doc.Section{Title: "part", Blocks: []doc.Block{table}}}})
	})
}

// every is a document with each kind of block.
func every() *doc.Doc {
	ledger := &doc.Ledger{Paths: []doc.Path{{Name: doc.Name("loft, wanted"), Airflow: 0.2, Wanted: true}, {Name: doc.Name("bleed into <main>"), Airflow: 0.1}}}
	table := &doc.Table{Key: "zones", Columns: []doc.Column{{Key: "zone", Head: "Zone", Left: true}, {Key: "airflow", Kind: quantity.KindAirflow, Unit: true},
		{Key: "open", Kind: quantity.KindRatio, Head: "% open"}, {Key: "why", Head: "why", Left: true}}}
	table.Add(doc.Name("loft"), doc.Of(quantity.KindAirflow, 0.2), doc.Of(quantity.KindFraction, 0.255), doc.Cell{Spans: doc.Sayf("{} over", doc.After(90))})
	table.Add(doc.Name("=main"), doc.Cell{Kind: quantity.KindAirflow, Value: 0.1, Form: doc.Number, Ledger: ledger, Paths: []int{1}}, doc.None(), doc.Cell{})
	return &doc.Doc{Title: "a | title", Units: quantity.SI, Members: []doc.Member{{Key: "job", Cell: doc.Name("x")}},
		Blocks: []doc.Block{&doc.Section{Title: "section", Key: "part", Blocks: []doc.Block{
			&doc.Paragraph{Key: "text", Text: doc.Sayf("It settles at {}, {}.", doc.With(quantity.KindTemperature, 4.04), doc.Name("<quiet>"))},
			ledger, table,
			&doc.Facts{Title: "facts", Items: []doc.Item{{Head: doc.Name("FAULT "), Text: doc.Say("too fast"), Under: []doc.Item{{Head: doc.Name("What helps: "), Text: doc.Say("a lower tap")}}}}},
			&doc.Code{Key: "override", Text: "[alternative.a]\nb = 1\n"},
			&doc.Figure{Alt: "chart", SVG: func() (string, error) { return "<svg/>", nil }}}}},
		Closing: doc.Say("the end")}
}

// Each writer writes each block. What it looks like is worked out by hand.
func TestWritersHandleEveryBlock(t *testing.T) {
	d := every()
	SameCells(t, d)
	var b bytes.Buffer
	require.NoError(t, text.Write(&b, d, text.Style{}))
	assert.Equal(t, strings.Join([]string{"a | title", "", "section", "  It settles at 4 °C, <quiet>.", "",
		"  Where the air goes  l/s      %",
		"  loft, wanted        200   66.7  " + strings.Repeat("█", 27),
		"  bleed into <main>   100   33.3  " + strings.Repeat("▒", 13),
		"  blower              300  100.0", "",
		"  Zone   l/s  % open  why", "  loft   200    25.5  90 s over", "  =main  100       -", "",
		"  facts", "  FAULT too fast", "  What helps: a lower tap", "",
		"  [alternative.a]", "  b = 1", "", "the end", ""}, "\n"), b.String())

	b.Reset()
	require.NoError(t, jsonout.Write(&b, d))
	assert.Equal(t, `{
  "job": "x",
  "part": {
    "text": "It settles at 4 °C, \u003cquiet\u003e.",
    "zones": [
      {"zone": "loft", "airflow_l_s": 200, "open": 0.255, "why": "90 s over"},
      {"zone": "=main", "airflow_l_s": 100, "open": null, "why": ""}
    ],
    "override": "[alternative.a]\nb = 1\n"
  }
}
`, b.String())
	assert.True(t, json.Valid(b.Bytes()))

	b.Reset()
	require.NoError(t, csvout.Write(&b, d))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, [][]string{{"zone", "airflow_l_s", "open", "why"}, {"loft", "200", "0.255", "90 s over"}, {"'=main", "100", "", ""}}, rows)

	b.Reset()
	require.NoError(t, markdown.Write(&b, d))
	for _, want := range []string{"# a \\| title\n", "## section\n", "&lt;quiet&gt;", "| bleed into &lt;main&gt; | 100 | 33.3 |\n",
		"- **FAULT** too fast\n  - **What helps:** a lower tap\n", "```\n[alternative.a]\nb = 1\n```\n", "*the end*\n"} {
		assert.Contains(t, b.String(), want)
	}

	b.Reset()
	require.NoError(t, html.Page(&b, d, html.Style{Why: func(name string) bool { return name == "blower airflow" }}))
	for _, want := range []string{"<h1>a | title</h1>", "<h2>section</h2>", "&lt;quiet&gt;", `data-why="blower airflow">300</td>`,
		"<dt><span>FAULT</span></dt><dd>too fast\n<dl", "<pre>[alternative.a]\nb = 1\n</pre>", "<svg/>"} {
		assert.Contains(t, b.String(), want)
	}
}

// Widths of the East Asian Width property (Unicode Standard Annex 11, from memory): ideographs are
// wide, box drawing is ambiguous and taken for narrow, a combining mark takes no column.
func TestWidth(t *testing.T) {
	for _, c := range []struct {
		text string
		want int
	}{{"", 0}, {"main trunk", 10}, {"猫", 2}, {"e\u0301", 1}, {"█▒", 2}, {"½ °F", 4}, {"\x1b[1;31mFAULT\x1b[0m", 5}} {
		assert.Equal(t, c.want, text.Width(c.text), "%q", c.text)
	}
	assert.Equal(t, "猫…", text.Shorten("猫猫", 3))
	assert.Equal(t, "e\u0301e…", text.Shorten("e\u0301eee", 3), "a mark stays with its letter")
}

// A number that does not apply is a dash in every form.
func TestAbsentNumbers(t *testing.T) {
	for f := doc.Number; f <= doc.Noise; f++ {
		c := doc.With(quantity.KindFraction, math.NaN()).As(f)
		assert.Equal(t, quantity.Absent, c.Text(quantity.IP), "%d", f)
	}
}
