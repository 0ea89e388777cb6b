// Package sheet writes outcomes as text for people (Text), as JSON for programs (JSON) and as CSV for spreadsheets (CSV).
//
// It turns SI into the units of the trade and rounds so that printed airflows add up; it computes nothing else. It must not
// know how an outcome was found, which limits apply (findings come ready from solver/verdict), where the text goes, or
// whether a terminal shows it: the caller decides that once and says so in a Style.
package sheet

import (
	"spillway/network"
	"spillway/network/quantity"
	"spillway/render/internal/text"
	"spillway/solver/state"
	"spillway/solver/study"
	"spillway/solver/verdict"
)

// Report is one solved call state with what was found about it, worst finding first.
type Report struct {
	Outcome  *state.Outcome
	Findings []verdict.Finding
}

// Sheet is everything that is printed about one job, as the file stands or with one of its alternatives.
type Sheet struct {
	Version     string // of the program
	File        string // name of the job file as the user gave it
	Units       quantity.System
	Job         *network.Job
	Assumptions []network.Assumption // defaults that were used where the file is silent
	Reports     []*Report
	Houses      []verdict.House // what the house can carry, by weather
	Sure        *study.Sureness // how sure the causes are; nil: not asked
	Cures       *study.Tried    // moves that were tried against its faults; nil: none were
}

// Style says how text looks. The zero value is plain text.
type Style struct {
	Color   bool // colour helps the eye; nothing is said by colour alone
	Verbose bool // every duct and part, checks in order, assumptions
	Digest  bool // one screen: what to do, then a line for each call state
	Summary bool // only the table of all call states

	Width int // columns of the terminal, 0 when there is none; a page is never wider than 100

	Continued bool // another sheet follows; the caller writes the Closing after the last
}

// Caution is the safety text that goes with every report, in one paragraph.
const Caution = "Spillway is a design aid that works from simplified models. The rating plate, the maker's instructions, " +
	"the adopted code and licensed practice govern wherever they differ from it. Never defeat or move a limit, roll-out or pressure " +
	"switch to make a layout work: repeated trips mean that the airflow is wrong. A return, bypass or dump must not pull on a room " +
	"with a natural-draft appliance, for that can draw flue gas back into the house; check it in every call state, and fit carbon " +
	"monoxide alarms. Measured airflows and pressures carry errors of 5 to 30 %."

// CautionLine is the short form for the end of a text report.
const CautionLine = "A design aid: rating plate, adopted code and licensed practice govern. Never defeat a limit; no return " +
	"may pull on a natural-draft appliance."

// title is what the job is called, with its alternative.
func (s *Sheet) title() string {
	title := s.Job.Title
	if title == "" {
		title = s.File
	}
	return title
}

// registerName is what a register is called: the line that ends in it, else its element.
func registerName(g *network.Graph, r *network.Register) string {
	if r.Line != "" {
		return r.Line
	}
	return g.Elements[r.Element].Name
}

// CautionLines is Caution in lines of at most so many columns.
func CautionLines(width int) []string { return text.Wrap(Caution, width) }
