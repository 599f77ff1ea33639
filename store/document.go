package store

import (
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"lowslung/rig"
)

// A Kind is what a document is.
type Kind string

// Kinds of documents.
const (
	Rig Kind = "rig" // *.rig.yaml
	Bin Kind = "bin" // *.bin.yaml
)

// A Hash is the SHA-256 of a text.
type Hash [sha256.Size]byte

// HashOf hashes a text.
func HashOf(text []byte) Hash { return sha256.Sum256(text) }

func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// Scan reads a hash from a column.
func (h *Hash) Scan(v any) error {
	b, ok := v.([]byte)
	if !ok || len(b) != len(h) {
		return fmt.Errorf("found %T of %d bytes, expected a hash of %d", v, len(b), len(h))
	}
	copy(h[:], b)
	return nil
}

// A Version names one state of one document: "<revision>-<first 8 digits of the hash>". An edit names the version it was
// made from. The hash is in it because restoring a backup may bring a revision number back with another text.
type Version string

// A Document is one document as it stands now.
type Document struct {
	ID       int64
	File     string // name in the workshop folder
	Kind     Kind
	Revision int // number of the present revision
	Hash     Hash
	SavedAt  time.Time
	Why      string // what the present revision was saved for
	CanUndo  bool
	CanRedo  bool
	Text     []byte // nil in listings
}

// Version is what an edit of this state must name.
func (d *Document) Version() Version {
	return Version(fmt.Sprintf("%d-%x", d.Revision, d.Hash[:4]))
}

// A Revision is one saved state of a document.
type Revision struct {
	Number  int
	SavedAt time.Time
	Why     string
	Hash    Hash
	Current bool
	Text    []byte // nil in listings
}

// A Snapshot is the workshop at one moment: what it answers does not change while others save.
type Snapshot struct {
	ctx  context.Context
	tx   *sql.Tx
	kept *keep
	seen *map[string]Hash // hashes of all present texts, once asked for; nil while the snapshot is being written to

	bins     map[string]*rig.BinBuild // of a change: bins that it has read already
	progress func(done, total int)    // of a change: told how far it is; nil for nobody
	only     map[string]weighed       // of a change: bins of which some items only have changed, none come or gone
}

// Look calls fn with the workshop as it is now.
func (s *Store) Look(ctx context.Context, fn func(Snapshot) error) error {
	tx, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return fault(s.path, err)
	}
	defer tx.Rollback()
	return fault(s.path, fn(Snapshot{ctx: ctx, tx: tx, kept: s.kept, seen: new(map[string]Hash)}))
}

// change calls fn in one transaction: all of it is on the disk when change returns nil, none of it otherwise.
func (s *Store) change(ctx context.Context, fn func(Snapshot) error) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	// Whether a commit that was interrupted took effect cannot be told, so a caller who leaves does not stop a write.
	ctx = context.WithoutCancel(ctx)
	tx, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return fault(s.path, err)
	}
	defer tx.Rollback()
	if err := fn(Snapshot{ctx: ctx, tx: tx, kept: s.kept, bins: map[string]*rig.BinBuild{}, only: map[string]weighed{}}); err != nil {
		return fault(s.path, err)
	}
	if err := tx.Commit(); err != nil {
		return fault(s.path, err)
	}
	select {
	case s.nudge <- struct{}{}:
	default:
	}
	return nil
}

const documentColumns = `d.id, d.file, d.kind, r.number, r.hash, r.saved_at, r.why,
	(SELECT parent FROM revision WHERE document = d.id AND number = r.stands_at) IS NOT NULL, r.stands_at < r.tip`

const documentTables = ` FROM document d JOIN revision r ON r.document = d.id AND r.number = d.head`

func scanDocument(row interface{ Scan(...any) error }, more ...any) (d Document, err error) {
	var at string
	err = row.Scan(append([]any{&d.ID, &d.File, &d.Kind, &d.Revision, &d.Hash, &at, &d.Why, &d.CanUndo, &d.CanRedo}, more...)...)
	if err == nil {
		d.SavedAt, err = time.Parse(time.RFC3339Nano, at)
	}
	return d, err
}

