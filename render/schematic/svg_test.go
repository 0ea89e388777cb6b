package schematic

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/ink"
	"spillway/render/palette"
	"spillway/solver/state"
)

var update = flag.Bool("update", false, "rewrite the golden scenes")

func drawn(t require.TestingT, o *state.Outcome, opt Options) []byte {
	var b bytes.Buffer
	require.NoError(t, Draw(&b, o, opt))
	return b.Bytes()
}

// parse reads a document to its end and returns the texts it holds; ids must be unique and references must lead somewhere.
func parse(t require.TestingT, doc []byte) []string {
	d := xml.NewDecoder(bytes.NewReader(doc))
	d.Strict = true
	ids, refs := map[string]bool{}, []string{}
	var texts []string
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		switch v := tok.(type) {
		case xml.StartElement:
			for _, a := range v.Attr {
				switch a.Name.Local {
				case "id":
					require.False(t, ids[a.Value], "id %q is used twice", a.Value)
					require.Regexp(t, `^[a-z0-9-]+$`, a.Value)
					ids[a.Value] = true
				case "fill":
					if strings.HasPrefix(a.Value, "url(#") {
						refs = append(refs, strings.TrimSuffix(strings.TrimPrefix(a.Value, "url(#"), ")"))
					}
				case "aria-labelledby":
					refs = append(refs, strings.Fields(a.Value)...)
				}
			}
		case xml.CharData:
			texts = append(texts, string(v))
		}
	}
	for _, r := range refs {
		require.True(t, ids[r], "reference to %q", r)
	}
	return texts
}

func TestAnyNameIsValidXML(t *testing.T) {
	for what, name := range map[string]string{
		"markup":        `<script>alert("x")</script> & 'more' ]]>`,
		"emoji":         "bed 👨‍👩‍👧 room 🛏️",
		"controls":      "a\x00b\x01\tc\nd\x1b[31m\x7f",
		"broken utf-8":  "a\xff\xfeb",
		"noncharacters": "a\ufffe\uffff",
		"right to left": "חדר שינה غرفة",
		"long":          strings.Repeat("very long name ", 40),
		"combining":     "e\u0301\u0302\u0303" + strings.Repeat("\u0301", 200),
		"empty":         "",
	} {
		t.Run(what, func(t *testing.T) {
			h := newHouse(500, name+"z")
			h.g.Job.Title = name
			h.grille(name+"return", "return plenum")
			h.duct(name+"run", h.damper(name+"d", "supply plenum", 0.5))
			h.register(name+"1", name+"run", name+"z", 100, 120)
			h.register(name+"2", name+"run", name+"z", 100, 90)
			o := h.outcome(name + "z")
			o.Ledger.Paths = append(o.Ledger.Paths, state.Path{To: name, Kind: state.PathBleed, Airflow: 50 * cfm})
			doc := drawn(t, o, Options{Sentence: name, Prefix: name})
			parse(t, doc)
			clear(t, sceneOf(t, o, Options{Sentence: name}), what)
		})
	}
}

func TestRandomNamesAreValidXML(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := twoFloors()
		for i := range h.g.Elements {
			h.g.Elements[i].Name = rapid.String().Draw(t, "name")
		}
		parse(t, drawn(t, h.outcome("loft"), Options{Sentence: rapid.String().Draw(t, "sentence")}))
	})
}

func TestSameInputSameBytes(t *testing.T) {
	first := drawn(t, twoFloors().outcome("loft"), Options{Sentence: "x"})
	for range 20 {
		assert.Equal(t, first, drawn(t, twoFloors().outcome("loft"), Options{Sentence: "x"}))
	}
}

