-- The record: who may, entries as they arrived, the things they make, and the ledger.

-- One row: what this server is.
CREATE TABLE meta (
  only TEXT NOT NULL PRIMARY KEY CHECK (only = 'row'),
  server_id TEXT NOT NULL CHECK (length(server_id) = 36),
  pairing_shut_at TEXT
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  name TEXT NOT NULL CHECK (length(name) > 0),
  role TEXT NOT NULL CHECK (role IN ('guest', 'crew', 'lead'))
) STRICT, WITHOUT ROWID;

-- Without a session hash it came with a job file and can't sign in.
CREATE TABLE device (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  person_id TEXT NOT NULL REFERENCES person (id),
  name TEXT NOT NULL,
  session_hash TEXT UNIQUE CHECK (length(session_hash) = 64),
  created_at TEXT NOT NULL,
  last_seen_at TEXT,
  revoked_at TEXT
) STRICT, WITHOUT ROWID;

CREATE INDEX device_of_person ON device (person_id);

CREATE TABLE sign_in_code (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  hash TEXT NOT NULL,
  role TEXT NOT NULL CHECK (role IN ('guest', 'crew', 'lead')),
  person_id TEXT REFERENCES person (id),
  created_at TEXT NOT NULL,
  expires_at TEXT NOT NULL,
  wrong_count INTEGER NOT NULL CHECK (wrong_count BETWEEN 0 AND 5),
  spent_at TEXT
) STRICT, WITHOUT ROWID;

CREATE INDEX sign_in_code_of_person ON sign_in_code (person_id);

-- Wrong codes, whichever they were meant for.
CREATE TABLE wrong_code (
  seq INTEGER NOT NULL PRIMARY KEY CHECK (seq BETWEEN 1 AND 9007199254740991),
  at TEXT NOT NULL
) STRICT;

-- Every entry as it arrived, refused ones too. Rows never change.
CREATE TABLE op (
  seq INTEGER NOT NULL PRIMARY KEY CHECK (seq BETWEEN 1 AND 9007199254740991),
  op_id TEXT NOT NULL UNIQUE CHECK (length(op_id) = 36),
  job_id TEXT NOT NULL CHECK (length(job_id) = 36),
  author_id TEXT NOT NULL REFERENCES person (id),
  device_id TEXT NOT NULL REFERENCES device (id),
  kind TEXT NOT NULL,
  entity_id TEXT NOT NULL CHECK (length(entity_id) = 36),
  fields TEXT NOT NULL,
  base TEXT NOT NULL,
  blobs TEXT,
  depends TEXT,
  replaces TEXT,
  device_time TEXT NOT NULL CHECK (device_time GLOB '????-??-??T??:??:??.???Z'),
  tz_offset_min INTEGER CHECK (tz_offset_min BETWEEN -1440 AND 1440),
  received_at TEXT NOT NULL CHECK (received_at GLOB '????-??-??T??:??:??.???Z'),
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  outcome TEXT NOT NULL CHECK (outcome IN ('applied', 'conflict', 'rejected')),
  result TEXT NOT NULL,
  effects TEXT
) STRICT;

CREATE INDEX op_of_job ON op (job_id, seq);
CREATE INDEX op_of_author ON op (author_id);
CREATE INDEX op_of_device ON op (device_id);
CREATE INDEX op_of_entity ON op (entity_id);

CREATE TRIGGER op_never_changes BEFORE UPDATE ON op
BEGIN SELECT RAISE(ABORT, 'an entry never changes'); END;

CREATE TRIGGER op_never_goes BEFORE DELETE ON op
BEGIN SELECT RAISE(ABORT, 'an entry never goes'); END;

-- Every thing, so that each reference is a foreign key. A job is in itself.
CREATE TABLE entity (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  job_id TEXT NOT NULL REFERENCES entity (id),
  kind TEXT NOT NULL,
  added_seq INTEGER NOT NULL REFERENCES op (seq) CHECK (added_seq BETWEEN 1 AND 9007199254740991),
  gone_seq INTEGER REFERENCES op (seq) CHECK (gone_seq BETWEEN 1 AND 9007199254740991),
  gone_because TEXT,
  state TEXT NOT NULL CHECK (state IN ('', 'planned', 'ready', 'under_way', 'done', 'dropped')),
  state_rev INTEGER NOT NULL CHECK (state_rev BETWEEN 0 AND 1000000000)
) STRICT, WITHOUT ROWID;

-- Unique, so that SQLite knows that a job's things come one by one, each with its fields in order: no sorting.
CREATE UNIQUE INDEX entity_of_job ON entity (job_id, id);
CREATE INDEX entity_job ON entity (kind) WHERE kind = 'job';
CREATE INDEX entity_added ON entity (added_seq);
CREATE INDEX entity_gone ON entity (gone_seq) WHERE gone_seq IS NOT NULL;

