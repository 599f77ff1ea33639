package store

import (
	"context"
	"database/sql"
	"errors"
	"time"
	"unicode/utf8"
)

const maxWhy = 500 // bytes

// Create saves the first revision of a new document. A name that was removed earlier takes its history up again.
func (s *Store) Create(ctx context.Context, file string, text []byte, why string) (d Document, err error) {
	if err := CheckName(file); err != nil {
		return d, err
	}
	if IsMesh(file) {
		return d, fail(BadName, "found the file name %q, which is a mesh's; expected a document's, such as bramble.rig.yaml: meshes are imported", cut(file))
	}
	err = s.change(ctx, func(v Snapshot) error {
		there, err := v.row(file)
		if err != nil {
			return err
		}
		if there != nil && !there.removed {
			return fail(Exists, "found a document called %q in the workshop already; choose another name, or open that one", there.file)
		}
		with, err := v.check(map[string][]byte{file: text})
		if err != nil {
			return err
		}
		id, err := v.put(there, file, text, with[file], why)
		if err != nil {
			return err
		}
		d, err = v.Document(id)
		return err
	})
	return d, err
}

// Save saves a new revision, made from the version named. The same text again saves nothing.
func (s *Store) Save(ctx context.Context, id int64, from Version, text []byte, why string) (Document, error) {
	return s.Edit(ctx, id, from, why, func(Snapshot, Document) ([]byte, error) { return text, nil })
}

// Edit saves what edit makes of the present document, in one transaction with reading it.
func (s *Store) Edit(ctx context.Context, id int64, from Version, why string, edit func(Snapshot, Document) ([]byte, error)) (d Document, err error) {
	err = s.change(ctx, func(v Snapshot) error {
		d, err = v.at(id, from)
		if err != nil {
			return err
		}
		text, err := edit(v, d)
		if err != nil {
			return err
		}
		if HashOf(text) == d.Hash {
			return nil
		}
		with, err := v.check(map[string][]byte{d.File: text})
		if err != nil {
			return err
		}
		there, err := v.row(d.File)
		if err != nil {
			return err
		}
		if _, err := v.put(there, d.File, text, with[d.File], why); err != nil {
			return err
		}
		d, err = v.Document(id)
		return err
	})
	return d, err
}

// Remove takes a document out of the workshop. Its revisions stay; creating the name again takes them up.
func (s *Store) Remove(ctx context.Context, id int64, from Version) error {
	return s.change(ctx, func(v Snapshot) error {
		d, err := v.at(id, from)
		if err != nil {
			return err
		}
		users, err := v.readers([]string{d.File})
		if err != nil {
			return err
		}
		if len(users) > 0 {
			return &Error{Code: InUse, Broken: users, Text: "found that " + inWords(users) + " builds on " + d.File + ". Nothing was removed; remove that first, or give it another base"}
		}
		if _, err = v.tx.ExecContext(v.ctx, `UPDATE document SET removed_at = ? WHERE id = ?`, now(), id); err != nil {
			return err
		}
		return v.unindexed(id)
	})
}

// at is the document when it still stands at the version named.
func (v Snapshot) at(id int64, from Version) (Document, error) {
	d, err := v.Document(id)
	if err != nil || d.Version() == from {
		return d, err
	}
	present := d
	return d, &Error{Code: Conflict, Present: &present, Text: "someone else saved " + d.File + " in between (another tab, or the command line). " +
		"Nothing was saved; look at the present text and make your change there"}
}

// A row is what the table says of a document, present or removed.
type row struct {
	id      int64
	file    string
	head    int
	stands  int
	removed bool
}

// row finds a document by name, whatever its case; nil when there never was one.
func (v Snapshot) row(file string) (*row, error) {
	var r row
	err := v.tx.QueryRowContext(v.ctx, `SELECT d.id, d.file, d.head, r.stands_at, d.removed_at IS NOT NULL`+documentTables+` WHERE d.file = ?`, file).
		Scan(&r.id, &r.file, &r.head, &r.stands, &r.removed)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return &r, err
}

// put writes a revision of the document there, or of a new one when that is nil. Undo leads from it to what was present.
func (v Snapshot) put(there *row, file string, text []byte, with []readWith, why string) (id int64, err error) {
	number := 1
	var parent *int
	if there != nil {
		id, number, parent = there.id, there.head+1, &there.stands
	} else {
		kind, _ := KindOf(file)
		res, err := v.tx.ExecContext(v.ctx, `INSERT INTO document (file, kind, head) VALUES (?, ?, 1)`, file, string(kind))
		if err != nil {
			return 0, err
		}
		if id, err = res.LastInsertId(); err != nil {
			return 0, err
		}
	}
	hash, err := v.keep(text)
	if err != nil {
		return 0, err
	}
	if err := v.insert(id, number, hash, with, why, number, parent, number); err != nil {
		return 0, err
	}
	if _, err = v.tx.ExecContext(v.ctx, `UPDATE document SET head = ?, removed_at = NULL, file = ? WHERE id = ?`, number, file, id); err != nil {
		return 0, err
	}
	return id, v.indexed(id)
}

// keep stores a text under its hash, unless it is there.
func (v Snapshot) keep(text []byte) (Hash, error) {
	hash := HashOf(text)
	_, err := v.tx.ExecContext(v.ctx, `INSERT INTO text (hash, body) VALUES (?, ?) ON CONFLICT DO NOTHING`, hash[:], notNil(text))
	return hash, err
}

// insert writes the row of a revision and of what it was read with.
func (v Snapshot) insert(id int64, number int, hash Hash, with []readWith, why string, stands int, parent *int, tip int) error {
	res, err := v.tx.ExecContext(v.ctx, `INSERT INTO revision (document, number, hash, saved_at, why, stands_at, parent, tip) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
		id, number, hash[:], now(), short(why), stands, parent, tip)
	if err != nil {
		return err
	}
	revision, err := res.LastInsertId()
	if err != nil {
		return err
	}
	for _, w := range with {
		if _, err := v.tx.ExecContext(v.ctx, `INSERT INTO read_with (revision, file, hash) VALUES (?, ?, ?)`, revision, w.file, w.hash[:]); err != nil {
			return err
		}
	}
	return nil
}

func now() string { return time.Now().UTC().Format(time.RFC3339Nano) }

// notNil keeps an empty text from being stored as NULL.
func notNil(text []byte) []byte {
	if text == nil {
		return []byte{}
	}
	return text
}

// short keeps a reason to a line or two.
func short(why string) string {
	if len(why) <= maxWhy {
		return why
	}
	n := maxWhy
	for !utf8.RuneStart(why[n]) {
		n--
	}
	return why[:n] + "…"
}

// inWords writes names as "a, b and c".
func inWords(names []string) string {
	out := ""
	for i, n := range names {
		switch {
		case i == 0:
		case i == len(names)-1:
			out += " and "
		default:
			out += ", "
		}
		out += n
	}
	return out
}