// Numbers that do not apply are NaN in an outcome and must never be seen as such.
func TestNoNumberIsEverNaN(t *testing.T) {
	bad := regexp.MustCompile(`NaN|Inf|null`)
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, q := range []Quantity{Velocity, Static, Temperature} {
			o := twoFloors().outcome("loft")
			for i := range o.Elements {
				e := &o.Elements[i]
				e.Velocity, e.Drop, e.Temperature, e.Friction = v, v, v, v
				if i%3 == 0 {
					e.Airflow, e.Surplus = v, v
				}
			}
			for i := range o.Nodes {
				o.Nodes[i] = state.Node{Static: v, Total: v, Temperature: v}
			}
			for i := range o.Registers {
				o.Registers[i].FaceVelocity, o.Registers[i].Static, o.Registers[i].Wants = v, v, v
			}
			for i := range o.Dampers {
				o.Dampers[i] = state.Damper{Element: o.Dampers[i].Element, Position: v, Blade: v, Airflow: v, Drop: v}
			}
			o.Zones[0].Airflow, o.Zones[0].Wants = v, v
			o.Blower = state.Blower{Airflow: v, ExternalStatic: v, Power: v}
			o.Ledger.Blower, o.Ledger.Surplus = v, v
			o.Ledger.Paths[0].Airflow = v
			doc := drawn(t, o, Options{Quantity: q})
			parse(t, doc)
			assert.NotRegexp(t, bad, string(doc))
		}
	}
}

// Outcomes whose slices are short, or graphs with hardly anything in them, give a picture or an error, never a panic.
func TestThinInputDoesNotPanic(t *testing.T) {
	o := twoFloors().outcome("loft")
	o.Nodes, o.Registers, o.Zones, o.Dampers, o.Ledger = nil, nil, nil, nil, state.Ledger{}
	parse(t, drawn(t, o, Options{}))
	bare := newHouse(0)
	parse(t, drawn(t, bare.outcome(), Options{}))
	bare.g.Job = nil
	parse(t, drawn(t, &state.Outcome{Graph: bare.g, Elements: make([]state.Element, len(bare.g.Elements))}, Options{}))
	empty := newHouse(0)
	empty.g.Elements, empty.g.Nodes, empty.g.Blower = nil, nil, -1
	parse(t, drawn(t, &state.Outcome{Graph: empty.g}, Options{}))
}

// Any graph at all, with parts of any kind between any nodes, gives a picture: loops, islands, elements from a node to itself.
func TestAnyGraphIsDrawn(t *testing.T) {
	kinds := []network.PartKind{network.KindDuct, network.KindDamper, network.KindRelief, network.KindRegister, network.KindGrille, network.KindLeak, network.KindCoil, network.KindOpening}
	rapid.Check(t, func(t *rapid.T) {
		h := newHouse(1000, "a", "b")
		nodes := rapid.IntRange(1, 12).Draw(t, "nodes")
		for i := range nodes {
			h.node(fmt.Sprint("n", i), network.NodeKind(rapid.IntRange(0, 4).Draw(t, "node kind")))
		}
		all := len(h.g.Nodes)
		for i := range rapid.IntRange(0, 25).Draw(t, "elements") {
			e := network.Element{Name: fmt.Sprint("e", i), Kind: rapid.SampledFrom(kinds).Draw(t, "kind"), Side: network.Side(rapid.IntRange(0, 5).Draw(t, "side")),
				From: rapid.IntRange(0, all-1).Draw(t, "from"), To: rapid.IntRange(0, all-1).Draw(t, "to"), Zone: rapid.SampledFrom([]string{"", "a", "b"}).Draw(t, "zone")}
			h.g.Elements = append(h.g.Elements, e)
			if e.Kind == network.KindRegister {
				h.g.Registers = append(h.g.Registers, network.Register{Element: len(h.g.Elements) - 1, Zone: e.Zone, Wants: 0.05})
			}
		}
		o := &state.Outcome{Graph: h.g, Elements: make([]state.Element, len(h.g.Elements))}
		for i := range o.Elements {
			o.Elements[i] = state.Element{Airflow: rapid.Float64Range(-1, 1).Draw(t, "airflow"), Surplus: rapid.Float64Range(0, 1).Draw(t, "surplus"), Velocity: 2}
			if rapid.Bool().Draw(t, "dial") {
				o.Dampers = append(o.Dampers, state.Damper{Element: i, Position: 0.3, Blade: 60})
			}
		}
		parse(t, drawn(t, o, Options{}))
	})
}

