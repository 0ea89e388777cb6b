package main

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/sheet"
	"spillway/solver/study"
)

// tuneFlags are the flags of tune.
type tuneFlags struct {
	studyFlags
	keep     keepFlags
	move     []string
	lever    []string
	steps    int
	due      bool
	priority choice
	cautions bool
	send     string
	balance  bool
	ask      []string
	blower   string
	most     int
}

func newTune(c console) *cobra.Command {
	f := &tuneFlags{priority: choice{value: string(study.Least)}}
	for _, p := range study.Priorities() {
		f.priority.allowed = append(f.priority.allowed, string(p))
	}
	cmd := &cobra.Command{
		Use:   "tune JOB",
		Short: "Find the settings that meet every limit in every call state",
		Long: "Looks for damper stops, bypass weights, taps or other settings with which no limit is passed\n" +
			"in any call state, and among those for the ones that serve a priority best: by default the\n" +
			"least opening, so that as much as can be of every call reaches the zones that call. Without\n" +
			"--move what the job's [choose] table lists moves, \"damper.main.stop\" =\n" +
			"\"0 to 60 % step 5 %\"; without that, the stops of all zone dampers and the weights of\n" +
			"bypasses and dumps. They are searched on the marks that they are set to, with\n" +
			"nothing better left on them, and what is found is solved once more with a due\n" +
			"filter (--due makes that a condition). --lever takes all settings of a kind\n" +
			"instead: stop, weight, size (of bypasses), tap (of each mode or stage), balance\n" +
			"(hand dampers of the runs past a limit). When the limits exclude one another,\n" +
			"guidelines are given up first, then comfort, but never a hard limit and never the\n" +
			"zoning: then it proposes no setting, says why none can do, and what else may.\n\n" +
			"--send finds the one setting at which so much air goes into a satisfied zone. --balance sets a\n" +
			"hand damper in every run so that all registers get the same share of what they want. --ask\n" +
			"shares the air of a variable-speed blower among zones by what they ask.",
		Example: "  spillway tune house.toml --move \"damper.main.stop=0..100 %\" --for comfort\n" +
			"  spillway tune house.toml --alternative bypass --for static\n" +
			"  spillway tune house.toml --move \"equipment.cooling.tap=low, medium, high\" --move \"damper.main.stop=0..80 %\"\n" +
			"  spillway tune house.toml --state \"cooling: loft\" --move \"damper.main.stop=0..100 %\" --send \"main=400 cfm\"\n" +
			"  spillway tune house.toml --alternative bypass --lever stop,weight,size --due\n" +
			"  spillway tune house.toml --balance --write-as balanced\n" +
			"  spillway tune house.toml --state cooling --ask \"living=80 %\" --ask \"bedrooms=50 %\" --blower \"500..1600 cfm\"",
		Args:              jobs(1),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.tune(args[0], f) },
	}
	f.add(cmd)
	f.keep.add(cmd, "the settings")
	cmd.Flags().StringArrayVar(&f.move, "move", nil, "a setting that may move: `PATH=FROM..TO` or PATH=A, B, C (repeatable)")
	cmd.Flags().StringSliceVar(&f.lever, "lever", nil,
		"move all settings of a `KIND`: stop, weight, size, tap, balance (repeatable)")
	cmd.Flags().BoolVar(&f.due, "due", false,
		"meet limits with a due filter too, 2.5 times its clean drop")
	cmd.Flags().IntVar(&f.steps, "steps", 0,
		"how many `VALUES` each range has (0: every mark, 5 %, 5 degrees, 0.01 in. w.c. or 2 Pa)")
	cmd.Flags().BoolVar(&f.cautions, "cautions", false, "meet cautions too, not only faults")
	cmd.Flags().StringVar(&f.send, "send", "", "find the setting at which this goes into a satisfied zone: `ZONE=AIRFLOW`")
	cmd.Flags().BoolVar(&f.balance, "balance", false, "set hand dampers so that all registers get the same share of their want")
	cmd.Flags().StringArrayVar(&f.ask, "ask", nil, "modulating system: this much of its want a `ZONE=SHARE` asks for (repeatable)")
	cmd.Flags().StringVar(&f.blower, "blower", "", "modulating system: least and greatest airflow of the blower, `FROM..TO`")
	cmd.Flags().IntVar(&f.most, "most", 0, "stop when as many call states are solved as so many `VARIANTS` have (0: at 40,000 call states)")
	f.priority.add(cmd, "for", "what counts among settings that meet all limits")
	complete(cmd, "move", completeSet)
	return cmd
}

