-- +goose Up

-- A row of entries is one thing that somebody wrote down: a reading, a soil test, a price, the outline of a
-- field, or the correction of an earlier entry. Rows are added and never changed or removed. They are added
-- only by Append and Import, which check them first; the constraints here hold for every other program too.
--
-- An empty text is never stored: what is not known is NULL.
CREATE TABLE entries (
	-- Counts the entries in the order this notebook took them in. The largest is the notebook's revision.
	-- SQLite takes the largest and one more; as no row is ever removed, none comes twice.
	revision INTEGER PRIMARY KEY CHECK (revision > 0),

	-- Made where the entry was written, on whatever device: the same id is the same entry.
	id TEXT NOT NULL UNIQUE CHECK (id <> ''),

	-- What is recorded, the version of the body's shape, and what it speaks of: the natural key within the
	-- kind. All are NULL for an entry that only takes another back.
	kind TEXT CHECK (kind <> ''),
	version INTEGER CHECK (version >= 1),
	subject TEXT CHECK (subject <> ''),

	-- The id of the field that the body is about, NULL for what belongs to no single field. Drawn from the
	-- body, to find a field's history without reading every body. It is not a foreign key: a phone's
	-- reading may arrive before the field itself.
	field TEXT CHECK (field <> ''),

	-- The id of the entry that this one corrects. Not a foreign key either, for the same reason: refusing a
	-- correction because its original is still on another phone would lose it.
	supersedes TEXT CHECK (supersedes <> '' AND supersedes <> id),

	-- The day in the field, 2027-02-10, on which the thing was seen or became true.
	observed TEXT CHECK (observed GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]'),

	-- The moment it was written down, by the writer's clock, in UTC. All nine digits of the second are
	-- there, so that text order is order in time.
	recorded TEXT NOT NULL CHECK (recorded GLOB
		'[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9].[0-9][0-9][0-9][0-9][0-9][0-9][0-9][0-9][0-9]Z'),

	-- The person or device that wrote it.
	writer TEXT NOT NULL CHECK (writer <> ''),

	-- The file and line it was read from, NULL for what was not read from a file.
	file TEXT CHECK (file <> ''),
	line INTEGER CHECK (line > 0),

	-- 1 for a correction that takes the superseded entry back and puts nothing in its place.
	withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1)),

	-- The body as JSON, in the units that season's types name: kg/ha, m, mm, degrees Celsius, currency per kg.
	body TEXT CHECK (json_valid(body) AND json_type(body) = 'object'),

	CHECK ((kind IS NULL) = (body IS NULL) AND (version IS NULL) = (body IS NULL) AND (subject IS NULL) = (body IS NULL)),
	CHECK (body IS NOT NULL OR withdrawn = 1),
	CHECK (withdrawn = 0 OR supersedes IS NOT NULL)
) STRICT;

CREATE INDEX entries_subject ON entries (kind, subject);
CREATE INDEX entries_field ON entries (field) WHERE field IS NOT NULL;
CREATE INDEX entries_supersedes ON entries (supersedes) WHERE supersedes IS NOT NULL;

-- +goose StatementBegin
CREATE TRIGGER entries_are_not_changed BEFORE UPDATE ON entries
BEGIN
	SELECT RAISE(ABORT, 'an entry is never changed; append a correction that supersedes it');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_are_not_removed BEFORE DELETE ON entries
BEGIN
	SELECT RAISE(ABORT, 'an entry is never removed; append a correction that withdraws it');
END;
-- +goose StatementEnd

-- INSERT OR REPLACE would remove a row without asking the trigger above. An entry that is already here is
-- passed over instead; Append compares the two.
-- +goose StatementBegin
CREATE TRIGGER entries_are_not_replaced BEFORE INSERT ON entries
WHEN EXISTS (SELECT 1 FROM entries WHERE id = NEW.id OR revision = NEW.revision)
BEGIN
	SELECT RAISE(IGNORE);
END;
-- +goose StatementEnd
