"""The page of a van's parts offers what the van has: what is not fitted stands apart, by name."""

from __future__ import annotations

import re

from desk import Desk

CAB, SLIDING = "moulding_cab_door_left", "moulding_sliding_door_left"


def offered(page: str) -> set[str]:
    return set(re.findall(r'name="parts" value="([^"]+)"', page))


def test_a_part_that_is_not_fitted_is_not_offered_and_is_named_apart(plant, client_as):
    unit, per = plant.unit(), Desk(client_as("per"))
    all_of_them = offered(per.get(f"/units/{unit}/parts").text)
    assert {CAB, SLIDING} <= all_of_them
    assert "Not fitted on this van" not in per.words(f"/units/{unit}/parts")
    plant.ines.do(unit, "zones_absent", {"zones": ["left.moulding_cab_door"], "why": "not_fitted"})

    assert offered(per.get(f"/units/{unit}/parts").text) == all_of_them - {CAB}
    assert "Not fitted on this van: left moulding cab door." in per.words(f"/units/{unit}/parts")


def test_a_part_off_the_van_is_not_called_not_fitted(plant, client_as):
    unit, per = plant.unit(), Desk(client_as("per"))
    per.send(f"/units/{unit}/parts", page=f"/units/{unit}/parts", parts=[CAB], material="", place="")

    assert CAB not in offered(per.get(f"/units/{unit}/parts").text)
    assert "Not fitted on this van" not in per.words(f"/units/{unit}/parts")
