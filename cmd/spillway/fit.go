package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/diagnose"
	"spillway/solver/state"
)

// fitFlags are the flags of fit.
type fitFlags struct {
	common
	format choice
	output string
	keep   keepFlags
	sheet  bool
	top    int
}

func newFit(c console) *cobra.Command {
	f := &fitFlags{}
	cmd := &cobra.Command{
		Use:   "fit JOB READINGS",
		Short: "Explain field readings: how far the model is off, ranked causes, what to read next",
		Long: "Compares readings taken on site with the job as drawn, reading by reading, and ranks what\n" +
			"would explain them: a loaded filter, a damper that does not open, a choked run, a wrong tap\n" +
			"and many more, alone and in pairs. It names the one further reading that would best tell the\n" +
			"leading causes apart, a reading that is probably bad, what the readings cannot determine, and\n" +
			"what putting the first cause right would give.\n\n" +
			"READINGS is a small file:\n\n" +
			"  state = \"cooling: bedrooms\"\n" +
			"  [reading]\n" +
			"  before-blower = { at = \"blower inlet\",  static = \"-0.33 inwc\" }\n" +
			"  after-blower  = { at = \"blower outlet\", static = \"0.44 inwc\" }\n" +
			"  bed-2         = { at = \"bed-2\", airflow = \"96 cfm\" }\n" +
			"  filter        = { across = \"filter\", drop = \"0.21 inwc\", with = \"manometer\" }\n\n" +
			"Shorter, by call state, PLACE = VALUE with its unit; a list for what was read twice,\n" +
			"an instrument after a comma, and outdoor for the day, to which the job's weather is\n" +
			"changed:\n\n" +
			"  outdoor = \"88 F\"\n" +
			"  [state.\"cooling: bedrooms\"]\n" +
			"  \"blower inlet\" = \"-0.35 inwc\"\n" +
			"  bed-2          = [\"69 cfm\", \"72 cfm, field hood\"]\n" +
			"  filter         = \"0.21 inwc +- 0.02 inwc\"\n\n" +
			"Each reading has one of static, total, drop, airflow, face-velocity, temperature, rise,\n" +
			"sound, watts; a state of its own if it was taken in another; and, where the usual\n" +
			"instrument was not used, with = \"field hood\" or sigma = \"8 %\".",
		Example: "  spillway fit examples/noisy-bedroom.toml examples/readings/noisy-bedroom.toml\n" +
			"  spillway fit house.toml as-found.toml --sheet -o sheet.txt\n" +
			"  spillway fit house.toml readings.toml --format json\n" +
			"  spillway fit house.toml readings.toml --write-as as-found",
		Args: func(_ *cobra.Command, args []string) error {
			switch {
			case len(args) < 2:
				return fail(wrongCall, "fit needs a job file and a readings file, for example: spillway fit house.toml readings.toml")
			case len(args) > 2:
				return fail(wrongCall, "fit takes one job file and one readings file, and %q is one too many", diag.Visible(args[2]))
			}
			return nil
		},
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.fit(args[0], args[1], f) },
	}
	f.add(cmd, false)
	f.keep.addAs(cmd, "the likeliest cause, with how well it is known,")
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the results, if not the job file's")
	f.format = choice{value: "text", allowed: []string{"text", "json", "markdown", "html"}}
	f.format.add(cmd, "format", "how results are written")
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	cmd.Flags().BoolVar(&f.sheet, "sheet", false, "the commissioning sheet: as found, pass or fail, settings to leave")
	cmd.Flags().IntVar(&f.top, "top", 5, "how many `CAUSES` are listed")
	return cmd
}

func (c console) fit(job, readings string, f *fitFlags) error {
	if err := f.keep.check(job); err != nil {
		return err
	}
	switch {
	case f.alternative == everyAlternative:
		return fail(wrongCall, "fit takes one alternative at a time: the one that is built")
	case f.top < 1:
		return fail(wrongCall, "--top lists at least one cause")
	case f.sheet && f.format.value == "json":
		return fail(wrongCall, "--sheet is for people; --format json has its tolerances and verdicts too")
	case job == "-" && readings == "-":
		return fail(wrongCall, "only one of the two files can come from standard input")
	}
	graphs, err := c.load(job, &f.common)
	if err != nil {
		return err
	}
	g := graphs[0]
	found, err := c.fitted(g, job, readings)
	if err != nil {
		return err
	}
	found.Top = f.top
	head := &sheet.Sheet{Version: version, File: job, Units: f.system(g.Job.Units), Job: g.Job}
	var b bytes.Buffer
	switch {
	case f.sheet:
		err = sheet.Write(&b, sheet.Commissioning(head, found), f.format.value, c.style(f.output))
	case f.format.value == "json":
		err = sheet.FitJSON(&b, head, found)
	default:
		err = sheet.Write(&b, sheet.Fit(head, found), f.format.value, c.style(f.output))
	}
	if err != nil {
		return err
	}
	if err := c.deliver(b.Bytes(), f.output); err != nil {
		return err
	}
	set, note, nothing := asFound(found)
	return c.keep(job, &f.keep, f.alternative, note, set, nothing)
}

