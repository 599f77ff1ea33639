// Package licences carries the texts of the licences of everything that is built into the program and its page, so that whoever passes the
// program on passes them on with it. docs/licences_test.go makes texts.txt and keeps it complete; docs/licences.md is the list.
package licences

import _ "embed"

//go:embed texts.txt
var texts string

// Text is all of them, one after the other, each under the names of what it belongs to.
func Text() string { return texts }
