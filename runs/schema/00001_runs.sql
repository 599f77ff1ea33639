-- The book of runs in PostgreSQL: the table of sqlite.go, in a schema of its own beside river's tables.

-- +goose Up
CREATE TABLE run (
    id         bigint GENERATED ALWAYS AS IDENTITY PRIMARY KEY,
    workshop   text   NOT NULL,             -- whose documents it was begun from
    rig        bigint NOT NULL,
    file       text   NOT NULL,
    name       text   NOT NULL,
    revision   bigint NOT NULL,
    texts      bytea  NOT NULL,             -- JSON: file to text
    options    bytea  NOT NULL,             -- JSON
    state      text   NOT NULL CHECK (state IN ('waiting', 'running', 'stopped', 'done', 'failed')),
    stop       bigint NOT NULL DEFAULT 0,   -- 1: asked to stop
    progress   bytea  NOT NULL DEFAULT '{}',
    checkpoint bytea,
    answer     bytea,
    problem    text   NOT NULL DEFAULT '',
    begun      bigint NOT NULL,             -- times in ms since 1970, spans in ms
    ended      bigint NOT NULL DEFAULT 0,
    spent      bigint NOT NULL DEFAULT 0,
    leg        bigint NOT NULL DEFAULT 0,   -- when it was begun or continued last
    settled    bigint NOT NULL DEFAULT 0,   -- combinations settled by then
    owner      text   NOT NULL DEFAULT '',  -- process that works on it
    alive      bigint NOT NULL DEFAULT 0    -- when that was heard of last
);

CREATE INDEX run_workshop ON run (workshop, id);
CREATE INDEX run_open ON run (id) WHERE state IN ('waiting', 'running');
