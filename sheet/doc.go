// Package sheet answers: what do I keep and publish?
//
// In: one build with every answer of it, or a build and the one it is held against; the date and the hashes are the caller's, since the
// package has no clock and reads no file. Out: a set-up sheet, or a comparison, as sections of tables, findings and figures (Assess), and
// that written as HTML, PDF, Markdown or CSV. Nothing is worked out here that a question has answered: a number on the sheet is the
// answer's, printed by its row of the catalogue. The same input gives the same bytes.
package sheet
