"""Tables that came later; schema.py says in which migration."""

from __future__ import annotations

import json

from sqlite_utils import Database

# Which outline new units of a make and model are drawn on; make and model without case, as `key`.
OUTLINES = """
ALTER TABLE outlines ADD COLUMN own INTEGER NOT NULL DEFAULT 0;
ALTER TABLE outlines ADD COLUMN retired INTEGER NOT NULL DEFAULT 0;
CREATE TABLE outlines_for (key TEXT PRIMARY KEY, make TEXT NOT NULL, model TEXT NOT NULL, outline TEXT, n INTEGER NOT NULL);
CREATE INDEX units_outline ON units (outline);
"""

# For the lists of what needs whom, and for flaws counted on the units whose first walk ended in a period: each reads only the
# rows it shows. Flaws are counted by unit, not by day, so that they belong to the vans they are divided by.
LISTS = """
CREATE INDEX units_signed ON units (signed_at) WHERE state = 'signed';
CREATE INDEX walks_walking ON walks (unit) WHERE state = 'walking';
CREATE INDEX walks_finished ON walks (purpose, finished_at, unit);
CREATE INDEX questions_open ON questions (unit) WHERE state = 'open';
CREATE INDEX markers_no_flaw ON markers (unit) WHERE no_flaw IS NOT NULL;
CREATE INDEX sheets_making ON sheets (unit) WHERE state = 'making';
CREATE INDEX tickets_tablet ON tickets (tablet, issued_at);
DROP INDEX markers_day;
CREATE INDEX markers_counted ON markers (unit, walk, origin, origin_basis, department, kind, class, severity, state, "escape", joined_to);
"""

FOUND = """
CREATE INDEX refused_stream ON refused (stream) WHERE stream IS NOT NULL;
CREATE INDEX units_arrived ON units (arrived_at);
CREATE INDEX units_makes ON units (make);
CREATE INDEX units_plants ON units (plant);
CREATE INDEX markers_notes ON markers (made_at, unit, note) WHERE note IS NOT NULL;
"""

# Outboxes brought in by hand from tablets that could not send.
BROUGHT = """
CREATE TABLE brought (
  id TEXT PRIMARY KEY, tablet TEXT NOT NULL, person TEXT NOT NULL, at INTEGER NOT NULL, entries INTEGER NOT NULL, late INTEGER NOT NULL,
  reason TEXT, n INTEGER NOT NULL
);
CREATE INDEX brought_tablet ON brought (tablet);
"""

# Parts that are off their vans or were: where each stands, what was done to it when, and labels of other vans that were stopped.
OFF_THE_VAN = """
CREATE TABLE parts (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, label TEXT NOT NULL, side TEXT NOT NULL, material TEXT NOT NULL, zones TEXT NOT NULL,
  place TEXT, state TEXT NOT NULL, stage TEXT NOT NULL, done TEXT NOT NULL, booth TEXT, mix TEXT, clips_out INTEGER NOT NULL DEFAULT 0,
  clips_broken INTEGER NOT NULL DEFAULT 0, clips_replaced INTEGER NOT NULL DEFAULT 0, clips_cost INTEGER NOT NULL DEFAULT 0,
  off_at INTEGER NOT NULL, off_by TEXT NOT NULL, back_at INTEGER, back_by TEXT, reason TEXT, n INTEGER NOT NULL
);
CREATE INDEX parts_unit ON parts (unit);
CREATE INDEX parts_off ON parts (unit) WHERE state NOT IN ('refitted', 'put_back');
CREATE TABLE part_steps (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, stage TEXT NOT NULL, person TEXT NOT NULL, at INTEGER NOT NULL, booth TEXT, mix TEXT,
  n INTEGER NOT NULL
);
CREATE INDEX part_steps_part ON part_steps (part);
CREATE INDEX part_steps_at ON part_steps (at);
CREATE TABLE mixups (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, stage TEXT NOT NULL, read TEXT NOT NULL, vans TEXT NOT NULL, person TEXT NOT NULL,
  at INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX mixups_at ON mixups (at);
CREATE INDEX mixups_unit ON mixups (unit);
"""