// Documents lists the documents of a kind, or of both for "", by file name and without their texts.
func (v Snapshot) Documents(kind Kind) ([]Document, error) {
	rows, err := v.tx.QueryContext(v.ctx, `SELECT `+documentColumns+documentTables+
		` WHERE d.removed_at IS NULL AND (?1 = '' OR d.kind = ?1) ORDER BY d.file`, string(kind))
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	list := []Document{}
	for rows.Next() {
		d, err := scanDocument(rows)
		if err != nil {
			return nil, err
		}
		list = append(list, d)
	}
	return list, rows.Err()
}

// Document is one document with its text.
func (v Snapshot) Document(id int64) (Document, error) {
	var text []byte
	d, err := scanDocument(v.tx.QueryRowContext(v.ctx, `SELECT `+documentColumns+`, t.body`+documentTables+
		` JOIN text t ON t.hash = r.hash WHERE d.id = ? AND d.removed_at IS NULL`, id), &text)
	if errors.Is(err, sql.ErrNoRows) {
		return d, fail(NotFound, "found no document number %d in the workshop; it may have been removed", id)
	}
	d.Text = text
	return d, err
}

// Named is one document with its text, by file name.
func (v Snapshot) Named(file string) (Document, error) {
	var id int64
	err := v.tx.QueryRowContext(v.ctx, `SELECT id FROM document WHERE file = ?1 AND file = ?1 COLLATE BINARY AND removed_at IS NULL`, file).Scan(&id)
	if errors.Is(err, sql.ErrNoRows) {
		return Document{}, &Error{Code: NotFound, Text: fmt.Sprintf("found no document called %q in the workshop", cut(file)), Cause: fs.ErrNotExist}
	}
	if err != nil {
		return Document{}, err
	}
	return v.Document(id)
}

// Source reads the present texts and meshes.
func (v Snapshot) Source() rig.Source {
	return func(name string) ([]byte, error) {
		if IsMesh(name) {
			return v.MeshBytes(name)
		}
		d, err := v.Named(name)
		return d.Text, err
	}
}

// Revisions lists every revision of a document, the newest first, without texts.
func (v Snapshot) Revisions(id int64) ([]Revision, error) {
	if _, err := v.Document(id); err != nil {
		return nil, err
	}
	rows, err := v.tx.QueryContext(v.ctx, `SELECT r.number, r.saved_at, r.why, r.hash, r.number = d.head
		FROM revision r JOIN document d ON d.id = r.document WHERE d.id = ? ORDER BY r.number DESC`, id)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	list := []Revision{}
	for rows.Next() {
		r, err := scanRevision(rows)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, rows.Err()
}

// Revision is one revision with its text.
func (v Snapshot) Revision(id int64, number int) (Revision, error) {
	var text []byte
	r, err := scanRevision(v.tx.QueryRowContext(v.ctx, `SELECT r.number, r.saved_at, r.why, r.hash, r.number = d.head, t.body
		FROM revision r JOIN document d ON d.id = r.document JOIN text t ON t.hash = r.hash
		WHERE d.id = ? AND r.number = ? AND d.removed_at IS NULL`, id, number), &text)
	if errors.Is(err, sql.ErrNoRows) {
		return r, fail(NotFound, "found no revision %d of document number %d", number, id)
	}
	r.Text = text
	return r, err
}

func scanRevision(row interface{ Scan(...any) error }, more ...any) (r Revision, err error) {
	var at string
	err = row.Scan(append([]any{&r.Number, &at, &r.Why, &r.Hash, &r.Current}, more...)...)
	if err == nil {
		r.SavedAt, err = time.Parse(time.RFC3339Nano, at)
	}
	return r, err
}

// Unused says that the workshop has never held a document, removed ones included.
func (s *Store) Unused(ctx context.Context) (unused bool, err error) {
	err = s.Look(ctx, func(v Snapshot) error {
		return v.tx.QueryRowContext(ctx, `SELECT NOT EXISTS (SELECT 1 FROM document)`).Scan(&unused)
	})
	return unused, err
}

// Documents lists the documents of a kind as they are now, without texts.
func (s *Store) Documents(ctx context.Context, kind Kind) (list []Document, err error) {
	err = s.Look(ctx, func(v Snapshot) error { list, err = v.Documents(kind); return err })
	return list, err
}

// Document is one document as it is now, with its text.
func (s *Store) Document(ctx context.Context, id int64) (d Document, err error) {
	err = s.Look(ctx, func(v Snapshot) error { d, err = v.Document(id); return err })
	return d, err
}
