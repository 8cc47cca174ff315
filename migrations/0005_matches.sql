-- Matches: entries, pegs, nets, weighings and what was published.

CREATE TABLE matches (
  id INTEGER PRIMARY KEY,
  pid TEXT NOT NULL UNIQUE CHECK (length(pid) = 26),
  ver INTEGER NOT NULL DEFAULT 1,
  name TEXT NOT NULL CHECK (name <> ''),
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE RESTRICT,
  on_date TEXT NOT NULL,
  zone TEXT NOT NULL,
  meet_place TEXT,
  meet_utc INTEGER,
  draw_utc INTEGER,
  start_utc INTEGER,
  finish_utc INTEGER,
  import_id INTEGER REFERENCES imports (id) ON DELETE RESTRICT,
  entry_limit INTEGER CHECK (entry_limit > 0),
  pegs_allotted TEXT NOT NULL CHECK (pegs_allotted IN ('bag', 'drawn here', 'of choice', 'roving', 'unknown')),
  scale TEXT NOT NULL CHECK (scale IN ('g', 'dr')),
  step INTEGER NOT NULL CHECK (step > 0),          -- ranking compares whole steps of this many scale units
  rules_json TEXT NOT NULL DEFAULT '{}',
  rules_version INTEGER NOT NULL DEFAULT 1,
  state TEXT NOT NULL CHECK (state IN ('planned', 'fished', 'published', 'final', 'abandoned', 'void', 'postponed')),
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  CHECK (finish_utc IS NULL OR start_utc IS NULL OR finish_utc > start_utc)
) STRICT;
CREATE INDEX matches_venue_day ON matches (venue_id, on_date);
CREATE INDEX matches_day ON matches (on_date);

