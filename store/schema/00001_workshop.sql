-- Texts are kept once each under their SHA-256, so that undo, redo and equal copies cost a row and no text. Revisions and what
-- they were read with are append-only; the triggers hold the program itself to that.

-- +goose Up
PRAGMA application_id = 1819244403; -- "lows" in ASCII: marks the file as a workshop

CREATE TABLE text (
    hash BLOB PRIMARY KEY CHECK (length(hash) = 32),
    body BLOB NOT NULL
) STRICT;

CREATE TABLE document (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    file       TEXT NOT NULL UNIQUE COLLATE NOCASE, -- name in the workshop folder; two that differ by case only would fall together on some disks
    kind       TEXT NOT NULL CHECK (kind IN ('rig', 'bin')),
    head       INTEGER NOT NULL,                    -- number of the present revision
    removed_at TEXT,                                -- RFC 3339, UTC; its revisions stay
    FOREIGN KEY (id, head) REFERENCES revision (document, number) DEFERRABLE INITIALLY DEFERRED
) STRICT;

CREATE TABLE revision (
    id        INTEGER PRIMARY KEY AUTOINCREMENT,
    document  INTEGER NOT NULL REFERENCES document (id),
    number    INTEGER NOT NULL CHECK (number >= 1), -- counts up from 1 in each document
    hash      BLOB NOT NULL REFERENCES text (hash),
    saved_at  TEXT NOT NULL,                        -- RFC 3339, UTC
    why       TEXT NOT NULL,
    stands_at INTEGER NOT NULL,                     -- saved revision whose text this one has: its own number, or an earlier one after undo or redo
    parent    INTEGER,                              -- what undo goes back to; null for the first, and for undo and redo themselves
    tip       INTEGER NOT NULL,                     -- last saved revision of the chain that redo goes along
    UNIQUE (document, number),
    CHECK (stands_at <= number AND stands_at <= tip AND tip <= number)
) STRICT;

CREATE TABLE read_with (
    revision INTEGER NOT NULL REFERENCES revision (id),
    file     TEXT NOT NULL,                         -- base or bin
    hash     BLOB NOT NULL REFERENCES text (hash),  -- its text when this revision was saved
    PRIMARY KEY (revision, file)
) STRICT, WITHOUT ROWID;

CREATE INDEX read_with_file ON read_with (file);

-- +goose StatementBegin
CREATE TRIGGER text_stays BEFORE UPDATE ON text BEGIN SELECT RAISE(ABORT, 'texts are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER text_remains BEFORE DELETE ON text BEGIN SELECT RAISE(ABORT, 'texts are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER revision_stays BEFORE UPDATE ON revision BEGIN SELECT RAISE(ABORT, 'revisions are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER revision_remains BEFORE DELETE ON revision BEGIN SELECT RAISE(ABORT, 'revisions are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER read_with_stays BEFORE UPDATE ON read_with BEGIN SELECT RAISE(ABORT, 'revisions are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER read_with_remains BEFORE DELETE ON read_with BEGIN SELECT RAISE(ABORT, 'revisions are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER document_remains BEFORE DELETE ON document BEGIN SELECT RAISE(ABORT, 'documents are marked as removed, never deleted'); END;
-- +goose StatementEnd
