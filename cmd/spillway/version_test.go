package main

import (
	"runtime/debug"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestVersionText(t *testing.T) {
	assert.Equal(t, "spillway "+version+"\n", versionText(nil, false))
	info := &debug.BuildInfo{
		Settings: []debug.BuildSetting{{Key: "vcs.revision", Value: "0123456789abcdef"}, {Key: "vcs.modified", Value: "true"}, {Key: "CGO_ENABLED", Value: "0"}},
		Deps:     []*debug.Module{{Path: "example.org/x", Version: "v1.2.3"}},
	}
	assert.Equal(t, "spillway "+version+" (0123456789ab, changed)\n", versionText(info, false))
	text := versionText(info, true)
	assert.Regexp(t, `(?m)^go [0-9]+\.[0-9]+`, text)
	assert.Regexp(t, `(?m)^platform [a-z0-9]+/[a-z0-9]+$`, text)
	assert.Contains(t, text, "\nvcs.modified true\ncgo_enabled 0\nmodule example.org/x v1.2.3\n")
}