# What was seen of a flaw close by, why a barred method was chosen all the same, and which job a manager put first.
METHODS = """
ALTER TABLE markers ADD COLUMN examined TEXT;
ALTER TABLE markers ADD COLUMN method_reason TEXT;
ALTER TABLE markers ADD COLUMN method_by TEXT;
ALTER TABLE jobs ADD COLUMN method_reason TEXT;
ALTER TABLE jobs ADD COLUMN method_by TEXT;
ALTER TABLE jobs ADD COLUMN pinned_at INTEGER;
ALTER TABLE jobs ADD COLUMN pinned_by TEXT;
"""

# What was judged together on a part. A marker of it is over its limit, and keeps beside that what it is by itself.
CLUSTERS = """
CREATE TABLE clusters (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, part TEXT NOT NULL, rule TEXT NOT NULL, outcome TEXT NOT NULL, markers TEXT NOT NULL, place TEXT NOT NULL,
  count INTEGER NOT NULL, text TEXT NOT NULL, view TEXT, x INTEGER, y INTEGER, reach INTEGER, gone INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX clusters_unit ON clusters (unit) WHERE gone = 0;
ALTER TABLE markers ADD COLUMN alone_verdict TEXT;
ALTER TABLE markers ADD COLUMN alone_limit TEXT;
"""

# Plans that were accepted: what each stood on, what it decided, where somebody chose otherwise and why.
PLANS = """
CREATE TABLE plans (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, person TEXT NOT NULL, at INTEGER NOT NULL, text TEXT NOT NULL, booth INTEGER NOT NULL, counted TEXT NOT NULL,
  cost INTEGER NOT NULL, minutes INTEGER NOT NULL, look_minutes INTEGER NOT NULL, refinish TEXT NOT NULL, blends TEXT NOT NULL, otherwise TEXT NOT NULL,
  markers TEXT NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX plans_unit ON plans (unit);
"""

# What was written down at a gate, each time; beside the gate itself the last of it.
CHECKS = """
CREATE TABLE gate_checks (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, gate TEXT NOT NULL, told TEXT NOT NULL, words TEXT NOT NULL, failed INTEGER NOT NULL,
  person TEXT NOT NULL, at INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX gate_checks_unit ON gate_checks (unit);
ALTER TABLE gates ADD COLUMN words TEXT;
"""

# What was read at a van and how it was judged; which marker it opened or closed, with a person's press.
READINGS = """
CREATE TABLE readings (
  id TEXT PRIMARY KEY, unit TEXT NOT NULL, what TEXT NOT NULL, part TEXT, beside TEXT, joint TEXT, label TEXT NOT NULL, class TEXT, told TEXT NOT NULL,
  judged TEXT NOT NULL, outcome TEXT NOT NULL, text TEXT NOT NULL, catalogue TEXT NOT NULL, for_marker TEXT, marker TEXT, led_to TEXT,
  person TEXT NOT NULL, at INTEGER NOT NULL, n INTEGER NOT NULL
);
CREATE INDEX readings_unit ON readings (unit);
"""

# Units whose markers moved in a commit and that were not judged since; `ended`: a walk ended in it. No event makes it: it follows from when a server was killed.
UNJUDGED = """
CREATE TABLE unjudged (unit TEXT PRIMARY KEY, ended INTEGER NOT NULL);
"""

# What the plan that made a job says of it. A job of an earlier plan has what is done along in its reason.
PLANNED = """
ALTER TABLE jobs ADD COLUMN along TEXT;
ALTER TABLE jobs ADD COLUMN otherwise TEXT;
ALTER TABLE jobs ADD COLUMN otherwise_by TEXT;
"""

# Whether the indexes of words stand (sought.py makes them, where SQLite can). No event makes it.
SOUGHT = """
CREATE TABLE sought (fresh INTEGER NOT NULL);
INSERT INTO sought VALUES (0);
"""


def put_in_order(db: Database) -> None:
    """Sort the keys of what was written in the order in which it came: read again from the events it is sorted."""
    for table, column in (("plans", "otherwise"), ("plans", "markers"), ("markers", "examined")):
        for key, told in db.execute(f"SELECT id, {column} FROM {table} WHERE {column} IS NOT NULL").fetchall():
            db.execute(
                f"UPDATE {table} SET {column} = ? WHERE id = ?",
                (json.dumps(json.loads(told), sort_keys=True), key),
            )
