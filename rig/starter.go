package rig

import (
	"bytes"
	_ "embed"
	"strings"
)

//go:embed starter.rig.yaml
var starter []byte

// Starter is the text of a commented document to begin with, complete enough for every question to answer: a made-up rig
// under the name given.
func Starter(name string) []byte {
	if strings.TrimSpace(name) == "" {
		name = "My rig"
	}
	return bytes.Replace(starter, []byte("name: NAME"), []byte("name: "+Scalar(name)), 1)
}
