-- Venues, banks, pegs, fish, methods, baits and the venue's diary.

-- The number of a water that was removed is never given again: a page or a form may still be open that means the old one,
-- and what was worked out of it may still be kept.
CREATE TABLE venues (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  pid TEXT NOT NULL UNIQUE CHECK (length(pid) = 26),
  ver INTEGER NOT NULL DEFAULT 1,
  name TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (name <> ''),
  kind TEXT NOT NULL DEFAULT 'stillwater' CHECK (kind IN ('stillwater', 'canal', 'river')),
  zone TEXT NOT NULL DEFAULT 'Europe/London',
  lat REAL CHECK (lat BETWEEN -90 AND 90),
  lon REAL CHECK (lon BETWEEN -180 AND 180),
  weighs_in TEXT NOT NULL DEFAULT 'dr' CHECK (weighs_in IN ('g', 'dr')),  -- the unit this water's scales show
  rules_text TEXT,
  emergency_text TEXT,
  close_from TEXT,                                 -- close season, month and day 'MM-DD', inclusive at both ends
  close_to TEXT,
  primary_outcome TEXT,
  chosen_by INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  chosen_utc INTEGER,
  CHECK ((close_from IS NULL) = (close_to IS NULL))
) STRICT;

CREATE TABLE banks (
  id INTEGER PRIMARY KEY,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  ord INTEGER NOT NULL,
  name TEXT NOT NULL CHECK (name <> ''),
  facing_deg REAL CHECK (facing_deg >= 0 AND facing_deg < 360),  -- the way an angler looks, clockwise from north
  UNIQUE (venue_id, name)
) STRICT;

CREATE TABLE pegs (
  id INTEGER PRIMARY KEY,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  bank_id INTEGER NOT NULL REFERENCES banks (id) ON DELETE CASCADE,
  number TEXT NOT NULL CHECK (number <> ''),
  walk_order INTEGER NOT NULL,
  end_peg INTEGER NOT NULL DEFAULT 0 CHECK (end_peg IN (0, 1)),
  accessible INTEGER NOT NULL DEFAULT 0 CHECK (accessible IN (0, 1)),
  x_m REAL,
  y_m REAL,
  valid_from TEXT NOT NULL DEFAULT '1900-01-01',   -- the first day that dates are read from: it was always there
  valid_to TEXT
) STRICT;
CREATE UNIQUE INDEX pegs_in_use ON pegs (venue_id, number) WHERE valid_to IS NULL;
CREATE INDEX pegs_bank ON pegs (bank_id, walk_order);
CREATE INDEX pegs_number ON pegs (venue_id, number);

CREATE TABLE peg_closures (
  id INTEGER PRIMARY KEY AUTOINCREMENT,              -- never given again: an old link or form names no other row
  peg_id INTEGER NOT NULL REFERENCES pegs (id) ON DELETE CASCADE,
  from_on TEXT NOT NULL,
  to_on TEXT,
  reason TEXT NOT NULL CHECK (reason <> ''),
  CHECK (to_on IS NULL OR to_on >= from_on)
) STRICT;
CREATE INDEX peg_closures_peg ON peg_closures (peg_id);

-- The number of a group is a single bit, so that a set of groups is the sum of its members.
CREATE TABLE species_groups (
  id INTEGER PRIMARY KEY CHECK (id IN (1, 2, 4, 8, 16)),
  slug TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL
) STRICT;
INSERT INTO species_groups (id, slug, name) VALUES
  (1, 'carp', 'Carp'), (2, 'silvers', 'Silvers'), (4, 'f1s', 'F1s'), (8, 'predators', 'Predators'), (16, 'other', 'Other fish');

CREATE TABLE species (
  id INTEGER PRIMARY KEY,
  slug TEXT NOT NULL UNIQUE,
  name TEXT NOT NULL UNIQUE,
  scientific TEXT,
  group_id INTEGER NOT NULL REFERENCES species_groups (id) ON DELETE RESTRICT
) STRICT;
INSERT INTO species (slug, name, scientific, group_id) VALUES
  ('common-carp', 'Common carp', 'Cyprinus carpio', 1),
  ('mirror-carp', 'Mirror carp', 'Cyprinus carpio', 1),
  ('grass-carp', 'Grass carp', 'Ctenopharyngodon idella', 1),
  ('f1', 'F1', 'Cyprinus carpio × Carassius', 4),
  ('crucian', 'Crucian carp', 'Carassius carassius', 2),
  ('roach', 'Roach', 'Rutilus rutilus', 2),
  ('rudd', 'Rudd', 'Scardinius erythrophthalmus', 2),
  ('bream', 'Bream', 'Abramis brama', 2),
  ('skimmer', 'Skimmer', 'Abramis brama', 2),
  ('silver-bream', 'Silver bream', 'Blicca bjoerkna', 2),
  ('hybrid', 'Roach–bream hybrid', NULL, 2),
  ('tench', 'Tench', 'Tinca tinca', 2),
  ('ide', 'Ide', 'Leuciscus idus', 2),
  ('perch', 'Perch', 'Perca fluviatilis', 2),
  ('chub', 'Chub', 'Squalius cephalus', 2),
  ('dace', 'Dace', 'Leuciscus leuciscus', 2),
  ('gudgeon', 'Gudgeon', 'Gobio gobio', 2),
  ('bleak', 'Bleak', 'Alburnus alburnus', 2),
  ('ruffe', 'Ruffe', 'Gymnocephalus cernua', 2),
  ('barbel', 'Barbel', 'Barbus barbus', 16),
  ('goldfish', 'Goldfish', 'Carassius auratus', 16),
  ('eel', 'Eel', 'Anguilla anguilla', 16),
  ('catfish', 'Catfish', 'Silurus glanis', 8),
  ('pike', 'Pike', 'Esox lucius', 8),
  ('zander', 'Zander', 'Sander lucioperca', 8);

CREATE TABLE methods (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CHECK (name <> ''),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))
) STRICT;
INSERT INTO methods (name) VALUES
  ('Pole'), ('Whip'), ('Waggler'), ('Stick float'), ('Cage feeder'), ('Flat feeder'), ('Bomb'), ('Other');

CREATE TABLE baits (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE CHECK (name <> ''),
  retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1))
) STRICT;
INSERT INTO baits (name) VALUES
  ('Maggot'), ('Pinkie'), ('Caster'), ('Worm'), ('Bread'), ('Sweetcorn'), ('Meat'), ('Pellet'), ('Paste'), ('Hemp'), ('Other');

CREATE TABLE venue_diary (
  id INTEGER PRIMARY KEY AUTOINCREMENT,              -- never given again: an old link or form names no other row
  ver INTEGER NOT NULL DEFAULT 1,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  on_date TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN
    ('stocking', 'netting', 'predators', 'aerator', 'ice broken', 'bank works', 'level', 'fish deaths', 'other')),
  words TEXT NOT NULL CHECK (words <> ''),
  kg REAL CHECK (kg >= 0),
  group_id INTEGER REFERENCES species_groups (id) ON DELETE RESTRICT,
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  at_utc INTEGER NOT NULL
) STRICT;
CREATE INDEX venue_diary_day ON venue_diary (venue_id, on_date);
