-- The record: files as they came in, and the readings in them, a row each. Rows are only ever added; a correction is a new row that names the old one.
-- hash chains every row to the one before it (METHOD.md): a file's row, then its entries, then the next file's row.

CREATE TABLE file (
    number     INTEGER PRIMARY KEY,      -- 1, 2, 3, ...
    name       TEXT NOT NULL,
    sha256     TEXT,                     -- of the file's bytes; null for corrections made by hand
    entries    INTEGER NOT NULL,         -- how many rows of entry belong to it
    added_by   TEXT NOT NULL,
    added_at   TEXT NOT NULL,            -- ISO 8601
    why        TEXT,                     -- always there where an entry corrects another
    hash       BLOB NOT NULL
) STRICT;

CREATE UNIQUE INDEX file_sha256 ON file (sha256);

CREATE TABLE entry (
    number          INTEGER PRIMARY KEY, -- 1, 2, 3, ... through all files
    file            INTEGER NOT NULL,
    line            INTEGER NOT NULL,
    corrects        INTEGER,             -- the entry that this one stands in for; null for a first reading
    build           TEXT NOT NULL,
    door            TEXT NOT NULL,
    station         TEXT NOT NULL,
    characteristic  TEXT NOT NULL,
    stage           TEXT,
    definition      TEXT,
    repeat          INTEGER,
    value           REAL,                -- in the characteristic's unit; null where the corrected entry is withdrawn
    written_value   TEXT NOT NULL,
    written_unit    TEXT NOT NULL,
    gauge           TEXT,
    inspector       TEXT,
    taken_at        TEXT,
    temperature_c   REAL,
    uncertainty     REAL,                -- expanded, k = 2, in the characteristic's unit
    plan_issue      TEXT,
    note            TEXT,
    hash            BLOB NOT NULL,
    CHECK (value IS NOT NULL OR corrects IS NOT NULL)
) STRICT;

CREATE INDEX entry_build ON entry (build);

CREATE TRIGGER file_no_update BEFORE UPDATE ON file BEGIN SELECT RAISE(ABORT, 'the record is append-only: a file is never changed'); END;
CREATE TRIGGER file_no_delete BEFORE DELETE ON file BEGIN SELECT RAISE(ABORT, 'the record is append-only: a file is never deleted'); END;
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the record is append-only: enter a correction'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'the record is append-only: an entry is never deleted'); END;

-- INSERT OR REPLACE deletes without firing the triggers above, so a row may only come next.
CREATE TRIGGER file_comes_next BEFORE INSERT ON file
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM file) OR EXISTS (SELECT 1 FROM file WHERE sha256 = NEW.sha256)
    BEGIN SELECT RAISE(ABORT, 'the record is append-only: a file comes after the last one, and once'); END;
CREATE TRIGGER entry_comes_next BEFORE INSERT ON entry
    WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM entry)
    BEGIN SELECT RAISE(ABORT, 'the record is append-only: an entry comes after the last one'); END;
