package catalog_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network/catalog"
)

// families lists every family with a lookup that gives back the row.
var families = []struct {
	name   string
	family catalog.Family
	lookup func(string) (catalog.Row, bool)
}{
	{"materials", catalog.Materials, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupMaterial(n); return r.Row, ok }},
	{"fittings", catalog.Fittings, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupFitting(n); return r.Row, ok }},
	{"junctions", catalog.Junctions, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupJunction(n); return r.Row, ok }},
	{"blades", catalog.Blades, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupBlade(n); return r.Row, ok }},
	{"damper leakages", catalog.DamperLeakages, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupDamperLeakage(n); return r.Row, ok }},
	{"terminals", catalog.Terminals, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupTerminal(n); return r.Row, ok }},
	{"blowers", catalog.Blowers, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupBlower(n); return r.Row, ok }},
	{"velocities", catalog.Velocities, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupVelocity(n); return r.Row, ok }},
	{"constants", catalog.Constants, func(n string) (catalog.Row, bool) { r, ok := catalog.LookupConstant(n); return r.Row, ok }},
}

func TestRowsAreWhole(t *testing.T) {
	for _, f := range families {
		t.Run(f.name, func(t *testing.T) {
			list := catalog.Names(f.family)
			require.NotEmpty(t, list)
			if f.family != catalog.Blowers { // in order of size
				assert.True(t, slices.IsSorted(list), "names in order: %q", list)
			}
			taken := make(map[string]string)
			for _, name := range list {
				row, ok := f.lookup(name)
				require.True(t, ok, "%q is listed but not found", name)
				assert.NotEmpty(t, row.Source.Text, "%q has no source", name)
				assert.NotEqual(t, "unknown", row.Source.Mark.String())
				if f.family != catalog.Fittings { // a fitting's name comes back in full
					assert.Equal(t, name, row.Name)
				}
				for _, n := range append([]string{name}, row.Aliases...) {
					assert.Equal(t, strings.ToLower(strings.Join(strings.Fields(n), " ")), n, "names are lower case with single spaces")
					assert.Empty(t, taken[n], "%q names both %q and %q", n, taken[n], name)
					taken[n] = name
					again, found := f.lookup(strings.ToUpper(n) + "  ")
					require.True(t, found, "%q in capitals", n)
					assert.Equal(t, row.Name, again.Name)
				}
			}
			_, ok := f.lookup("no such thing")
			assert.False(t, ok)
			_, ok = f.lookup("")
			assert.False(t, ok)
		})
	}
	assert.Nil(t, catalog.Names(catalog.Family(99)))
}

func TestNamesBelongToTheCaller(t *testing.T) {
	for _, f := range families {
		catalog.Names(f.family)[0] = "spoilt"
		assert.NotEqual(t, "spoilt", catalog.Names(f.family)[0], f.name)
	}
}

func TestSourceSaysItsMark(t *testing.T) {
	assert.Equal(t, "a book", catalog.Source{Text: "a book"}.String())
	assert.Equal(t, "a book (from memory)", catalog.Source{Text: "a book", Mark: catalog.Memory}.String())
	assert.Equal(t, "a guess (our choice)", catalog.Source{Text: "a guess", Mark: catalog.OurChoice}.String())
	assert.Equal(t, "published", catalog.Published.String())
	assert.Equal(t, "unknown", catalog.Mark(9).String())
}

func TestMaterialsHaveRoughness(t *testing.T) {
	for _, name := range catalog.Names(catalog.Materials) {
		m, _ := catalog.LookupMaterial(name)
		assert.Positive(t, m.Roughness, name)
	}
	_, ok := catalog.LookupMaterial(catalog.DefaultMaterial)
	assert.True(t, ok)
}
