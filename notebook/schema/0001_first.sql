-- Designs as written. revision says what the text means (design.Revision), so
-- several texts may share one; the newest is the one that is read.
CREATE TABLE design (
  id       INTEGER PRIMARY KEY,
  revision TEXT NOT NULL,
  content  TEXT NOT NULL UNIQUE,  -- SHA-256 over name, text and room log, hexadecimal
  name     TEXT NOT NULL,         -- as stated in the text
  file     TEXT NOT NULL,         -- name of the file it was read from
  text     BLOB NOT NULL,
  log_file TEXT NOT NULL,         -- name of the room log beside it; '' for none
  log_text BLOB NOT NULL,
  saved    REAL NOT NULL          -- Unix time, s
) STRICT;
CREATE INDEX design_revision ON design (revision);

CREATE TABLE trial (
  id        INTEGER PRIMARY KEY,
  name      TEXT NOT NULL UNIQUE COLLATE NOCASE,
  kind      TEXT NOT NULL,
  design_id INTEGER REFERENCES design (id),
  design    TEXT NOT NULL,        -- its name, in the user's words, when it is not here
  start     REAL,                 -- Unix time, s; NULL: not known
  zone      TEXT NOT NULL,
  note      TEXT NOT NULL,
  created   REAL NOT NULL         -- Unix time, s
) STRICT;

CREATE TABLE setting (
  trial_id INTEGER NOT NULL REFERENCES trial (id) ON DELETE CASCADE,
  path     TEXT NOT NULL,
  value    TEXT NOT NULL,
  place    INTEGER NOT NULL,      -- in the list
  PRIMARY KEY (trial_id, path)
) STRICT, WITHOUT ROWID;

CREATE TABLE series (
  id          INTEGER PRIMARY KEY,
  trial_id    INTEGER NOT NULL REFERENCES trial (id) ON DELETE CASCADE,
  quantity    TEXT NOT NULL,
  place       TEXT NOT NULL,
  source      TEXT NOT NULL,
  uncertainty REAL NOT NULL,
  emissivity  REAL NOT NULL
) STRICT;
CREATE INDEX series_trial ON series (trial_id);

-- Samples in the order in which they came, packed: see pack.go.
CREATE TABLE block (
  series_id INTEGER NOT NULL REFERENCES series (id) ON DELETE CASCADE,
  first     INTEGER NOT NULL,     -- number of its first sample, from 0
  count     INTEGER NOT NULL,
  data      BLOB NOT NULL,
  PRIMARY KEY (series_id, first)
) STRICT;

CREATE TABLE event (
  id          INTEGER PRIMARY KEY,
  trial_id    INTEGER NOT NULL REFERENCES trial (id) ON DELETE CASCADE,
  kind        TEXT NOT NULL,
  time        REAL NOT NULL,      -- s from the trial's start
  uncertainty REAL NOT NULL,
  source      TEXT NOT NULL,
  note        TEXT NOT NULL
) STRICT;
CREATE INDEX event_trial ON event (trial_id);

CREATE TABLE content (
  hash TEXT PRIMARY KEY,          -- SHA-256 of data, hexadecimal
  data BLOB NOT NULL
) STRICT;

CREATE TABLE attachment (
  id       INTEGER PRIMARY KEY,
  trial_id INTEGER NOT NULL REFERENCES trial (id) ON DELETE CASCADE,
  name     TEXT NOT NULL,
  hash     TEXT NOT NULL REFERENCES content (hash),
  time     REAL,                  -- s from the trial's start; NULL: not stated
  note     TEXT NOT NULL,
  added    REAL NOT NULL,         -- Unix time, s
  UNIQUE (trial_id, name)
) STRICT;

-- What was worked out: results and calibrations, with all that made them.
CREATE TABLE result (
  id       INTEGER PRIMARY KEY,
  kind     TEXT NOT NULL,
  made     REAL NOT NULL,         -- Unix time, s
  code     TEXT NOT NULL,         -- version of the program, exactly
  revision TEXT NOT NULL,         -- of the design; '' for none
  inputs   TEXT NOT NULL CHECK (json_valid(inputs)),
  payload  TEXT NOT NULL CHECK (json_valid(payload))
) STRICT;

CREATE TABLE result_trial (
  result_id INTEGER NOT NULL REFERENCES result (id) ON DELETE CASCADE,
  trial_id  INTEGER NOT NULL REFERENCES trial (id),
  PRIMARY KEY (result_id, trial_id)
) STRICT, WITHOUT ROWID;
