package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/chart"
	"spillway/render/sheet"
	"spillway/solver/calendar"
	"spillway/solver/clock"
	"spillway/solver/session"
)

// timeFlags are the flags of day and year.
type timeFlags struct {
	studyFlags
	weather string
	chart   string
	verbose bool
	once    bool
	hours   []calendar.Hour
}

func newDay(c console) *cobra.Command {
	f := &timeFlags{}
	cmd := &cobra.Command{
		Use:   "day JOB",
		Short: "Run a day: thermostats, panel and machine over the solved call states",
		Long: "Lets a day go by in the house, event by event: thermostats call by their set points, the panel\n" +
			"moves dampers and keeps its timers, the machine starts, trips and stops, and every call state\n" +
			"gives what it gives when solved. It says how long and how often each state runs, how long\n" +
			"calls last against the time to the limit, which trips belong to the recovery from a set-back,\n" +
			"how the zones fare, what it takes, and where the air went.\n\n" +
			"The day is a weather row of the job that repeats until the house has settled. Set points\n" +
			"through the day, mass, glass and timers are keys of the job, all with defaults:\n\n" +
			"  [zone]\n" +
			"  main = { ..., heat = [\"6:00 70 F\", \"22:00 62 F\"], mass = \"light\", faces = \"south\" }\n\n" +
			"The thermal mass of a house is known to a factor of two; what half and twice of it change is\n" +
			"printed beside. \"--alternative all\" sets the alternatives side by side.",
		Example: "  spillway day house.toml\n" +
			"  spillway day house.toml --weather design-cooling --alternative all\n" +
			"  spillway day house.toml --set \"zone.loft.heat=68 F\" --format json",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE: func(_ *cobra.Command, args []string) error {
			return c.inTime(args[0], f, func(h *calendar.House) (*calendar.Result, error) { return h.Day(f.weather, clock.Options{}) })
		},
	}
	f.addTime(cmd)
	cmd.Flags().StringVar(&f.chart, "chart", "", "also draw the day into this SVG `FILE`: zones, calls, machine, airflow")
	cmd.Flags().StringVar(&f.weather, "weather", "", "the weather row `NAME` that the day is made of; the coldest heated one")
	return cmd
}

// addTime defines the flags that day and year share: those of a study but the call states, which time decides.
func (f *timeFlags) addTime(cmd *cobra.Command) {
	f.common.add(cmd, false)
	f.units.allowed = []string{"ip", "si"}
	f.units.add(cmd, "units", "units of the results, if not the job file's")
	f.format = choice{value: "text", allowed: sheet.Formats}
	f.format.add(cmd, "format", "how results are written")
	cmd.Flags().StringVarP(&f.output, "output", "o", "", "write to this `FILE`, whole or not at all")
	cmd.Flags().BoolVarP(&f.verbose, "verbose", "v", false, "text: also every assumption")
	cmd.Flags().BoolVar(&f.once, "one-mass", false, "leave out half and twice the thermal mass")
}

// inTime runs a job and its alternatives through time and writes what came of it.
func (c console) inTime(name string, f *timeFlags, run func(h *calendar.House) (*calendar.Result, error)) error {
	if f.format.value != "text" && f.verbose {
		return fail(wrongCall, "--verbose is for text; --format %s always has everything", f.format.value)
	}
	switch {
	case f.chart != "" && f.alternative == everyAlternative:
		return fail(wrongCall, "--chart draws one day; name one alternative")
	case sameFile(f.chart, f.output):
		return fail(wrongCall, "--chart and --output would both write %s; give one of them another name", diag.Visible(f.chart))
	}
	graphs, err := c.load(name, &f.common)
	if err != nil {
		return err
	}
	heads, runs := make([]*sheet.Sheet, len(graphs)), make([]*sheet.InTime, len(graphs))
	for i, g := range graphs {
		heads[i], runs[i], err = c.massBand(name, g, f, run)
		if err != nil {
			return err
		}
	}
	if f.chart != "" {
		if err := c.drawDay(name, graphs[0], f); err != nil {
			return err
		}
	}
	return f.print(c, sheet.Time(heads, runs, f.verbose), func(w io.Writer) error {
		for i := range runs {
			if err := sheet.TimeJSON(w, heads[i], runs[i], len(runs) > 1); err != nil {
				return err
			}
		}
		return nil
	}, func(w io.Writer) error { return sheet.TimeCSV(w, heads, runs) })
}

// massBand runs a graph with its thermal mass as told, halved and doubled.
func (c console) massBand(name string, g *network.Graph, f *timeFlags, run func(h *calendar.House) (*calendar.Result, error)) (*sheet.Sheet, *sheet.InTime, error) {
	head := headOf(name, g, &f.studyFlags)
	s, err := c.session(name, g, session.Options{Quick: true, NoStops: true})
	if err != nil {
		return nil, nil, err
	}
	out := &sheet.InTime{}
	for _, m := range []struct {
		mass float64
		into **calendar.Result
	}{{1, &out.Result}, {0.5, &out.Light}, {2, &out.Heavy}} {
		if f.once && m.mass != 1 {
			continue
		}
		h, err := calendar.New(s, calendar.Options{Mass: m.mass, Hours: f.hours})
		if err == nil {
			*m.into, err = run(h)
		}
		var wrong *calendar.Error
		switch {
		case errors.As(err, &wrong):
			return nil, nil, fail(wrongCall, "%s: %w", jobName(name, g), err)
		case err != nil:
			return nil, nil, fail(unsolvable, "%s: %w", jobName(name, g), err)
		}
		if m.mass == 1 {
			head.Assumptions = append(head.Assumptions, h.Assumptions...)
			for _, failure := range (*m.into).Ledger.Failures {
				fmt.Fprintf(c.err, "%s: %q has no solution, and the machine was held off: %v\n", diag.Visible(name), (*m.into).Name(failure.Call), failure.Err)
			}
		}
	}
	return head, out, nil
}

// drawDay draws the day that was run into a file.
func (c console) drawDay(name string, g *network.Graph, f *timeFlags) error {
	s, err := c.session(name, g, session.Options{Quick: true, NoStops: true})
	if err != nil {
		return err
	}
	h, err := calendar.New(s, calendar.Options{})
	if err != nil {
		return fail(wrongCall, "%s: %w", jobName(name, g), err)
	}
	const every = 60.0 // s
	r, trace, err := h.DayTrace(f.weather, every)
	if err != nil {
		return fail(unsolvable, "%s: %w", jobName(name, g), err)
	}
	units := f.system(g.Job.Units)
	d := &chart.Day{Title: sheet.TimeVerdict(r), Under: sheet.TimeTitle(r, units), Units: units, Burning: trace.Burning, Tolerance: clock.Tolerance}
	for i, z := range trace.Zones {
		d.Zones = append(d.Zones, chart.DayZone{Name: g.Job.Zones[i].Name, Air: z.Air, Set: z.Set, Calling: z.Calling})
	}
	for _, fates := range trace.Fates {
		surplus := 0.0
		for _, q := range fates[1:] {
			surplus += q
		}
		d.Asked, d.Surplus = append(d.Asked, fates[0]), append(d.Surplus, surplus)
	}
	for _, t := range trace.Trips {
		d.Trips = append(d.Trips, t.Time/3600)
	}
	var b bytes.Buffer
	if err := chart.WriteDay(&b, d, chart.Options{}); err != nil {
		return err
	}
	return writeFile(f.chart, b.Bytes())
}
