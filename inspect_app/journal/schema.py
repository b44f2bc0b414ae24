"""The tables, as named migrations: ordered, atomic, forwards only.

Every projection row carries `n`, the running number of the event that last changed it; the changes feed and `verify` rest on that.
"""

from __future__ import annotations

from sqlite_utils import Database, Migrations

from inspect_app.journal.schema_later import (
    BROUGHT,
    CHECKS,
    CLUSTERS,
    FOUND,
    LISTS,
    METHODS,
    OFF_THE_VAN,
    OUTLINES,
    PLANNED,
    PLANS,
    READINGS,
    SOUGHT,
    UNJUDGED,
    put_in_order,
)

migrations = Migrations("lampwalk")

# The projections there were when the changes feed was laid down; that step is released and stays as it is.
FIRST = (
    "catalogues",
    "outlines",
    "people",
    "tablets",
    "tickets",
    "settings",
    "units",
    "walks",
    "looks",
    "voidings",
    "markers",
    "jobs",
    "job_markers",
    "work",
    "questions",
    "photos",
    "blobs",
    "concessions",
    "gates",
    "sheets",
)
# What rebuilding makes anew from the events; `verify` compares exactly these.
PROJECTIONS = (
    *(*FIRST, "brought", "outlines_for", "stations_passed", "painted"),
    *("timers", "parts", "part_steps", "mixups", "clusters", "plans", "readings", "gate_checks"),
)

EVENTS = """
CREATE TABLE events (
  n INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, stream TEXT NOT NULL, stream_seq INTEGER NOT NULL, type TEXT NOT NULL,
  tablet TEXT NOT NULL, seq INTEGER NOT NULL, ticket TEXT NOT NULL, person TEXT NOT NULL,
  at INTEGER NOT NULL, offset_ms INTEGER NOT NULL, received_at INTEGER NOT NULL,
  catalogue TEXT, outline TEXT, body TEXT NOT NULL, resolved TEXT NOT NULL, outcome TEXT NOT NULL, reason TEXT,
  sent_hash TEXT NOT NULL, private_hash TEXT, prev TEXT NOT NULL, hash TEXT NOT NULL,
  UNIQUE (stream, stream_seq)
);
CREATE TABLE private (event TEXT PRIMARY KEY REFERENCES events(id), salt TEXT NOT NULL, content TEXT NOT NULL);
CREATE TABLE refused (
  id TEXT NOT NULL, sent_hash TEXT NOT NULL, stream TEXT, type TEXT, tablet TEXT, person TEXT, at INTEGER, received_at INTEGER NOT NULL,
  code TEXT NOT NULL, reason TEXT NOT NULL, body TEXT, PRIMARY KEY (id, sent_hash)
);
CREATE TABLE streams (stream TEXT PRIMARY KEY, seq INTEGER NOT NULL, head TEXT NOT NULL);
"""

PLANT = """
CREATE TABLE catalogues (hash TEXT PRIMARY KEY, content TEXT NOT NULL, current INTEGER NOT NULL, n INTEGER NOT NULL);
CREATE TABLE outlines (hash TEXT PRIMARY KEY, content TEXT NOT NULL, current INTEGER NOT NULL, n INTEGER NOT NULL);
CREATE TABLE people (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, roles TEXT NOT NULL, departments TEXT NOT NULL, pin_hash TEXT NOT NULL,
  state TEXT NOT NULL, n INTEGER NOT NULL
);
CREATE TABLE tablets (id TEXT PRIMARY KEY, letters TEXT NOT NULL UNIQUE, name TEXT, state TEXT NOT NULL, admitted_at INTEGER NOT NULL, n INTEGER NOT NULL);
CREATE TABLE tickets (
  id TEXT PRIMARY KEY, person TEXT NOT NULL, tablet TEXT NOT NULL, roles TEXT NOT NULL, departments TEXT NOT NULL,
  issued_at INTEGER NOT NULL, until INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL, n INTEGER NOT NULL);
"""

