package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"lowslung/rig"
	"lowslung/solid"
)

// A shelf is a set of texts by file name: changes that are about to be saved, over what is present.
type shelf struct {
	changes map[string][]byte
	rest    rig.Source // nil when the changes are all there is
	kept    map[string][]byte
}

func (s *shelf) read(name string) ([]byte, error) {
	if text, ok := s.changes[name]; ok {
		return text, nil
	}
	if text, ok := s.kept[name]; ok {
		return text, nil
	}
	if s.rest == nil {
		return nil, fs.ErrNotExist
	}
	text, err := s.rest(name)
	if err == nil {
		s.kept[name] = text
	}
	return text, err
}

// readWith is a base or bin with which a document was read.
type readWith struct {
	file string
	hash Hash
}

// load reads and resolves one document; for a bin, it reads a document that names nothing but the bin. The bases and bins
// read come back with their hashes. The error is rig.Diagnostics when the texts are at fault.
func (s *shelf) load(file string) ([]readWith, error) {
	kind, _ := kindOf(file)
	src, name := s.read, file
	if kind == Bin {
		name = path.Join(path.Dir(file), "bin-alone.rig.yaml")
		alone := fmt.Appendf(nil, "lowslung: 1\nbins: [%q]\n", path.Base(file))
		src = func(other string) ([]byte, error) {
			if other == name {
				return alone, nil
			}
			return s.read(other)
		}
	}
	build, err := rig.Load(src, name)
	if err != nil || kind == Bin {
		return nil, err
	}
	if _, err := solid.Resolve(build); err != nil {
		return nil, err
	}
	var with []readWith
	for _, other := range build.Files {
		text, err := s.read(other)
		if err != nil {
			return nil, err
		}
		if other != file && !slices.ContainsFunc(with, func(w readWith) bool { return w.file == other }) {
			with = append(with, readWith{other, HashOf(text)})
		}
	}
	return with, nil
}

// check loads each of the changed files, with all changes in place, and each present document that reads one of them.
// It gives what the changed ones were read with, or an error of code Mistakes with everything found.
func (v Snapshot) check(changes map[string][]byte) (map[string][]readWith, error) {
	s := &shelf{changes: changes, rest: v.Source(), kept: map[string][]byte{}}
	files := make([]string, 0, len(changes))
	for file := range changes {
		files = append(files, file)
	}
	slices.Sort(files)
	with := make(map[string][]readWith, len(files))
	var found rig.Diagnostics
	for _, file := range files {
		w, err := s.load(file)
		if err := gather(&found, err); err != nil {
			return nil, err
		}
		with[file] = w
	}
	if len(found) > 0 {
		return nil, &Error{Code: Mistakes, Text: mistakesText(found), Mistakes: unique(found)}
	}
	touched, err := v.readers(files)
	if err != nil {
		return nil, err
	}
	var broken []string
	for _, file := range touched {
		if _, changed := changes[file]; changed {
			continue
		}
		before := len(found)
		_, err := s.load(file)
		if err := gather(&found, err); err != nil {
			return nil, err
		}
		if len(found) > before {
			broken = append(broken, file)
		}
	}
	if len(broken) > 0 {
		return nil, &Error{Code: Mistakes, Mistakes: unique(found), Broken: broken, Text: fmt.Sprintf(
			"found no mistake in the text itself, but %s builds on it and would no longer load. Nothing was saved. Change what it refers to first, or import both together", strings.Join(broken, ", "))}
	}
	return with, nil
}

func mistakesText(d rig.Diagnostics) string {
	if len(d) == 1 {
		return "found a mistake in the text. Nothing was saved"
	}
	return fmt.Sprintf("found %d mistakes in the text. Nothing was saved", len(d))
}

// gather adds diagnostics to the list and passes any other error on.
func gather(list *rig.Diagnostics, err error) error {
	var d rig.Diagnostics
	if errors.As(err, &d) {
		*list = append(*list, d...)
		return nil
	}
	return err
}

// unique drops repetitions: a mistake in a bin is found by each document that names the bin.
func unique(d rig.Diagnostics) rig.Diagnostics {
	seen := make(map[string]bool, len(d))
	return slices.DeleteFunc(d, func(x rig.Diagnostic) bool {
		key := x.String()
		if seen[key] {
			return true
		}
		seen[key] = true
		return false
	})
}

// readers lists the present documents that were read with one of the files, or with one that was, and so on.
func (v Snapshot) readers(files []string) ([]string, error) {
	touched := slices.Clone(files)
	known := make(map[string]bool, len(files))
	for _, file := range files {
		known[file] = true
	}
	for i := 0; i < len(touched); i++ {
		rows, err := v.tx.QueryContext(v.ctx, `SELECT d.file FROM read_with w JOIN revision r ON r.id = w.revision
			JOIN document d ON d.id = r.document AND d.head = r.number
			WHERE w.file = ? AND d.removed_at IS NULL ORDER BY d.file`, touched[i])
		if err != nil {
			return nil, err
		}
		for rows.Next() {
			var file string
			if err := rows.Scan(&file); err != nil {
				rows.Close()
				return nil, err
			}
			if !known[file] {
				known[file] = true
				touched = append(touched, file)
			}
		}
		if err := rows.Err(); err != nil {
			return nil, err
		}
		rows.Close()
	}
	return touched[len(files):], nil
}

// Check says what is wrong with a text without saving it: nil, or an error of code Mistakes.
func (s *Store) Check(ctx context.Context, file string, text []byte) error {
	if err := CheckName(file); err != nil {
		return err
	}
	return s.Look(ctx, func(v Snapshot) error {
		_, err := v.check(map[string][]byte{file: text})
		return err
	})
}
