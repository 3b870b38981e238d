/** First schema of a workshop file. Released schemas never change: a change is a new migration. */
export const schema1 = `
CREATE TABLE product (
  seq       INTEGER PRIMARY KEY,
  id        TEXT NOT NULL,
  revision  TEXT NOT NULL,
  added_at  TEXT NOT NULL,
  content   TEXT NOT NULL CHECK (json_valid(content)),
  UNIQUE (id, revision)
) STRICT;

CREATE TABLE unit (
  serial      TEXT PRIMARY KEY,
  product_id  TEXT NOT NULL,
  revision    TEXT NOT NULL,
  state       TEXT NOT NULL CHECK (state IN ('building', 'untested', 'ready', 'failed', 'rework', 'reserved',
                                             'shipped', 'returned', 'scrapped')),
  created_at  TEXT NOT NULL,
  updated_at  TEXT NOT NULL,
  last_run_id TEXT REFERENCES test_run (id),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision)
) STRICT;
CREATE INDEX unit_by_state ON unit (state, created_at);
CREATE INDEX unit_by_change ON unit (updated_at);
CREATE INDEX unit_by_last_run ON unit (last_run_id);

CREATE TABLE reference (
  product_id TEXT NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  revision   TEXT NOT NULL,
  created_at TEXT NOT NULL,
  station    TEXT NOT NULL,
  note       TEXT NOT NULL,
  sweep      TEXT NOT NULL CHECK (json_valid(sweep)),
  PRIMARY KEY (product_id, version),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision)
) STRICT;

CREATE TABLE reference_setting (
  product_id       TEXT NOT NULL,
  version          INTEGER NOT NULL,
  position         INTEGER NOT NULL,
  setting          TEXT NOT NULL,
  runs             INTEGER NOT NULL CHECK (runs >= 1),
  polarity         INTEGER NOT NULL CHECK (polarity IN (-1, 1)),
  gain_at_1khz_db  REAL NOT NULL,
  frequency_hz     BLOB NOT NULL,
  gain_db          BLOB NOT NULL,
  phase_deg        BLOB NOT NULL,
  uncertainty_db   BLOB NOT NULL,
  repeatability_db BLOB NOT NULL,
  PRIMARY KEY (product_id, version, position),
  UNIQUE (product_id, version, setting),
  FOREIGN KEY (product_id, version) REFERENCES reference (product_id, version)
) STRICT;

CREATE TABLE test_run (
  seq               INTEGER PRIMARY KEY,
  id                TEXT NOT NULL UNIQUE,
  serial            TEXT NOT NULL REFERENCES unit (serial),
  product_id        TEXT NOT NULL,
  revision          TEXT NOT NULL,
  started_at        TEXT NOT NULL,
  station           TEXT NOT NULL,
  rig               TEXT NOT NULL,
  sweep             TEXT NOT NULL CHECK (json_valid(sweep)),
  reference_version INTEGER NOT NULL,
  plan_hash         TEXT NOT NULL,
  verdict           TEXT NOT NULL CHECK (verdict IN ('pass', 'fail', 'repeat')),
  reason            TEXT NOT NULL,
  judgement         TEXT NOT NULL CHECK (json_valid(judgement)),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision),
  FOREIGN KEY (product_id, reference_version) REFERENCES reference (product_id, version)
) STRICT;
CREATE INDEX test_run_by_serial ON test_run (serial, seq);

CREATE TABLE measurement (
  run_seq             INTEGER NOT NULL REFERENCES test_run (seq),
  position            INTEGER NOT NULL,
  setting             TEXT NOT NULL,
  usable              INTEGER NOT NULL CHECK (usable IN (0, 1)),
  findings            TEXT NOT NULL CHECK (json_valid(findings)),
  origin              TEXT NOT NULL,
  rate_hz             REAL NOT NULL,
  delay_s             REAL NOT NULL,
  polarity            INTEGER NOT NULL CHECK (polarity IN (-1, 1)),
  gain_at_1khz_db     REAL,
  frequency_hz        BLOB,
  gain_db             BLOB,
  phase_deg           BLOB,
  uncertainty_db      BLOB,
  distortion          TEXT CHECK (distortion IS NULL OR json_valid(distortion)),
  noise               TEXT CHECK (noise IS NULL OR json_valid(noise)),
  PRIMARY KEY (run_seq, position),
  UNIQUE (run_seq, setting)
) STRICT;

CREATE TABLE impulse_response (
  run_seq     INTEGER NOT NULL,
  setting     TEXT NOT NULL,
  makes_curve INTEGER NOT NULL CHECK (makes_curve IN (0, 1)),
  rate_hz     REAL NOT NULL,
  zero_index  REAL NOT NULL,
  samples     BLOB NOT NULL,
  noise       BLOB NOT NULL,
  PRIMARY KEY (run_seq, setting),
  FOREIGN KEY (run_seq, setting) REFERENCES measurement (run_seq, setting)
) STRICT;

CREATE TABLE journal (
  seq     INTEGER PRIMARY KEY,
  at      TEXT NOT NULL,
  station TEXT NOT NULL,
  verb    TEXT NOT NULL,
  noun    TEXT NOT NULL,
  key     TEXT NOT NULL,
  detail  TEXT NOT NULL CHECK (json_valid(detail)),
  seal    TEXT NOT NULL
) STRICT;
CREATE INDEX journal_about ON journal (noun, key, seq);

-- What has happened stays: these rows are only ever added. The journal's numbers have no gap.
CREATE TRIGGER journal_next BEFORE INSERT ON journal
  WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM journal)
  BEGIN SELECT raise(ABORT, 'a journal entry takes the next number'); END;
CREATE TRIGGER journal_fixed BEFORE UPDATE ON journal
  BEGIN SELECT raise(ABORT, 'the journal is never rewritten'); END;
CREATE TRIGGER journal_kept BEFORE DELETE ON journal
  BEGIN SELECT raise(ABORT, 'the journal is never rewritten'); END;
CREATE TRIGGER product_fixed BEFORE UPDATE ON product
  BEGIN SELECT raise(ABORT, 'a revision is frozen'); END;
CREATE TRIGGER product_kept BEFORE DELETE ON product
  BEGIN SELECT raise(ABORT, 'a revision is frozen'); END;
CREATE TRIGGER reference_fixed BEFORE UPDATE ON reference
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER reference_kept BEFORE DELETE ON reference
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER reference_setting_fixed BEFORE UPDATE ON reference_setting
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER reference_setting_kept BEFORE DELETE ON reference_setting
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER test_run_fixed BEFORE UPDATE ON test_run
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER test_run_kept BEFORE DELETE ON test_run
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER measurement_fixed BEFORE UPDATE ON measurement
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER measurement_kept BEFORE DELETE ON measurement
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER impulse_response_fixed BEFORE UPDATE ON impulse_response
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER impulse_response_kept BEFORE DELETE ON impulse_response
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;

-- A unit is on the shelf, promised or gone only with a last verdict "pass".
CREATE TRIGGER unit_leaves_passed BEFORE UPDATE ON unit
  WHEN NEW.state IN ('ready', 'reserved', 'shipped') AND NOT EXISTS (
    SELECT 1 FROM test_run WHERE id = NEW.last_run_id AND serial = NEW.serial AND verdict = 'pass'
      AND seq = (SELECT max(seq) FROM test_run WHERE serial = NEW.serial))
  BEGIN SELECT raise(ABORT, 'a unit leaves only with a last verdict pass'); END;
CREATE TRIGGER unit_begins_untested BEFORE INSERT ON unit
  WHEN NEW.state IN ('ready', 'reserved', 'shipped')
  BEGIN SELECT raise(ABORT, 'a unit leaves only with a last verdict pass'); END;
CREATE TRIGGER unit_kept BEFORE DELETE ON unit
  BEGIN SELECT raise(ABORT, 'a unit is never removed; scrap it instead'); END;
`
