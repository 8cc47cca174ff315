-- Data marks: a counter per venue and topic, raised by every change, so that a fit knows whether it is stale.

CREATE TABLE data_marks (
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  topic TEXT NOT NULL CHECK (topic IN ('weather', 'sessions', 'matches', 'pegs', 'diary')),
  mark INTEGER NOT NULL,
  PRIMARY KEY (venue_id, topic)
) STRICT, WITHOUT ROWID;

-- A counter per peg, raised by every change to a session with a spell there: what one peg has given is worked out anew
-- only when that peg has given more. A session's fish never change without the session or its spells.
CREATE TABLE peg_marks (
  peg_id INTEGER PRIMARY KEY,
  mark INTEGER NOT NULL
) STRICT;

-- Counters of what every water shares, in one row: people's names, what the club has set, the waters' own particulars,
-- the methods (with baits and fish), and how the fits stand. What a page says by one of them is kept until it moves.
CREATE TABLE club_marks (
  id INTEGER PRIMARY KEY CHECK (id = 1),
  names INTEGER NOT NULL DEFAULT 0,
  settings INTEGER NOT NULL DEFAULT 0,
  venues INTEGER NOT NULL DEFAULT 0,
  methods INTEGER NOT NULL DEFAULT 0,
  fits INTEGER NOT NULL DEFAULT 0
) STRICT;
INSERT INTO club_marks (id) VALUES (1);

-- The number of a fit that went with its water is never given again: results are held in memory by it.
CREATE TABLE fits (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  question TEXT NOT NULL,
  params_json TEXT NOT NULL,
  method_version INTEGER NOT NULL,
  result_json TEXT,                                -- the last good one
  fitted_utc INTEGER,
  read_before TEXT,                                -- sessions dated before this day were read
  revision INTEGER NOT NULL DEFAULT 0,             -- raised by every good result
  attempt_state TEXT NOT NULL CHECK (attempt_state IN ('wanted', 'running', 'good', 'failed')),
  attempt_reason TEXT,
  attempt_utc INTEGER NOT NULL,
  UNIQUE (venue_id, question, params_json, method_version)
) STRICT;

-- The marks of the topics that the last good result read.
CREATE TABLE fit_inputs (
  fit_id INTEGER NOT NULL REFERENCES fits (id) ON DELETE CASCADE,
  venue_id INTEGER NOT NULL REFERENCES venues (id) ON DELETE CASCADE,
  topic TEXT NOT NULL,
  mark INTEGER NOT NULL,
  PRIMARY KEY (fit_id, venue_id, topic)
) STRICT, WITHOUT ROWID;

