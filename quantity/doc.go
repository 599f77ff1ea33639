// Package quantity gives numbers their units: it reads what a builder writes ("2.2 in", "350 g", "0.4 N/mm", or a bare
// number in the document's default unit) and prints a value in metric or US customary units.
//
// Inside the program every value is in one system: mm, N, kg, s, rad, V, A, Ω, °C (so g = 9806.65 mm/s²). Each
// Dimension row says what a bare number means in a document and how each unit converts to the program's own.
package quantity
