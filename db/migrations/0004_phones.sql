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
