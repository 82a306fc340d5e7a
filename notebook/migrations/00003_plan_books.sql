-- +goose Up

-- The advisor's own rulebooks that the plan used: a JSON object of their texts by digest, compressed like the
-- plan, which names the digests. NULL where it used none. Books that come with Culm belong to the engine.
ALTER TABLE plans ADD COLUMN books BLOB CHECK (books IS NULL OR length(books) > 0);
