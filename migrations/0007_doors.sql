-- The four views that statistics may read, and nothing else. Undone imports, sessions taken back and
-- matches not yet published are left out here, once.

-- Matches whose figures may be read.
CREATE VIEW readable_matches AS
SELECT m.* FROM matches AS m
WHERE m.state IN ('published', 'final')
  AND (m.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = m.import_id AND i.state <> 'undone'));

-- Sessions that went with an import that was undone: their own, or that of their match.
CREATE VIEW sessions_undone AS
SELECT s.id FROM sessions AS s JOIN imports AS i ON i.id = s.import_id WHERE i.state = 'undone'
UNION ALL
SELECT s.id FROM sessions AS s JOIN entries AS e ON e.id = s.entry_id JOIN matches AS m ON m.id = e.match_id
JOIN imports AS i ON i.id = m.import_id WHERE i.state = 'undone';

CREATE VIEW readable_sessions AS
SELECT s.*, CASE s.kind WHEN 'match' THEN 'match' ELSE 'report' END AS series
FROM sessions AS s
LEFT JOIN entries AS e ON e.id = s.entry_id
WHERE s.removed_utc IS NULL
  AND (s.import_id IS NULL OR EXISTS (SELECT 1 FROM imports AS i WHERE i.id = s.import_id AND i.state <> 'undone'))
  AND (s.entry_id IS NULL OR EXISTS (SELECT 1 FROM readable_matches AS r WHERE r.id = e.match_id));

-- The weight of each net kind of an entry as the weigh sheet has it now: zero where it fished and showed no such net,
-- unknown where it did not weigh. Read to post a result, and by nothing else.
CREATE VIEW weighed_nets AS
SELECT e.match_id, e.id AS entry_id, k.group_set,
       CASE WHEN e.outcome = 'did not weigh' THEN NULL
            ELSE COALESCE((
              SELECT SUM((w.raw_weight - COALESCE(w.tare, 0)) * CASE w.scale WHEN 'dr' THEN 1.7718451953125 ELSE 1.0 END)
              FROM nets AS n
              JOIN net_choices AS c ON c.net_id = n.id AND c.current = 1
              JOIN net_choice_weighings AS cw ON cw.choice_id = c.id
              JOIN weighings AS w ON w.id = cw.weighing_id AND w.kind = 'net'
              WHERE n.entry_id = e.id AND n.group_set = k.group_set), 0.0)
       END AS weight_g
FROM entries AS e
JOIN match_net_kinds AS k ON k.match_id = e.match_id
WHERE e.status = 'booked' AND e.outcome IN ('fished', 'blank', 'did not weigh', 'disqualified');

-- On which peg each entry fished, from when to when, as far as its sheet or its match tells: as posted, and before a
-- posting as it stands.
CREATE VIEW entry_hours AS
SELECT entry_id, peg_id, start_utc AS from_utc,
       CASE WHEN told_minutes IS NULL THEN finish_utc ELSE start_utc + CAST(told_minutes * 60 AS INTEGER) END AS to_utc,
       COALESCE(told_minutes, (finish_utc - start_utc) / 60.0) AS minutes,
       CASE WHEN told_minutes IS NOT NULL THEN CASE told_asked WHEN 1 THEN 'asked at import' ELSE 'session' END
            WHEN start_utc IS NOT NULL AND finish_utc IS NOT NULL THEN 'match hours'
            ELSE 'unknown' END AS effort_source
FROM (SELECT e.id AS entry_id, e.told_minutes, e.told_asked,
             CASE WHEN q.entry_id IS NULL THEN e.peg_id ELSE q.peg_id END AS peg_id,
             CASE WHEN h.match_id IS NULL THEN m.start_utc ELSE h.start_utc END AS start_utc,
             COALESCE(e.stopped_utc, CASE WHEN h.match_id IS NULL THEN m.finish_utc ELSE h.finish_utc END) AS finish_utc
      FROM entries AS e JOIN matches AS m ON m.id = e.match_id
      LEFT JOIN posted_matches AS h ON h.match_id = m.id
      LEFT JOIN posted_entries AS q ON q.entry_id = e.id);

