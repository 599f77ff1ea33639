package store

import (
	"fmt"
	"slices"
	"strings"

	"lowslung/rig"
)

// check loads each of the changed files, with all changes in place, and each present document that reads one of them.
// It gives what the changed ones were read with, or an error of code Mistakes with everything found.
func (v Snapshot) check(changes map[string][]byte) (map[string][]readWith, error) {
	s := &shelf{changes: changes, rest: v.Source(), memory: &v.kept.memory}
	files := make([]string, 0, len(changes))
	for file := range changes {
		files = append(files, file)
	}
	slices.Sort(files)
	with := make(map[string][]readWith, len(files))
	var found rig.Diagnostics
	for _, file := range files {
		if IsMesh(file) { // has been read; the documents that name it are asked below
			continue
		}
		l, err := s.load(file)
		if err == nil {
			with[file] = l.readWith(file)
			if l.bin != nil { // its tree takes much memory
				v.bins[file], l.bin = l.bin, nil
			}
			v.kept.put(file, l)
			continue
		}
		if err := gather(&found, err); err != nil {
			return nil, err
		}
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
		var now rig.Diagnostics
		l, err := s.load(file)
		if err == nil {
			v.kept.put(file, l)
			continue
		}
		if err := gather(&now, err); err != nil {
			return nil, err
		}
		// What did not load before either, since an earlier version of the program took it, is not this change's doing.
		if _, err := (&shelf{rest: s.rest, memory: s.memory}).load(file); err != nil {
			continue
		}
		broken = append(broken, file)
		found = append(found, now...)
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

// Readers lists the present documents that build on the file: that were read with it, or with one that was, and so on.
func (v Snapshot) Readers(file string) ([]string, error) { return v.readers([]string{file}) }

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
