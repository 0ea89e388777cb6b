package main

import (
	"context"
	"errors"
	"fmt"

	"spillway/network"
	"spillway/network/diag"
	"spillway/solver/session"
	"spillway/solver/state"
)

// choosing picks the call states that the flags ask for.
func choosing(wanted []string) func(*network.Graph) ([]state.CallState, error) {
	return func(g *network.Graph) ([]state.CallState, error) { return chooseStates(g, wanted) }
}

// session prepares a graph for the call states that opt chooses. The error says which job it is about.
func (c console) session(name string, g *network.Graph, opt session.Options) (*session.Session, error) {
	s, err := session.New(g, opt)
	var unbuilt *session.BuildError
	switch {
	case errors.As(err, &unbuilt):
		return nil, c.buildError(name, g.Job.Alternative, unbuilt.Err)
	case err != nil:
		return nil, fmt.Errorf("%s: %w", jobName(name, g), err)
	}
	return s, nil
}

// cases solves and judges the chosen call states of a graph. What could not be tried is said on
// standard error.
func (c console) cases(name string, g *network.Graph, opt session.Options) ([]*session.Case, error) {
	s, err := c.session(name, g, opt)
	if err != nil {
		return nil, err
	}
	cases, err := s.All(context.Background())
	if err != nil {
		return nil, fail(unsolvable, "%s: %w", jobName(name, g), err)
	}
	for _, made := range cases {
		c.untried(name, made)
	}
	return cases, nil
}

// untried says why other positions of the dampers were not tried, if they were not.
func (c console) untried(name string, made *session.Case) {
	if made.Untried != nil {
		fmt.Fprintf(c.err, "%s: other damper positions are not tried in %q: %v\n", diag.Visible(name), diag.Visible(made.Outcome.State.Name), made.Untried)
	}
}

// jobName is a job with its alternative, for messages.
func jobName(name string, g *network.Graph) string {
	if g.Job.Alternative == "" {
		return diag.Visible(name)
	}
	return fmt.Sprintf("%s, alternative %q", diag.Visible(name), diag.Visible(g.Job.Alternative))
}