-- Catch by session and observed set of groups. Posted weights stand before an angler's own; his numbers stay, marked as his own.
CREATE VIEW session_sets AS
SELECT s.id AS session_id, o.group_set, o.weight_g, f.count AS fish_count, 1 AS official
FROM sessions AS s
JOIN posted_nets AS o ON o.entry_id = s.entry_id
LEFT JOIN fish AS f ON f.session_id = s.id AND f.row_kind = 'total' AND f.group_set = o.group_set
UNION ALL
SELECT s.id, f.group_set,
       f.weight * CASE f.scale WHEN 'dr' THEN 1.7718451953125 ELSE 1.0 END,
       f.count, 0
FROM sessions AS s
JOIN fish AS f ON f.session_id = s.id AND f.row_kind = 'total'
WHERE s.entry_id IS NULL;

-- A session's peg, when there was only one, and its rod-hours, absent where hours are not known.
CREATE VIEW session_efforts AS
SELECT session_id,
       CASE WHEN MIN(peg_id) = MAX(peg_id) AND COUNT(peg_id) = COUNT(*) THEN MIN(peg_id) END AS peg_id,
       CASE WHEN COUNT(minutes) = COUNT(*) THEN SUM(rods * minutes) / 60.0 END AS rod_hours
FROM spells GROUP BY session_id;

-- One row a session and observed set, with the session's peg and effort: each set by itself, and all of them together
-- where there are several.
CREATE VIEW session_catches_worked AS
SELECT s.session_id, s.group_set, s.weight_g, s.fish_count, s.official, e.peg_id, e.rod_hours
FROM session_sets AS s LEFT JOIN session_efforts AS e ON e.session_id = s.session_id
UNION ALL
SELECT s.session_id, SUM(s.group_set),
       CASE WHEN COUNT(s.weight_g) = COUNT(*) THEN SUM(s.weight_g) END,
       CASE WHEN COUNT(s.fish_count) = COUNT(*) THEN SUM(s.fish_count) END,
       MIN(s.official), MIN(e.peg_id), MIN(e.rod_hours)
FROM session_sets AS s LEFT JOIN session_efforts AS e ON e.session_id = s.session_id
GROUP BY s.session_id HAVING COUNT(*) > 1;

-- The same, kept, so that a page need not work it out. `store::sessions::refresh_catches` is the only writer;
-- a test compares it with the view above after every kind of change.
CREATE TABLE session_catches (
  session_id INTEGER NOT NULL REFERENCES sessions (id) ON DELETE CASCADE,
  group_set INTEGER NOT NULL,
  weight_g REAL,
  fish_count INTEGER,
  official INTEGER NOT NULL,
  peg_id INTEGER,
  rod_hours REAL,
  PRIMARY KEY (session_id, group_set)
) STRICT, WITHOUT ROWID;

