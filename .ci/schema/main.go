// Command schema holds job files against the JSON Schema of the job file with a validator that is not ours.
//
//	cd .ci/schema && go run . ../../network/schema/job.schema.json ../../examples ../../testdata/jobs ../../testdata/badjobs
//
// Every file of the first folders must pass. Of a folder named badjobs it says how many the schema refuses and lists the rest: those
// have mistakes that need the whole file to be seen. The files of refused.txt must be refused. A module of its own, so that the
// program does not depend on the validator.
package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/BurntSushi/toml"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

func main() {
	if len(os.Args) < 3 {
		fmt.Fprintln(os.Stderr, "usage: schema SCHEMA FOLDER...")
		os.Exit(2)
	}
	schema, err := jsonschema.NewCompiler().Compile(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	wrong := 0
	for _, folder := range os.Args[2:] {
		files, _ := filepath.Glob(filepath.Join(folder, "*.toml"))
		bad := filepath.Base(folder) == "badjobs"
		var refused, passed, unreadable []string
		for _, file := range files {
			name := strings.TrimSuffix(filepath.Base(file), ".toml")
			var values map[string]any
			if _, err := toml.DecodeFile(file, &values); err != nil {
				unreadable = append(unreadable, name)
				continue
			}
			if err := schema.Validate(plain(values)); err != nil {
				refused = append(refused, name)
				if !bad {
					fmt.Println(file, err)
				}
			} else {
				passed = append(passed, name)
			}
		}
		fmt.Printf("%s: %d files, %d pass, %d refused, %d no TOML\n", folder, len(files), len(passed), len(refused), len(unreadable))
		if !bad {
			wrong += len(refused) + len(unreadable)
			continue
		}
		fmt.Println("refused:", strings.Join(refused, " "))
		fmt.Println("not seen by the schema:", strings.Join(passed, " "))
		for _, name := range mustRefuse() {
			if contains(passed, name) {
				fmt.Println("must be refused and is not:", name)
				wrong++
			}
		}
	}
	if wrong > 0 {
		os.Exit(1)
	}
}

// plain turns what the TOML reader gives into what the validator takes.
func plain(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := make(map[string]any, len(v))
		for k, x := range v {
			out[k] = plain(x)
		}
		return out
	case []map[string]any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = plain(x)
		}
		return out
	case []any:
		out := make([]any, len(v))
		for i, x := range v {
			out[i] = plain(x)
		}
		return out
	case int64:
		return float64(v)
	case fmt.Stringer: // dates
		return v.String()
	}
	return v
}

func mustRefuse() []string {
	data, err := os.ReadFile("refused.txt")
	if err != nil {
		return nil
	}
	return strings.Fields(string(data))
}

func contains(list []string, word string) bool {
	for _, w := range list {
		if w == word {
			return true
		}
	}
	return false
}
