"""Faults of values are said in English just as pydantic says them, and in another language when that is spoken."""

from typing import Annotated, Any, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError
from pydantic_core import PydanticCustomError

from inspect_app.words import speaking
from inspect_app.words.faults import fault
from inspect_app.words.languages import languages
from tests.words.pseudo import KEY, write


class Shape(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)
    whole: Annotated[int, Field(ge=0, le=9)] = 0
    positive: Annotated[int, Field(gt=0, lt=9)] = 1
    real: Annotated[float, Field(allow_inf_nan=False)] = 0.0
    yes: bool = True
    name: Annotated[str, StringConstraints(min_length=2, max_length=3, pattern="^[a-z]+$")] = "ab"
    one: Annotated[str, StringConstraints(max_length=1)] = ""
    severity: Literal["S1", "S2", "S3"] = "S1"
    some: Annotated[list[int], Field(min_length=1, max_length=2)] = [1]
    pair: tuple[int, int] = (0, 0)
    named: dict[str, int] = {}


FAULTY: list[dict[str, Any]] = [
    {"whole": -1}, {"whole": 10}, {"positive": 0}, {"positive": 9}, {"whole": "x"}, {"whole": 1.5}, {"real": "x"},
    {"real": float("inf")}, {"yes": "x"}, {"name": "a"}, {"name": "abcd"}, {"name": "A1"}, {"name": 1}, {"one": "ab"},
    {"severity": "S9"}, {"some": []}, {"some": [1, 2, 3]}, {"some": "x"}, {"pair": "x"}, {"pair": [1]},
    {"named": 1}, {"other": 1},
]  # fmt: skip


def found(raw: Any) -> dict[str, Any]:
    with pytest.raises(ValidationError) as fails:
        Shape.model_validate(raw)
    return dict(fails.value.errors(include_url=False)[0])


@pytest.mark.parametrize("raw", FAULTY, ids=str)
def test_a_fault_is_said_as_pydantic_says_it(raw):
    told = found(raw)

    assert fault(told) == told["msg"][0].lower() + told["msg"][1:]


@pytest.mark.parametrize("raw", FAULTY, ids=str)
def test_a_fault_is_said_in_the_language_that_is_spoken(raw, tmp_path):
    spoken = languages(write(tmp_path).parent)[KEY]
    with speaking(spoken.translations):
        said = fault(found(raw))

    assert said.startswith("⟦")
    assert said.endswith("⟧")


def test_a_fault_of_our_own_keeps_its_sentence():
    told = {"type": "here", "msg": PydanticCustomError("here", "only 'wipe' is done here").message(), "loc": ()}

    assert fault(told) == "only 'wipe' is done here"
