-- Sessions, their spells, what was caught, what was written as it happened.

CREATE TABLE submissions (
  key TEXT PRIMARY KEY CHECK (length(key) BETWEEN 16 AND 64),
  owner_kind TEXT NOT NULL CHECK (owner_kind IN ('account', 'helper')),
  owner_id INTEGER NOT NULL,
  kind TEXT NOT NULL,
  form_version INTEGER NOT NULL,
  body_sha256 BLOB NOT NULL CHECK (length(body_sha256) = 32),
  outcome TEXT NOT NULL,
  answer_json TEXT NOT NULL,
  received_utc INTEGER NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE sessions (
  id INTEGER PRIMARY KEY,
  pid TEXT NOT NULL UNIQUE CHECK (length(pid) = 26),
  ver INTEGER NOT NULL DEFAULT 1,
  kind TEXT NOT NULL CHECK (kind IN ('report', 'match')),
  import_id INTEGER REFERENCES imports (id) ON DELETE RESTRICT,
  angler_id INTEGER NOT NULL REFERENCES anglers (id) ON DELETE RESTRICT,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE RESTRICT,
  fished_on TEXT NOT NULL,                         -- local date at the water
  zone TEXT NOT NULL,
  start_utc INTEGER,
  end_utc INTEGER,
  effort_source TEXT NOT NULL CHECK (effort_source IN ('spells', 'session', 'match hours', 'asked at import', 'unknown')),
  entry_id INTEGER UNIQUE REFERENCES entries (id) ON DELETE RESTRICT,
  visibility TEXT NOT NULL CHECK (visibility IN ('private', 'team', 'club')),
  remarks TEXT,
  has_report INTEGER NOT NULL DEFAULT 0 CHECK (has_report IN (0, 1)),  -- the angler's own part is there
  entered_by INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  entered_utc INTEGER NOT NULL,
  was_junior INTEGER NOT NULL DEFAULT 0 CHECK (was_junior IN (0, 1)),
  submission_key TEXT REFERENCES submissions (key) ON DELETE SET NULL,
  removed_utc INTEGER,                             -- taken back by the angler; hidden everywhere
  CHECK ((kind = 'match') = (entry_id IS NOT NULL)),
  CHECK (end_utc IS NULL OR start_utc IS NULL OR end_utc > start_utc)
) STRICT;
CREATE INDEX sessions_of_juniors ON sessions (angler_id) WHERE was_junior = 1;
CREATE INDEX sessions_venue_day ON sessions (venue_id, fished_on);
CREATE INDEX sessions_angler_day ON sessions (angler_id, fished_on);
CREATE INDEX sessions_import ON sessions (import_id) WHERE import_id IS NOT NULL;

-- Effort is the sum of rods × minutes over a session's spells. Time that no spell covers is a spell
-- of its own whose method is unknown. Minutes are absent only where no hours were given.
CREATE TABLE spells (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  peg_id INTEGER REFERENCES pegs (id) ON DELETE SET NULL,
  method_id INTEGER REFERENCES methods (id) ON DELETE RESTRICT,
  bait_id INTEGER REFERENCES baits (id) ON DELETE RESTRICT,
  depth_m REAL CHECK (depth_m BETWEEN 0 AND 100),
  line_m REAL CHECK (line_m BETWEEN 0 AND 200),
  aim_m REAL CHECK (aim_m BETWEEN -100 AND 100),
  from_utc INTEGER,
  to_utc INTEGER,
  minutes REAL CHECK (minutes > 0),
  rods INTEGER NOT NULL DEFAULT 1 CHECK (rods BETWEEN 1 AND 4),
  is_opening INTEGER NOT NULL DEFAULT 0 CHECK (is_opening IN (0, 1)),
  uncovered INTEGER NOT NULL DEFAULT 0 CHECK (uncovered IN (0, 1)),
  peg_as_drawn INTEGER NOT NULL DEFAULT 0 CHECK (peg_as_drawn IN (0, 1)),       -- the match's draw gave the peg, not the report
  hours_of_match INTEGER NOT NULL DEFAULT 0 CHECK (hours_of_match IN (0, 1)),   -- the match gave the hours, not the report
  PRIMARY KEY (session_id, ord),
  CHECK (to_utc IS NULL OR from_utc IS NULL OR to_utc > from_utc)
) STRICT, WITHOUT ROWID;
CREATE INDEX spells_peg ON spells (peg_id);

CREATE TABLE session_events (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  spell_ord INTEGER,
  kind TEXT NOT NULL CHECK (kind IN ('cast', 'bite', 'liner', 'fish', 'lost', 'fed', 'moved', 'changed')),
  at_utc INTEGER,
  ended_utc INTEGER,
  crossed_out_utc INTEGER,
  PRIMARY KEY (session_id, ord)
) STRICT, WITHOUT ROWID;

CREATE TABLE tallies (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  from_utc INTEGER NOT NULL,
  to_utc INTEGER NOT NULL,
  group_id INTEGER NOT NULL REFERENCES species_groups (id) ON DELETE RESTRICT,
  count INTEGER NOT NULL CHECK (count >= 0),
  PRIMARY KEY (session_id, from_utc, group_id),
  CHECK (to_utc > from_utc)
) STRICT, WITHOUT ROWID;

-- Which sets of groups the angler's own part covers, and what is known of each. Sets of one session do not overlap.
CREATE TABLE catch_coverage (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  group_set INTEGER NOT NULL CHECK (group_set BETWEEN 1 AND 31),
  count_known INTEGER NOT NULL CHECK (count_known IN (0, 1)),
  weight_known INTEGER NOT NULL CHECK (weight_known IN (0, 1)),
  PRIMARY KEY (session_id, group_set)
) STRICT, WITHOUT ROWID;

-- Totals per set, and single fish worth naming (part of their group's total, never added to it).
CREATE TABLE fish (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  row_kind TEXT NOT NULL CHECK (row_kind IN ('total', 'named')),
  spell_ord INTEGER,
  event_ord INTEGER,
  species_id INTEGER REFERENCES species (id) ON DELETE RESTRICT,
  group_set INTEGER NOT NULL CHECK (group_set BETWEEN 1 AND 31),
  count INTEGER CHECK (count >= 0),
  weight INTEGER CHECK (weight >= 0),
  scale TEXT CHECK (scale IN ('g', 'dr')),
  length_mm INTEGER CHECK (length_mm > 0),
  at_utc INTEGER,
  PRIMARY KEY (session_id, ord),
  CHECK ((weight IS NULL) = (scale IS NULL))
) STRICT, WITHOUT ROWID;
