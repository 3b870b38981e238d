/**
 * Third schema: the settings of rigs, and which of them a test run and a reference were measured through. Released schemas
 * never change: a change is a new migration.
 */
export const schema3 = `
CREATE TABLE rig_settings (
  name       TEXT NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  changed_at TEXT NOT NULL,
  content    TEXT NOT NULL CHECK (json_valid(content)),
  PRIMARY KEY (name, version)
) STRICT;

CREATE TABLE test_run_rig (
  run_seq INTEGER PRIMARY KEY REFERENCES test_run (seq),
  name    TEXT NOT NULL,
  version INTEGER NOT NULL,
  FOREIGN KEY (name, version) REFERENCES rig_settings (name, version)
) STRICT;
CREATE INDEX test_run_rig_by_version ON test_run_rig (name, version);

CREATE TABLE reference_rig (
  product_id        TEXT NOT NULL,
  reference_version INTEGER NOT NULL,
  name              TEXT NOT NULL,
  version           INTEGER NOT NULL,
  PRIMARY KEY (product_id, reference_version),
  FOREIGN KEY (product_id, reference_version) REFERENCES reference (product_id, version),
  FOREIGN KEY (name, version) REFERENCES rig_settings (name, version)
) STRICT;
CREATE INDEX reference_rig_by_version ON reference_rig (name, version);

-- A verdict stands on the version it was measured through. The next version is the only row that can be added, so INSERT OR
-- REPLACE changes none.
CREATE TRIGGER rig_settings_next BEFORE INSERT ON rig_settings
  WHEN NEW.version IS NOT (SELECT coalesce(max(version), 0) + 1 FROM rig_settings WHERE name = NEW.name)
  BEGIN SELECT raise(ABORT, 'settings of a rig take the next version'); END;
CREATE TRIGGER rig_settings_fixed BEFORE UPDATE ON rig_settings
  BEGIN SELECT raise(ABORT, 'a version of a rig is frozen'); END;
CREATE TRIGGER rig_settings_kept BEFORE DELETE ON rig_settings
  BEGIN SELECT raise(ABORT, 'a version of a rig is frozen'); END;
CREATE TRIGGER test_run_rig_new BEFORE INSERT ON test_run_rig
  WHEN EXISTS (SELECT 1 FROM test_run_rig WHERE run_seq = NEW.run_seq)
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER test_run_rig_fixed BEFORE UPDATE ON test_run_rig
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER test_run_rig_kept BEFORE DELETE ON test_run_rig
  BEGIN SELECT raise(ABORT, 'a test run is never changed'); END;
CREATE TRIGGER reference_rig_new BEFORE INSERT ON reference_rig
  WHEN EXISTS (SELECT 1 FROM reference_rig
    WHERE product_id = NEW.product_id AND reference_version = NEW.reference_version)
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER reference_rig_fixed BEFORE UPDATE ON reference_rig
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
CREATE TRIGGER reference_rig_kept BEFORE DELETE ON reference_rig
  BEGIN SELECT raise(ABORT, 'a reference version is frozen'); END;
`
