package main

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// version of the program; it stands in every JSON document.
const version = "0.1.0"

func newVersion(c console) *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Print the version",
		Long:    "Prints the program's version, and the revision it was built from when that is known.",
		Example: "  spillway version",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fail(wrongCall, "version takes no arguments")
			}
			return nil
		},
		RunE: func(*cobra.Command, []string) error {
			line := "spillway " + version
			if info, ok := debug.ReadBuildInfo(); ok {
				for _, s := range info.Settings {
					if s.Key == "vcs.revision" && len(s.Value) >= 12 {
						line += " (" + s.Value[:12] + ")"
					}
				}
			}
			return c.emit(fmt.Appendln(nil, line))
		},
	}
}
