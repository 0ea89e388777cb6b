package page

import (
	"spillway/render/sheet"
	"spillway/solver/derive"
	"spillway/solver/state"
	"spillway/solver/verdict"
)

// Every number of a page that has a derivation carries the name under which it can be asked for (data-why); the page's script makes a
// button of it that opens the derivation.

// named is a number's name where it can be explained in this state, else "".
func (panel *Panel) named(name string) string {
	if panel.why == nil || !panel.why.Has(name) {
		return ""
	}
	return sheet.Clean(name)
}

// pathOf is the name of a line of the ledger.
func pathOf(l sheet.LedgerLine) string { return derive.PathName(&state.Path{Kind: l.Kind, To: l.To}) }

// marginOf is the name of a finding's margin.
func marginOf(f *verdict.Finding) string { return derive.MarginName(f) }
