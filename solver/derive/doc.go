// Package derive says where a number of an Outcome comes from: its formula, the values that went in, and for each of those the same
// again, down to what stands in the job file, a row of the catalogue with its source, a stated assumption, or the solved network with its
// certificate.
//
//	Explainer  the numbers of one call state, by the names under which they are printed
//	Step       one number with its equation and its inputs; steps form a tree whose common branches are shared
//
// The equations are text that a person or a program can work out again: nothing is hidden in code, and a test does just that.
//
// The package solves nothing and judges nothing; it reads outcomes. It must not know units of the trade (all is SI), paper or files
// beyond the places that network.Job.Place tells.
package derive
