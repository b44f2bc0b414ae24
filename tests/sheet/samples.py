"""Invented units for the tests of the sheet."""

import random
from dataclasses import replace
from pathlib import Path

from inspect_app.sheet.data import (
    Concession,
    Gate,
    Look,
    Marker,
    Photo,
    Question,
    Revision,
    SheetData,
    Unit,
    Unlooked,
    Walk,
    Work,
)

from .shapes import MINUTE, START, VIEWS, outline, picture, signature

NAMES = ("Łukasz Wiśniewski", "Nguyễn Thị Hương", "Żaneta Kőszegi", "Дмитро Шевченко", "Ελένη Ιωάννου", "Ada Brandt")
STATES = ("open", "in_rework", "reworked", "cleared", "accepted", "conceded", "no_flaw", "withdrawn")
KINDS = (
    "dirt nib",
    "run",
    "scratch",
    "dent",
    "orange peel",
    "gap too wide",
    "overspray",
    "chip",
    "sealer smear",
    "polish haze",
)
PLACES = (
    "left cab door, lower, 420 mm from its front edge, 310 mm up",
    "sliding door, upper, about 40 cm behind its front edge",
    "bonnet, 120 mm from its left edge, 640 mm back",
    "rear door, right half, 80 mm from the hinge edge, 910 mm up",
    "roof, third panel, about 1 m behind the screen",
)