-- Beside a posted weight, a report that is not shared with the club tells nobody anything: not the angler's count, not his
-- hours or rods, not that he moved. What stands there is what would stand had nobody reported: the posted peg, one rod, the
-- match's hours.
CREATE VIEW fishing AS
SELECT s.id AS session_id, s.pid AS session_pid, s.angler_id,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN c.peg_id ELSE p.peg_id END AS peg_id,
       s.visibility, s.fished_on AS day, s.venue_id, s.series,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN c.rod_hours
            ELSE (SELECT h.minutes / 60.0 FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS rod_hours,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN s.effort_source
            ELSE (SELECT h.effort_source FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS effort_source,
       c.group_set,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN c.fish_count END AS fish_count, c.weight_g, c.official,
       e.match_id, s.entry_id,
       CASE WHEN p.outcome = 'did not weigh' THEN 1 ELSE 0 END AS did_not_weigh
FROM readable_sessions AS s
JOIN session_catches AS c ON c.session_id = s.id
LEFT JOIN entries AS e ON e.id = s.entry_id
LEFT JOIN posted_entries AS p ON p.entry_id = s.entry_id;

-- As in `fishing`: for a report that is not shared stands the one spell that the match and its sheet tell.
CREATE VIEW fishing_spells AS
SELECT p.session_id, s.angler_id, s.venue_id, s.fished_on AS day, s.series,
       CASE WHEN s.entry_id IS NULL THEN s.visibility ELSE 'club' END AS visibility, p.ord,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.peg_id ELSE (SELECT h.peg_id FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS peg_id,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.method_id
            ELSE (SELECT e.told_method_id FROM entries AS e WHERE e.id = s.entry_id) END AS method_id,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.bait_id END AS bait_id,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.depth_m END AS depth_m,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.line_m END AS line_m,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.aim_m END AS aim_m,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.from_utc ELSE (SELECT h.from_utc FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS from_utc,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.to_utc ELSE (SELECT h.to_utc FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS to_utc,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.minutes ELSE (SELECT h.minutes FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS minutes,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.rods ELSE 1 END AS rods,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.rods * p.minutes / 60.0 ELSE (SELECT h.minutes / 60.0 FROM entry_hours AS h WHERE h.entry_id = s.entry_id) END AS rod_hours,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.is_opening
            ELSE (SELECT e.told_method_id IS NOT NULL FROM entries AS e WHERE e.id = s.entry_id) END AS is_opening,
       CASE WHEN s.entry_id IS NULL OR s.visibility = 'club' THEN p.uncovered
            ELSE (SELECT e.told_method_id IS NULL FROM entries AS e WHERE e.id = s.entry_id) END AS uncovered
FROM readable_sessions AS s
JOIN spells AS p ON p.session_id = s.id
WHERE s.entry_id IS NULL OR s.visibility = 'club' OR p.ord = 1;

-- Columns are cast alike in the three parts: only then does SQLite look a session's events up by their key.
CREATE VIEW fishing_events AS
SELECT s.id AS session_id, s.angler_id, s.venue_id, s.fished_on AS day, s.series, s.visibility, s.start_utc, s.end_utc,
       CAST('fish' AS TEXT) AS kind, f.at_utc, f.at_utc AS to_utc, f.group_set, CAST(COALESCE(f.count, 1) AS INTEGER) AS count
FROM readable_sessions AS s JOIN fish AS f ON f.session_id = s.id AND f.row_kind = 'named' AND f.at_utc IS NOT NULL
UNION ALL
SELECT s.id, s.angler_id, s.venue_id, s.fished_on, s.series, s.visibility, s.start_utc, s.end_utc,
       CAST('tally' AS TEXT), t.from_utc, t.to_utc, t.group_id, t.count
FROM readable_sessions AS s JOIN tallies AS t ON t.session_id = s.id
UNION ALL
SELECT s.id, s.angler_id, s.venue_id, s.fished_on, s.series, s.visibility, s.start_utc, s.end_utc,
       v.kind, v.at_utc, v.ended_utc, CAST(NULL AS INTEGER), CAST(1 AS INTEGER)
FROM readable_sessions AS s JOIN session_events AS v ON v.session_id = s.id AND v.crossed_out_utc IS NULL;

CREATE VIEW fishing_entries AS
SELECT m.id AS match_id, m.venue_id, h.on_date AS day, h.name AS match_name, h.pegs_allotted,
       h.start_utc, h.finish_utc, e.told_minutes, e.id AS entry_id, e.angler_id, p.peg_id AS drawn_peg_id, p.section_id, p.team_id,
       p.outcome, CASE WHEN p.outcome = 'did not weigh' THEN 1 ELSE 0 END AS did_not_weigh,
       (SELECT SUM(k.group_set) FROM match_net_kinds AS k WHERE k.match_id = m.id) AS group_set,
       (SELECT SUM(o.weight_g) FROM posted_nets AS o WHERE o.entry_id = e.id) AS weight_g
FROM readable_matches AS m
JOIN posted_matches AS h ON h.match_id = m.id
JOIN entries AS e ON e.match_id = m.id
JOIN posted_entries AS p ON p.entry_id = e.id;
