package store

import (
	"fmt"
	"path"
	"strings"
	"unicode"
	"unicode/utf8"
)

const maxName = 200 // bytes: with a folder in front it fits every file system

// CheckName says what is wrong with a file name of the workshop, a document's or a mesh's, or nil. Names are slash-separated, stay inside the folder,
// and can be written on every usual file system, so that an export always can be.
func CheckName(name string) error {
	bad := func(what string) error {
		return fail(BadName, "found the file name %q, %s", cut(name), what)
	}
	switch {
	case name == "":
		return bad("expected a name such as bramble.rig.yaml")
	case len(name) > maxName:
		return bad(fmt.Sprintf("which is %d bytes long; expected at most %d", len(name), maxName))
	case !utf8.ValidString(name):
		return bad("which is not UTF-8 text")
	case strings.HasPrefix(name, "/"), strings.HasPrefix(name, "~"), strings.Contains(name, ":"):
		return bad("which leads out of the workshop folder; expected a name such as bramble.rig.yaml, without drive, address or leading /")
	}
	for _, part := range strings.Split(name, "/") {
		switch {
		case part == "..":
			return bad("which leads out of the workshop folder; expected a name without ..")
		case part == "", part == ".":
			return bad("which has an empty step; expected folder/name.rig.yaml")
		case strings.HasPrefix(part, "."):
			return bad("which begins with a dot, as hidden files do; expected a name such as bramble.rig.yaml")
		case strings.HasSuffix(part, "."), strings.HasSuffix(part, " "), strings.HasPrefix(part, " "):
			return bad("which begins or ends with a space or ends with a dot; some disks cannot keep that")
		case isDevice(part):
			return bad("which is the name of a device on some systems; choose another")
		}
	}
	for _, r := range name {
		if strings.ContainsRune(`\"<>|?*`, r) || !unicode.IsPrint(r) {
			return bad(fmt.Sprintf("which holds %q; expected letters, digits, spaces and - _ . / only", r))
		}
	}
	if _, ok := KindOf(name); !ok && !IsMesh(name) {
		return bad("expected a name that ends in .rig.yaml or .bin.yaml (.yml and .json are read too), or in .bin.csv")
	}
	return nil
}

// KindOf tells rigs from bins by name. ok is false for files that are neither.
func KindOf(name string) (kind Kind, ok bool) {
	base := strings.ToLower(path.Base(name))
	stem := strings.TrimSuffix(base, path.Ext(base))
	switch path.Ext(base) {
	case ".yaml", ".yml", ".json":
	case ".csv":
		return Bin, path.Ext(stem) == ".bin" && stem != ".bin"
	default:
		return "", false
	}
	switch path.Ext(stem) {
	case ".rig":
		return Rig, stem != ".rig"
	case ".bin":
		return Bin, stem != ".bin"
	}
	return "", false
}

// isDevice knows the names that Windows keeps for devices, with or without an ending.
func isDevice(part string) bool {
	stem, _, _ := strings.Cut(strings.ToLower(part), ".")
	switch stem = strings.TrimSpace(stem); stem {
	case "con", "prn", "aux", "nul":
		return true
	}
	return len(stem) == 4 && (strings.HasPrefix(stem, "com") || strings.HasPrefix(stem, "lpt")) && stem[3] >= '0' && stem[3] <= '9'
}

func cut(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "…"
	}
	return s
}

// Beside is the name of the file that a document calls name: relative to the document's own folder.
func Beside(file, name string) string { return path.Join(path.Dir(file), name) }
