package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"lowslung/balance"
	"lowslung/check"
	"lowslung/compare"
	"lowslung/drive"
	"lowslung/finding"
	"lowslung/mates"
	"lowslung/rig"
	"lowslung/shop"
	"lowslung/steer"
	"lowslung/travel"
)

const committed = "../docs/reference"

// The committed reference is what the code says now: nothing stale, nothing left over.
func TestReferenceIsCurrent(t *testing.T) {
	known := map[string]bool{}
	for _, p := range referencePages(newRoot()) {
		known[p.file] = true
		have, err := os.ReadFile(filepath.Join(committed, p.file))
		if err != nil {
			t.Errorf("%v; run make docs and commit", err)
			continue
		}
		if !bytes.Equal(have, p.text) {
			t.Errorf("%s/%s is stale: run make docs and commit", committed, p.file)
		}
	}
	files, err := os.ReadDir(committed)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !known[f.Name()] {
			t.Errorf("%s/%s is made by nothing any more", committed, f.Name())
		}
	}
}

func TestManualWritesIntoANewFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	var out, bad bytes.Buffer
	if status := Run([]string{"manual", dir}, nil, &out, &bad); status != 0 {
		t.Fatalf("status %d: %s", status, &bad)
	}
	for _, p := range referencePages(newRoot()) {
		if text, err := os.ReadFile(filepath.Join(dir, p.file)); err != nil || len(text) < 500 {
			t.Errorf("%s: %d bytes, %v", p.file, len(text), err)
		}
	}
	in := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(in, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if status := Run([]string{"manual", in}, nil, &out, &bad); status != 2 || bad.Len() == 0 {
		t.Errorf("writing into a file: status %d, said %q; want 2 and a reason", status, &bad)
	}
}

// A number or a key without a meaning is a hole in the manual.
func TestEveryKeyHasAMeaning(t *testing.T) {
	seen := map[reflect.Type]bool{}
	var walk func(t *testing.T, typ reflect.Type)
	walk = func(t *testing.T, typ reflect.Type) {
		for typ.Kind() == reflect.Pointer || typ.Kind() == reflect.Slice {
			typ = typ.Elem()
		}
		if typ.Kind() != reflect.Struct || seen[typ] {
			return
		}
		seen[typ] = true
		for i := range typ.NumField() {
			f := typ.Field(i)
			if !f.IsExported() {
				continue
			}
			if f.Tag.Get("json") == "" || f.Tag.Get("doc") == "" {
				t.Errorf("%s.%s: json key %q, doc %q; both are needed", typ, f.Name, f.Tag.Get("json"), f.Tag.Get("doc"))
			}
			walk(t, f.Type)
		}
	}
	for _, typ := range []reflect.Type{reflect.TypeFor[travel.Answer](), reflect.TypeFor[solved](), reflect.TypeFor[mates.Answer](),
		reflect.TypeFor[steer.Answer](), reflect.TypeFor[drive.Answer](), reflect.TypeFor[shop.Order](), reflect.TypeFor[steer.Answer](), reflect.TypeFor[balance.Answer](), reflect.TypeFor[check.Answer](),
		reflect.TypeFor[compare.Answer](), reflect.TypeFor[finding.Finding]()} {
		walk(t, typ)
	}
	for _, s := range append(rig.Describe(false), rig.Describe(true)...) {
		for _, k := range s.Keys {
			if k.Doc == "" || k.Value == "" {
				t.Errorf("%s/%s: value %q, doc %q; both are needed", s.Name, k.Key, k.Value, k.Doc)
			}
		}
	}
}
