"""What is wrong with a value, from what pydantic found: the words it uses itself, in the language now spoken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from inspect_app.words import N_, ngettext
from inspect_app.words import gettext as _

# By the kind of fault, as pydantic names it; the values come from what it tells of the fault.
SAID = {
    "bool_parsing": N_("input should be a valid boolean, unable to interpret input"),
    "bool_type": N_("input should be a valid boolean"),
    "dict_type": N_("input should be a valid dictionary"),
    "extra_forbidden": N_("extra inputs are not permitted"),
    "finite_number": N_("input should be a finite number"),
    "float_type": N_("input should be a valid number"),
    "greater_than": N_("input should be greater than %(gt)s"),
    "greater_than_equal": N_("input should be greater than or equal to %(ge)s"),
    "int_from_float": N_("input should be a valid integer, got a number with a fractional part"),
    "int_parsing": N_("input should be a valid integer, unable to parse string as an integer"),
    "int_parsing_size": N_("unable to parse input string as an integer, exceeded maximum size"),
    "int_type": N_("input should be a valid integer"),
    "json_invalid": N_("invalid JSON: %(error)s"),
    "less_than": N_("input should be less than %(lt)s"),
    "less_than_equal": N_("input should be less than or equal to %(le)s"),
    "list_type": N_("input should be a valid list"),
    "literal_error": N_("input should be %(expected)s"),
    "missing": N_("field required"),
    "model_type": N_("input should be a valid dictionary or instance of %(class_name)s"),
    "string_pattern_mismatch": N_("string should match pattern '%(pattern)s'"),
    "string_type": N_("input should be a valid string"),
    "tuple_type": N_("input should be a valid tuple"),
}


def fault(found: Mapping[str, Any]) -> str:
    """Say one entry of `ValidationError.errors()`, in small letters and without a full stop.

    A fault of our own (PydanticCustomError) is said by its sentence, which has to be marked for the catalogue where it
    is written; one that is not known here is said as pydantic does, in English.
    """
    kind, told = found["type"], found.get("ctx", {})
    if kind in LONG:
        return LONG[kind](told)
    if kind in SAID:
        return _(SAID[kind], **told) if told else _(SAID[kind])
    message: str = found["msg"][:1].lower() + found["msg"][1:]
    return _(message)


def _string_short(told: Mapping[str, Any]) -> str:
    return ngettext(
        "string should have at least %(n)s character",
        "string should have at least %(n)s characters",
        told["min_length"],
    )


def _string_long(told: Mapping[str, Any]) -> str:
    return ngettext(
        "string should have at most %(n)s character", "string should have at most %(n)s characters", told["max_length"]
    )


def _short(told: Mapping[str, Any]) -> str:
    return ngettext(
        "%(kind)s should have at least %(n)s item after validation, not %(got)s",
        "%(kind)s should have at least %(n)s items after validation, not %(got)s",
        told["min_length"],
        kind=_midword(told),
        got=told["actual_length"],
    )


def _long(told: Mapping[str, Any]) -> str:
    got = told["actual_length"]
    return ngettext(
        "%(kind)s should have at most %(n)s item after validation, not %(got)s",
        "%(kind)s should have at most %(n)s items after validation, not %(got)s",
        told["max_length"],
        kind=_midword(told),
        got=_("more") if got is None else got,
    )


def _midword(told: Mapping[str, Any]) -> str:
    return _(KINDS.get(told["field_type"], told["field_type"].lower()))


KINDS = {"List": N_("list"), "Tuple": N_("tuple"), "Dictionary": N_("dictionary")}
LONG = {"string_too_short": _string_short, "string_too_long": _string_long, "too_short": _short, "too_long": _long}