func (c console) tune(name string, f *tuneFlags) error {
	if err := cmp.Or(f.check(), f.keep.check(name)); err != nil {
		return err
	}
	switch {
	case len(f.ask) > 0:
		return c.modulate(name, f)
	case f.balance:
		return c.balance(name, f)
	}
	progress, end := c.counter()
	defer end()
	s, v, g, err := c.openStudy(name, &f.studyFlags, study.Options{Progress: progress})
	if err != nil {
		return err
	}
	var moves []study.Span
	for _, text := range f.move {
		span, err := study.ParseSpan(text, f.steps)
		if err != nil {
			return fail(wrongCall, "--move: %w", err)
		}
		moves = append(moves, span)
	}
	if len(f.lever) > 0 {
		var levers []study.Lever
		for _, word := range f.lever {
			l := study.Lever(strings.TrimSpace(word))
			if !slices.Contains(study.Levers(), l) {
				return fail(wrongCall, "--lever cannot be %q; it takes stop, weight, size, tap or "+
					"balance", word)
			}
			levers = append(levers, l)
		}
		more, err := s.LeverMoves(v, f.steps, levers...)
		if err != nil {
			return c.studyError(name, v.Alternative, err)
		}
		moves = append(moves, more...)
	}
	if len(moves) == 0 {
		moves = study.DefaultMoves(g, f.steps)
	}
	if f.send != "" {
		return c.send(name, f, s, v, g, moves)
	}
	found, err := s.Tune(v, study.Goal{Moves: moves, Priority: study.Priority(f.priority.value),
		Cautions: f.cautions, Due: f.due,
		Most: f.most})
	end()
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	head := headOf(name, g, &f.studyFlags)
	err = f.print(c, sheet.Tune(head, found),
		func(w io.Writer) error { return sheet.TuneJSON(w, head, found) },
		func(w io.Writer) error { return sheet.TuneCSV(w, found) })
	if err != nil {
		return err
	}
	set := found.Variant.Set
	if found.Infeasible {
		set = nil
		if len(found.Remedies) > 0 && found.Remedies[0].Tuned != nil { // the change that serves
			set = found.Remedies[0].Tuned.Variant.Set
		}
	}
	return c.keep(name, &f.keep, v.Alternative, "", set, "no setting in the ranges will do")
}

// check refuses flags of which one would be ignored for the other.
func (f *tuneFlags) check() error {
	given := []struct {
		name string
		is   bool
	}{{"--ask", len(f.ask) > 0}, {"--balance", f.balance}, {"--send", f.send != ""}}
	for i, a := range given {
		for _, b := range given[i+1:] {
			if a.is && b.is {
				return fail(wrongCall, "%s and %s ask for different things; give one of them", a.name, b.name)
			}
		}
	}
	switch {
	case f.blower != "" && len(f.ask) == 0:
		return fail(wrongCall, "--blower is for --ask, which is not given")
	case f.balance && len(f.move) > 0:
		return fail(wrongCall, "--balance moves the hand dampers of the runs; leave out --move")
	case f.steps < 0 || f.steps == 1:
		return fail(wrongCall, "--steps cannot be %d; it takes 2 or more, or 0 for every mark",
			f.steps)
	case f.most < 0:
		return fail(wrongCall, "--most cannot be %d; it takes 0 or more", f.most)
	}
	return nil
}

// send finds the setting at which a given airflow goes into a satisfied zone in one call state.
func (c console) send(name string, f *tuneFlags, s *study.Study, v study.Variant, g *network.Graph, moves []study.Span) error {
	zone, amount, ok := strings.Cut(f.send, "=")
	zone = strings.TrimSpace(zone)
	target, err := quantity.KindAirflow.Parse(strings.TrimSpace(amount), g.Job.Units)
	if !ok || err != nil || target <= 0 {
		return fail(wrongCall, "--send: write ZONE=AIRFLOW, such as \"main=400 cfm\"")
	}
	if len(f.move) != 1 {
		return fail(wrongCall, "--send needs one --move, the setting that is to do it")
	}
	states, err := chooseStates(g, f.states)
	if err != nil {
		return err
	}
	if len(states) != 1 {
		return fail(wrongCall, "--send needs one --state, the call in which it is to be so")
	}
	const tolerance = 0.1 * quantity.CFM
	x, reached, err := s.Reach(v, moves[0], states[0].Name, "bleed", zone, target, tolerance)
	if err != nil {
		if far, ok := err.(*study.OutOfReach); ok {
			system := f.system(g.Job.Units)
			return fail(unsolvable, "from %s to %s of %s between %s and %s go into %s, not %s", far.From, far.To, far.Path,
				quantity.KindAirflow.Format(far.Least, system), quantity.KindAirflow.Format(far.Most, system), zone, quantity.KindAirflow.Format(far.Target, system))
		}
		return c.studyError(name, v.Alternative, err)
	}
	r, err := s.Solve(v.With(moves[0].Path, moves[0].At(x)))
	if err != nil {
		return c.studyError(name, v.Alternative, err)
	}
	found := sheet.Reached{Path: moves[0].Path, Value: moves[0].At(x), Unit: moves[0].Unit(), State: states[0].Name, Zone: zone, X: x, Airflow: reached, Findings: r.Findings[0]}
	head := headOf(name, g, &f.studyFlags)
	err = f.print(c, sheet.Reach(head, found),
		func(w io.Writer) error { return sheet.ReachJSON(w, head, found) },
		func(w io.Writer) error { return sheet.ReachCSV(w, head, found) })
	if err != nil {
		return err
	}
	return c.keep(name, &f.keep, v.Alternative, "",
		append(v.Set, found.Path+"="+found.Value), "")
}
