// Package guide is the guided start: it asks for the dozen or so numbers that matter of a rig on the bench, and writes a
// commented document from them that loads and passes check.
//
// In: answers as text, with units or bare (mm, g). Out: the text of a document, or what is wrong with which answer. What the
// builder was not asked is assumed, and the document says so at each place.
package guide