func TestBothUnitSystems(t *testing.T) {
	o := twoFloors().outcome("loft")
	ip, si := string(drawn(t, o, Options{})), string(drawn(t, o, Options{Units: quantity.SI}))
	for _, want := range []string{">150 / 120 cfm<", "in. w.c.", "velocity, fpm", "100 cfm wide", "+0.52"} {
		assert.Contains(t, ip, want)
	}
	// 150 cfm is 70.8 l/s and 120 cfm 56.6 l/s; 130 Pa stays (exact factors).
	for _, want := range []string{">71 / 57 l/s<", ">external static 130 Pa<", "velocity, m/s", "50 l/s wide"} {
		assert.Contains(t, si, want)
	}
	assert.NotContains(t, si, "cfm")
	assert.NotContains(t, ip, "l/s")
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{fixed(1234567.4, 0), "1,234,567"},
		{fixed(-0.331, 2), "−0.33"},
		{fixed(-0.001, 2), "0.00"},
		{fixed(999.96, 1), "1,000.0"},
		{fixed(math.NaN(), 2), "–"},
		{writer{sys: quantity.IP}.gauge(0.38 * quantity.InchWater), "+0.38 in. w.c."},
		{writer{sys: quantity.SI}.gauge(-12.4), "−12 Pa"},
		{writer{sys: quantity.IP}.temperature(11.111), "52 °F"},
		{percent(0.25), "25 %"},
		{ink.Slug("Loft & Bed #2 — ü"), "loft-bed-2"},
		{ink.Slug("浴室"), "x"},
		{ink.Cut("a register with a long name", sizeLabel, true, 80), "a registe…"},
	} {
		assert.Equal(t, c.want, c.got)
	}
}

// The picture has no colours but the palette's, whose contrasts its own tests hold.
func TestTextClasses(t *testing.T) {
	// No other colour gets into the picture, and text has no other class than these.
	doc := string(drawn(t, twoFloors().outcome("loft"), Options{Theme: Light}))
	known := map[string]bool{}
	for _, v := range palette.Light().Variables() {
		known[v.Colour.Hex()] = true
	}
	for _, hex := range regexp.MustCompile(`#[0-9a-f]{6}\b`).FindAllString(doc, -1) {
		assert.True(t, known[hex], "%s is not in the palette", hex)
	}
	for _, m := range regexp.MustCompile(`<text [^>]*class="([^"]*)"`).FindAllStringSubmatch(doc, -1) {
		for _, c := range strings.Fields(m[1]) {
			assert.Contains(t, []string{"t", "faint", "accent", "b", "title"}, c)
		}
	}
}

func TestThemes(t *testing.T) {
	o := twoFloors().outcome("loft")
	auto := string(drawn(t, o, Options{}))
	assert.Contains(t, auto, "prefers-color-scheme:dark")
	assert.Contains(t, auto, "@media print")
	assert.Contains(t, auto, ".sw .paper{fill:#ffffff;fill:var(--sw-paper,#ffffff)}")
	dark := string(drawn(t, o, Options{Theme: Dark}))
	assert.NotContains(t, dark, "@media")
	assert.Contains(t, dark, ".sw .paper{fill:"+palette.Dark().Paper.Hex())
}

// A page may hold several pictures: with a prefix their ids differ.
func TestPrefixKeepsPicturesApart(t *testing.T) {
	o := twoFloors().outcome("loft")
	page := "<page>" + string(drawn(t, o, Options{Prefix: "state 1"})) + string(drawn(t, o, Options{Prefix: "state 2"})) + "</page>"
	parse(t, []byte(page))
}

func TestPartsAreNamedForScreenReaders(t *testing.T) {
	doc := string(drawn(t, twoFloors().outcome("loft"), Options{Sentence: "It bleeds."}))
	for _, want := range []string{
		`<title id="title">Cooling · only the loft zone calls</title>`,
		`<desc id="desc">It bleeds.</desc>`,
		`id="damper-main-damper"`,
		`aria-label="main damper: 25 % open, blade 68° from open, 180 cfm, drop 0.05 in. w.c."`,
		`id="register-bed-2"`,
	} {
		assert.Contains(t, doc, want)
	}
}