CREATE TABLE match_organisers (
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  account_id INTEGER NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
  PRIMARY KEY (match_id, account_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE match_groups (
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  group_id INTEGER NOT NULL REFERENCES species_groups (id) ON DELETE RESTRICT,
  counts INTEGER NOT NULL CHECK (counts IN (0, 1)),
  cap INTEGER CHECK (cap > 0),
  cap_rule TEXT,
  PRIMARY KEY (match_id, group_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE match_species (
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  species_id INTEGER NOT NULL REFERENCES species (id) ON DELETE RESTRICT,
  counts INTEGER NOT NULL CHECK (counts IN (0, 1)),
  PRIMARY KEY (match_id, species_id)
) STRICT, WITHOUT ROWID;

-- The sets of groups this match weighs apart. An entry that fished and showed no net of a kind caught nothing of it.
CREATE TABLE match_net_kinds (
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  group_set INTEGER NOT NULL CHECK (group_set BETWEEN 1 AND 31),
  PRIMARY KEY (match_id, group_set)
) STRICT, WITHOUT ROWID;

-- The number of a section or team that was taken out is never given again: a form may still be open that means the old one.
CREATE TABLE sections (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  name TEXT NOT NULL CHECK (name <> ''),
  UNIQUE (match_id, name)
) STRICT;

CREATE TABLE match_pegs (
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  peg_id INTEGER NOT NULL REFERENCES pegs (id) ON DELETE RESTRICT,
  section_id INTEGER REFERENCES sections (id) ON DELETE SET NULL,
  PRIMARY KEY (match_id, peg_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE match_teams (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  name TEXT NOT NULL CHECK (name <> ''),
  UNIQUE (match_id, name)
) STRICT;

CREATE TABLE entries (
  id INTEGER PRIMARY KEY,
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  number INTEGER NOT NULL,
  angler_id INTEGER NOT NULL REFERENCES anglers (id) ON DELETE RESTRICT,
  team_id INTEGER REFERENCES match_teams (id) ON DELETE SET NULL,
  section_id INTEGER REFERENCES sections (id) ON DELETE SET NULL,
  peg_id INTEGER REFERENCES pegs (id) ON DELETE RESTRICT,        -- as drawn
  needs_accessible INTEGER NOT NULL DEFAULT 0 CHECK (needs_accessible IN (0, 1)),
  status TEXT NOT NULL DEFAULT 'booked' CHECK (status IN ('booked', 'reserve', 'withdrawn', 'substituted')),
  reserve_order INTEGER,
  substitute_for INTEGER REFERENCES entries (id) ON DELETE SET NULL,
  outcome TEXT CHECK (outcome IN ('fished', 'blank', 'did not weigh', 'absent', 'disqualified')),
  stopped_utc INTEGER,
  told_minutes REAL CHECK (told_minutes > 0),      -- how long an old sheet says that it fished
  told_asked INTEGER NOT NULL DEFAULT 0 CHECK (told_asked IN (0, 1)),  -- 1 where that was asked once for the whole file
  told_method_id INTEGER REFERENCES methods (id) ON DELETE RESTRICT,
  told_remarks TEXT,                               -- in that sheet's words
  was_junior INTEGER NOT NULL DEFAULT 0 CHECK (was_junior IN (0, 1)),
  UNIQUE (match_id, number),
  UNIQUE (match_id, angler_id)
) STRICT;
CREATE INDEX entries_of_juniors ON entries (angler_id) WHERE was_junior = 1;
CREATE UNIQUE INDEX entries_peg ON entries (match_id, peg_id) WHERE peg_id IS NOT NULL AND status = 'booked';
CREATE INDEX entries_angler ON entries (angler_id);
CREATE INDEX entries_on_peg ON entries (peg_id);

-- How many fish that sheet counts of an entry, by set of groups. Kept whatever its angler reports of the day.
CREATE TABLE told_counts (
  entry_id INTEGER NOT NULL REFERENCES entries (id) ON DELETE CASCADE,
  group_set INTEGER NOT NULL CHECK (group_set BETWEEN 1 AND 31),
  count INTEGER NOT NULL CHECK (count >= 0),
  PRIMARY KEY (entry_id, group_set)
) STRICT, WITHOUT ROWID;

CREATE TABLE draws (
  id INTEGER PRIMARY KEY,
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  method TEXT NOT NULL CHECK (method IN ('by hand', 'public values', 'commitment and call')),
  algorithm_version INTEGER NOT NULL,
  commitment BLOB,
  published_utc INTEGER,
  frozen_list TEXT NOT NULL,
  list_sha256 BLOB NOT NULL,
  public_values TEXT,
  secret BLOB,
  called TEXT,
  witness TEXT,
  reason TEXT,
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  state TEXT NOT NULL,
  UNIQUE (match_id, ord)
) STRICT;

CREATE TABLE allotments (
  draw_id INTEGER NOT NULL REFERENCES draws (id) ON DELETE CASCADE,
  entry_id INTEGER NOT NULL REFERENCES entries (id) ON DELETE CASCADE,
  peg_id INTEGER NOT NULL REFERENCES pegs (id) ON DELETE RESTRICT,
  PRIMARY KEY (draw_id, entry_id)
) STRICT, WITHOUT ROWID;

CREATE TABLE peg_moves (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entries (id) ON DELETE CASCADE,
  from_peg INTEGER REFERENCES pegs (id) ON DELETE RESTRICT,
  to_peg INTEGER NOT NULL REFERENCES pegs (id) ON DELETE RESTRICT,
  at_utc INTEGER NOT NULL,
  reason TEXT NOT NULL CHECK (reason <> ''),
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL
) STRICT;
CREATE INDEX peg_moves_entry ON peg_moves (entry_id);

CREATE TABLE nets (
  id INTEGER PRIMARY KEY,
  entry_id INTEGER NOT NULL REFERENCES entries (id) ON DELETE CASCADE,
  net_no INTEGER NOT NULL,
  group_set INTEGER NOT NULL CHECK (group_set BETWEEN 1 AND 31),
  UNIQUE (entry_id, net_no)
) STRICT;

-- Every reading of the scales is kept; the chosen ones make the net.
CREATE TABLE weighings (
  id INTEGER PRIMARY KEY,
  net_id INTEGER NOT NULL REFERENCES nets (id) ON DELETE CASCADE,
  weigh_no INTEGER NOT NULL,
  kind TEXT NOT NULL DEFAULT 'net' CHECK (kind IN ('net', 'biggest fish')),
  raw_weight INTEGER NOT NULL CHECK (raw_weight >= 0),
  tare INTEGER CHECK (tare >= 0),
  scale TEXT NOT NULL CHECK (scale IN ('g', 'dr')),
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  by_helper INTEGER,
  witness TEXT,
  at_utc INTEGER NOT NULL,
  received_utc INTEGER NOT NULL,
  submission_key TEXT REFERENCES submissions (key) ON DELETE SET NULL
) STRICT;
CREATE INDEX weighings_net ON weighings (net_id);
CREATE TRIGGER weighings_are_kept BEFORE UPDATE ON weighings BEGIN SELECT RAISE(ABORT, 'weighings are append-only'); END;
CREATE TRIGGER weighings_stay BEFORE DELETE ON weighings BEGIN SELECT RAISE(ABORT, 'weighings are append-only'); END;

CREATE TABLE net_choices (
  id INTEGER PRIMARY KEY,
  net_id INTEGER NOT NULL REFERENCES nets (id) ON DELETE CASCADE,
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  at_utc INTEGER NOT NULL,
  reason TEXT,
  current INTEGER NOT NULL DEFAULT 1 CHECK (current IN (0, 1))
) STRICT;
CREATE UNIQUE INDEX net_choices_current ON net_choices (net_id) WHERE current = 1;

CREATE TABLE net_choice_weighings (
  choice_id INTEGER NOT NULL REFERENCES net_choices (id) ON DELETE CASCADE,
  weighing_id INTEGER NOT NULL REFERENCES weighings (id) ON DELETE RESTRICT,
  PRIMARY KEY (choice_id, weighing_id)
) STRICT, WITHOUT ROWID;

-- What was posted, exactly. figures_json holds label ids, never names.
CREATE TABLE publications (
  id INTEGER PRIMARY KEY,
  match_id INTEGER NOT NULL REFERENCES matches (id) ON DELETE RESTRICT,
  ord INTEGER NOT NULL,
  state TEXT NOT NULL CHECK (state IN ('provisional', 'final')),
  at_utc INTEGER NOT NULL,
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  reason TEXT,                                     -- why there is another; absent for the first
  figures_json TEXT NOT NULL,
  sha256 BLOB NOT NULL CHECK (length(sha256) = 32),
  UNIQUE (match_id, ord),
  CHECK (ord = 1 OR reason IS NOT NULL)
) STRICT;
CREATE TRIGGER publications_are_frozen BEFORE UPDATE OF match_id, ord, state, at_utc, reason, figures_json, sha256 ON publications
  BEGIN SELECT RAISE(ABORT, 'what was published is never changed'); END;
CREATE TRIGGER publications_stay BEFORE DELETE ON publications BEGIN SELECT RAISE(ABORT, 'what was published is never changed'); END;

-- What stands posted of the match itself, so that a change of name, day or hours moves no figure before it is posted.
CREATE TABLE posted_matches (
  match_id INTEGER PRIMARY KEY REFERENCES matches (id) ON DELETE CASCADE,
  name TEXT NOT NULL,
  on_date TEXT NOT NULL,
  start_utc INTEGER,
  finish_utc INTEGER,
  pegs_allotted TEXT NOT NULL,
  posting INTEGER NOT NULL DEFAULT 0               -- the number of the publication it is a copy of
) STRICT;

-- What stands posted of each entry: copied from the weigh sheet at every publication and never between.
-- All figures read these, so that none moves before the result does.
CREATE TABLE posted_entries (
  entry_id INTEGER PRIMARY KEY REFERENCES entries (id) ON DELETE CASCADE,
  outcome TEXT NOT NULL,
  peg_id INTEGER REFERENCES pegs (id) ON DELETE RESTRICT,
  section_id INTEGER REFERENCES sections (id) ON DELETE SET NULL,
  team_id INTEGER REFERENCES match_teams (id) ON DELETE SET NULL
) STRICT;
CREATE TABLE posted_nets (
  entry_id INTEGER NOT NULL REFERENCES entries (id) ON DELETE CASCADE,
  group_set INTEGER NOT NULL,
  weight_g REAL,
  PRIMARY KEY (entry_id, group_set)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER publications_post AFTER INSERT ON publications BEGIN
  DELETE FROM posted_matches WHERE match_id = NEW.match_id;
  DELETE FROM posted_entries WHERE entry_id IN (SELECT id FROM entries WHERE match_id = NEW.match_id);
  DELETE FROM posted_nets WHERE entry_id IN (SELECT id FROM entries WHERE match_id = NEW.match_id);
  INSERT INTO posted_entries (entry_id, outcome, peg_id, section_id, team_id)
  SELECT id, outcome, peg_id, section_id, team_id FROM entries
  WHERE match_id = NEW.match_id AND status = 'booked' AND outcome IS NOT NULL;
  INSERT INTO posted_nets (entry_id, group_set, weight_g)
  SELECT entry_id, group_set, weight_g FROM weighed_nets WHERE match_id = NEW.match_id;
  -- Last, for with it the copies are closed until the next publication.
  INSERT INTO posted_matches (match_id, name, on_date, start_utc, finish_utc, pegs_allotted, posting)
  SELECT id, name, on_date, start_utc, finish_utc, pegs_allotted, NEW.ord FROM matches WHERE id = NEW.match_id;
END;

-- Entries whose match stands posted as its newest publication has it.
CREATE VIEW closed_entries AS
SELECT e.id FROM entries AS e JOIN posted_matches AS h ON h.match_id = e.match_id
WHERE h.posting = (SELECT MAX(p.ord) FROM publications AS p WHERE p.match_id = e.match_id);
CREATE TRIGGER posted_matches_are_frozen BEFORE UPDATE ON posted_matches
  WHEN OLD.posting = (SELECT MAX(ord) FROM publications WHERE match_id = OLD.match_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_matches_stay BEFORE DELETE ON posted_matches
  WHEN OLD.posting = (SELECT MAX(ord) FROM publications WHERE match_id = OLD.match_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_entries_are_whole BEFORE INSERT ON posted_entries WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = NEW.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_entries_are_frozen BEFORE UPDATE ON posted_entries WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = OLD.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_entries_stay BEFORE DELETE ON posted_entries WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = OLD.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_nets_are_whole BEFORE INSERT ON posted_nets WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = NEW.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_nets_are_frozen BEFORE UPDATE ON posted_nets WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = OLD.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;
CREATE TRIGGER posted_nets_stay BEFORE DELETE ON posted_nets WHEN EXISTS (SELECT 1 FROM closed_entries WHERE id = OLD.entry_id)
  BEGIN SELECT RAISE(ABORT, 'what stands posted changes with a publication only'); END;

CREATE TABLE corrections (
  id INTEGER PRIMARY KEY,
  publication_id INTEGER NOT NULL REFERENCES publications (id) ON DELETE RESTRICT,
  replaced_by INTEGER NOT NULL REFERENCES publications (id) ON DELETE RESTRICT,
  entry_id INTEGER REFERENCES entries (id) ON DELETE RESTRICT,
  field TEXT NOT NULL,
  old TEXT NOT NULL,
  new TEXT NOT NULL,
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  at_utc INTEGER NOT NULL,
  reason TEXT NOT NULL CHECK (reason <> '')
) STRICT;
CREATE TRIGGER corrections_are_kept BEFORE UPDATE OF publication_id, replaced_by, entry_id, field, old, new, at_utc, reason ON corrections
  BEGIN SELECT RAISE(ABORT, 'what was corrected is never changed'); END;
CREATE TRIGGER corrections_stay BEFORE DELETE ON corrections BEGIN SELECT RAISE(ABORT, 'what was corrected is never changed'); END;

-- Rows of a sheet that were left out when it was saved: each once without a match, and once for every
-- match it may be of, so that a result which lacks rows says so.
CREATE TABLE import_left_out (
  import_id INTEGER NOT NULL REFERENCES imports (id) ON DELETE RESTRICT,
  line INTEGER NOT NULL,
  match_id INTEGER REFERENCES matches (id) ON DELETE RESTRICT,
  was_read INTEGER NOT NULL CHECK (was_read IN (0, 1))   -- left out by an officer's word, not for a fault
) STRICT;
CREATE INDEX import_left_out_import ON import_left_out (import_id);
CREATE INDEX import_left_out_match ON import_left_out (match_id) WHERE match_id IS NOT NULL;
