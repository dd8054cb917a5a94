-- The record: files as they came in, and the readings in them, a row each. Rows are only ever added; a correction is a new row that names the old one.
-- hash chains every row to the one before it (METHOD.md): a file's row, then its entries, then the next file's row.

CREATE TABLE file (
    number     bigint PRIMARY KEY,      -- 1, 2, 3, ...
    name       text NOT NULL,
    sha256     text UNIQUE,             -- of the file's bytes; null for corrections made by hand
    entries    bigint NOT NULL,         -- how many rows of entry belong to it
    added_by   text NOT NULL,
    added_at   text NOT NULL,           -- ISO 8601
    why        text,                    -- always there where an entry corrects another
    hash       bytea NOT NULL
);

CREATE TABLE entry (
    number          bigint PRIMARY KEY, -- 1, 2, 3, ... through all files
    file            bigint NOT NULL,
    line            bigint NOT NULL,
    corrects        bigint,             -- the entry that this one stands in for; null for a first reading
    build           text NOT NULL,
    door            text NOT NULL,
    station         text NOT NULL,
    characteristic  text NOT NULL,
    stage           text,
    definition      text,
    repeat          bigint,
    value           double precision,   -- in the characteristic's unit; null where the corrected entry is withdrawn
    written_value   text NOT NULL,
    written_unit    text NOT NULL,
    gauge           text,
    inspector       text,
    taken_at        text,
    temperature_c   double precision,
    uncertainty     double precision,   -- expanded, k = 2, in the characteristic's unit
    plan_issue      text,
    note            text,
    hash            bytea NOT NULL,
    CHECK (value IS NOT NULL OR corrects IS NOT NULL)
);

CREATE INDEX entry_build ON entry (build);

CREATE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $body$
BEGIN
    RAISE EXCEPTION 'the record is append-only: % on % is refused; enter a correction', TG_OP, TG_TABLE_NAME;
END
$body$;

CREATE TRIGGER file_no_change BEFORE DELETE OR UPDATE ON file FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER file_no_truncate BEFORE TRUNCATE ON file FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER entry_no_change BEFORE DELETE OR UPDATE ON entry FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER entry_no_truncate BEFORE TRUNCATE ON entry FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