func TestWidthScalesThePicture(t *testing.T) {
	doc := string(drawn(t, twoFloors().outcome("loft"), Options{Width: 800}))
	assert.Contains(t, doc, `width="800" height="`)
}

type failing struct{ after int }

func (f *failing) Write(p []byte) (int, error) {
	if f.after -= len(p); f.after < 0 {
		return 0, errors.New("disk full")
	}
	return len(p), nil
}

func TestWriteErrorsAreReported(t *testing.T) {
	for _, after := range []int{0, 5000, 20000} {
		assert.ErrorContains(t, Draw(&failing{after}, twoFloors().outcome("loft"), Options{}), "disk full")
	}
}

// The golden scenes are places and numbers, not SVG: a change of drawing does not touch them. go test -update rewrites them;
// look at the difference before you commit it.
func TestGoldenScenes(t *testing.T) {
	for name, o := range map[string]*state.Outcome{"two-floors": twoFloors().outcome("loft"), "nested": nested().outcome("middle")} {
		t.Run(name, func(t *testing.T) {
			got := describe(sceneOf(t, o, Options{Sentence: "The loft takes more than it wants; the rest bleeds."}))
			file := filepath.Join("testdata", name+".scene")
			if *update {
				require.NoError(t, os.MkdirAll("testdata", 0o755))
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err, "no golden scene: run go test -update")
			assert.Equal(t, string(want), got)
		})
	}
}

// describe writes a scene as text, places rounded to a tenth.
func describe(sc *Scene) string {
	var b strings.Builder
	box := func(x Box) string { return fmt.Sprintf("%.1f %.1f %.1f %.1f", x.X0, x.Y0, x.X1, x.Y1) }
	fmt.Fprintf(&b, "paper %.0f × %.0f, %s\n", sc.Width, sc.Height, sc.Title)
	for _, v := range sc.Bands {
		fmt.Fprintf(&b, "band %s calling=%v dump=%v | %s\n", box(v.Box), v.Calling, v.Dump, v.Text)
	}
	for _, r := range sc.Ribbons {
		fmt.Fprintf(&b, "ribbon %s width=%.2f surplus=%.2f right=%v reversed=%v class=%d:", r.Name, r.Width, r.Surplus, r.OnRight, r.Reversed, r.Class)
		for _, p := range r.Path {
			fmt.Fprintf(&b, " %.1f,%.1f", p.X, p.Y)
		}
		b.WriteByte('\n')
	}
	for _, v := range sc.Hubs {
		fmt.Fprintf(&b, "hub %s\n", box(v))
	}
	for _, v := range sc.Dampers {
		fmt.Fprintf(&b, "damper %s at %.1f,%.1f r=%.1f %.1f°\n", v.Name, v.At.X, v.At.Y, v.Radius, v.Degrees)
	}
	for _, v := range sc.Grilles {
		fmt.Fprintf(&b, "grille %s %s calling=%v\n", v.Name, box(v.Box), v.Calling)
	}
	for _, v := range sc.Arrows {
		fmt.Fprintf(&b, "arrow %.1f,%.1f to %v,%v\n", v.At.X, v.At.Y, v.To.X, v.To.Y)
	}
	for _, v := range sc.Ledger {
		fmt.Fprintf(&b, "share %s %s\n", box(v.Box), v.Text)
	}
	for _, l := range sc.Labels {
		fmt.Fprintf(&b, "label %.1f,%.1f %s %s\n", l.X, l.Y, l.Anchor, l.Text)
	}
	return b.String()
}

func BenchmarkDraw(b *testing.B) {
	for name, o := range map[string]*state.Outcome{
		"house":         twoFloors().outcome("loft"),
		"200-registers": forestOf(200, 8, rand.New(rand.NewPCG(1, 2)).IntN).outcome("zone 1"),
	} {
		b.Run(name, func(b *testing.B) {
			plan := Lay(o.Graph)
			b.ReportAllocs()
			for b.Loop() {
				if err := plan.Draw(io.Discard, o, Options{Sentence: "x"}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkLay(b *testing.B) {
	g := twoFloors().g
	for b.Loop() {
		Lay(g)
	}
}