UNITS = """
CREATE TABLE units (
  id TEXT PRIMARY KEY, plant TEXT NOT NULL, chassis TEXT NOT NULL, last_six TEXT NOT NULL, build_number TEXT NOT NULL, make TEXT NOT NULL,
  model TEXT NOT NULL, colour TEXT NOT NULL, colour_hex TEXT NOT NULL, finish TEXT NOT NULL, options TEXT NOT NULL, due INTEGER,
  outline TEXT NOT NULL, absent TEXT NOT NULL, state TEXT NOT NULL, stage TEXT NOT NULL, revision TEXT, place TEXT, keys TEXT,
  arrived_at INTEGER NOT NULL, signed_at INTEGER, open INTEGER NOT NULL DEFAULT 0, in_rework INTEGER NOT NULL DEFAULT 0,
  reworked INTEGER NOT NULL DEFAULT 0, markers INTEGER NOT NULL DEFAULT 0, questions INTEGER NOT NULL DEFAULT 0,
  voided INTEGER NOT NULL DEFAULT 0, n INTEGER NOT NULL, UNIQUE (plant, chassis, build_number)
);
CREATE INDEX units_last_six ON units (last_six);
CREATE INDEX units_state ON units (state, due);
CREATE TABLE walks (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, purpose TEXT NOT NULL, state TEXT NOT NULL, person TEXT NOT NULL, tablet TEXT NOT NULL,
  started_at INTEGER NOT NULL, finished_at INTEGER, counts INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX walks_unit ON walks (unit);
CREATE TABLE looks (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, walk TEXT NOT NULL, purpose TEXT NOT NULL, zone TEXT NOT NULL, part TEXT NOT NULL, lap TEXT NOT NULL,
  person TEXT NOT NULL, at INTEGER NOT NULL, found INTEGER NOT NULL, voided INTEGER NOT NULL, undone INTEGER NOT NULL, counts INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX looks_unit ON looks (unit);
CREATE TABLE voidings (
  unit TEXT NOT NULL, zone TEXT NOT NULL, lap TEXT NOT NULL, at INTEGER NOT NULL, n INTEGER NOT NULL, PRIMARY KEY (unit, zone, lap)
);
"""

MARKERS = """
CREATE TABLE markers (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, tag TEXT NOT NULL, kind TEXT NOT NULL, view TEXT NOT NULL, zone TEXT NOT NULL, part TEXT NOT NULL,
  class TEXT NOT NULL, joint TEXT, x INTEGER, y INTEGER, x2 INTEGER, y2 INTEGER, spread INTEGER, words TEXT NOT NULL,
  size INTEGER, count INTEGER NOT NULL, gap INTEGER, raking INTEGER NOT NULL, severity TEXT NOT NULL, origin TEXT NOT NULL, origin_basis TEXT NOT NULL,
  origin_by TEXT, department TEXT NOT NULL, method TEXT NOT NULL, verdict TEXT NOT NULL, limit_text TEXT NOT NULL, state TEXT NOT NULL,
  attempt INTEGER NOT NULL, returns INTEGER NOT NULL, "escape" INTEGER NOT NULL, planned INTEGER NOT NULL, no_flaw TEXT, returned_for TEXT,
  caused_by TEXT, walk TEXT, lap TEXT, made_by TEXT NOT NULL, made_at INTEGER NOT NULL, received_at INTEGER NOT NULL, plant_day TEXT NOT NULL,
  decided_by TEXT, decided_at INTEGER, cure_until INTEGER, joined_to TEXT, note TEXT, n INTEGER NOT NULL, UNIQUE (unit, tag)
);
CREATE INDEX markers_unit ON markers (unit, state);
CREATE INDEX markers_day ON markers (plant_day, origin, origin_basis, department, kind, class, state);
CREATE TABLE questions (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, marker TEXT, job TEXT, cause TEXT NOT NULL, text TEXT NOT NULL, state TEXT NOT NULL, asked_by TEXT NOT NULL,
  asked_at INTEGER NOT NULL, answer TEXT, answered_by TEXT, answered_at INTEGER, n INTEGER NOT NULL
);
CREATE INDEX questions_unit ON questions (unit, state);
CREATE TABLE concessions (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, marker TEXT NOT NULL, state TEXT NOT NULL, asked_by TEXT NOT NULL, asked_at INTEGER NOT NULL,
  approvers TEXT NOT NULL, needed INTEGER NOT NULL, reason TEXT, customer TEXT, channel TEXT, decided_at INTEGER, n INTEGER NOT NULL
);
CREATE INDEX concessions_unit ON concessions (unit, state);
CREATE INDEX concessions_state ON concessions (state) WHERE state = 'asked';
"""

