"""The whole catalogue as a file: out to an editor, in again after a look at what it would change."""

from __future__ import annotations

from contextlib import closing

from flask import Response, redirect, render_template
from flask.typing import ResponseReturnValue
from flask_wtf.file import FileField
from wtforms import HiddenField, SubmitField

from inspect_app.journal.queries import versions
from inspect_app.rooms.doors import needs
from inspect_app.rooms.house import journal, reader
from inspect_app.rooms.setup.catalogue_forms import ChangeForm
from inspect_app.rooms.setup.catalogue_publish import Tried, publish
from inspect_app.rooms.setup.catalogue_versions import grouped
from inspect_app.rooms.setup.door import room
from inspect_app.trade.catalogue_diff import changes
from inspect_app.trade.catalogue_toml import FileFault, Reading, read, write
from inspect_app.words import gettext as _
from inspect_app.words import lazy

LONGEST = 1_000_000  # bytes; ours has 70,000


class FileForm(ChangeForm):
    """A file, or the text of one that was looked at already."""

    file = FileField(lazy("Catalogue file"), description=lazy("A TOML file that was exported here and changed"))
    text = HiddenField()
    look = SubmitField(lazy("Show what it would change"))
    keep = SubmitField(lazy("Publish"))


@room.get("/setup/catalogue.toml")
@needs("manager")
def catalogue_file() -> ResponseReturnValue:
    """Hand the catalogue in force out as a file."""
    number = versions.published(reader())[0].number
    response = Response(write(journal().catalogue()), mimetype="application/toml")
    response.headers["Content-Disposition"] = f'attachment; filename="lampwalk-catalogue-{number}.toml"'
    return response


@room.route("/setup/catalogue/import", methods=["GET", "POST"])
@needs("manager")
def catalogue_import() -> ResponseReturnValue:
    """Read a file, show its faults by line or what it would change, and publish it when that is wanted."""
    catalogue, tried = journal().catalogue(), Tried()
    form = FileForm(data={"made_from": catalogue.hash})
    reading: Reading | None = None
    if form.validate_on_submit():
        text, fault = sent(form)
        reading = read(text, catalogue) if fault is None else Reading(catalogue=None, faults=(fault,))
        form.text.raw_data, form.text.data = [text], text
        if reading.catalogue is not None and form.keep.data:
            tried = publish(reading.catalogue, form, lambda place: None)
            if tried.kept:
                return redirect("/setup/catalogue/versions")
    groups = grouped(changes(catalogue, reading.catalogue)) if reading and reading.catalogue else []
    page = render_template("setup/catalogue_import.html", form=form, reading=reading, groups=groups, tried=tried)
    bad = form.is_submitted() and (tried.faults or tried.meanwhile or reading is None or reading.faults)
    return page, tried.status if bad else 200


def sent(form: FileForm) -> tuple[str, FileFault | None]:
    """The text of the file, or of the page; with the one fault that keeps it from being read at all."""
    upload = form.file.data
    if not upload:
        text = (form.text.data or "").replace("\r\n", "\n")
        return text, None if text.strip() else FileFault(None, _("the file is missing; choose one"))
    with closing(upload):
        raw = upload.stream.read(LONGEST + 1)
    if not raw.strip():
        return "", FileFault(None, _("this file is empty; choose another one"))
    if len(raw) > LONGEST:
        return "", FileFault(None, _("this file is too large for a catalogue; it may have a million bytes"))
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n"), None
    except UnicodeDecodeError as fault:
        line = raw[: fault.start].count(b"\n") + 1
        return "", FileFault(line, _("this is no text in UTF-8; save the file as UTF-8"))
