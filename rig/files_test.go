package rig

import (
	"io/fs"
	"strconv"
	"strings"
)

// files is a workshop in memory.
type files map[string]string

func (f files) read(name string) ([]byte, error) {
	text, ok := f[name]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return []byte(text), nil
}

// lines joins lines of a document.
func lines(l ...string) string { return strings.Join(l, "\n") + "\n" }

func itoa(i int) string { return strconv.Itoa(i) }
