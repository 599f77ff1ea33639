-- Meshes: STL and 3MF files that parts name. Their bytes are kept like texts, once each under their hash; a mesh is a name for such bytes.
-- Names are append-only too: the last row of a file says what it is now.

-- +goose Up
CREATE TABLE mesh (
    id       INTEGER PRIMARY KEY AUTOINCREMENT,
    file     TEXT NOT NULL COLLATE NOCASE,      -- name in the workshop folder
    hash     BLOB REFERENCES text (hash),       -- null: taken out of the workshop
    saved_at TEXT NOT NULL                      -- RFC 3339, UTC
) STRICT;

CREATE INDEX mesh_file ON mesh (file, id);

-- +goose StatementBegin
CREATE TRIGGER mesh_stays BEFORE UPDATE ON mesh BEGIN SELECT RAISE(ABORT, 'meshes are append-only'); END;
-- +goose StatementEnd
-- +goose StatementBegin
CREATE TRIGGER mesh_remains BEFORE DELETE ON mesh BEGIN SELECT RAISE(ABORT, 'meshes are append-only'); END;
-- +goose StatementEnd
