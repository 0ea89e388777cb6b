package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"spillway/network"
	"spillway/network/diag"
	"spillway/render/sheet"
	"spillway/solver/session"
	"spillway/solver/state"
)

func newCheck(c console) *cobra.Command {
	f := &common{}
	cmd := &cobra.Command{
		Use:   "check JOB...",
		Short: "Read a job file and say what is wrong with it, without solving",
		Long: "Reads and validates job files, each as it stands and with every alternative in it, and\n" +
			"lists all that is wrong at once: file, line, the line itself and the likely fix. Nothing is\n" +
			"solved. Of a file in order it says what is in it, its call states and alternatives, and every\n" +
			"figure that stands in for what the file does not say.",
		Example: "  spillway check house.toml\n" +
			"  spillway check house.toml --set \"damper.main.stop=30 %\"",
		Args:              jobs(0),
		ValidArgsFunction: completeJob,
		RunE:              func(_ *cobra.Command, args []string) error { return c.check(args, f) },
	}
	f.add(cmd, false)
	return cmd
}

// check reads job after job; one that is wrong does not hide the others.
func (c console) check(names []string, f *common) error {
	code := solved
	for _, name := range names {
		text, err := c.checkJob(name, f)
		if err != nil {
			code = worse(code, c.complain(err))
			continue
		}
		if err := c.emit(text); err != nil {
			return err
		}
	}
	if code != solved {
		return told(code)
	}
	return nil
}

func (c console) checkJob(name string, f *common) ([]byte, error) {
	every := *f
	if every.alternative == "" {
		every.alternative = everyAlternative
	}
	graphs, err := c.load(name, &every)
	if err != nil {
		return nil, err
	}
	var states []state.CallState // of the job as it stands
	for i, g := range graphs {
		// The solver's own look at the network finds what nothing feeds.
		if _, err := state.New(g); err != nil {
			return nil, c.buildError(name, g.Job.Alternative, err)
		}
		if i > 0 {
			continue
		}
		if states = state.States(g); len(states) == 0 {
			return nil, fmt.Errorf("%s: %w", diag.Visible(name), session.ErrNoStates)
		}
	}
	return inventory(name, graphs[0], states, c.style("")), nil
}

// inventory says what is in a job that is in order.
func inventory(name string, g *network.Graph, states []state.CallState, style sheet.Style) []byte {
	var b bytes.Buffer
	job := g.Job
	fmt.Fprintf(&b, "%s: in order\n", diag.Visible(name))
	if job.Title != "" {
		fmt.Fprintf(&b, "  title         %s\n", diag.Visible(job.Title))
	}
	list := func(head string, names []string) {
		for i, n := range names {
			if i > 0 {
				head = ""
			}
			if style.Width > 0 { // a file, or another program, gets one line for each
				b.WriteString(sheet.Paragraph(2, fmt.Sprintf("%-12s  ", head), diag.Visible(n), style))
				continue
			}
			fmt.Fprintf(&b, "  %-12s  %s\n", head, diag.Visible(n))
		}
	}
	list("installed", []string{fmt.Sprintf("%d zones, %d dampers, %d supply, %d return, %d bypass and %d dump lines, %d registers",
		len(job.Zones), len(job.Dampers), len(job.Supply), len(job.Return), len(job.Bypass), len(job.Dump), len(g.Registers))})
	list("network", []string{fmt.Sprintf("%d elements between %d points", len(g.Elements), len(g.Nodes))})
	var names []string
	for _, s := range states {
		names = append(names, s.Name)
	}
	if len(states) == state.MostStates {
		names = append(names[:mostListed], fmt.Sprintf("and so many more that only those named with --state are solved (%d or more in all)", state.MostStates))
	}
	list("call states", names)
	names = nil
	for _, a := range job.Alternatives {
		names = append(names, strings.TrimSuffix(a.Name+": "+a.Note, ": "))
	}
	list("alternatives", names)
	names = nil
	for _, a := range state.Assumptions(g) {
		names = append(names, a.Path+" = "+a.Value+" ("+a.Why+")")
	}
	list("assumed", names)
	return b.Bytes()
}
