// Package examples holds the demo rigs and their parts bins, an invented scenario, so that the program can show them on its
// first start.
package examples

import "embed"

// Files are the documents, by name.
//
//go:embed *.yaml
var Files embed.FS
