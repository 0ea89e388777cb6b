package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"spillway/network/diag"
	"spillway/render/sheet"
)

// newRoot builds the command tree.
func newRoot(c console) *cobra.Command {
	root := &cobra.Command{
		Use:   "spillway COMMAND",
		Short: "Where the surplus air of a zoned forced-air system goes",
		Long: "Spillway balances the air of a furnace or air handler that serves several thermostat\n" +
			"zones through shared ducts and zone dampers. For every call state it gives the airflow at\n" +
			"each register, the pressures, and a ledger of the surplus: what the calling zones take\n" +
			"beyond their want, what bleeds into the others, and what goes through the bypass, into a\n" +
			"dump zone or out of leaks.\n\n" +
			"Exit codes: 0 solved; 1 could not solve or write; 2 the job file or the call is wrong;\n" +
			"3 with --strict when a finding is at fault. Of several, 1 goes before 2 before 3.\n\n" +
			"Caution\n" + strings.Join(sheet.CautionLines(helpWidth), "\n"),
		Example: "  spillway check house.toml\n" +
			"  spillway solve house.toml --state \"cooling: loft\" --set \"damper.main.stop=30 %\"\n" +
			"  spillway draw house.toml -o pictures/",
		SilenceErrors:         true,
		DisableFlagsInUseLine: true,
		SilenceUsage:          true,
		Args:                  cobra.ArbitraryArgs, // so that a misspelt command reaches RunE and gets our own words
	}
	root.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return cmd.Help()
		}
		return unknownCommand(cmd, args[0])
	}
	root.PersistentPreRunE = spareInput
	root.SetIn(c.in)
	root.SetOut(c.out)
	root.SetErr(c.err)
	root.SetFlagErrorFunc(flagError)
	root.SetUsageFunc(printUsage)
	root.AddCommand(newSolve(c), newCheck(c), newDraw(c), newReport(c), newServe(c), newSweep(c),
		newCompare(c), newTune(c), newMend(c), newSize(c), newParts(c), newCode(c), newDecide(c),
		newSpread(c),
		newDay(c), newYear(c), newLimits(c), newBatch(c), newNew(c), newSchema(c),
		newManual(c), newVersion(c))
	root.AddCommand(newExplain(c), newFit(c), newFittings(c), newReference(c))
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	plainHelp(root)
	return root
}

// plainHelp gives the parser's own commands and flags the words of the others.
func plainHelp(root *cobra.Command) {
	for _, cmd := range root.Commands() {
		switch cmd.Name() {
		case "help":
			cmd.Short = "Explain a command"
			cmd.Long = "Prints what a command does and which flags it takes."
		case "completion":
			cmd.Short = "Print the script that lets a shell complete commands, files, states and alternatives"
		}
	}
	var visit func(cmd *cobra.Command)
	visit = func(cmd *cobra.Command) {
		cmd.Flags().BoolP("help", "h", false, "show this text")
		for _, sub := range cmd.Commands() {
			visit(sub)
		}
	}
	visit(root)
}

// unknownCommand says what was probably meant: a command, or a job file without one.
func unknownCommand(root *cobra.Command, word string) error {
	var names []string
	for _, cmd := range root.Commands() {
		if cmd.IsAvailableCommand() {
			names = append(names, cmd.Name())
		}
	}
	if strings.HasSuffix(word, ".toml") {
		return fail(wrongCall, "a command comes first, for example: spillway solve %s", diag.Visible(word))
	}
	slices.Sort(names)
	hint := diag.DidYouMean(word, names)
	if hint == "" {
		hint = `"spillway --help" lists them`
	}
	return fail(wrongCall, "there is no command %q; %s", diag.Visible(word), hint)
}

// flagError puts the parser's complaint about flags in our words and adds the likely fix.
func flagError(cmd *cobra.Command, err error) error {
	text := err.Error()
	var unknown *pflag.NotExistError
	var value *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() == "":
		text = unknownFlag(cmd, unknown.GetSpecifiedName())
	case errors.As(err, &value):
		text = fmt.Sprintf("--%s cannot be %q: %v", value.GetFlag().Name, diag.Visible(value.GetValue()), plainNumber(value.Unwrap()))
	}
	see := "spillway --help"
	if cmd.Parent() != nil {
		see = cmd.CommandPath() + " --help"
	}
	return fail(wrongCall, "%s\nsee: %s", text, see)
}

// plainNumber says in our words what the parser's own library says of a number.
func plainNumber(err error) error {
	var number *strconv.NumError
	switch {
	case !errors.As(err, &number):
		return err
	case errors.Is(number.Err, strconv.ErrRange):
		return errors.New("the number is too large")
	case number.Func == "ParseUint":
		return errors.New("it takes a whole number, 0 or more")
	}
	return errors.New("it takes a whole number")
}

// unknownFlag says which flag was probably meant.
func unknownFlag(cmd *cobra.Command, word string) string {
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	text := fmt.Sprintf("there is no flag --%s here", diag.Visible(word))
	if near, ok := diag.Nearest(word, names); ok {
		return text + "; did you mean --" + near + "?"
	}
	return text
}

// helpWidth is how wide our own paragraphs of help are.
const helpWidth = 90

// printUsage prints what follows the first paragraphs of a help text. It takes the place of the
// parser's template, with which the linker could drop no exported method of the program.
func printUsage(cmd *cobra.Command) error {
	var b strings.Builder
	fmt.Fprintf(&b, "Use\n  %s", cmd.UseLine())
	if cmd.HasExample() {
		fmt.Fprintf(&b, "\n\nFor example\n%s", cmd.Example)
	}
	if cmd.HasAvailableSubCommands() {
		b.WriteString("\n\nCommands")
		for _, sub := range cmd.Commands() {
			if sub.IsAvailableCommand() {
				fmt.Fprintf(&b, "\n  %-*s  %s", sub.NamePadding(), sub.Name(), sub.Short)
			}
		}
	}
	if cmd.HasAvailableLocalFlags() {
		flags := strings.TrimRightFunc(cmd.LocalFlags().FlagUsages(), unicode.IsSpace)
		b.WriteString("\n\nFlags\n" + flags)
	}
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(&b, "\n\n%q says more of a command.", cmd.CommandPath()+" COMMAND --help")
	}
	_, err := fmt.Fprintln(cmd.OutOrStderr(), b.String())
	return err
}
