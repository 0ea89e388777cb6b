module spillway/ci/schema

go 1.26.0

require (
	github.com/BurntSushi/toml v1.6.0
	github.com/santhosh-tekuri/jsonschema/v6 v6.0.3
)

require golang.org/x/text v0.14.0 // indirect