CREATE TRIGGER entity_never_goes BEFORE DELETE ON entity
BEGIN SELECT RAISE(ABORT, 'a thing is never deleted'); END;

CREATE TRIGGER entity_stays_what_it_is BEFORE UPDATE OF id, job_id, kind, added_seq ON entity
BEGIN SELECT RAISE(ABORT, 'a thing stays what it is'); END;

CREATE TRIGGER entity_goes_once BEFORE UPDATE ON entity WHEN OLD.gone_seq IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a thing goes once'); END;

-- Fields as they stand; an emptied field keeps one row with an empty text, for its rev.
CREATE TABLE field (
  entity_id TEXT NOT NULL REFERENCES entity (id),
  name TEXT NOT NULL,
  position INTEGER NOT NULL CHECK (position BETWEEN 0 AND 100000),
  typed TEXT NOT NULL,
  number INTEGER CHECK (number BETWEEN -1000000000000 AND 1000000000000),
  to_id TEXT REFERENCES entity (id),
  rev INTEGER NOT NULL CHECK (rev BETWEEN 1 AND 1000000000),
  seq INTEGER NOT NULL REFERENCES op (seq) CHECK (seq BETWEEN 1 AND 9007199254740991),
  PRIMARY KEY (entity_id, name, position)
) STRICT, WITHOUT ROWID;

CREATE INDEX field_to ON field (to_id) WHERE to_id IS NOT NULL;
CREATE INDEX field_of_op ON field (seq);

CREATE TRIGGER reading_never_changes BEFORE UPDATE ON field
WHEN EXISTS (SELECT 1 FROM entity WHERE id = OLD.entity_id AND kind = 'reading')
BEGIN SELECT RAISE(ABORT, 'a reading never changes'); END;

CREATE TRIGGER reading_never_goes BEFORE DELETE ON field
WHEN EXISTS (SELECT 1 FROM entity WHERE id = OLD.entity_id AND kind = 'reading')
BEGIN SELECT RAISE(ABORT, 'a reading never goes'); END;

CREATE TRIGGER reading_is_written_once BEFORE INSERT ON field
WHEN EXISTS (SELECT 1 FROM entity WHERE id = NEW.entity_id AND kind = 'reading' AND added_seq <> NEW.seq)
BEGIN SELECT RAISE(ABORT, 'a reading is written once'); END;

-- What an entry wanted of a field that someone else had changed meanwhile.
CREATE TABLE conflict (
  seq INTEGER NOT NULL REFERENCES op (seq) CHECK (seq BETWEEN 1 AND 9007199254740991),
  entity_id TEXT NOT NULL REFERENCES entity (id),
  field TEXT NOT NULL,
  yours TEXT NOT NULL,
  base_rev INTEGER NOT NULL CHECK (base_rev BETWEEN 0 AND 1000000000),
  server_rev INTEGER NOT NULL CHECK (server_rev BETWEEN 0 AND 1000000000),
  at TEXT NOT NULL,
  PRIMARY KEY (seq, field)
) STRICT, WITHOUT ROWID;

CREATE INDEX conflict_of_entity ON conflict (entity_id, field);

-- The ledger: sticks and panels on hand and listed, and what moved. Movements never change.
CREATE TABLE stock_row (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 36),
  job_id TEXT NOT NULL REFERENCES entity (id),
  item TEXT NOT NULL,
  is_here TEXT NOT NULL CHECK (is_here IN ('yes', 'no')),
  body TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE INDEX stock_row_of_job ON stock_row (job_id);

CREATE TRIGGER stock_row_never_goes BEFORE DELETE ON stock_row
BEGIN SELECT RAISE(ABORT, 'a row of the ledger never goes'); END;

CREATE TABLE movement (
  seq INTEGER NOT NULL REFERENCES op (seq) CHECK (seq BETWEEN 1 AND 9007199254740991),
  position INTEGER NOT NULL CHECK (position BETWEEN 0 AND 100000),
  job_id TEXT NOT NULL REFERENCES entity (id),
  item TEXT NOT NULL,
  row_id TEXT REFERENCES stock_row (id),
  item_count INTEGER NOT NULL CHECK (item_count BETWEEN -1000000000 AND 1000000000),
  cause TEXT NOT NULL CHECK (
    cause IN ('bought', 'returned', 'salvaged', 'used', 'given_back', 'counted', 'reversed')
  ),
  body TEXT NOT NULL,
  PRIMARY KEY (seq, position)
) STRICT, WITHOUT ROWID;

CREATE INDEX movement_of_job ON movement (job_id);
CREATE INDEX movement_of_row ON movement (row_id) WHERE row_id IS NOT NULL;

CREATE TRIGGER movement_never_changes BEFORE UPDATE ON movement
BEGIN SELECT RAISE(ABORT, 'a movement never changes'); END;

CREATE TRIGGER movement_never_goes BEFORE DELETE ON movement
BEGIN SELECT RAISE(ABORT, 'a movement never goes'); END;

