-- Returns, orders, kept lists, and which changes a receipt's lines are for.

-- As before, with what went back.
ALTER TABLE movement RENAME TO movement_before;
DROP INDEX movement_of_job;
DROP INDEX movement_of_row;

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

INSERT INTO movement (seq, position, job_id, item, row_id, item_count, cause, body)
SELECT seq, position, job_id, item, row_id, item_count, cause, body FROM movement_before;

DROP TABLE movement_before;

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
