/**
 * Fourth schema: rig checks with the units they put in doubt, gauge studies, and the rig's uncertainty that a study gave and a
 * test run was judged by. Released schemas never change: a change is a new migration.
 */
export const schema4 = `
CREATE TABLE rig_check (
  id                INTEGER PRIMARY KEY,
  at                TEXT NOT NULL,
  station           TEXT NOT NULL,
  product_id        TEXT NOT NULL,
  revision          TEXT NOT NULL,
  rig               TEXT NOT NULL,
  rig_kind          TEXT NOT NULL CHECK (rig_kind IN ('sound-interface', 'files', 'simulated')),
  reference_version INTEGER NOT NULL,
  after_run_seq     INTEGER NOT NULL,
  outcome           TEXT NOT NULL CHECK (outcome IN ('good', 'drifted', 'repeat')),
  content           TEXT NOT NULL CHECK (json_valid(content)),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision),
  FOREIGN KEY (product_id, reference_version) REFERENCES reference (product_id, version)
) STRICT;
CREATE INDEX rig_check_by_rig ON rig_check (product_id, rig_kind, id);
CREATE INDEX test_run_by_product ON test_run (product_id, seq);

CREATE TABLE retest (
  check_id INTEGER NOT NULL REFERENCES rig_check (id),
  serial   TEXT NOT NULL REFERENCES unit (serial),
  run_id   TEXT NOT NULL REFERENCES test_run (id),
  PRIMARY KEY (check_id, serial)
) STRICT;
CREATE INDEX retest_by_serial ON retest (serial);
CREATE INDEX retest_by_run ON retest (run_id);

CREATE TABLE gauge_study (
  id         INTEGER PRIMARY KEY,
  started_at TEXT NOT NULL,
  station    TEXT NOT NULL,
  product_id TEXT NOT NULL,
  revision   TEXT NOT NULL,
  rig_kind   TEXT NOT NULL CHECK (rig_kind IN ('sound-interface', 'files', 'simulated')),
  seed       INTEGER NOT NULL,
  content    TEXT NOT NULL CHECK (json_valid(content)),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision)
) STRICT;
CREATE INDEX gauge_study_by_product ON gauge_study (product_id, rig_kind);

CREATE TABLE gauge_study_end (
  study_id INTEGER PRIMARY KEY REFERENCES gauge_study (id),
  at       TEXT NOT NULL,
  station  TEXT NOT NULL,
  note     TEXT NOT NULL
) STRICT;

CREATE TABLE gauge_reading (
  study_id INTEGER NOT NULL REFERENCES gauge_study (id),
  position INTEGER NOT NULL,
  serial   TEXT NOT NULL REFERENCES unit (serial),
  set_up   INTEGER NOT NULL,
  repeat   INTEGER NOT NULL,
  at       TEXT NOT NULL,
  station  TEXT NOT NULL,
  rig      TEXT NOT NULL,
  PRIMARY KEY (study_id, position),
  UNIQUE (study_id, serial, set_up, repeat)
) STRICT;
CREATE INDEX gauge_reading_by_serial ON gauge_reading (serial);

CREATE TABLE gauge_curve (
  study_id        INTEGER NOT NULL,
  position        INTEGER NOT NULL,
  setting         TEXT NOT NULL,
  gain_at_1khz_db REAL NOT NULL,
  frequency_hz    BLOB NOT NULL,
  gain_db         BLOB NOT NULL,
  uncertainty_db  BLOB NOT NULL,
  PRIMARY KEY (study_id, position, setting),
  FOREIGN KEY (study_id, position) REFERENCES gauge_reading (study_id, position)
) STRICT;

CREATE TABLE rig_uncertainty (
  product_id         TEXT NOT NULL,
  rig_kind           TEXT NOT NULL CHECK (rig_kind IN ('sound-interface', 'files', 'simulated')),
  version            INTEGER NOT NULL CHECK (version >= 1),
  at                 TEXT NOT NULL,
  station            TEXT NOT NULL,
  -- Null: the test plan's own figure counts again from here on.
  study_id           INTEGER REFERENCES gauge_study (id),
  rig_uncertainty_db REAL CHECK (rig_uncertainty_db >= 0),
  source             TEXT NOT NULL,
  PRIMARY KEY (product_id, rig_kind, version),
  CHECK ((study_id IS NULL) = (rig_uncertainty_db IS NULL))
) STRICT;
CREATE INDEX rig_uncertainty_by_study ON rig_uncertainty (study_id);

CREATE TABLE test_run_uncertainty (
  run_seq    INTEGER PRIMARY KEY REFERENCES test_run (seq),
  product_id TEXT NOT NULL,
  rig_kind   TEXT NOT NULL,
  version    INTEGER NOT NULL,
  FOREIGN KEY (product_id, rig_kind, version) REFERENCES rig_uncertainty (product_id, rig_kind, version)
) STRICT;
CREATE INDEX test_run_uncertainty_by_version ON test_run_uncertainty (product_id, rig_kind, version);

-- A check stands behind the test runs that were there when it was made; that order decides, not the clock.
CREATE TRIGGER rig_check_after_last_run BEFORE INSERT ON rig_check
  WHEN NEW.after_run_seq IS NOT (SELECT coalesce(max(seq), 0) FROM test_run)
  BEGIN SELECT raise(ABORT, 'a rig check follows the last test run'); END;
-- What a rig measures after it was found drifted proves nothing, whichever program writes it.
CREATE TRIGGER test_run_on_proven_rig BEFORE INSERT ON test_run
  WHEN (SELECT outcome FROM rig_check
    WHERE product_id = NEW.product_id AND outcome <> 'repeat'
      AND rig_kind = CASE NEW.rig WHEN 'wave-files' THEN 'files' WHEN 'upload' THEN 'files' ELSE NEW.rig END
    ORDER BY id DESC LIMIT 1) = 'drifted'
  BEGIN SELECT raise(ABORT, 'a rig that has drifted tests nothing until it is good again'); END;
CREATE TRIGGER gauge_reading_next BEFORE INSERT ON gauge_reading
  WHEN NEW.position IS NOT (SELECT count(*) + 1 FROM gauge_reading WHERE study_id = NEW.study_id)
    OR EXISTS (SELECT 1 FROM gauge_study_end WHERE study_id = NEW.study_id)
  BEGIN SELECT raise(ABORT, 'a reading takes the next place of a study under way'); END;
CREATE TRIGGER rig_uncertainty_next BEFORE INSERT ON rig_uncertainty
  WHEN NEW.version IS NOT (SELECT coalesce(max(version), 0) + 1 FROM rig_uncertainty
    WHERE product_id = NEW.product_id AND rig_kind = NEW.rig_kind)
  BEGIN SELECT raise(ABORT, 'the uncertainty of a rig takes the next version'); END;

-- What has happened stays. The triggers on INSERT are for INSERT OR REPLACE by a program with recursive triggers off.
${appendOnly('rig_check', 'id = NEW.id', 'a rig check is never changed')}
${appendOnly('retest', 'check_id = NEW.check_id AND serial = NEW.serial', 'a rig check is never changed')}
${appendOnly('gauge_study', 'id = NEW.id', 'a gauge study is never changed')}
${appendOnly('gauge_study_end', 'study_id = NEW.study_id', 'a gauge study is never changed')}
${appendOnly('gauge_reading', 'study_id = NEW.study_id AND position = NEW.position', 'a gauge study is never changed')}
${appendOnly(
  'gauge_curve',
  'study_id = NEW.study_id AND position = NEW.position AND setting = NEW.setting',
  'a gauge study is never changed',
)}
${appendOnly(
  'rig_uncertainty',
  'product_id = NEW.product_id AND rig_kind = NEW.rig_kind AND version = NEW.version',
  'the uncertainty of a rig is never changed',
)}
${appendOnly('test_run_uncertainty', 'run_seq = NEW.run_seq', 'a test run is never changed')}
`

function appendOnly(table: string, sameRow: string, sentence: string): string {
  return `
CREATE TRIGGER ${table}_new BEFORE INSERT ON ${table} WHEN EXISTS (SELECT 1 FROM ${table} WHERE ${sameRow})
  BEGIN SELECT raise(ABORT, '${sentence}'); END;
CREATE TRIGGER ${table}_fixed BEFORE UPDATE ON ${table}
  BEGIN SELECT raise(ABORT, '${sentence}'); END;
CREATE TRIGGER ${table}_kept BEFORE DELETE ON ${table}
  BEGIN SELECT raise(ABORT, '${sentence}'); END;`
}
