// Package rig answers: what is it made of? It reads what a builder wrote down of a rig (YAML, or JSON, which is YAML) and
// gives back a Document whose values are all in program units (package quantity).
//
//	text ──Parse──▶ Node (tree with places) ──Merge over the bases──▶ Build.Tree ──bin items filled in, decoded, checked──▶ Build.Doc
//
// Load does all of it. What goes in: a Source that reads files of one workshop folder, and the name of a document. What comes
// out: a Build, or Diagnostics, every mistake of the document at once, each with file, line and column, what was found, what
// was expected and the nearest valid name.
//
// The format is written down once, in the struct tags of document.go; the decoder, the JSON Schema and the manual read them.
// Rules: a base is merged as RFC 7396 (JSON Merge Patch) says, null takes out; a bin item's fields lie under those of the
// part, shock, spring or shaft that names it; a value left empty is a mistake, never a deletion; references to holes,
// outputs, ports and parts must lead somewhere when a document loads.
//
// SetIn and RemoveIn edit a text in place and keep comments and layout; Diff says what changed between two trees; Starter is
// a document to begin with; Schema and BinSchema are for editors.
package rig
