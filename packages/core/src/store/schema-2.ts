/** Second schema: diagnoses of test runs, and reworks of units. Released schemas never change: a change is a new migration. */
export const schema2 = `
CREATE TABLE diagnosis (
  seq      INTEGER PRIMARY KEY,
  run_id   TEXT NOT NULL REFERENCES test_run (id),
  at       TEXT NOT NULL,
  station  TEXT NOT NULL,
  evidence TEXT NOT NULL CHECK (json_valid(evidence)),
  content  TEXT NOT NULL CHECK (json_valid(content)),
  leading  TEXT NOT NULL CHECK (json_valid(leading))
) STRICT;
CREATE INDEX diagnosis_by_run ON diagnosis (run_id, seq);

CREATE TABLE rework (
  seq          INTEGER PRIMARY KEY,
  serial       TEXT NOT NULL REFERENCES unit (serial),
  at           TEXT NOT NULL,
  station      TEXT NOT NULL,
  designator   TEXT NOT NULL,
  action       TEXT NOT NULL,
  part         TEXT,
  lot          TEXT,
  note         TEXT NOT NULL,
  after_run_id TEXT REFERENCES test_run (id),
  diagnosis_id INTEGER REFERENCES diagnosis (seq)
) STRICT;
CREATE INDEX rework_by_serial ON rework (serial, seq);
CREATE INDEX rework_by_run ON rework (after_run_id);

CREATE TRIGGER diagnosis_fixed BEFORE UPDATE ON diagnosis
  BEGIN SELECT raise(ABORT, 'a diagnosis is never changed'); END;
CREATE TRIGGER diagnosis_kept BEFORE DELETE ON diagnosis
  BEGIN SELECT raise(ABORT, 'a diagnosis is never changed'); END;
CREATE TRIGGER rework_fixed BEFORE UPDATE ON rework
  BEGIN SELECT raise(ABORT, 'a rework is never changed'); END;
CREATE TRIGGER rework_kept BEFORE DELETE ON rework
  BEGIN SELECT raise(ABORT, 'a rework is never changed'); END;

-- A rework follows the unit's last test run, and the diagnosis it goes by is one of that run.
CREATE TRIGGER rework_follows_last_run BEFORE INSERT ON rework
  WHEN NEW.after_run_id IS NOT (SELECT id FROM test_run WHERE serial = NEW.serial ORDER BY seq DESC LIMIT 1)
  BEGIN SELECT raise(ABORT, 'a rework follows the last test run of its unit'); END;
CREATE TRIGGER rework_by_own_diagnosis BEFORE INSERT ON rework
  WHEN NEW.diagnosis_id IS NOT NULL
    AND (SELECT run_id FROM diagnosis WHERE seq = NEW.diagnosis_id) IS NOT NEW.after_run_id
  BEGIN SELECT raise(ABORT, 'a rework goes by a diagnosis of the run it follows'); END;
-- A unit that is reworked is off the shelf before the soldering iron is hot.
CREATE TRIGGER rework_off_the_shelf BEFORE INSERT ON rework
  WHEN (SELECT state FROM unit WHERE serial = NEW.serial) IS NOT 'rework'
  BEGIN SELECT raise(ABORT, 'a unit is taken to rework before it is reworked'); END;
-- Without these, INSERT OR REPLACE by a program that has recursive triggers off would change a row.
CREATE TRIGGER diagnosis_new BEFORE INSERT ON diagnosis WHEN EXISTS (SELECT 1 FROM diagnosis WHERE seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a diagnosis is never changed'); END;
CREATE TRIGGER rework_new BEFORE INSERT ON rework WHEN EXISTS (SELECT 1 FROM rework WHERE seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a rework is never changed'); END;
-- A unit leaves only when nothing was reworked after its last verdict.
CREATE TRIGGER unit_leaves_as_tested BEFORE UPDATE ON unit
  WHEN NEW.state IN ('ready', 'reserved', 'shipped') AND EXISTS (
    SELECT 1 FROM rework WHERE serial = NEW.serial
      AND after_run_id IS (SELECT id FROM test_run WHERE serial = NEW.serial ORDER BY seq DESC LIMIT 1))
  BEGIN SELECT raise(ABORT, 'a unit leaves only as it was tested: nothing reworked after the last verdict'); END;
`
