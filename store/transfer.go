package store

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"lowslung/rig"
)

// A Text is one file of an import or export.
type Text struct {
	Name string // slash-separated, in the workshop folder
	Body []byte
}

// An Outcome is what an import did with one file.
type Outcome struct {
	Name   string
	ID     int64  // of the document; 0 when it was left out
	Result string // Added, Changed, Same or LeftOut
	Why    string // LeftOut: why
}

// Results of an import, file by file.
const (
	Added   = "added"
	Changed = "changed"
	Same    = "same"
	LeftOut = "left out"
)

// Limits of one import.
const (
	MaxImportFiles = 2000
	MaxImportBytes = 256 << 20
)

// Import saves all texts and meshes in one transaction, or none: each is checked with all the others in place. A document that is
// there already gets a new revision; one with the same text stays as it is. Files that are no documents are left out.
func (s *Store) Import(ctx context.Context, texts []Text, why string) ([]Outcome, error) {
	changes, out, err := sift(texts)
	if err != nil {
		return nil, err
	}
	err = s.change(ctx, func(v Snapshot) error {
		rows := make(map[string]*row, len(changes))
		for i := range out {
			o := &out[i]
			body, ok := changes[o.Name]
			if !ok || IsMesh(o.Name) {
				continue
			}
			there, err := v.row(o.Name)
			if err != nil {
				return err
			}
			rows[o.Name] = there
			switch {
			case there == nil || there.removed:
				o.Result = Added
			case there.file != o.Name:
				return fail(Exists, "found %q to import and %q in the workshop: names that differ by upper and lower case only fall together on some disks. Nothing was imported; rename one of them", o.Name, there.file)
			default:
				d, err := v.Document(there.id)
				if err != nil {
					return err
				}
				o.Result, o.ID = Changed, d.ID
				if d.Hash == HashOf(body) {
					o.Result = Same
					delete(changes, o.Name)
				}
			}
		}
		with, err := v.check(changes)
		if err != nil {
			return err
		}
		for _, body := range changes { // all of them first: they are read with each other
			if _, err := v.keep(body); err != nil {
				return err
			}
		}
		for i := range out {
			o := &out[i]
			if body, ok := changes[o.Name]; ok && IsMesh(o.Name) {
				if o.Result, err = v.putMesh(o.Name, body); err != nil {
					return err
				}
			} else if ok {
				if o.ID, err = v.put(rows[o.Name], o.Name, body, with[o.Name], why); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return out, nil
}

// sift checks names and sizes before anything is read, and leaves out what is no document.
func sift(texts []Text) (changes map[string][]byte, out []Outcome, err error) {
	changes = make(map[string][]byte, len(texts))
	lower := make(map[string]string, len(texts))
	total := 0
	for _, t := range texts {
		if why := foreign(t.Name); why != "" {
			out = append(out, Outcome{Name: t.Name, Result: LeftOut, Why: why})
			continue
		}
		if err := CheckName(t.Name); err != nil {
			return nil, nil, err
		}
		if other, twice := lower[strings.ToLower(t.Name)]; twice {
			return nil, nil, fail(BadFile, "found both %q and %q to import, expected each file once. Nothing was imported", other, t.Name)
		}
		lower[strings.ToLower(t.Name)] = t.Name
		if most := maxBytesOf(t.Name); len(t.Body) > most && !IsMesh(t.Name) {
			return nil, nil, fail(TooLarge, "found %.1f MiB of text in %q, expected at most %d MiB. Nothing was imported", float64(len(t.Body))/(1<<20), t.Name, most>>20)
		}
		if total += len(t.Body); total > MaxImportBytes {
			return nil, nil, fail(TooLarge, "found more than %d MiB of text to import. Nothing was imported; import it in parts", MaxImportBytes>>20)
		}
		if IsMesh(t.Name) {
			if err := checkMesh(t.Name, t.Body); err != nil {
				return nil, nil, err
			}
		}
		changes[t.Name] = t.Body
		out = append(out, Outcome{Name: t.Name})
	}
	if len(changes) > MaxImportFiles {
		return nil, nil, fail(TooLarge, "found %d documents to import, expected at most %d. Nothing was imported; import them in parts", len(changes), MaxImportFiles)
	}
	if len(changes) == 0 {
		return nil, nil, fail(BadFile, "found no documents to import, expected files whose names end in .rig.yaml, .bin.yaml or .bin.csv, or meshes (.stl, .3mf)")
	}
	return changes, out, nil
}

// foreign says why a file is no document by its name, or "". A name that leads out of the folder is never just left out.
func foreign(name string) string {
	parts := strings.FieldsFunc(name, func(r rune) bool { return r == '/' || r == '\\' })
	if slices.Contains(parts, "..") || strings.HasPrefix(name, "/") || strings.HasPrefix(name, `\`) {
		return ""
	}
	for _, part := range parts {
		if part == "__MACOSX" || strings.HasPrefix(part, ".") && part != "." {
			return "a hidden file"
		}
	}
	if _, ok := KindOf(name); !ok && !IsMesh(name) {
		return "its name does not end in .rig.yaml, .bin.yaml or .bin.csv, and it is no mesh (.stl, .3mf)"
	}
	return ""
}

// Export gives the present texts and meshes, by name: of the documents named with their bases and bins, or of all when none is.
func (s *Store) Export(ctx context.Context, files ...string) (texts []Text, err error) {
	err = s.Look(ctx, func(v Snapshot) error {
		all, err := v.Documents("")
		if err != nil {
			return err
		}
		wanted, err := v.closure(files)
		if err != nil {
			return err
		}
		for _, d := range all {
			if wanted != nil && !wanted[d.File] {
				continue
			}
			full, err := v.Document(d.ID)
			if err != nil {
				return err
			}
			texts = append(texts, Text{d.File, notNil(full.Text)})
		}
		meshes, err := v.present()
		if err != nil {
			return err
		}
		for _, file := range slices.Sorted(maps.Keys(meshes)) {
			if wanted != nil && !wanted[file] {
				continue
			}
			body, err := v.MeshBytes(file)
			if err != nil {
				return err
			}
			texts = append(texts, Text{file, body})
		}
		return nil
	})
	return texts, err
}

// maxBytesOf is the size of the largest file of that name that is taken.
func maxBytesOf(name string) int {
	if IsMesh(name) {
		return MaxMeshBytes
	}
	return rig.MaxBytesOf(name)
}

// closure is the set of the files and of everything they are read with; nil for no files.
func (v Snapshot) closure(files []string) (map[string]bool, error) {
	if len(files) == 0 {
		return nil, nil
	}
	wanted := map[string]bool{}
	for _, file := range files {
		if _, err := v.Named(file); err != nil {
			return nil, err
		}
		l, err := v.Load(file)
		if err != nil {
			return nil, fmt.Errorf("%s does not load: %w", file, err)
		}
		for name := range l.hashes {
			wanted[name] = true
		}
	}
	return wanted, nil
}