def marker(number: int, **changes) -> Marker:
    """Return the marker of that number; every state, view and severity comes round."""
    rng = random.Random(number)
    view, _, wide, high, _ = VIEWS[rng.choice((0, 0, 1, 1, 2, 3, 4))]
    state = STATES[(number * 5 + number // 8) % 8]
    worked = state in ("reworked", "cleared")
    made = Marker(
        tag=f"{'ABC'[number % 3]}{number + 1}",
        kind=KINDS[number % len(KINDS)],
        view=view,
        state=state,
        severity=f"S{1 + rng.choice((0, 1, 2, 2, 2, 3, 3, 3, 4))}",
        x=rng.randint(300, wide - 300) * 10,
        y=rng.randint(250, high - 600) * 10,
        zone=PLACES[number % 5].split(",")[0],
        surface_class="ABCD"[number % 4],
        words=PLACES[number % 5],
        size=f"{0.4 + number % 7 * 0.3:.1f} mm",
        limit="at most 0.5 mm on class A",
        verdict="over" if number % 3 else "within",
        origin="paint",
        basis="judged" if number % 2 else "assumed",
        made_by=NAMES[number % 6],
        made_at=START + number * MINUTE,
        worked=(
            Work(
                who=NAMES[(number + 1) % 6],
                at=START + (300 + number) * MINUTE,
                minutes=15 + number % 5 * 5,
                method="sand and polish the spot",
                department="polish",
            ),
        )
        if worked
        else (),
        cleared_by=NAMES[(number + 2) % 6] if state == "cleared" else "",
        cleared_at=START + (600 + number) * MINUTE if state == "cleared" else None,
    )
    return replace(made, **changes)


def with_photos(made: Marker, folder: Path, number: int) -> Marker:
    """Give a marker a stored picture before and after."""
    photos = tuple(
        Photo(
            role=role,
            path=str(picture(folder / f"{number}-{role}.jpg", number * 2 + (role == "after"))),
            caption=f"2026-11-23 {9 + number % 8:02d}:10 · {made.made_by}",
            marks=(((430.0, 380.0), (520.0, 330.0), (590.0, 420.0), (500.0, 480.0), (430.0, 390.0)),)
            if role == "found"
            else (),
        )
        for role in ("found", "after")
    )
    return replace(
        made,
        state="cleared",
        photos=photos,
        cleared_by=NAMES[2],
        cleared_at=START + 700 * MINUTE,
        worked=(
            Work(
                who=NAMES[1],
                at=START + 500 * MINUTE,
                minutes=25,
                method="sand and polish the spot",
                department="polish",
            ),
        ),
    )


def unit(**changes) -> Unit:
    """Return the invented van all samples are about."""
    made = Unit(
        plant="Brandt & Söhne Van Bodies, hall 2",
        chassis_number="ZZ9TESTV0W1047312",
        last_six="047312",
        build_number="B-2231",
        make="Muster",
        model="Carrier L3H3",
        colour="Harbour grey",
        colour_hex="#6f7f8a",
        finish="metallic",
        options="roof fan, side storage door, running boards",
        arrived=START,
        due=START + 4 * 24 * 60 * MINUTE,
    )
    return replace(made, **changes)


def sheet(markers: tuple[Marker, ...] = (), **changes) -> SheetData:
    """Return a signed sheet with those markers and a bit of everything else."""
    walks = (
        Walk(key="w1", label="first walk", person=NAMES[0], started=START, finished=START + 70 * MINUTE),
        Walk(
            key="w2", label="second look", person=NAMES[2], started=START + 690 * MINUTE, finished=START + 720 * MINUTE
        ),
    )
    looks = tuple(
        Look(
            walk=walk,
            lap=lap,
            view=view[0],
            zone=f"{view[1]} zone {n}",
            person=who,
            voided=walk == "w1" and n == 3,
            at=START + (base + v * 6 + n) * MINUTE,
        )
        for walk, who, base in (("w1", NAMES[0], 0), ("w2", NAMES[2], 690))
        for lap in ("under lamp", "fit", "glass and seal")
        for v, view in enumerate(VIEWS)
        for n in range(5)
    )
    gates = (
        Gate(
            label="Identity",
            state="held",
            by=NAMES[0],
            at=START + 700 * MINUTE,
            note="Both plates and the papers agree.",
        ),
        Gate(label="Marks", state="held", by="", note="No open marker of S1 to S3."),
        Gate(
            label="Coverage",
            state="overridden",
            by=NAMES[2],
            at=START + 710 * MINUTE,
            note="Tablet C has not reported since 10:20; its battery is flat, its inspector was asked.",
        ),
        Gate(label="Release", state="held", by=NAMES[2], at=START + 720 * MINUTE),
    )
    conceded = tuple(
        Concession(
            tag=m.tag,
            reason="Wave in the roof skin of the chassis as delivered, seen only in raking light.",
            asked_by=NAMES[0],
            asked_at=START + 400 * MINUTE,
            approvers=(NAMES[2],),
            decided_at=START + 420 * MINUTE,
            customer="Mr Holm",
            channel="by telephone",
        )
        for m in markers
        if m.state == "conceded"
    )
    whole = SheetData(
        unit=unit(),
        revision="A",
        head="3f9a2c41d07be6558c9f1c2f6a5b0d4e8f7a6b5c4d3e2f1a0b9c8d7e6f5a4b3c",
        outline=outline(),
        timezone="Europe/Vienna",
        catalogue_version="5e2b81aa",
        outline_version="c04d11f7",
        builtin_limits=True,
        figures=(("sent back", 2), ("minutes of rework", 385)),
        markers=markers,
        concessions=conceded,
        walks=walks,
        looks=looks,
        unlooked=(
            Unlooked(zone="side storage door", why="not fitted"),
            Unlooked(zone="left mirror arm", why="not looked at", lap="fit"),
        ),
        gates=gates,
        questions=(
            Question(
                text="B7 was amended after it was cleared: which holds?",
                tag="B7",
                answer="The clearing holds.",
                answered_by=NAMES[2],
                at=START + 705 * MINUTE,
            ),
        ),
        signatures=(signature(NAMES[2], "inspector", 721, 3),),
    )
    return replace(whole, **changes)


def typical(folder: Path, count: int = 25, pictured: int = 8) -> SheetData:
    """Return a sheet of `count` markers, `pictured` of them with a picture before and after."""
    markers = [marker(n) for n in range(count)]
    for number in range(pictured):
        markers[number * 2 % count] = with_photos(markers[number * 2 % count], folder, number)
    return sheet(
        tuple(markers),
        earlier=(
            Revision(
                letter="A",
                issued=START,
                signed_by=NAMES[0],
                reopened_because="A chip found at hand-over.",
                sha="9b1c" * 16,
            ),
        ),
        revision="B",
    )
