"""The room itself: setup belongs to managers."""

from __future__ import annotations

from flask import Blueprint

room = Blueprint("setup", __name__, template_folder="templates")

PAGES = (
    ("/setup/people", "People", "Who signs in, in which roles and departments."),
    ("/setup/units/import", "Units", "Import the list your office exports, or add one unit."),
    ("/setup/tablets", "Tablets", "Admit a tablet, name it, shut a lost one out; who used it last."),
    ("/setup/outbox", "Outbox file", "Bring in what a tablet could not send and saved as a file."),
    ("/setup/certificate", "Certificate", "How a tablet comes to trust this server: QR codes, fingerprint, steps."),
    ("/setup/settings", "Plant", "The plant's name, its time zone and its paper."),
    (
        "/setup/catalogue/kinds",
        "Catalogue",
        "Kinds, methods, limits, cautions and gates, and where each value comes from.",
    ),
    ("/gauge-card.pdf", "Gauge card", "Dots, gap steps and a rule, to print and hold beside a flaw."),
    ("/setup/departments", "Departments", "Who makes what, who puts what right."),
)