// asFound are the settings with which the job file says what the readings found, with how well they
// tell it, and what there is to note; nothing is why there are none.
func asFound(f *sheet.Fitted) (set []string, note, nothing string) {
	if len(f.Result.Hypotheses) == 0 || !f.Result.Fits {
		return nil, "", "no cause explains the readings"
	}
	h := &f.Result.Hypotheses[0]
	var names []string
	for k, i := range h.Causes {
		cause := &f.Bench.Causes()[i]
		said := cause.Settings(f.Graph, h.Severities[k], h.Low[k], h.High[k])
		name := cause.Name()
		if len(said) == 0 {
			name += " (not in the settings)"
		}
		names, set = append(names, name), append(set, said...)
	}
	note = fmt.Sprintf("as read on site: %s, %.0f %% likely", strings.Join(names, " and "),
		100*h.Weight)
	return set, note, "the job file has no key for " + strings.Join(names, " and ")
}

// fitted reads the readings and finds out all that fit prints.
func (c console) fitted(g *network.Graph, job, name string) (*sheet.Fitted, error) {
	data, err := readJobFile(name, c.in)
	if err != nil {
		return nil, err
	}
	all, err := chooseStates(g, nil)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", diag.Visible(job), err)
	}
	var states []string
	for _, s := range all {
		states = append(states, s.Name)
	}
	shown := name
	if name == "-" {
		shown = "standard input"
	}
	r, problems := network.ReadReadings(shown, data, g, states)
	if r == nil {
		return nil, c.tell(shown, problems)
	}
	if len(problems) > 0 {
		fmt.Fprintln(c.err, problems.Error())
	}
	if r.Outdoor != nil {
		if g, err = atOutdoor(g, all, r); err != nil {
			return nil, fail(unsolvable, "%s: %w", diag.Visible(shown), err)
		}
	}
	if _, err := state.New(g); err != nil {
		return nil, c.buildError(job, g.Job.Alternative, err)
	}
	plan := make([]diagnose.Query, len(r.List))
	values := make([]diagnose.Value, len(r.List))
	for i := range r.List {
		plan[i] = diagnose.Query{Kind: r.List[i].Kind, Place: r.List[i].Place, State: r.List[i].State}
		values[i] = diagnose.Value{Value: r.List[i].Value, Sigma: r.List[i].Sigma}
	}
	out := &sheet.Fitted{File: name, Graph: g, Readings: r}
	unsolved := func(err error) error { return fail(unsolvable, "%s: %w", diag.Visible(job), err) }
	if out.Bench, err = diagnose.NewBench(g, plan); err != nil {
		return nil, unsolved(err)
	}
	if out.Result, err = out.Bench.Fit(values); err != nil {
		return nil, unsolved(err)
	}
	if out.Next, err = out.Bench.Next(out.Result); err != nil {
		return nil, unsolved(err)
	}
	if out.Knowledge, err = out.Bench.Identify(out.Result); err != nil {
		return nil, unsolved(err)
	}
	if out.Remedy, err = out.Bench.Remedy(out.Result, 0); err != nil {
		return nil, unsolved(err)
	}
	return out, nil
}

// atOutdoor returns the installation in the weather of the day: every weather row in which
// something was read has its temperature outdoors.
func atOutdoor(g *network.Graph, all []state.CallState, r *network.Readings) (*network.Graph,
	error) {
	var set []string
	for _, s := range all {
		read := slices.ContainsFunc(r.List,
			func(one network.Reading) bool { return one.State == s.Name })
		text := network.PathText("weather", s.Weather, "outdoor") + "=" +
			strconv.FormatFloat(*r.Outdoor, 'f', -1, 64) + " C"
		if read && !slices.Contains(set, text) {
			set = append(set, text)
		}
	}
	next, found := g.With(set...)
	if next == nil {
		return nil, errors.New(found.Error())
	}
	return next, nil
}
