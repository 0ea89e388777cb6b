package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every module that the program links has its notice, and no notice is of one that it does not.
func TestEveryLinkedModuleHasItsLicense(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}{{end}}{{end}}", ".").Output()
	require.NoError(t, err)
	linked := strings.Fields(string(out))
	slices.Sort(linked)
	listed := []string{}
	for _, n := range notices {
		if n.module != "std" {
			listed = append(listed, n.module)
		}
	}
	slices.Sort(listed)
	assert.Equal(t, slices.Compact(linked), listed)

	text, err := licensesText()
	require.NoError(t, err)
	for _, n := range notices {
		assert.Contains(t, text, "==== "+n.module+": ")
	}
	assert.Contains(t, text, "Creative Commons Attribution 4.0")
	assert.Contains(t, text, "Apache License")
}
