/**
 * Seventh schema: parts, lots, stock movements, builds and their work steps. Released schemas never change: a change is a
 * new migration.
 */
export const schema7 = `
CREATE TABLE part (
  number     TEXT NOT NULL,
  version    INTEGER NOT NULL CHECK (version >= 1),
  changed_at TEXT NOT NULL,
  content    TEXT NOT NULL CHECK (json_valid(content)),
  PRIMARY KEY (number, version)
) STRICT;

CREATE TABLE part_lot (
  seq         INTEGER PRIMARY KEY,
  id          TEXT NOT NULL UNIQUE,
  part        TEXT NOT NULL,
  received_at TEXT NOT NULL,
  station     TEXT NOT NULL,
  content     TEXT NOT NULL CHECK (json_valid(content)),
  state       TEXT NOT NULL CHECK (state IN ('accepted', 'held', 'refused', 'awaiting-inspection'))
) STRICT;
CREATE INDEX part_lot_by_part ON part_lot (part, received_at);

CREATE TABLE lot_reading (
  seq     INTEGER PRIMARY KEY,
  lot_id  TEXT NOT NULL REFERENCES part_lot (id),
  piece   INTEGER NOT NULL CHECK (piece >= 1),
  at      TEXT NOT NULL,
  station TEXT NOT NULL,
  good    INTEGER NOT NULL CHECK (good IN (0, 1)),
  run_id  TEXT REFERENCES test_run (id),
  note    TEXT NOT NULL,
  UNIQUE (lot_id, piece)
) STRICT;
CREATE INDEX lot_reading_by_run ON lot_reading (run_id);

CREATE TABLE build (
  seq        INTEGER PRIMARY KEY,
  product_id TEXT NOT NULL,
  revision   TEXT NOT NULL,
  started_at TEXT NOT NULL,
  station    TEXT NOT NULL,
  content    TEXT NOT NULL CHECK (json_valid(content)),
  FOREIGN KEY (product_id, revision) REFERENCES product (id, revision)
) STRICT;

CREATE TABLE build_unit (
  serial   TEXT PRIMARY KEY REFERENCES unit (serial),
  build_id INTEGER NOT NULL REFERENCES build (seq),
  position INTEGER NOT NULL,
  UNIQUE (build_id, position)
) STRICT;

CREATE TABLE fitted_part (
  serial     TEXT NOT NULL REFERENCES build_unit (serial),
  designator TEXT NOT NULL,
  lot_id     TEXT NOT NULL REFERENCES part_lot (id),
  part       TEXT NOT NULL,
  pieces     INTEGER NOT NULL CHECK (pieces >= 1),
  PRIMARY KEY (serial, designator, lot_id)
) STRICT;
CREATE INDEX fitted_part_by_lot ON fitted_part (lot_id, serial);

CREATE TABLE rework_lot (
  rework_id INTEGER PRIMARY KEY REFERENCES rework (seq),
  lot_id    TEXT NOT NULL REFERENCES part_lot (id)
) STRICT;
CREATE INDEX rework_lot_by_lot ON rework_lot (lot_id);

CREATE TABLE stock_movement (
  seq       INTEGER PRIMARY KEY,
  lot_id    TEXT NOT NULL REFERENCES part_lot (id),
  at        TEXT NOT NULL,
  station   TEXT NOT NULL,
  kind      TEXT NOT NULL CHECK (kind IN ('received', 'issued', 'returned', 'corrected', 'used-in-rework')),
  pieces    INTEGER NOT NULL CHECK (pieces <> 0),
  build_id  INTEGER REFERENCES build (seq),
  rework_id INTEGER REFERENCES rework (seq),
  reason    TEXT NOT NULL,
  CHECK ((kind IN ('received', 'returned') AND pieces > 0) OR (kind IN ('issued', 'used-in-rework') AND pieces < 0)
         OR kind = 'corrected'),
  CHECK (kind NOT IN ('issued', 'returned') OR build_id IS NOT NULL),
  CHECK (kind <> 'used-in-rework' OR rework_id IS NOT NULL),
  CHECK (kind <> 'corrected' OR reason <> '')
) STRICT;
CREATE INDEX stock_movement_by_lot ON stock_movement (lot_id, seq);
CREATE INDEX stock_movement_by_build ON stock_movement (build_id);

CREATE TABLE work_record (
  seq        INTEGER PRIMARY KEY,
  serial     TEXT NOT NULL REFERENCES build_unit (serial),
  step       TEXT NOT NULL,
  mark       TEXT NOT NULL CHECK (mark IN ('done', 'undone', 'wrong')),
  at         TEXT NOT NULL,
  station    TEXT NOT NULL,
  worked_s   REAL CHECK (worked_s >= 0),
  note       TEXT NOT NULL,
  photo_path TEXT NOT NULL
) STRICT;
CREATE INDEX work_record_by_serial ON work_record (serial, seq);

-- Nobody has fewer pieces than none, and only an accepted lot is built in.
CREATE TRIGGER stock_not_below_none BEFORE INSERT ON stock_movement
  WHEN NEW.pieces < 0
    AND (SELECT coalesce(sum(pieces), 0) FROM stock_movement WHERE lot_id = NEW.lot_id) + NEW.pieces < 0
  BEGIN SELECT raise(ABORT, 'a lot holds no fewer pieces than none'); END;
CREATE TRIGGER stock_of_accepted_lot BEFORE INSERT ON stock_movement
  WHEN NEW.kind IN ('issued', 'used-in-rework')
    AND (SELECT state FROM part_lot WHERE id = NEW.lot_id) IS NOT 'accepted'
  BEGIN SELECT raise(ABORT, 'only an accepted lot is built in'); END;
-- What is evidence is only ever added; the rows that can be added are new ones, so INSERT OR REPLACE changes none.
CREATE TRIGGER part_next BEFORE INSERT ON part
  WHEN NEW.version IS NOT (SELECT coalesce(max(version), 0) + 1 FROM part WHERE number = NEW.number)
  BEGIN SELECT raise(ABORT, 'a part takes the next version'); END;
CREATE TRIGGER part_lot_new BEFORE INSERT ON part_lot
  WHEN EXISTS (SELECT 1 FROM part_lot WHERE id = NEW.id OR seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a lot is received once'); END;
CREATE TRIGGER part_lot_fixed BEFORE UPDATE ON part_lot
  WHEN NEW.seq IS NOT OLD.seq OR NEW.id IS NOT OLD.id OR NEW.part IS NOT OLD.part
    OR NEW.received_at IS NOT OLD.received_at OR NEW.station IS NOT OLD.station OR NEW.content IS NOT OLD.content
  BEGIN SELECT raise(ABORT, 'of a lot only the state changes'); END;
CREATE TRIGGER build_new BEFORE INSERT ON build WHEN EXISTS (SELECT 1 FROM build WHERE seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a build is never changed'); END;
CREATE TRIGGER build_unit_new BEFORE INSERT ON build_unit
  WHEN EXISTS (SELECT 1 FROM build_unit WHERE serial = NEW.serial
    OR (build_id = NEW.build_id AND position = NEW.position))
  BEGIN SELECT raise(ABORT, 'a unit is built once'); END;
CREATE TRIGGER fitted_part_new BEFORE INSERT ON fitted_part
  WHEN EXISTS (SELECT 1 FROM fitted_part
    WHERE serial = NEW.serial AND designator = NEW.designator AND lot_id = NEW.lot_id)
  BEGIN SELECT raise(ABORT, 'what was fitted is never changed'); END;
CREATE TRIGGER rework_lot_new BEFORE INSERT ON rework_lot
  WHEN EXISTS (SELECT 1 FROM rework_lot WHERE rework_id = NEW.rework_id)
  BEGIN SELECT raise(ABORT, 'a rework is never changed'); END;
CREATE TRIGGER stock_movement_new BEFORE INSERT ON stock_movement
  WHEN EXISTS (SELECT 1 FROM stock_movement WHERE seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a stock movement is never changed'); END;
CREATE TRIGGER work_record_new BEFORE INSERT ON work_record
  WHEN EXISTS (SELECT 1 FROM work_record WHERE seq = NEW.seq)
  BEGIN SELECT raise(ABORT, 'a work step is never changed'); END;
CREATE TRIGGER lot_reading_new BEFORE INSERT ON lot_reading
  WHEN EXISTS (SELECT 1 FROM lot_reading WHERE seq = NEW.seq OR (lot_id = NEW.lot_id AND piece = NEW.piece))
  BEGIN SELECT raise(ABORT, 'a reading of a lot is never changed'); END;
${frozen({
  part: 'a version of a part is frozen',
  build: 'a build is never changed',
  build_unit: 'a build is never changed',
  fitted_part: 'what was fitted is never changed',
  rework_lot: 'a rework is never changed',
  stock_movement: 'a stock movement is never changed',
  work_record: 'a work step is never changed',
  lot_reading: 'a reading of a lot is never changed',
})}
CREATE TRIGGER part_lot_kept BEFORE DELETE ON part_lot
  BEGIN SELECT raise(ABORT, 'a lot is never removed'); END;
`

/** Triggers that forbid change and removal of every row. */
function frozen(tables: Readonly<Record<string, string>>): string {
  return Object.entries(tables)
    .flatMap(([table, sentence]) => [
      `CREATE TRIGGER ${table}_fixed BEFORE UPDATE ON ${table}\n  BEGIN SELECT raise(ABORT, '${sentence}'); END;`,
      `CREATE TRIGGER ${table}_kept BEFORE DELETE ON ${table}\n  BEGIN SELECT raise(ABORT, '${sentence}'); END;`,
    ])
    .join('\n')
}
