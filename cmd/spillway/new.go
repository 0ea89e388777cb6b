package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/starter"
)

// newFlags are the answers that may come as flags, each a text as the user writes it.
type newFlags struct {
	title, tons, heat, zones, ducts string
	units                           choice
	bypass, force, ask              bool
	output                          string
}

func newNew(c console) *cobra.Command {
	f := &newFlags{units: choice{value: "ip", allowed: []string{"ip", "si"}}}
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Write a first job file from a few answers",
		Long: "Writes a small, commented job file that solves as it stands, to be changed part by part into\n" +
			"what is really installed. At a terminal and without flags it asks seven questions, " +
			"an empty\n" +
			"line for what stands in brackets; with flags it asks nothing, and --ask reads the " +
			"answers\n" +
			"from standard input. The house is solved in design and mild weather while the file " +
			"is written:\n" +
			"a damper is left open only as far as the surplus air does harm otherwise, and what " +
			"is still\n" +
			"wrong then stands in the head of the file.\n\n" +
			"A zone is its name and what is known of it: airflow, floor, loss, gain, the height " +
			"of its\n" +
			"ducts above the equipment, and its rooms in parentheses, each with a register.",
		Example: "  spillway new -o house.toml\n" +
			"  spillway new --zones \"main 1450 ft2 (kitchen, living, hall), loft 680 ft2 up 9 " +
			"ft\" \\\n" +
			"    --tons 3 --heat \"60 kBtu/h\" --ducts attic -o house.toml",
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			given := false
			for _, name := range []string{"title", "tons", "heat", "zones", "units", "ducts",
				"bypass"} {
				given = given || cmd.Flags().Changed(name)
			}
			return c.newJob(f, given)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.title, "title", "", "what the job is called")
	flags.StringVar(&f.tons, "tons", "3", "nominal cooling `CAPACITY` in tons: 2, 2.5, 3, 3.5, 4 or 5")
	flags.StringVar(&f.heat, "heat", "none",
		"heating `OUTPUT`: \"60 kBtu/h\" of a furnace, \"heat pump 34 kBtu/h\", \"electric 10 kW\" or \"none\"")
	flags.StringVar(&f.zones, "zones", "day, night",
		"zones, each a `NAME` with what is known: \"loft 680 ft2 430 cfm loss 15 kBtu/h up 9 ft (bed, bath)\"")
	flags.StringVar(&f.ducts, "ducts", "inside",
		"the `PLACE` where the ducts run: inside, attic, crawlspace, basement or garage")
	flags.BoolVar(&f.bypass, "bypass", false,
		"a weighted bypass is installed from supply to return")
	f.units.add(cmd, "units", "units of the file")
	flags.BoolVar(&f.ask, "ask", false, "ask although flags are given, or standard input is not a "+
		"terminal")
	flags.StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	flags.BoolVar(&f.force, "force", false, "replace a file that exists")
	return cmd
}

func (c console) newJob(f *newFlags, given bool) error {
	if _, err := os.Lstat(f.output); f.output != "" && !f.force && !errors.Is(err, fs.ErrNotExist) {
		return fail(wrongCall, "%s exists; choose another name, or replace it with --force",
			diag.Visible(f.output))
	}
	var a starter.Answers
	var err error
	switch atTerminal := c.asksTerminal(); {
	case f.ask || !given && atTerminal:
		a, err = c.ask(f, atTerminal)
	default:
		if !given {
			fmt.Fprintln(c.err, "standard input is not a terminal, so nothing is asked: "+
				"every answer is the default; --ask reads answers, flags give them")
		}
		a, err = f.answers()
		if err == nil {
			_, err = a.Check()
		}
		if err != nil {
			err = wrongAnswer(err)
		}
	}
	if err != nil {
		return err
	}
	first, err := settle(a)
	if err != nil {
		return err
	}
	if err := c.deliver(first.file, f.output); err != nil {
		return err
	}
	if f.output != "" {
		first.tell(c.err, diag.Visible(f.output))
	}
	return nil
}

