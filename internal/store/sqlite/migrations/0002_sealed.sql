-- +goose Up

-- The text of a document that a device signed, byte for byte, beside what was
-- read from it. NULL where the document was put together here.
ALTER TABLE exam ADD COLUMN sealed BLOB;
