-- Accounts, names, anglers, sign-ins. Names of people live only in labels, so that a name can be erased
-- while what is frozen stays.

CREATE TABLE settings (
  key TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE accounts (
  id INTEGER PRIMARY KEY,
  pid TEXT NOT NULL UNIQUE CHECK (length(pid) = 26),
  name TEXT NOT NULL CHECK (name <> ''),           -- the sign-in name, as typed
  name_key TEXT NOT NULL UNIQUE,                   -- the same, folded: what sign-in compares
  role TEXT NOT NULL CHECK (role IN ('member', 'organiser', 'administrator')),
  phc TEXT,                                        -- password hash; absent until the invite is used
  created_utc INTEGER NOT NULL,
  disabled_utc INTEGER,
  shown_weights TEXT CHECK (shown_weights IN ('g', 'dr')),  -- the unit of what is worked out; absent: as each water weighs
  shown_wind TEXT NOT NULL DEFAULT 'mph' CHECK (shown_wind IN ('mph', 'ms', 'beaufort'))
) STRICT;

CREATE TABLE labels (
  id INTEGER PRIMARY KEY,
  given TEXT NOT NULL CHECK (given <> ''),
  surname TEXT,
  salt BLOB NOT NULL CHECK (length(salt) = 16)
) STRICT;

CREATE TABLE anglers (
  id INTEGER PRIMARY KEY,
  pid TEXT NOT NULL UNIQUE CHECK (length(pid) = 26),
  account_id INTEGER UNIQUE REFERENCES accounts (id) ON DELETE SET NULL,
  label_id INTEGER REFERENCES labels (id) ON DELETE SET NULL,
  is_junior INTEGER NOT NULL DEFAULT 0 CHECK (is_junior IN (0, 1)),
  merged_into INTEGER REFERENCES anglers (id) ON DELETE RESTRICT,
  import_id INTEGER REFERENCES imports (id) ON DELETE RESTRICT,
  default_visibility TEXT CHECK (default_visibility IN ('private', 'team', 'club'))  -- the latest answer
) STRICT;
CREATE INDEX anglers_label ON anglers (label_id);

CREATE TABLE club_teams (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CHECK (name <> '')
) STRICT;

CREATE TABLE team_members (
  team_id INTEGER NOT NULL REFERENCES club_teams (id) ON DELETE CASCADE,
  angler_id INTEGER NOT NULL REFERENCES anglers (id) ON DELETE CASCADE,
  from_on TEXT NOT NULL,
  to_on TEXT,
  PRIMARY KEY (team_id, angler_id, from_on)
) STRICT, WITHOUT ROWID;

CREATE TABLE sign_ins (
  id INTEGER PRIMARY KEY,
  token_sha256 BLOB NOT NULL UNIQUE CHECK (length(token_sha256) = 32),
  account_id INTEGER NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
  created_utc INTEGER NOT NULL,
  last_seen_utc INTEGER NOT NULL,
  reauth_utc INTEGER NOT NULL,                     -- when the password was last given
  device TEXT NOT NULL                             -- the browser's words about itself, shortened
) STRICT;
CREATE INDEX sign_ins_account ON sign_ins (account_id);

CREATE TABLE one_time_links (
  token_sha256 BLOB PRIMARY KEY CHECK (length(token_sha256) = 32),
  kind TEXT NOT NULL CHECK (kind IN ('first administrator', 'invite', 'reset', 'demo')),
  account_id INTEGER REFERENCES accounts (id) ON DELETE CASCADE,
  created_utc INTEGER NOT NULL,
  expires_utc INTEGER NOT NULL,
  used_utc INTEGER
) STRICT, WITHOUT ROWID;
CREATE INDEX one_time_links_account ON one_time_links (account_id);

CREATE TABLE known_devices (
  account_id INTEGER NOT NULL REFERENCES accounts (id) ON DELETE CASCADE,
  token_sha256 BLOB NOT NULL CHECK (length(token_sha256) = 32),
  last_used_utc INTEGER NOT NULL,
  PRIMARY KEY (account_id, token_sha256)
) STRICT, WITHOUT ROWID;

CREATE TABLE throttle (
  kind TEXT NOT NULL CHECK (kind IN ('account', 'address')),
  subject_sha256 BLOB NOT NULL,                    -- of the folded name or the address; neither is kept in clear
  failures INTEGER NOT NULL,
  last_failure_utc INTEGER NOT NULL,
  PRIMARY KEY (kind, subject_sha256)
) STRICT, WITHOUT ROWID;

-- What was done, by whom. No passwords, tokens, names or report text. Append only.
CREATE TABLE audit (
  id INTEGER PRIMARY KEY,
  at_utc INTEGER NOT NULL,
  actor_pid TEXT,                                  -- account, absent for a visitor or the command line
  verb TEXT NOT NULL,
  subject_pid TEXT,
  detail TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TRIGGER audit_keeps_rows BEFORE DELETE ON audit BEGIN SELECT RAISE(ABORT, 'the audit log is append-only'); END;
CREATE TRIGGER audit_keeps_words BEFORE UPDATE ON audit BEGIN SELECT RAISE(ABORT, 'the audit log is append-only'); END;

-- The content stands last: a row's state is then read without walking through the file.
CREATE TABLE imports (
  id INTEGER PRIMARY KEY AUTOINCREMENT,              -- never given again: an old link or form names no other row
  file_name TEXT NOT NULL,
  file_sha256 BLOB NOT NULL CHECK (length(file_sha256) = 32),
  kind TEXT NOT NULL CHECK (kind IN ('results', 'sessions', 'weather', 'ghcn-daily')),
  state TEXT NOT NULL CHECK (state IN ('uploaded', 'done', 'undone')),
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  at_utc INTEGER NOT NULL,
  done_utc INTEGER,
  undone_utc INTEGER,
  undone_by INTEGER REFERENCES accounts (id) ON DELETE SET NULL,   -- absent of the command line
  mapping_json TEXT NOT NULL DEFAULT '{}',
  content BLOB NOT NULL
) STRICT;

CREATE TABLE import_rows (
  import_id INTEGER NOT NULL REFERENCES imports (id) ON DELETE RESTRICT,
  row_sha256 BLOB NOT NULL,                        -- of the row as understood, so that a second run doubles nothing
  record_kind TEXT NOT NULL,
  record_id INTEGER NOT NULL,
  PRIMARY KEY (import_id, row_sha256, record_kind, record_id)
) STRICT, WITHOUT ROWID;
CREATE INDEX import_rows_sha ON import_rows (row_sha256);
