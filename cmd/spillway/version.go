package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
)

// version of the program; it is part of every JSON document. A release sets it with the linker:
// -ldflags "-X main.version=0.2.0" (see .ci/ships). Nothing else writes it.
var version = "0.1.0"

func newVersion(c console) *cobra.Command {
	var build, licenses bool
	cmd := &cobra.Command{
		Use:   "version",
		Short: "Print the version",
		Long:  "Prints the program's version, and the revision it was built from when that is known.",
		Example: "  spillway version\n" +
			"  spillway version --build\n" +
			"  spillway version --licenses",
		Args: noArguments,
		RunE: func(*cobra.Command, []string) error {
			if licenses {
				text, err := licensesText()
				if err != nil {
					return err
				}
				return c.emit([]byte(text))
			}
			info, _ := debug.ReadBuildInfo()
			return c.emit([]byte(versionText(info, build)))
		},
	}
	cmd.Flags().BoolVar(&build, "build", false, "also what it was built with: one KEY VALUE in a line")
	cmd.Flags().BoolVar(&licenses, "licenses", false, "the licenses of the works of others that the program contains")
	cmd.MarkFlagsMutuallyExclusive("build", "licenses")
	return cmd
}

// versionText is the first line, and what the build says of itself behind it. info may be nil.
func versionText(info *debug.BuildInfo, build bool) string {
	var settings []debug.BuildSetting
	if info != nil {
		settings = info.Settings
	}
	value := func(key string) string {
		for _, s := range settings {
			if s.Key == key {
				return s.Value
			}
		}
		return ""
	}
	text := "spillway " + version
	if revision := value("vcs.revision"); len(revision) >= 12 {
		text += " (" + revision[:12]
		if value("vcs.modified") == "true" {
			text += ", changed"
		}
		text += ")"
	}
	text += "\n"
	if !build {
		return text
	}
	var b strings.Builder
	b.WriteString(text)
	fmt.Fprintf(&b, "go %s\nplatform %s/%s\n", strings.TrimPrefix(runtime.Version(), "go"), runtime.GOOS, runtime.GOARCH)
	for _, key := range []string{"vcs.revision", "vcs.time", "vcs.modified", "-tags", "-race", "CGO_ENABLED"} {
		if v := value(key); v != "" {
			fmt.Fprintf(&b, "%s %s\n", strings.TrimPrefix(strings.ToLower(key), "-"), v)
		}
	}
	if info != nil {
		for _, d := range info.Deps {
			fmt.Fprintf(&b, "module %s %s\n", d.Path, d.Version)
		}
	}
	return b.String()
}
