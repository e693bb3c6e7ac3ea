-- Pictures: what is known of those whose bytes have arrived. The bytes are files of the data folder, each under its hash.

CREATE TABLE blob (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  job_id TEXT NOT NULL REFERENCES entity (id),
  photo_id TEXT NOT NULL REFERENCES entity (id),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  type TEXT NOT NULL CHECK (type IN ('image/jpeg', 'image/png')),
  size_bytes INTEGER NOT NULL CHECK (size_bytes BETWEEN 1 AND 25000000),
  width_px INTEGER NOT NULL CHECK (width_px BETWEEN 1 AND 12000),
  height_px INTEGER NOT NULL CHECK (height_px BETWEEN 1 AND 12000)
) STRICT, WITHOUT ROWID;

CREATE INDEX blob_of_job ON blob (job_id);
CREATE INDEX blob_of_photo ON blob (photo_id);

CREATE TRIGGER blob_never_changes BEFORE UPDATE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never changes'); END;

CREATE TRIGGER blob_never_goes BEFORE DELETE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never goes'); END;
