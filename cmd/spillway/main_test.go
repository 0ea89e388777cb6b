package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/require"
)

// The scripts of testdata/script run the program as people do: commands, files, expected output and exit codes.
//
//	go test ./cmd/spillway -run Script/solve      one script
//	go test ./cmd/spillway -update                rewrite the expected output inside the scripts

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"spillway": main})
}

func TestScript(t *testing.T) {
	job, err := os.ReadFile(filepath.Join("testdata", "small.toml"))
	require.NoError(t, err)
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(e *testscript.Env) error {
			return os.WriteFile(filepath.Join(e.WorkDir, "house.toml"), job, 0o644)
		},
		Condition: func(condition string) (bool, error) {
			return condition == "root" && os.Geteuid() == 0, nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits, "mode": mode},
	})
}
