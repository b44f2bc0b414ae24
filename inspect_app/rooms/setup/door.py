"""The room itself: setup belongs to managers."""

from __future__ import annotations

from flask import Blueprint

from inspect_app.words import N_

room = Blueprint("setup", __name__, template_folder="templates")

PLANT = (
    ("/setup/settings", N_("Plant"), N_("The plant's name, its time zone, its paper and its language.")),
    ("/setup/people", N_("People"), N_("Who signs in, in which roles and departments.")),
    ("/setup/departments", N_("Departments"), N_("Who makes what, who puts what right.")),
)
VANS = (
    ("/setup/units/import", N_("Units"), N_("Import the list your office exports, or add one unit.")),
    (
        "/setup/outlines",
        N_("Outlines"),
        N_("The drawings units are marked on: add one by numbers or from an SVG, and choose what is drawn on it."),
    ),
)
TRADE = (
    (
        "/setup/catalogue/kinds",
        N_("Catalogue"),
        N_("Kinds, methods, limits, cautions and gates, and where each value comes from."),
    ),
    ("/gauge-card.pdf", N_("Gauge card"), N_("Dots, gap steps and a rule, to print and hold beside a flaw.")),
)
TABLETS = (
    ("/setup/tablets", N_("Tablets"), N_("Admit a tablet, name it, shut a lost one out; who used it last.")),
    ("/setup/outbox", N_("Outbox file"), N_("Bring in what a tablet could not send and saved as a file.")),
    (
        "/setup/certificate",
        N_("Certificate"),
        N_("How a tablet comes to trust this server: QR codes, fingerprint, steps."),
    ),
)
GROUPS = (
    (N_("The plant"), PLANT),
    (N_("The trade"), TRADE),
    (N_("The vans"), VANS),
    (N_("The tablets"), TABLETS),
)
