"""docs/openapi.yaml as schemathesis reads it, and how much is asked of it: the same requests each time, and not many."""

from __future__ import annotations

from copy import deepcopy
from functools import cache
from typing import Any

import yaml
from hypothesis import HealthCheck, Phase, settings

from tests.docs.write_openapi import PAGE

DOCUMENT = yaml.load(PAGE.read_text("utf-8"), yaml.CSafeLoader)


def some(examples: int) -> settings:
    """So many examples, always the same ones, however long each takes."""
    return settings(
        max_examples=examples, derandomize=True, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip


def operations(paths: dict[str, Any] | None = None) -> dict[str, Any]:
    """Operations by method and path: the document's, or those of other `paths` with its components.

    Without what the document says of cookies: whoever asks brings a session of their own.
    """
    from schemathesis import (
        openapi,
    )  # a second of loading, which every worker would do to collect what one of them runs

    document = {key: part for key, part in deepcopy(DOCUMENT).items() if key != "security"}
    document["components"].pop("securitySchemes")
    document["paths"] = paths or document["paths"]
    found = (each.ok() for each in openapi.from_dict(document).get_all_operations())
    return {operation.label: operation for operation in found}


@cache
def documented() -> dict[str, Any]:
    """The document's own operations, read once."""
    return operations()
