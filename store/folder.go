package store

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"lowslung/rig"
)

// ReadFolder reads the documents below a folder for an import. Links are not followed, hidden folders not entered.
func ReadFolder(folder string) ([]Text, error) {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, folderFault(folder, err)
	}
	defer root.Close()
	var texts []Text
	total := int64(0)
	err = fs.WalkDir(root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			if name != "." && foreign(name+"/x.rig.yaml") != "" {
				return fs.SkipDir
			}
			return nil
		case !d.Type().IsRegular() || foreign(name) != "":
			return nil
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		if most := maxBytesOf(name); info.Size() > int64(most) {
			return fail(TooLarge, "found %d bytes of text in %s, expected at most %d MiB. Nothing was imported", info.Size(), name, most>>20)
		}
		if total += info.Size(); total > MaxImportBytes || len(texts) >= MaxImportFiles {
			return fail(TooLarge, "found more than %d documents or %d MiB of text in %s. Nothing was imported; import it in parts", MaxImportFiles, MaxImportBytes>>20, folder)
		}
		body, err := root.ReadFile(name)
		if err != nil {
			return err
		}
		texts = append(texts, Text{name, body})
		return nil
	})
	return texts, folderFault(folder, err)
}

// ReadDocument reads a document of a folder with the bases and bins it names.
func ReadDocument(folder, name string) ([]Text, error) {
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, folderFault(folder, err)
	}
	defer root.Close()
	if err := CheckName(name); err != nil {
		return nil, err
	}
	var texts []Text
	src := func(file string) ([]byte, error) {
		body, err := root.ReadFile(file)
		if err == nil && !slices.ContainsFunc(texts, func(t Text) bool { return t.Name == file }) {
			texts = append(texts, Text{file, body})
		}
		return body, err
	}
	if kind, _ := KindOf(name); kind == Bin {
		_, err = src(name)
	} else {
		_, err = rig.Load(src, name)
	}
	var d rig.Diagnostics
	if errors.As(err, &d) {
		return nil, &Error{Code: Mistakes, Text: mistakesText(d), Mistakes: d}
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &Error{Code: NotFound, Text: "found no file " + name + " in " + folder, Cause: err}
	}
	return texts, folderFault(folder, err)
}

// WriteFolder writes texts as files below a folder. A file that is there with another content is an error unless replace is
// set, and then nothing at all is written. Each file is complete or not there: it is written beside and renamed.
func WriteFolder(folder string, texts []Text, replace bool) error {
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return folderFault(folder, err)
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return folderFault(folder, err)
	}
	defer root.Close()
	var other []string
	for _, t := range texts {
		if err := CheckName(t.Name); err != nil {
			return err
		}
		if body, err := root.ReadFile(t.Name); err == nil && !bytes.Equal(body, t.Body) {
			other = append(other, t.Name)
		}
	}
	if len(other) > 0 && !replace {
		return fail(Exists, "found %s in %s with other content. Nothing was written; export to an empty folder, or say --replace", inWords(other), folder)
	}
	for _, t := range texts {
		if err := writeFile(root, t); err != nil {
			return folderFault(folder, err)
		}
	}
	return nil
}

func writeFile(root *os.Root, t Text) error {
	if dir := path.Dir(t.Name); dir != "." {
		if err := root.MkdirAll(dir, 0o755); err != nil {
			return err
		}
	}
	part := t.Name + ".part"
	f, err := root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(t.Body)
	if err == nil {
		err = f.Sync()
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = root.Rename(part, t.Name)
	}
	if err != nil {
		root.Remove(part)
	}
	return err
}

// ReadZipFile reads the texts of a zip for an import.
func ReadZipFile(name string) ([]Text, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, folderFault(name, err)
	}
	if info.Size() > MaxZipBytes {
		return nil, fail(TooLarge, "found a zip of %.1f MiB at %s, expected at most %d MiB. Nothing was imported", float64(info.Size())/(1<<20), name, MaxZipBytes>>20)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, folderFault(name, err)
	}
	return ReadZip(data)
}

// WriteZipFile writes texts as a zip, complete or not at all. A file that is there already is an error unless replace is set.
func WriteZipFile(name string, texts []Text, replace bool) error {
	if _, err := os.Lstat(name); err == nil && !replace {
		return fail(Exists, "found a file at %s already. Nothing was written; choose a name that is free, or say --replace", name)
	}
	part := name + ".part"
	defer os.Remove(part)
	f, err := os.Create(part)
	if err != nil {
		return folderFault(name, err)
	}
	err = WriteZip(f, texts)
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = settle(part, name)
	}
	return folderFault(name, err)
}

func folderFault(folder string, err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrNotExist):
		return &Error{Code: NotFound, Text: "found no folder or file " + folder, Cause: err}
	case strings.Contains(err.Error(), "escapes"):
		return &Error{Code: BadName, Text: "found a link in " + folder + " that leads out of it, expected plain files and folders", Cause: err}
	}
	return fault(folder, err)
}