-- What every water shares. A new label is nobody's name until an angler has it, and a new water is on no page yet.
CREATE TRIGGER mark_names_labels_update AFTER UPDATE ON labels BEGIN UPDATE club_marks SET names = names + 1; END;
CREATE TRIGGER mark_names_labels_delete AFTER DELETE ON labels BEGIN UPDATE club_marks SET names = names + 1; END;
CREATE TRIGGER mark_names_anglers_update AFTER UPDATE OF label_id ON anglers BEGIN UPDATE club_marks SET names = names + 1; END;
CREATE TRIGGER mark_settings_of_settings_insert AFTER INSERT ON settings BEGIN UPDATE club_marks SET settings = settings + 1; END;
CREATE TRIGGER mark_settings_of_settings_update AFTER UPDATE ON settings BEGIN UPDATE club_marks SET settings = settings + 1; END;
CREATE TRIGGER mark_settings_of_settings_delete AFTER DELETE ON settings BEGIN UPDATE club_marks SET settings = settings + 1; END;
CREATE TRIGGER mark_venues_of_venues_update AFTER UPDATE ON venues BEGIN UPDATE club_marks SET venues = venues + 1; END;
CREATE TRIGGER mark_venues_of_venues_delete AFTER DELETE ON venues BEGIN UPDATE club_marks SET venues = venues + 1; END;
CREATE TRIGGER mark_methods_of_methods_insert AFTER INSERT ON methods BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_methods_update AFTER UPDATE ON methods BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_methods_delete AFTER DELETE ON methods BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_baits_insert AFTER INSERT ON baits BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_baits_update AFTER UPDATE ON baits BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_baits_delete AFTER DELETE ON baits BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_species_insert AFTER INSERT ON species BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_species_update AFTER UPDATE ON species BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_methods_of_species_delete AFTER DELETE ON species BEGIN UPDATE club_marks SET methods = methods + 1; END;
CREATE TRIGGER mark_fits_of_fits_insert AFTER INSERT ON fits BEGIN UPDATE club_marks SET fits = fits + 1; END;
CREATE TRIGGER mark_fits_of_fits_update AFTER UPDATE ON fits BEGIN UPDATE club_marks SET fits = fits + 1; END;
CREATE TRIGGER mark_fits_of_fits_delete AFTER DELETE ON fits BEGIN UPDATE club_marks SET fits = fits + 1; END;
CREATE TRIGGER mark_fits_of_fit_inputs_insert AFTER INSERT ON fit_inputs BEGIN UPDATE club_marks SET fits = fits + 1; END;
CREATE TRIGGER mark_fits_of_fit_inputs_update AFTER UPDATE ON fit_inputs BEGIN UPDATE club_marks SET fits = fits + 1; END;
CREATE TRIGGER mark_fits_of_fit_inputs_delete AFTER DELETE ON fit_inputs BEGIN UPDATE club_marks SET fits = fits + 1; END;
-- Every venue that uses a source hears of a change to that source.
CREATE TRIGGER mark_weather_weather_days_insert AFTER INSERT ON weather_days BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'weather', 1 FROM venue_sources WHERE source_id = NEW.source_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_weather_days_update AFTER UPDATE ON weather_days BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'weather', 1 FROM venue_sources WHERE source_id = OLD.source_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'weather', 1 FROM venue_sources WHERE source_id = NEW.source_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_weather_days_delete AFTER DELETE ON weather_days BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'weather', 1 FROM venue_sources WHERE source_id = OLD.source_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
-- A source's credit of its lows says in which night they fell.
CREATE TRIGGER mark_weather_weather_sources_update AFTER UPDATE OF min_shift_days ON weather_sources WHEN OLD.min_shift_days IS NOT NEW.min_shift_days BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'weather', 1 FROM venue_sources WHERE source_id = NEW.id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_venue_sources_insert AFTER INSERT ON venue_sources BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_venue_sources_update AFTER UPDATE ON venue_sources BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_venue_sources_delete AFTER DELETE ON venue_sources BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_weather_choice_insert AFTER INSERT ON weather_choice BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_weather_choice_update AFTER UPDATE ON weather_choice BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_weather_choice_delete AFTER DELETE ON weather_choice BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_water_readings_insert AFTER INSERT ON water_readings BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_water_readings_update AFTER UPDATE ON water_readings BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_weather_water_readings_delete AFTER DELETE ON water_readings BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'weather', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_diary_venue_diary_insert AFTER INSERT ON venue_diary BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'diary', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_diary_venue_diary_update AFTER UPDATE ON venue_diary BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'diary', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'diary', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_diary_venue_diary_delete AFTER DELETE ON venue_diary BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'diary', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_pegs_insert AFTER INSERT ON pegs BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_pegs_update AFTER UPDATE ON pegs BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_pegs_delete AFTER DELETE ON pegs BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_peg_closures_insert AFTER INSERT ON peg_closures BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'pegs', 1 FROM pegs WHERE id = NEW.peg_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_peg_closures_update AFTER UPDATE ON peg_closures BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'pegs', 1 FROM pegs WHERE id = OLD.peg_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'pegs', 1 FROM pegs WHERE id = NEW.peg_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_peg_closures_delete AFTER DELETE ON peg_closures BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'pegs', 1 FROM pegs WHERE id = OLD.peg_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_banks_insert AFTER INSERT ON banks BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_banks_update AFTER UPDATE ON banks BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_banks_delete AFTER DELETE ON banks BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'pegs', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_sessions_insert AFTER INSERT ON sessions BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'sessions', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_sessions_update AFTER UPDATE ON sessions BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'sessions', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT NEW.venue_id, 'sessions', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = NEW.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_sessions_delete AFTER DELETE ON sessions BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT OLD.venue_id, 'sessions', 1 WHERE EXISTS (SELECT 1 FROM venues WHERE id = OLD.venue_id) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_spells_insert AFTER INSERT ON spells BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_spells_update AFTER UPDATE ON spells BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_spells_delete AFTER DELETE ON spells BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_pegs_of_session AFTER UPDATE ON sessions BEGIN
  INSERT INTO peg_marks (peg_id, mark) SELECT DISTINCT peg_id, 1 FROM spells WHERE session_id = NEW.id AND peg_id IS NOT NULL ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_peg_of_spell_insert AFTER INSERT ON spells WHEN NEW.peg_id IS NOT NULL BEGIN
  INSERT INTO peg_marks (peg_id, mark) VALUES (NEW.peg_id, 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_peg_of_spell_update_from AFTER UPDATE ON spells WHEN OLD.peg_id IS NOT NULL BEGIN
  INSERT INTO peg_marks (peg_id, mark) VALUES (OLD.peg_id, 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_peg_of_spell_update_to AFTER UPDATE ON spells WHEN NEW.peg_id IS NOT NULL BEGIN
  INSERT INTO peg_marks (peg_id, mark) VALUES (NEW.peg_id, 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_peg_of_spell_delete AFTER DELETE ON spells WHEN OLD.peg_id IS NOT NULL BEGIN
  INSERT INTO peg_marks (peg_id, mark) VALUES (OLD.peg_id, 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_fish_insert AFTER INSERT ON fish BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_fish_update AFTER UPDATE ON fish BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_fish_delete AFTER DELETE ON fish BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_tallies_insert AFTER INSERT ON tallies BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_tallies_update AFTER UPDATE ON tallies BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_tallies_delete AFTER DELETE ON tallies BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_session_events_insert AFTER INSERT ON session_events BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_session_events_update AFTER UPDATE ON session_events BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = NEW.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_sessions_session_events_delete AFTER DELETE ON session_events BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'sessions', 1 FROM sessions WHERE id = OLD.session_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
-- Figures speak in what a water's scales show, and day lengths follow its place.
CREATE TRIGGER mark_venues_update AFTER UPDATE OF weighs_in, zone, lat, lon ON venues BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) VALUES (NEW.id, 'sessions', 1), (NEW.id, 'matches', 1), (NEW.id, 'weather', 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
-- Matches are read once published, so publishing raises the mark, and so does a change of state or an undone import.
CREATE TRIGGER mark_matches_published AFTER INSERT ON publications BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) SELECT venue_id, 'matches', 1 FROM matches WHERE id = NEW.match_id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_matches_state AFTER UPDATE OF state ON matches WHEN OLD.state IS NOT NEW.state BEGIN
  INSERT INTO data_marks (venue_id, topic, mark) VALUES (NEW.venue_id, 'matches', 1) ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
CREATE TRIGGER mark_imports_state AFTER UPDATE OF state ON imports BEGIN
  INSERT INTO peg_marks (peg_id, mark) SELECT DISTINCT p.peg_id, 1 FROM sessions AS s JOIN spells AS p ON p.session_id = s.id WHERE s.import_id = NEW.id AND p.peg_id IS NOT NULL ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT DISTINCT venue_id, 'matches', 1 FROM matches WHERE import_id = NEW.id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT DISTINCT venue_id, 'sessions', 1 FROM sessions WHERE import_id = NEW.id ON CONFLICT DO UPDATE SET mark = mark + 1;
  INSERT INTO data_marks (venue_id, topic, mark) SELECT DISTINCT vs.venue_id, 'weather', 1 FROM weather_days AS w JOIN venue_sources AS vs ON vs.source_id = w.source_id WHERE w.import_id = NEW.id ON CONFLICT DO UPDATE SET mark = mark + 1;
END;
