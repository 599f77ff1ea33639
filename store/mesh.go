package store

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"

	"lowslung/solid"
)

// Meshes: STL and 3MF files that parts name in a shape. A workshop keeps their bytes once each under their hash, as it keeps texts; what a name stood for earlier stays,
// so that every revision still loads with the mesh that it was saved with.

// MaxMeshBytes is the largest mesh that a workshop takes.
const MaxMeshBytes = solid.MaxMeshBytes

// A Mesh is a mesh of the workshop as it is now.
type Mesh struct {
	File  string
	Hash  Hash
	Bytes int
	Users []string // documents that read it, with what builds on them
}

// IsMesh tells meshes by their names.
func IsMesh(name string) bool {
	ext := strings.ToLower(path.Ext(name))
	return (ext == ".stl" || ext == ".3mf") && path.Base(name) != path.Ext(name)
}

// present are the meshes that are there now, by name.
func (v Snapshot) present() (map[string]Hash, error) {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT m.file, m.hash FROM mesh m WHERE m.hash IS NOT NULL AND m.id = (SELECT max(n.id) FROM mesh n WHERE n.file = m.file)`)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]Hash{}
	for rows.Next() {
		var file string
		var hash Hash
		if err := rows.Scan(&file, &hash); err != nil {
			return nil, err
		}
		out[file] = hash
	}
	return out, rows.Err()
}

// meshNow is what a name stands for: the name as it was written, whether there is such a mesh, and its hash.
func (v Snapshot) meshNow(file string) (name string, hash Hash, there bool, err error) {
	var body []byte
	err = v.tx.QueryRowContext(v.ctx, `SELECT file, hash FROM mesh WHERE file = ? ORDER BY id DESC LIMIT 1`, file).Scan(&name, &body)
	if errors.Is(err, sql.ErrNoRows) || err == nil && body == nil {
		return file, hash, false, nil
	}
	copy(hash[:], body)
	return name, hash, err == nil, err
}

// MeshBytes are the bytes of a mesh; the error is fs.ErrNotExist when the workshop has none of that name.
func (v Snapshot) MeshBytes(file string) ([]byte, error) {
	name, hash, there, err := v.meshNow(file)
	switch {
	case err != nil:
		return nil, err
	case !there || name != file:
		return nil, noMesh
	}
	var body []byte
	err = v.tx.QueryRowContext(v.ctx, `SELECT body FROM text WHERE hash = ?`, hash[:]).Scan(&body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, fs.ErrNotExist
	}
	return body, err
}

// Meshes lists the meshes by name.
func (s *Store) Meshes(ctx context.Context) (list []Mesh, err error) {
	list = []Mesh{}
	err = s.Look(ctx, func(v Snapshot) error {
		present, err := v.present()
		if err != nil {
			return err
		}
		for file, hash := range present {
			m := Mesh{File: file, Hash: hash}
			if err := v.tx.QueryRowContext(v.ctx, `SELECT length(body) FROM text WHERE hash = ?`, hash[:]).Scan(&m.Bytes); err != nil {
				return err
			}
			if m.Users, err = v.readers([]string{file}); err != nil {
				return err
			}
			list = append(list, m)
		}
		slices.SortFunc(list, func(a, b Mesh) int { return strings.Compare(a.File, b.File) })
		return nil
	})
	return list, err
}

// checkMesh says what is wrong with the bytes of a mesh, or nil: they must be read by the readers that a part is drawn and weighed with.
func checkMesh(file string, body []byte) error {
	if len(body) > MaxMeshBytes {
		return fail(TooLarge, "found %.1f MiB in %q, expected at most %d MiB; save the mesh with fewer triangles. Nothing was imported", float64(len(body))/(1<<20), cut(file), MaxMeshBytes>>20)
	}
	if _, err := solid.ReadMesh(body, 1); err != nil {
		return fail(BadFile, "found in %q %v. Nothing was imported", cut(file), err)
	}
	return nil
}

// putMesh gives a name its bytes; nothing when it has them already. Documents that read it must have been checked with them.
func (v Snapshot) putMesh(file string, body []byte) (result string, err error) {
	name, was, there, err := v.meshNow(file)
	if err != nil {
		return "", err
	}
	if there && name != file {
		return "", fail(Exists, "found %q to import and %q in the workshop: names that differ by upper and lower case only fall together on some disks. Nothing was imported; rename one of them", file, name)
	}
	if there && was == HashOf(body) {
		return Same, nil
	}
	hash, err := v.keep(body)
	if err != nil {
		return "", err
	}
	if result = Added; there {
		result = Changed
	}
	_, err = v.tx.ExecContext(v.ctx, `INSERT INTO mesh (file, hash, saved_at) VALUES (?, ?, ?)`, file, hash[:], now())
	return result, err
}

// RemoveMesh takes a mesh out of the workshop. Earlier revisions that were saved with it keep it.
func (s *Store) RemoveMesh(ctx context.Context, file string) error {
	return s.change(ctx, func(v Snapshot) error {
		name, _, there, err := v.meshNow(file)
		if err != nil {
			return err
		}
		if !there || name != file {
			return fail(NotFound, "found no mesh called %q in the workshop", cut(file))
		}
		users, err := v.readers([]string{file})
		if err != nil {
			return err
		}
		if len(users) > 0 {
			return &Error{Code: InUse, Broken: users, Text: "found that " + inWords(users) + " has parts drawn by " + file + ". Nothing was removed; take it out of their shapes first"}
		}
		_, err = v.tx.ExecContext(v.ctx, `INSERT INTO mesh (file, hash, saved_at) VALUES (?, NULL, ?)`, file, now())
		return err
	})
}
