// Package catalog holds what is published (or remembered, or chosen) about the parts of an air system: roughness, loss
// coefficients, junctions, dampers, leakage, registers, filters, blowers and recommended velocities.
//
// Every row says where it comes from and how well that is known: see Source and Mark. Everything is SI and float64
// (m, m², m³/s, Pa, W, degrees of angle); loss coefficients are total-pressure coefficients on a velocity pressure that
// the function names. Nothing in the package is a product of anybody: equipment tables are generic.
//
// The package knows coefficients, not laws: it never sees a flow network, a density or a call state. It reads no job
// file and knows no unit of the trade beyond the constants with which its tables are written. It imports section only.
//
// Names are looked up in any letter case and spacing. A lookup returns the row and whether it was found; Names and
// FittingNames list what could have been meant.
//
// # Adding a row
//
// Each family is a slice of rows in a file of its own (materials.go, junction_rows.go, ...), in the order of their names.
// To add a material, add to materials.go
//
//	{
//		Row:       Row{Name: "plaster", Aliases: []string{"plastered shaft"}, Source: published("TITLE, edition, table")},
//		Roughness: 0.5 * mm,
//	},
//
// with published(...), memory(...) or ourChoice(...) as the mark: published means that the number was read in the
// source that is named, memory that it is remembered, ourChoice that it is a judgement and the text says from what.
// Add a published value to the tests named TestPublished…, which compare it with what the lookup gives back. The
// package's tests then check that the new row has a name, a source, a place in the order and no double.
package catalog
