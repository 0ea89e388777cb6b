package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newManual(c console) *cobra.Command {
	var output string
	cmd := &cobra.Command{
		Use:   "man",
		Short: "Print the manual page",
		Long: "Prints the manual page of the program with all its commands and flags, for the man command.\n" +
			"Packagers put it into share/man/man1.",
		Example: "  spillway man -o spillway.1\n" +
			"  spillway man | man -l -",
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error { return c.deliver(manual(cmd.Root()), output) },
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "write to this `FILE`, whole or not at all")
	return cmd
}

// manual is the whole program as one page in the macros of man(7).
func manual(root *cobra.Command) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, ".TH SPILLWAY 1 \"\" \"Spillway %s\" \"User Commands\"\n", version)
	fmt.Fprintf(&b, ".SH NAME\nspillway \\- %s\n", roff(root.Short))
	b.WriteString(".SH SYNOPSIS\n.B spillway\n.I COMMAND\n[arguments and flags]\n")
	b.WriteString(".SH DESCRIPTION\n")
	paragraphs(&b, root.Long)
	b.WriteString(".SH COMMANDS\n")
	for _, cmd := range root.Commands() {
		if !cmd.IsAvailableCommand() || cmd.Name() == "help" {
			continue
		}
		fmt.Fprintf(&b, ".SS %s\n%s.\n.PP\n", roff(root.Name()+" "+cmd.Use), roff(cmd.Short))
		paragraphs(&b, cmd.Long)
		cmd.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.Hidden || f.Name == "help" {
				return
			}
			value, usage := pflag.UnquoteUsage(f)
			name := "--" + f.Name
			if f.Shorthand != "" {
				name = "-" + f.Shorthand + ", " + name
			}
			fmt.Fprintf(&b, ".TP\n.B %s\n%s", roff(strings.TrimSpace(name+" "+value)), roff(usage))
			if f.DefValue != "" && f.DefValue != "false" && f.DefValue != "[]" && f.DefValue != "0" {
				fmt.Fprintf(&b, " (without it: %s)", roff(f.DefValue))
			}
			b.WriteString("\n")
		})
		if cmd.Example != "" {
			fmt.Fprintf(&b, ".PP\n.nf\n%s\n.fi\n", roff(cmd.Example))
		}
	}
	b.WriteString(".SH ENVIRONMENT\n.TP\n.B NO_COLOR\nwhen set to anything, text is printed without colour\n")
	b.WriteString(".SH EXIT STATUS\n.TP\n.B 0\nsolved\n.TP\n.B 1\ncould not solve or write\n.TP\n.B 2\nthe job file or the call is wrong\n" +
		".TP\n.B 3\nwith \\-\\-strict, a finding is at fault\n")
	return []byte(b.String())
}

// paragraphs writes text whose paragraphs stand apart by empty lines; those that are indented keep their lines.
func paragraphs(b *strings.Builder, text string) {
	for _, p := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if strings.HasPrefix(p, "  ") {
			fmt.Fprintf(b, ".nf\n%s\n.fi\n.PP\n", roff(p))
			continue
		}
		fmt.Fprintf(b, "%s\n.PP\n", roff(p))
	}
}

// roff escapes what the macros would take for their own.
func roff(text string) string {
	text = strings.NewReplacer(`\`, `\e`, "-", `\-`).Replace(text)
	lines := strings.Split(text, "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
			lines[i] = `\&` + line
		}
	}
	return strings.Join(lines, "\n")
}