-- What else entries did to the ledger, each written once.
CREATE TABLE ledger_fact (
  seq INTEGER NOT NULL REFERENCES op (seq) CHECK (seq BETWEEN 1 AND 9007199254740991),
  position INTEGER NOT NULL CHECK (position BETWEEN 0 AND 100000),
  job_id TEXT NOT NULL REFERENCES entity (id),
  fact TEXT NOT NULL CHECK (fact IN ('order', 'keep', 'share')),
  body TEXT NOT NULL,
  PRIMARY KEY (seq, position)
) STRICT, WITHOUT ROWID;

CREATE INDEX ledger_fact_of_job ON ledger_fact (job_id);

CREATE TRIGGER ledger_fact_never_changes BEFORE UPDATE ON ledger_fact
BEGIN SELECT RAISE(ABORT, 'a fact of the ledger never changes'); END;

CREATE TRIGGER ledger_fact_never_goes BEFORE DELETE ON ledger_fact
BEGIN SELECT RAISE(ABORT, 'a fact of the ledger never goes'); END;

-- Pictures: what is known of those whose bytes have arrived. The bytes are files of the data folder, each under its hash.

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

CREATE INDEX blob_of_job ON blob (job_id);
CREATE INDEX blob_of_photo ON blob (photo_id);

CREATE TRIGGER blob_never_changes BEFORE UPDATE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never changes'); END;

CREATE TRIGGER blob_never_goes BEFORE DELETE ON blob
BEGIN SELECT RAISE(ABORT, 'a picture never goes'); END;

-- Phones away from the server: what arrived from each, by its own count and clock; and who was let in or shut out.

-- How far the device's clock was off, where its time can't be relied on; nothing where it can.
ALTER TABLE op ADD COLUMN clock_off_seconds INTEGER CHECK (clock_off_seconds BETWEEN -400000000000 AND 400000000000);

-- Goes up with each change of the role, so that a phone learns that its saved pages are no longer its own.
ALTER TABLE person ADD COLUMN role_rev INTEGER NOT NULL DEFAULT 1 CHECK (role_rev BETWEEN 1 AND 1000000000);

-- What the phone last said is still waiting on it.
ALTER TABLE device ADD COLUMN waiting_count INTEGER NOT NULL DEFAULT 0 CHECK (waiting_count BETWEEN 0 AND 1000000000);

-- Every entry that a phone sent from its outbox and that was answered for good, with the answer. Rows never change.
CREATE TABLE sent (
  op_id TEXT NOT NULL PRIMARY KEY CHECK (length(op_id) = 36),
  device_id TEXT NOT NULL REFERENCES device (id),
  device_seq INTEGER NOT NULL CHECK (device_seq BETWEEN 1 AND 9007199254740991),
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  status TEXT NOT NULL CHECK (status IN ('applied', 'conflict', 'rejected')),
  answer TEXT NOT NULL,
  device_time TEXT NOT NULL CHECK (device_time GLOB '????-??-??T??:??:??.???Z'),
  clock_skew_seconds INTEGER NOT NULL CHECK (clock_skew_seconds BETWEEN -400000000000 AND 400000000000),
  received_at TEXT NOT NULL CHECK (received_at GLOB '????-??-??T??:??:??.???Z')
) STRICT, WITHOUT ROWID;

CREATE INDEX sent_by_device ON sent (device_id, device_seq);

CREATE TRIGGER sent_never_changes BEFORE UPDATE ON sent
BEGIN SELECT RAISE(ABORT, 'an answer never changes'); END;

CREATE TRIGGER sent_never_goes BEFORE DELETE ON sent
BEGIN SELECT RAISE(ABORT, 'an answer never goes'); END;

-- Who was let in, renamed or shut out, and by whom. Rows never change.
CREATE TABLE access (
  seq INTEGER NOT NULL PRIMARY KEY CHECK (seq BETWEEN 1 AND 9007199254740991),
  at TEXT NOT NULL CHECK (at GLOB '????-??-??T??:??:??.???Z'),
  what TEXT NOT NULL CHECK (what IN ('code', 'paired', 'role', 'revoked', 'pairing_shut', 'pairing_opened')),
  device_id TEXT REFERENCES device (id),
  person_id TEXT REFERENCES person (id),
  by_device_id TEXT REFERENCES device (id),
  words TEXT NOT NULL
) STRICT;

CREATE INDEX access_of_device ON access (device_id) WHERE device_id IS NOT NULL;
CREATE INDEX access_of_person ON access (person_id) WHERE person_id IS NOT NULL;
CREATE INDEX access_by_device ON access (by_device_id) WHERE by_device_id IS NOT NULL;

CREATE TRIGGER access_never_changes BEFORE UPDATE ON access
BEGIN SELECT RAISE(ABORT, 'what was done about access never changes'); END;

CREATE TRIGGER access_never_goes BEFORE DELETE ON access
BEGIN SELECT RAISE(ABORT, 'what was done about access never goes'); END;
