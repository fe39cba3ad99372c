-- The highest number that a trial or a result which was taken out has had: a
-- number stands in reports and in people's notes, and never means another.
CREATE TABLE last_number (
  of   TEXT PRIMARY KEY,          -- 'trial' or 'result'
  last INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
