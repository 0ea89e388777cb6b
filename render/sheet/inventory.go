package sheet

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"spillway/network"
	"spillway/render/internal/doc"
	"spillway/solver/state"
)

// mostNamed is how many call states are named of a job that has too many to be listed.
const mostNamed = 40

// Inventory says what is in a job that is in order. states are its call states.
func Inventory(file string, graphs []*network.Graph, states []state.CallState) *Document {
	g := graphs[0]
	job := g.Job
	facts := &doc.Facts{Align: 12, Whole: true}
	list := func(head string, texts ...string) {
		for i, text := range texts {
			if i > 0 {
				head = ""
			}
			facts.Add(doc.Cell{Words: head}, doc.Sayf("{}", doc.Name(text))...)
		}
	}
	if job.Title != "" {
		list("title", job.Title)
	}
	list("installed", fmt.Sprintf("%d zones, %d dampers, %d supply, %d return, %d bypass and %d dump lines, %d registers",
		len(job.Zones), len(job.Dampers), len(job.Supply), len(job.Return), len(job.Bypass), len(job.Dump), len(g.Registers)))
	list("network", fmt.Sprintf("%d elements between %d points", len(g.Elements), len(g.Nodes)))
	var names []string
	for _, s := range states {
		names = append(names, s.Name)
	}
	if len(states) == state.MostStates {
		names = append(names[:mostNamed], fmt.Sprintf("and so many more that only those named with --state are solved (%d or more in all)", state.MostStates))
	}
	list("call states", names...)
	for i, a := range job.Alternatives {
		list([]string{"alternatives", ""}[min(i, 1)], strings.TrimSuffix(a.Name+": "+a.Note, ": "))
	}
	head := "removed"
	for _, other := range graphs {
		for i := range other.Job.Removed {
			text := other.Job.Removed[i].Text()
			if other.Job.Alternative != "" {
				text = other.Job.Alternative + ": " + text
			}
			list(head, text)
			head = ""
		}
	}
	head = "assumed"
	for _, a := range state.Assumptions(g) {
		if slices.ContainsFunc(job.Doubts, func(d network.Doubt) bool { return d.Path == a.Path }) {
			continue // listed below, with its shape
		}
		list(head, a.Path+" = "+a.Value+" ("+a.Why+")")
		head = ""
	}
	for i := range job.Doubts {
		d := &job.Doubts[i]
		list([]string{"in doubt", ""}[min(i, 1)],
			d.Path+" = "+d.MiddleText(job.Units)+", "+d.SpanText(job.Units)+
				" ("+map[string]string{network.BellShape: "bell",
				network.EvenShape: "even"}[d.Shape]+"; "+doubtOrigin(d)+")")
	}
	title := &doc.Facts{Items: []doc.Item{{Head: doc.Name(file + ": in order")}}}
	return &Document{Units: job.Units, Blocks: []doc.Block{title, &doc.Section{Blocks: []doc.Block{facts}, Close: true}}}
}

// doubtOrigin says where the span of a value comes from.
func doubtOrigin(d *network.Doubt) string {
	if d.Prior != "" {
		return d.Prior
	}
	return "written " + strconv.Quote(d.Text)
}
