-- Weather of the days, per source, and readings of the water. A daily value counts for the date on which its period began.

CREATE TABLE weather_sources (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL COLLATE NOCASE UNIQUE CHECK (name <> ''),
  kind TEXT NOT NULL CHECK (kind IN ('by hand', 'csv', 'ghcn-daily')),
  station TEXT,
  day_ends_at TEXT NOT NULL DEFAULT '24:00',       -- local hour at which this source's day ends, HH:MM
  min_shift_days INTEGER NOT NULL DEFAULT 0 CHECK (min_shift_days IN (-1, 0)),   -- added to the printed date on import
  max_shift_days INTEGER NOT NULL DEFAULT 0 CHECK (max_shift_days IN (-1, 0)),
  rain_shift_days INTEGER NOT NULL DEFAULT 0 CHECK (rain_shift_days IN (-1, 0))
) STRICT;

CREATE TABLE venue_sources (
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  source_id INTEGER NOT NULL REFERENCES weather_sources (id) ON DELETE CASCADE,
  rank INTEGER NOT NULL,                           -- 1 is believed first
  PRIMARY KEY (venue_id, source_id)
) STRICT, WITHOUT ROWID;

-- Every version of what a source said of a day: a correction is a new row, so that an undone import gives back what it replaced.
CREATE TABLE weather_days (
  source_id INTEGER NOT NULL REFERENCES weather_sources (id) ON DELETE CASCADE,
  on_date TEXT NOT NULL,
  ver INTEGER NOT NULL DEFAULT 1,
  min_c REAL CHECK (min_c BETWEEN -60 AND 60),
  max_c REAL CHECK (max_c BETWEEN -60 AND 60),
  rain_mm REAL CHECK (rain_mm BETWEEN 0 AND 1000),
  rain_trace INTEGER NOT NULL DEFAULT 0 CHECK (rain_trace IN (0, 1)),
  wind_ms REAL CHECK (wind_ms BETWEEN 0 AND 75),
  wind_from_deg REAL CHECK (wind_from_deg >= 0 AND wind_from_deg < 360),
  wind_variable INTEGER NOT NULL DEFAULT 0 CHECK (wind_variable IN (0, 1)),
  pressure_hpa REAL CHECK (pressure_hpa BETWEEN 850 AND 1100),
  cloud TEXT CHECK (cloud IN ('clear', 'broken', 'overcast')),
  snow TEXT CHECK (snow IN ('none', 'fell', 'lying')),
  ice TEXT CHECK (ice IN ('none', 'edges', 'part', 'all')),
  import_id INTEGER REFERENCES imports (id) ON DELETE RESTRICT,
  entered_by INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  entered_utc INTEGER NOT NULL,
  PRIMARY KEY (source_id, on_date, ver),
  CHECK (min_c IS NULL OR max_c IS NULL OR min_c <= max_c),
  CHECK (wind_variable = 0 OR wind_from_deg IS NULL)
) STRICT, WITHOUT ROWID;
CREATE INDEX weather_days_import ON weather_days (import_id) WHERE import_id IS NOT NULL;

-- The version that stands: the latest that no undone import wrote.
CREATE VIEW weather_days_standing AS
SELECT w.* FROM weather_days AS w
WHERE NOT EXISTS (SELECT 1 FROM imports AS i WHERE i.id = w.import_id AND i.state = 'undone')
  AND NOT EXISTS (
    SELECT 1 FROM weather_days AS l
    WHERE l.source_id = w.source_id AND l.on_date = w.on_date AND l.ver > w.ver
      AND NOT EXISTS (SELECT 1 FROM imports AS i WHERE i.id = l.import_id AND i.state = 'undone'));

-- Where two sources disagree and an officer chose, per element of the day.
CREATE TABLE weather_choice (
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  on_date TEXT NOT NULL,
  element TEXT NOT NULL CHECK (element IN ('min', 'max', 'rain', 'wind', 'pressure', 'cloud', 'snow', 'ice')),
  source_id INTEGER NOT NULL REFERENCES weather_sources (id) ON DELETE CASCADE,
  chosen_by INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  chosen_utc INTEGER NOT NULL,
  PRIMARY KEY (venue_id, on_date, element)
) STRICT, WITHOUT ROWID;

CREATE TABLE water_readings (
  id INTEGER PRIMARY KEY AUTOINCREMENT,              -- never given again: an old link or form names no other row
  ver INTEGER NOT NULL DEFAULT 1,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  on_date TEXT NOT NULL,                           -- local date at the water
  at_utc INTEGER NOT NULL,
  peg_id INTEGER REFERENCES pegs (id) ON DELETE SET NULL,
  depth_m REAL CHECK (depth_m BETWEEN 0 AND 100),
  temp_c REAL CHECK (temp_c BETWEEN -1 AND 40),
  level_m REAL CHECK (level_m BETWEEN -100 AND 100),
  clarity TEXT CHECK (clarity IN ('clear', 'tinged', 'coloured')),
  by_account INTEGER REFERENCES accounts (id) ON DELETE SET NULL,
  CHECK (temp_c IS NOT NULL OR level_m IS NOT NULL OR clarity IS NOT NULL)
) STRICT;
CREATE INDEX water_readings_day ON water_readings (venue_id, on_date);