JOBS = """
CREATE TABLE jobs (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, method TEXT NOT NULL, department TEXT NOT NULL, step INTEGER NOT NULL,
  steps INTEGER NOT NULL, chain TEXT NOT NULL, attempt INTEGER NOT NULL, state TEXT NOT NULL, text TEXT NOT NULL, minutes_planned INTEGER NOT NULL,
  film INTEGER NOT NULL, taken_by TEXT, taken_at INTEGER, done_by TEXT, done_at INTEGER, minutes INTEGER, waiting_what TEXT, waiting_until INTEGER,
  planned_at INTEGER NOT NULL, reason TEXT, n INTEGER NOT NULL
);
CREATE INDEX jobs_unit ON jobs (unit);
CREATE INDEX jobs_open ON jobs (department, state) WHERE state IN ('ready', 'taken', 'waiting');
CREATE INDEX jobs_chain ON jobs (chain, step);
CREATE TABLE job_markers (job TEXT NOT NULL, marker TEXT NOT NULL, unit TEXT NOT NULL, left_out INTEGER NOT NULL, n INTEGER NOT NULL, PRIMARY KEY (job, marker));
CREATE INDEX job_markers_marker ON job_markers (marker);
CREATE INDEX job_markers_unit ON job_markers (unit);
CREATE TABLE work (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, job TEXT, marker TEXT NOT NULL, person TEXT NOT NULL, department TEXT NOT NULL, method TEXT NOT NULL,
  at INTEGER NOT NULL, minutes INTEGER NOT NULL, film INTEGER, clips INTEGER, attempt INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX work_marker ON work (marker, person);
CREATE INDEX work_unit ON work (unit);
"""

RECORDS = """
CREATE TABLE photos (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, marker TEXT, job TEXT, concession TEXT, role TEXT NOT NULL, state TEXT NOT NULL, sha TEXT, person TEXT NOT NULL,
  at INTEGER NOT NULL, reason TEXT, n INTEGER NOT NULL
);
CREATE INDEX photos_unit ON photos (unit);
CREATE TABLE blobs (sha TEXT PRIMARY KEY, bytes INTEGER NOT NULL, width INTEGER NOT NULL, height INTEGER NOT NULL, n INTEGER NOT NULL);
CREATE TABLE gates (unit TEXT NOT NULL, gate TEXT NOT NULL, tablet TEXT NOT NULL, state TEXT NOT NULL, person TEXT NOT NULL, at INTEGER NOT NULL, note TEXT, n INTEGER NOT NULL, PRIMARY KEY (unit, gate, tablet));
CREATE TABLE sheets (
  unit TEXT NOT NULL, revision TEXT NOT NULL, head TEXT NOT NULL, signed_by TEXT NOT NULL, signed_at INTEGER NOT NULL, signed_event TEXT NOT NULL,
  state TEXT NOT NULL, a4 TEXT, letter TEXT, bytes INTEGER, issued_at INTEGER, n INTEGER NOT NULL, PRIMARY KEY (unit, revision)
);
"""

# What the server notes for itself: no history, not rebuilt, not compared.
NOTED = """
CREATE TABLE seen_by (tablet TEXT NOT NULL, unit TEXT NOT NULL, opened_at INTEGER NOT NULL, reported_at INTEGER NOT NULL, held INTEGER NOT NULL, PRIMARY KEY (tablet, unit));
CREATE TABLE tries (who TEXT PRIMARY KEY, failed INTEGER NOT NULL, last_at INTEGER NOT NULL);
"""

