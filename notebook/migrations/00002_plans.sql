-- +goose Up

-- A row of plans is one plan as it was handed to a producer, frozen with everything it was computed from.
-- Rows are added by Freeze and never changed or removed.
CREATE TABLE plans (
	-- Names the plan on paper and in addresses.
	id TEXT PRIMARY KEY CHECK (id <> ''),

	-- The id of the field the plan is for. Not a foreign key: fields are entries, not rows.
	field TEXT NOT NULL CHECK (field <> ''),

	-- The moment it was frozen, in UTC, written like entries.recorded, and by whom (NULL: not said).
	made TEXT NOT NULL CHECK (made GLOB
		'[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:[0-9][0-9].[0-9][0-9][0-9][0-9][0-9][0-9][0-9][0-9][0-9]Z'),
	made_by TEXT CHECK (made_by <> ''),

	-- The shape of the frozen plan and the version of the program that computed it.
	format TEXT NOT NULL CHECK (format <> ''),
	engine TEXT NOT NULL CHECK (engine <> ''),

	-- SHA-256 of input and plan together, in hexadecimal; see advice.HashOf. The same plan on the same input
	-- is frozen once.
	hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'),

	-- What the plan was computed from, and the plan: JSON without white space, compressed with Zstandard.
	input BLOB NOT NULL CHECK (length(input) > 0),
	plan BLOB NOT NULL CHECK (length(plan) > 0)
) STRICT;

CREATE INDEX plans_field ON plans (field, made, id);

-- +goose StatementBegin
CREATE TRIGGER plans_are_not_changed BEFORE UPDATE ON plans
BEGIN
	SELECT RAISE(ABORT, 'a frozen plan is never changed; freeze another');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER plans_are_not_removed BEFORE DELETE ON plans
BEGIN
	SELECT RAISE(ABORT, 'a frozen plan is never removed');
END;
-- +goose StatementEnd

-- As for entries: INSERT OR REPLACE must not get around the trigger above.
-- +goose StatementBegin
CREATE TRIGGER plans_are_not_replaced BEFORE INSERT ON plans
WHEN EXISTS (SELECT 1 FROM plans WHERE id = NEW.id OR hash = NEW.hash)
BEGIN
	SELECT RAISE(IGNORE);
END;
-- +goose StatementEnd
