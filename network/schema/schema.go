// Package schema gives the JSON Schema of the job file, for editors that complete and check TOML while it is typed.
//
// The schema is generated from the types of network.Job, their tags and their comments; the committed text is compared with what the
// types give by the tests (go test ./network/schema -update writes it). It judges shapes, keys, units and closed lists of words.
// What needs the whole file, names that must exist and numbers that must fit each other, only network.Read knows.
package schema

import _ "embed"

//go:embed job.schema.json
var job string

// Job is the schema of the job file: JSON Schema, draft 7, which TOML editors understand.
func Job() []byte { return []byte(job) }