# Where a van is on the line, what was found where, and how its parts were painted.
LINE = """
ALTER TABLE units ADD COLUMN station TEXT;
ALTER TABLE markers ADD COLUMN found_at TEXT;
CREATE TABLE stations_passed (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, station TEXT NOT NULL, walk TEXT, person TEXT NOT NULL, at INTEGER NOT NULL, n INTEGER NOT NULL,
  UNIQUE (unit, station)
);
CREATE TABLE painted (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, booth TEXT NOT NULL, sprayer TEXT, mix TEXT, flame_at INTEGER, at INTEGER NOT NULL,
  person TEXT NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX painted_unit ON painted (unit, part);
"""

# Waits of cautions that run by the clock: booth clearance, fire watch. Those that nobody has ended are on every floor.
TIMERS = """
CREATE TABLE timers (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, last_six TEXT NOT NULL, caution TEXT NOT NULL, place TEXT NOT NULL, job TEXT, minutes INTEGER NOT NULL,
  state TEXT NOT NULL, started_by TEXT NOT NULL, started_at INTEGER NOT NULL, until INTEGER NOT NULL, ended_by TEXT, ended_at INTEGER, reason TEXT,
  n INTEGER NOT NULL
);
CREATE INDEX timers_unit ON timers (unit);
CREATE INDEX timers_running ON timers (until) WHERE state = 'running';
"""

# As `COUNTED` in project/units.py has it from then on.
NOT_FITTED = """
UPDATE units SET voided = (SELECT count(*) FROM voidings v WHERE v.unit = units.id AND NOT EXISTS (
    SELECT 1 FROM looks l WHERE l.unit = v.unit AND l.zone = v.zone AND l.lap = v.lap AND l.counts = 1 AND l.undone = 0 AND l.at > v.at)
    AND NOT EXISTS (SELECT 1 FROM json_each(units.absent) a WHERE a.key = v.zone AND a.value = 'not_fitted')) WHERE voided > 0;
UPDATE units SET stage = 'to_sign' WHERE stage = 'to_look_again' AND reworked = 0 AND voided = 0;
"""


def _changed_index(table: str) -> str:
    return f"CREATE INDEX {table}_n ON {table} (n);\n"


@migrations()
def events_and_plant(db: Database) -> None:
    """Lay down the streams and what the plant stream projects."""
    _run(db, EVENTS + PLANT)


@migrations()
def units_and_work(db: Database) -> None:
    """Lay down what the unit streams project."""
    _run(db, UNITS + MARKERS + JOBS + RECORDS)


@migrations()
def changes_feed(db: Database) -> None:
    """Index the running number of every projection, so that the feed reads only what is new."""
    _run(db, "".join(_changed_index(table) for table in FIRST))


@migrations()
def server_notes(db: Database) -> None:
    """Lay down what the server notes for itself."""
    _run(db, NOTED)


@migrations()
def lists(db: Database) -> None:
    """Index what the floor lists and what the rates count."""
    _run(db, LISTS)


@migrations()
def current_versions(db: Database) -> None:
    """Index which version is the current one: without it, asking reads past the whole text of each version."""
    _run(
        db,
        "".join(f"CREATE INDEX {table}_current ON {table} (current, hash);\n" for table in ("catalogues", "outlines")),
    )


@migrations()
def looks_by_spot(db: Database) -> None:
    """Index looks by zone and lap within their unit: whether one is newer than the last work is asked at every count."""
    _run(db, "DROP INDEX looks_unit;\nCREATE INDEX looks_spot ON looks (unit, zone, lap);\n")


@migrations()
def sheet_opens_as(db: Database) -> None:
    """Note in which paper a sheet is handed out when none is asked for; until now that was A4."""
    _run(db, "ALTER TABLE sheets ADD COLUMN paper TEXT NOT NULL DEFAULT 'a4';\n")


@migrations()
def refused_by_tablet(db: Database) -> None:
    """Index what was refused by its tablet: a manager looks through it on the tablet's page."""
    _run(db, "CREATE INDEX refused_tablet ON refused (tablet, received_at);\n")


