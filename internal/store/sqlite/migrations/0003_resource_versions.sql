-- +goose Up

-- Which state of its resource a document is, as its source says: the instant of
-- the last change in nanoseconds since 1970 UTC, and one more than the whole
-- number of the version. 0 is not told, as for all that came before these
-- columns. No content: a document may stay while they move on.
ALTER TABLE person ADD COLUMN meta_updated INTEGER NOT NULL DEFAULT 0;
ALTER TABLE person ADD COLUMN meta_version INTEGER NOT NULL DEFAULT 0;
ALTER TABLE fact ADD COLUMN meta_updated INTEGER NOT NULL DEFAULT 0;
ALTER TABLE fact ADD COLUMN meta_version INTEGER NOT NULL DEFAULT 0;
