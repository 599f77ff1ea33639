// Package web holds the workbench's built page, embedded so that the program needs nothing beside itself.
package web

import (
	"embed"
	"io/fs"
)

//go:embed all:dist
var built embed.FS

// Dist is the built page: index.html at its root, everything else under assets.
func Dist() fs.FS {
	dist, err := fs.Sub(built, "dist")
	if err != nil { // only a malformed name can fail, and the name is written above
		panic(err)
	}
	return dist
}