// asksTerminal reports whether standard input is a terminal, with somebody to answer.
func (c console) asksTerminal() bool {
	in, ok := c.in.(*os.File)
	return ok && term.IsTerminal(int(in.Fd()))
}

// wrongAnswer is the failure of an answer that the starter refuses.
func wrongAnswer(err error) error {
	var f *failure
	if errors.As(err, &f) {
		return err
	}
	return fail(wrongCall, "%w", err)
}

// ask puts the questions to standard error and takes one line for each from standard input. At its
// end the rest is as in brackets. At a terminal an answer that cannot be is asked for again, three
// times.
func (c console) ask(f *newFlags, again bool) (starter.Answers, error) {
	bypass := "no"
	if f.bypass {
		bypass = "yes"
	}
	lines := bufio.NewReader(io.LimitReader(c.in, 1<<16))
	ended := false
	fmt.Fprintln(c.err, "An empty line takes what stands in brackets.")
	for _, q := range []struct {
		question string
		answer   *string
	}{
		{"What is the job called", &f.title},
		{"Units of the file, ip or si", &f.units.value},
		{"Cooling capacity on the plate, tons", &f.tons},
		{"Heating output: 60 kBtu/h, heat pump 34 kBtu/h, or none", &f.heat},
		{"Zones, one for each thermostat, with what you know of it:\n" +
			"  main 1450 ft2 640 cfm (kitchen, living, hall), loft 680 ft2 up 9 ft\n ", &f.zones},
		{"Where do the ducts run: inside, attic, crawlspace, basement, garage", &f.ducts},
		{"Is there a bypass from supply to return, yes or no", &bypass},
	} {
		kept := *q.answer
		for tries := 1; !ended; tries++ {
			fmt.Fprintf(c.err, "%s [%s]? ", q.question, kept)
			line, err := lines.ReadString('\n')
			if err != nil && !errors.Is(err, io.EOF) {
				return starter.Answers{}, fail(wrongCall, "cannot read the answer: %w", cause(err))
			}
			if line = strings.TrimSpace(line); line != "" {
				*q.answer = line
			}
			if ended = err != nil; ended {
				fmt.Fprintln(c.err)
			}
			if err = f.wrong(bypass); err == nil {
				break
			}
			if !again || ended || tries == 3 {
				return starter.Answers{}, wrongAnswer(err)
			}
			fmt.Fprintf(c.err, "  %s\n", err)
			*q.answer = kept
		}
	}
	return f.answers()
}

// wrong says what of the answers so far cannot be, and takes over the one about the bypass.
func (f *newFlags) wrong(bypass string) error {
	switch strings.ToLower(bypass) {
	case "yes", "y":
		f.bypass = true
	case "no", "n":
		f.bypass = false
	default:
		return fail(wrongCall, "%q is neither yes nor no", diag.Visible(bypass))
	}
	a, err := f.answers()
	if err == nil {
		_, err = a.Check()
	}
	return err
}

func (f *newFlags) answers() (starter.Answers, error) {
	a := starter.Answers{Title: f.title, Bypass: f.bypass,
		Ducts: strings.ToLower(strings.TrimSpace(f.ducts))}
	system, known := quantity.ParseSystem(strings.ToLower(f.units.value))
	if !known {
		return a, fail(wrongCall, "there is no system of units %q; write ip or si",
			diag.Visible(f.units.value))
	}
	a.Units = system
	tons, err := parseTons(f.tons)
	if err != nil {
		return a, err
	}
	a.Tons = tons
	if a.Heater, a.Output, err = parseHeating(f.heat, tons, system); err != nil {
		return a, err
	}
	for _, text := range outsideParentheses(f.zones) {
		zone, err := parseZone(text, system)
		if err != nil {
			return a, err
		}
		a.Zones = append(a.Zones, zone)
	}
	return a, nil
}
