package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network/diag"
	"spillway/network/quantity"
	"spillway/network/starter"
)

// newFlags are the answers that may come as flags.
type newFlags struct {
	title, tons, heat, zones string
	units                    choice
	bypass, force            bool
	output                   string
}

func newNew(c console) *cobra.Command {
	f := &newFlags{units: choice{value: "ip", allowed: []string{"ip", "si"}}}
	cmd := &cobra.Command{
		Use:   "new",
		Short: "Write a starter job file from a few answers",
		Long: "Writes a small, commented job file that solves as it stands, to be changed part by part into\n" +
			"what is really installed. Without flags it asks a few questions and reads the answers from\n" +
			"standard input, an empty line for what stands in brackets; with flags it asks nothing.",
		Example: "  spillway new -o house.toml\n" +
			"  spillway new --zones \"upstairs 430 cfm, downstairs 640 cfm\" --tons 3 --heat \"60 kBtu/h\" -o house.toml",
		Args: noArguments,
		RunE: func(cmd *cobra.Command, _ []string) error {
			asked := true
			for _, name := range []string{"title", "tons", "heat", "zones", "units", "bypass"} {
				asked = asked && !cmd.Flags().Changed(name)
			}
			return c.newJob(f, asked)
		},
	}
	flags := cmd.Flags()
	flags.StringVar(&f.title, "title", "", "what the job is called")
	flags.StringVar(&f.tons, "tons", "3", "nominal cooling `CAPACITY` in tons: 2, 2.5, 3, 3.5, 4 or 5")
	flags.StringVar(&f.heat, "heat", "none", "furnace `OUTPUT`, \"60 kBtu/h\" or \"none\"")
	flags.StringVar(&f.zones, "zones", "day, night", "zones, each a `NAME` with the airflow it wants if it is known")
	flags.BoolVar(&f.bypass, "bypass", false, "add an alternative with a weighted bypass")
	f.units.add(cmd, "units", "units of the file")
	flags.StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	flags.BoolVar(&f.force, "force", false, "replace a file that exists")
	return cmd
}

func (c console) newJob(f *newFlags, asked bool) error {
	if _, err := os.Lstat(f.output); f.output != "" && !f.force && !errors.Is(err, fs.ErrNotExist) {
		return fail(wrongCall, "%s exists; choose another name, or replace it with --force", diag.Visible(f.output))
	}
	if asked {
		if err := c.ask(f); err != nil {
			return err
		}
	}
	answers, err := f.answers()
	if err != nil {
		return err
	}
	data, err := starter.File(answers)
	if err != nil {
		return fail(wrongCall, "%w", err)
	}
	if err := c.deliver(data, f.output); err != nil {
		return err
	}
	if f.output != "" {
		fmt.Fprintf(c.err, "%s is written; now: spillway solve %s\n", diag.Visible(f.output), diag.Visible(f.output))
	}
	return nil
}

// ask puts the questions to standard error and takes one line for each from standard input. At its end the rest is as in brackets.
func (c console) ask(f *newFlags) error {
	bypass := "no"
	lines := bufio.NewReader(io.LimitReader(c.in, 1<<16))
	for _, q := range []struct {
		question string
		answer   *string
	}{
		{"What is the job called", &f.title},
		{"Units of the file, ip or si", &f.units.value},
		{"Nominal cooling capacity in tons", &f.tons},
		{"Furnace output, such as 60 kBtu/h", &f.heat},
		{"Zones, with the airflow each wants if known: upstairs 430 cfm, downstairs", &f.zones},
		{"An alternative with a weighted bypass, yes or no", &bypass},
	} {
		fmt.Fprintf(c.err, "%s [%s]? ", q.question, *q.answer)
		line, err := lines.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return fail(wrongCall, "cannot read the answer: %w", cause(err))
		}
		if line = strings.TrimSpace(line); line != "" {
			*q.answer = line
		}
		if errors.Is(err, io.EOF) {
			fmt.Fprintln(c.err)
			break
		}
	}
	switch strings.ToLower(bypass) {
	case "yes", "y":
		f.bypass = true
	case "no", "n":
	default:
		return fail(wrongCall, "%q is neither yes nor no", diag.Visible(bypass))
	}
	return nil
}

func (f *newFlags) answers() (starter.Answers, error) {
	a := starter.Answers{Title: f.title, Bypass: f.bypass}
	system, known := quantity.ParseSystem(strings.ToLower(f.units.value))
	if !known {
		return a, fail(wrongCall, "there is no system of units %q; write ip or si", diag.Visible(f.units.value))
	}
	a.Units = system
	word := strings.TrimSpace(strings.TrimSuffix(strings.TrimSuffix(f.tons, "s"), "ton"))
	tons, err := strconv.ParseFloat(word, 64)
	if err != nil {
		return a, fail(wrongCall, "%q is no capacity in tons; write 3", diag.Visible(f.tons))
	}
	a.Tons = tons
	if f.heat != "none" && f.heat != "" {
		heat, err := quantity.KindHeat.Parse(f.heat, system)
		if err != nil {
			return a, fail(wrongCall, "the furnace output %w; write \"60 kBtu/h\" or none", err)
		}
		a.Output = quantity.Heat(heat)
	}
	for _, text := range strings.Split(f.zones, ",") {
		zone, err := parseZone(text, system)
		if err != nil {
			return a, err
		}
		a.Zones = append(a.Zones, zone)
	}
	return a, nil
}

// parseZone reads "upstairs" or "upstairs 430 cfm": the airflow begins with the last word that begins with a digit.
func parseZone(text string, system quantity.System) (starter.Zone, error) {
	words := strings.Fields(text)
	for i := len(words) - 1; i > 0; i-- {
		if words[i][0] < '0' || words[i][0] > '9' {
			continue
		}
		wants, err := quantity.KindAirflow.Parse(strings.Join(words[i:], " "), system)
		if err != nil {
			if i == len(words)-1 {
				break
			}
			return starter.Zone{}, fail(wrongCall, "zone %q: %w; write \"upstairs 430 cfm\"", diag.Visible(strings.TrimSpace(text)), err)
		}
		return starter.Zone{Name: strings.Join(words[:i], " "), Wants: quantity.Airflow(wants)}, nil
	}
	return starter.Zone{Name: strings.Join(words, " ")}, nil
}
