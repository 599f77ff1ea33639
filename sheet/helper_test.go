package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"testing"

	"lowslung/ride"
	"lowslung/rig"
	"lowslung/solid"
)

// load reads one of the examples as a caller would; text replaces the file of that name, for builds made up here.
func load(t testing.TB, name string, text ...string) *Build {
	t.Helper()
	b, err := rig.Load(func(file string) ([]byte, error) {
		if file == name && len(text) > 0 {
			return []byte(text[0]), nil
		}
		return os.ReadFile("../examples/" + file)
	}, name)
	if err != nil {
		t.Fatal(err)
	}
	m, err := solid.Resolve(b)
	if err != nil {
		t.Fatal(err)
	}
	out := &Build{Name: m.Name, Date: "2026-05-02", Tree: b.Tree, Model: ride.Stand(m)}
	for _, f := range b.Files {
		sum := sha256.Sum256([]byte(f)) // any hash will do here
		out.Files = append(out.Files, File{f, hex.EncodeToString(sum[:])})
	}
	return out
}

func made(t testing.TB, b *Build, o Options) *Sheet {
	t.Helper()
	s, err := Assess(b, o)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// section finds one by its key.
func (s *Sheet) section(t testing.TB, key string) *Section {
	t.Helper()
	for i := range s.Sections {
		if s.Sections[i].Key == key {
			return &s.Sections[i]
		}
	}
	t.Fatalf("no section %s", key)
	return nil
}

// tables of a section.
func (x *Section) tables() (out []*Table) {
	for _, b := range x.Blocks {
		if b.Table != nil {
			out = append(out, b.Table)
		}
	}
	return out
}

// examples are the demo builds, and one held against another in the other units on the other paper.
func everySheet(t testing.TB) map[string]*Sheet {
	t.Helper()
	return map[string]*Sheet{
		"bramble":    made(t, load(t, "bramble.rig.yaml"), Options{}),
		"gully":      made(t, load(t, "gully.rig.yaml"), Options{Units: 1, Paper: Letter}),
		"comparison": made(t, load(t, "bramble-portal.rig.yaml"), Options{Against: load(t, "bramble.rig.yaml"), Units: 1, Paper: Letter}),
		"portal":     made(t, load(t, "bramble-portal.rig.yaml"), Options{Was: load(t, "bramble.rig.yaml").Model}),
	}
}
