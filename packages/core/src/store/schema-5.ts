/** Fifth schema: boards pressed hard, and the reference board's signatures. Released schemas never change: a change is a new migration. */
export const schema5 = `
CREATE TABLE hard_reference (
  product_id TEXT NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  revision   TEXT NOT NULL,
  created_at TEXT NOT NULL,
  station    TEXT NOT NULL,
  note       TEXT NOT NULL,
  takes      TEXT NOT NULL CHECK (json_valid(takes)),
  PRIMARY KEY (product_id, version),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision)
) STRICT;

CREATE TABLE hard_run (
  seq               INTEGER PRIMARY KEY,
  id                TEXT NOT NULL UNIQUE,
  serial            TEXT NOT NULL REFERENCES unit (serial),
  product_id        TEXT NOT NULL,
  revision          TEXT NOT NULL,
  started_at        TEXT NOT NULL,
  station           TEXT NOT NULL,
  rig               TEXT NOT NULL,
  rig_settings      TEXT CHECK (rig_settings IS NULL OR json_valid(rig_settings)),
  reference_version INTEGER NOT NULL,
  plan_hash         TEXT NOT NULL,
  verdict           TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'repeat')),
  reason            TEXT NOT NULL,
  judgement         TEXT NOT NULL CHECK (json_valid(judgement)),
  signature         TEXT NOT NULL CHECK (json_valid(signature)),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision),
  FOREIGN KEY (product_id, reference_version) REFERENCES hard_reference (product_id, version)
) STRICT;
CREATE INDEX hard_run_by_serial ON hard_run (serial, seq);

CREATE TRIGGER hard_reference_fixed BEFORE UPDATE ON hard_reference
  BEGIN SELECT raise(ABORT, 'a reference signature is frozen'); END;
CREATE TRIGGER hard_reference_kept BEFORE DELETE ON hard_reference
  BEGIN SELECT raise(ABORT, 'a reference signature is frozen'); END;
CREATE TRIGGER hard_run_fixed BEFORE UPDATE ON hard_run
  BEGIN SELECT raise(ABORT, 'a run is never changed'); END;
CREATE TRIGGER hard_run_kept BEFORE DELETE ON hard_run
  BEGIN SELECT raise(ABORT, 'a run is never changed'); END;
-- Without these, INSERT OR REPLACE by a program that has recursive triggers off would change a row.
CREATE TRIGGER hard_reference_new BEFORE INSERT ON hard_reference
  WHEN EXISTS (SELECT 1 FROM hard_reference WHERE product_id = NEW.product_id AND version = NEW.version)
  BEGIN SELECT raise(ABORT, 'a reference signature is frozen'); END;
CREATE TRIGGER hard_run_new BEFORE INSERT ON hard_run
  WHEN EXISTS (SELECT 1 FROM hard_run WHERE seq = NEW.seq OR id = NEW.id)
  BEGIN SELECT raise(ABORT, 'a run is never changed'); END;
-- A board that failed when it was pressed hard is on no shelf until it is reworked, or pressed again and passes.
CREATE TRIGGER unit_leaves_pressed_hard BEFORE UPDATE ON unit
  WHEN NEW.state IN ('ready', 'reserved', 'shipped') AND OLD.state NOT IN ('reserved', 'shipped')
    AND (SELECT verdict FROM hard_run WHERE serial = NEW.serial ORDER BY seq DESC LIMIT 1) = 'fail'
    AND NOT EXISTS (
      SELECT 1 FROM rework WHERE serial = NEW.serial
        AND at > (SELECT started_at FROM hard_run WHERE serial = NEW.serial ORDER BY seq DESC LIMIT 1))
  BEGIN SELECT raise(ABORT, 'a unit leaves only when it did not fail pressed hard'); END;
`
