-- Which entries stand: for looking a correction up quickly, and for people who query the record with tools of their own.

CREATE INDEX entry_corrects ON entry (corrects) WHERE corrects IS NOT NULL;

CREATE VIEW standing AS
    SELECT e.*, f.name AS file_name, f.added_by, f.added_at, f.why
    FROM entry e JOIN file f ON f.number = e.file
    WHERE e.value IS NOT NULL AND NOT EXISTS (SELECT 1 FROM entry c WHERE c.corrects = e.number);