@migrations()
def brought_in(db: Database) -> None:
    """Note which outbox files a manager brought in by hand."""
    _run(db, BROUGHT + _changed_index("brought"))


@migrations()
def photo_marks(db: Database) -> None:
    """Keep what is drawn on a photo."""
    _run(db, "ALTER TABLE photos ADD COLUMN marks TEXT NOT NULL DEFAULT '[]';\n")


@migrations()
def outlines_of_the_plant(db: Database) -> None:
    """Tell a plant's own outlines from ours, which are retired, and which new units are drawn on which."""
    _run(db, OUTLINES + _changed_index("outlines_for"))


@migrations()
def published_catalogues(db: Database) -> None:
    """Index when a catalogue was published: its history is asked for on a page, and at every start."""
    _run(db, "CREATE INDEX events_catalogues ON events (n) WHERE type = 'catalogue_published';\n")


@migrations()
def how_people_read(db: Database) -> None:
    """Note in which language someone reads and how they write numbers and dates; empty is as the plant does."""
    columns = ("language", "formats")
    _run(db, "".join(f"ALTER TABLE people ADD COLUMN {name} TEXT NOT NULL DEFAULT '';\n" for name in columns))


@migrations()
def found_by_words(db: Database) -> None:
    """Index what the history, the list of units and the search for notes read, so that years of it cost little."""
    _run(db, FOUND)


@migrations()
def along_the_line(db: Database) -> None:
    """Note where a van is on the line, at which station a mark was found, and how parts were painted."""
    _run(db, LINE + _changed_index("stations_passed") + _changed_index("painted"))


@migrations()
def safety_timers(db: Database) -> None:
    """Keep the waits of cautions that run by the clock."""
    _run(db, TIMERS + _changed_index("timers"))


@migrations()
def parts_off_the_van(db: Database) -> None:
    """Keep parts that are off their vans, their steps, and mix-ups that were stopped."""
    _run(db, OFF_THE_VAN + "".join(map(_changed_index, ("parts", "part_steps", "mixups"))))


@migrations()
def not_fitted_is_not_undone(db: Database) -> None:
    """Count no look as undone on a zone that is not fitted: nobody can look there again, and the unit stood still."""
    _run(db, NOT_FITTED)


@migrations()
def judged_together(db: Database) -> None:
    """Keep what lies together on a part, and beside a marker's verdict the one it has alone."""
    _run(db, CLUSTERS + _changed_index("clusters"))


@migrations()
def plans_of_units(db: Database) -> None:
    """Keep the plans that were accepted for units."""
    _run(db, PLANS + _changed_index("plans"))


@migrations()
def readings_taken(db: Database) -> None:
    """Keep what was read at a van, how it was judged, and what it led to."""
    _run(db, READINGS + _changed_index("readings"))


@migrations()
def owed_judgements(db: Database) -> None:
    """Write down which units are still to be judged, for a server that is killed before it has judged them."""
    _run(db, UNJUDGED)


@migrations()
def ways_to_put_it_right(db: Database) -> None:
    """Keep what decides how a flaw is put right, and what a manager put first."""
    _run(db, METHODS)


@migrations()
def values_at_gates(db: Database) -> None:
    """Keep what was written down at a gate, each time it was confirmed."""
    _run(db, CHECKS + _changed_index("gate_checks"))


@migrations()
def words_sought(db: Database) -> None:
    """Note whether the indexes of what vans are called and of notes stand; they are made when the journal is opened."""
    _run(db, SOUGHT)


@migrations()
def jobs_of_a_plan(db: Database) -> None:
    """Keep beside a job what its plan says of it; and write plans and what was seen as the events give them."""
    _run(db, PLANNED)
    put_in_order(db)


def _run(db: Database, text: str) -> None:
    # executescript() would commit behind the migration's back; one statement at a time stays in its transaction.
    for statement in filter(None, (part.strip() for part in text.split(";\n"))):
        db.execute(statement.rstrip(";"))
