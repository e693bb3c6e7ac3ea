-- Pictures as WebP.

DROP INDEX blob_of_job;
DROP INDEX blob_of_photo;
DROP TRIGGER blob_never_changes;
DROP TRIGGER blob_never_goes;
ALTER TABLE blob RENAME TO blob_before;

CREATE TABLE blob (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  job_id TEXT NOT NULL REFERENCES entity (id),
  photo_id TEXT NOT NULL REFERENCES entity (id),
  sha256 TEXT NOT NULL CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  type TEXT NOT NULL CHECK (type IN ('image/jpeg', 'image/png', 'image/webp', 'image/heic')),
  size_bytes INTEGER NOT NULL CHECK (size_bytes BETWEEN 1 AND 25000000),
  width_px INTEGER NOT NULL CHECK (width_px BETWEEN 1 AND 12000),
  height_px INTEGER NOT NULL CHECK (height_px BETWEEN 1 AND 12000)
) STRICT, WITHOUT ROWID;

INSERT INTO blob (id, job_id, photo_id, sha256, type, size_bytes, width_px, height_px)
SELECT id, job_id, photo_id, sha256, type, size_bytes, width_px, height_px
FROM blob_before;

DROP TABLE blob_before;

CREATE INDEX blob_of_job ON blob (job_id);
CREATE INDEX blob_of_photo ON blob (photo_id);

CREATE TRIGGER blob_never_changes BEFORE UPDATE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never changes'); END;

CREATE TRIGGER blob_never_goes BEFORE DELETE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never goes'); END;
