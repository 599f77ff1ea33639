-- The items of the bins as they are now, for looking things up. Everything here is made from the texts of the bins and can be made again:
-- it is no part of the history. item_index says which text the rows of a bin are from.

-- +goose Up
CREATE TABLE item (
    id       INTEGER PRIMARY KEY,
    document INTEGER NOT NULL REFERENCES document (id),
    place    INTEGER NOT NULL,          -- in its bin, from 0
    name     TEXT NOT NULL,             -- what a part's item says
    title    TEXT NOT NULL,
    kind     TEXT NOT NULL,
    mass     REAL,                      -- kg
    weighed  INTEGER NOT NULL,
    price    REAL,
    currency TEXT NOT NULL,
    source   TEXT NOT NULL,             -- where it comes from
    have     INTEGER,
    notes    TEXT NOT NULL,
    line     TEXT NOT NULL,             -- as written, on one line
    mark     INTEGER NOT NULL,          -- FNV-1a of the line: what has not changed is left alone
    UNIQUE (document, name)
) STRICT;

CREATE INDEX item_name ON item (name);

-- Words for the search, and marks for its filters: kind, bin, whether it is in stock. Rows have the ids of item.
CREATE VIRTUAL TABLE item_words USING fts5 (
    words, marks, content = '', contentless_delete = 1, detail = column, prefix = '1 2 3', tokenize = "unicode61 remove_diacritics 2 tokenchars '.'"
);

-- What ports are looked up by (mates.Key), and the port itself as JSON for the rules to judge.
CREATE TABLE item_port (
    item  INTEGER NOT NULL REFERENCES item (id) ON DELETE CASCADE,
    kind  TEXT NOT NULL,
    size  REAL NOT NULL,
    stock INTEGER NOT NULL,             -- 1 when some lie in the drawer
    port  TEXT NOT NULL
) STRICT;

CREATE INDEX item_port_kind ON item_port (kind, stock, size);
CREATE INDEX item_port_item ON item_port (item);

CREATE TABLE item_index (
    document INTEGER PRIMARY KEY REFERENCES document (id),
    hash     BLOB NOT NULL,
    made     INTEGER NOT NULL           -- version of the program's rules by which rows are made
) STRICT;
