package main

import (
	"github.com/spf13/cobra"

	"spillway/network/schema"
)

func newSchema(c console) *cobra.Command {
	var output string
	cmd := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema of the job file, for editors",
		Long: "Prints the JSON Schema of the job file. Editors that know TOML complete keys and mark\n" +
			"mistakes while you type once they have it; most take this line at the top of a job file:\n\n" +
			"  #:schema ./spillway.schema.json\n\n" +
			"The schema sees keys, units and words. What needs the whole file, such as a name that does\n" +
			"not exist, \"spillway check\" finds.",
		Example: "  spillway schema -o spillway.schema.json",
		Args:    noArguments,
		RunE:    func(*cobra.Command, []string) error { return c.deliver(schema.Job(), output) },
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "write to this `FILE`, whole or not at all")
	return cmd
}

// noArguments refuses arguments of a command that takes none.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) > 0 {
		return fail(wrongCall, "%s takes no arguments", cmd.Name())
	}
	return nil
}

// deliver writes a result to a file or, without a name, to standard output.
func (c console) deliver(data []byte, output string) error {
	if output == "" {
		return c.emit(data)
	}
	return writeFile(output, data)
}
