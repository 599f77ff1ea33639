package store

import (
	"context"
	"database/sql"
	"errors"
)

// Undo and redo walk the saved revisions of a document. Each saved revision has a parent, the one it was made from; undo
// writes a new revision with the parent's text, redo one with the text of the next on the way to the tip. A save after an
// undo begins a new branch; the other one stays in the list of revisions.

// Undo goes back one step.
func (s *Store) Undo(ctx context.Context, id int64, from Version) (Document, error) {
	return s.step(ctx, id, from, "undo", `SELECT parent FROM revision WHERE document = ?1 AND number = ?2`)
}

// Redo takes back one undo.
func (s *Store) Redo(ctx context.Context, id int64, from Version) (Document, error) {
	return s.step(ctx, id, from, "redo", `WITH RECURSIVE way(number, parent) AS (
			SELECT number, parent FROM revision WHERE document = ?1 AND number = ?3
			UNION ALL
			SELECT r.number, r.parent FROM revision r JOIN way ON r.document = ?1 AND r.number = way.parent)
		SELECT number FROM way WHERE parent = ?2`)
}

// step writes a revision with the text of the one that the query finds; ?2 is where the document stands, ?3 its tip.
func (s *Store) step(ctx context.Context, id int64, from Version, what, query string) (d Document, err error) {
	err = s.change(ctx, func(v Snapshot) error {
		d, err = v.at(id, from)
		if err != nil {
			return err
		}
		var stands, tip int
		if err := v.tx.QueryRowContext(v.ctx, `SELECT stands_at, tip FROM revision WHERE document = ? AND number = ?`, id, d.Revision).Scan(&stands, &tip); err != nil {
			return err
		}
		var target sql.NullInt64
		err := v.tx.QueryRowContext(v.ctx, query, id, stands, tip).Scan(&target)
		if errors.Is(err, sql.ErrNoRows) || err == nil && !target.Valid {
			return fail(NothingLeft, "found nothing to %s in %s", what, d.File)
		}
		if err != nil {
			return err
		}
		r, err := v.Revision(id, int(target.Int64))
		if err != nil {
			return err
		}
		with, err := v.check(map[string][]byte{d.File: r.Text})
		if err != nil {
			return err
		}
		named := r.Number // what is taken up again, or what is taken back
		if what == "undo" {
			named = stands
		}
		taken, err := v.Revision(id, named)
		if err != nil {
			return err
		}
		number := d.Revision + 1
		if err := v.insert(id, number, r.Hash, with[d.File], what+": "+taken.Why, r.Number, nil, tip); err != nil {
			return err
		}
		if _, err := v.tx.ExecContext(v.ctx, `UPDATE document SET head = ? WHERE id = ?`, number, id); err != nil {
			return err
		}
		if err := v.indexed(id); err != nil {
			return err
		}
		d, err = v.Document(id)
		return err
	})
	return d, err
}
