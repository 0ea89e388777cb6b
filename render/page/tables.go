package page

import (
	"strings"

	"spillway/network/quantity"
	"spillway/render/internal/doc"
	"spillway/render/internal/html"
	"spillway/render/sheet"
	"spillway/solver/state"
)

// tables lists what registers, rooms, zones, dampers, ports and ducts do, as the text report does.
func (panel *Panel) tables(o *state.Outcome, s quantity.System) error {
	blocks := append(sheet.StateTables(o, s), sheet.DuctTable(o, s))
	for from := 0; from < len(blocks); { // a table with its notes is a card
		to := from + 1
		for to < len(blocks) && !isTable(blocks[to]) {
			to++
		}
		var b strings.Builder
		if err := html.Blocks(&b, blocks[from:to], s, 3, panel.style()); err != nil {
			return err
		}
		if b.Len() > 0 {
			panel.Tables = append(panel.Tables, HTML(b.String()))
		}
		from = to
	}
	return nil
}

func isTable(b doc.Block) bool { _, is := b.(*doc.Table); return is }

// machine says what happens to the air in the machine.
func (panel *Panel) machine(o *state.Outcome, s quantity.System) {
	facts := sheet.MachineFacts(o, s)
	panel.Machine = facts.Title
	for _, it := range facts.Items {
		panel.Facts = append(panel.Facts, Fact{it.Head.Words, HTML(html.Say(it.Text, s,
			panel.style()))})
	}
}

// style names the numbers that can be explained in this state.
func (panel *Panel) style() html.Style {
	return html.Style{Scroll: true, Means: sheet.Means,
		Why: func(name string) bool { return panel.named(name) != "" }}
}

// Every number of a page that has a derivation carries the name under which it can be asked for (data-why); the page's script makes a
// button of it that opens the derivation.

// named is a number's name where it can be explained in this state, else "".
func (panel *Panel) named(name string) string {
	if panel.why == nil || !panel.why.Has(name) {
		return ""
	}
	return sheet.Clean(name)
}
