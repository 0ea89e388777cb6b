package reference

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"spillway/network"
	"spillway/network/diag"
)

// The example jobs are read without any complaint, alternatives too.
func TestTheExamplesAreInOrder(t *testing.T) {
	for i := range files() {
		assert.Empty(t, check(fmt.Sprint("example ", i), place{file: i}.whole()).Error())
	}
}

// check reads a job as it stands and with each of its alternatives.
func check(name string, data []byte) diag.List {
	job, found := network.Read(name, data, network.Options{})
	if job == nil {
		return found
	}
	for _, a := range job.Alternatives {
		_, more := network.Read(name, data, network.Options{Alternative: a.Name})
		found = append(found, more...)
	}
	return found
}

// whole is the text of the example job that a line stands in.
func (p place) whole() []byte { return []byte(strings.Join(files()[p.file], "\n")) }

// with is the text of the example job with another line in place of this one.
func (p place) with(line string) []byte {
	lines := slices.Clone(files()[p.file])
	lines[p.line] = line
	return []byte(strings.Join(lines, "\n"))
}

// Every key that a type of the job takes, by its tag, is in the reference, and no other; so is
// every property of the schema.
func TestReferenceIsWhole(t *testing.T) {
	inReference := map[string]bool{}
	for _, s := range Sections() {
		for i := range s.Entries {
			inReference[s.Type+"."+s.Entries[i].Key] = true
		}
	}
	ofTypes := map[string]bool{}
	var visit func(of reflect.Type)
	visit = func(of reflect.Type) {
		for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
			of = of.Elem()
		}
		if of.Kind() != reflect.Struct {
			return
		}
		for i := range of.NumField() {
			key, _, _ := strings.Cut(of.Field(i).Tag.Get("toml"), ",")
			if key == "" || key == "-" {
				continue
			}
			ofTypes[strings.ToLower(of.Name())+"."+key] = true
			visit(of.Field(i).Type)
		}
	}
	visit(reflect.TypeFor[network.Job]())
	for key := range ofTypes {
		assert.True(t, inReference[key], "%s is not in the reference", key)
	}
	s := readSchema()
	for name, d := range s.root.Definitions {
		table := d
		for _, inner := range d.AnyOf {
			if inner.Properties != nil {
				table = inner
			}
		}
		for key := range table.Properties {
			if key == "row" || name == "alternative" && s.root.Properties[key] != nil {
				continue // another writing of the same keys
			}
			ofTypes[name+"."+key] = true
			assert.True(t, inReference[name+"."+key], "%s.%s is not in the reference", name, key)
		}
	}
	for key := range inReference {
		table, _, _ := strings.Cut(key, ".")
		if table != "from" && table != "to" && table != "usual" { // in no definition
			assert.True(t, ofTypes[key], "%s is in the reference, but nothing has it", key)
		}
	}
	assert.Greater(t, len(ofTypes), 200)
}

// Every key has words or a form, and an example that the reader takes alone, to the same job; the
// same line with its key misspelt it refuses.
func TestEveryExampleIsRead(t *testing.T) {
	read := 0
	for _, s := range Sections() {
		assert.NotEmpty(t, s.Words, s.Type)
		for i := range s.Entries {
			e := &s.Entries[i]
			at := e.at
			name := s.Type + "." + e.Key
			assert.NotEmpty(t, e.Words+e.Form, "%s says nothing", name)
			if e.Example == "" {
				assert.NotEmpty(t, e.Inner, "%s has no example", name)
				continue
			}
			read++
			if at.path[len(at.path)-1] == e.Key {
				found := check(name, at.with(e.Key+"qq = "+at.value))
				assert.True(t, found.HasErrors(), "%s: a key that nobody knows is read", e.Example)
			}
			if !slices.Contains([]string{"alternative", "from", "to", "usual"}, at.path[0]) {
				set := network.PathText(at.path...) + "=" + at.value
				job, found := network.Read(name, at.with(""), network.Options{Set: []string{set}})
				if assert.Empty(t, found.Error(), e.Example) {
					assert.Equal(t, read0(t, at), values(t, job), e.Example)
				}
			}
		}
	}
	assert.Greater(t, read, 180)
}

// Every item of a row says the same as its example: the job is the same.
func TestEveryRowIsRead(t *testing.T) {
	read := 0
	for _, s := range Sections() {
		for i := range s.Entries {
			e := &s.Entries[i]
			if e.Item == "" {
				continue
			}
			read++
			job, found := network.Read(s.Type, e.at.with(fmt.Sprintf("row = %q", e.Item)),
				network.Options{})
			if assert.Empty(t, found.Error(), "%s: %s", e.Example, e.Item) {
				assert.Equal(t, read0(t, e.at), values(t, job), "%s: %s", e.Example, e.Item)
			}
		}
	}
	assert.Greater(t, read, 60)
}

// read0 is the job of the whole example that a line stands in.
func read0(t *testing.T, at place) string {
	t.Helper()
	job, found := network.Read("example", at.whole(), network.Options{})
	require.Empty(t, found.Error())
	return values(t, job)
}

// values is what a job says, without the places of its values.
func values(t *testing.T, job *network.Job) string {
	t.Helper()
	if job == nil {
		return ""
	}
	text, err := json.MarshalIndent(job, "", " ")
	require.NoError(t, err)
	return string(text)
}

func TestFind(t *testing.T) {
	for text, want := range map[string]string{
		"damper": "damper", "supply": "line", "line": "line", "damper.stop": "damper",
		"[damper]": "damper", "damper stop": "damper", "supply.kitchen.size": "line",
		"supply.NAME.register.size": "opening", "equipment.cooling": "machine", "drive": "damper",
		"supply.kitchen.register":       "line",
		"supply.kitchen.register.noise": "opening", "doubt": "tolerance", "usual": "usual",
	} {
		found := Find(text)
		if assert.NotEmpty(t, found, text) {
			assert.Equal(t, want, found[0].Type, text)
		}
	}
	assert.Len(t, Find("damper.stop")[0].Entries, 1)
	assert.Greater(t, len(Find("size")), 3, "a key of many tables")
	assert.Nil(t, Find("bananas"))
	assert.Contains(t, Suggest("damper.stpo"), `"stop"`)
}
