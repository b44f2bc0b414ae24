"""The pages that are photographed: each is there, for whoever opens it, on a plant with units and on one without."""

from __future__ import annotations

import pytest

from sample_units.shot_pages import pages

WHO = {"Maud": "maud", "Ines": "ines", "Bình": "thanh", "Łukasz": "lukasz"}


def answered(app, client_as) -> dict[str, int]:
    clients = {name: client_as(key) for name, key in WHO.items()}
    return {
        name: (clients[who] if who else app.test_client()).get(path, headers={"Accept": "text/html"}).status_code
        for name, (who, path) in pages(app.extensions["lampwalk"]).items()
    }


@pytest.mark.parametrize("with_units", [False, True])
def test_every_page_is_there_and_pages_of_units_only_where_there_are_units(app, plant, client_as, with_units):
    if with_units:
        plant.ines.start_walk(plant.unit())

    codes = answered(app, client_as)

    assert codes.pop("not-there") == 404
    assert {name: code for name, code in codes.items() if code != 200} == {}
    assert ("walk" in codes) is with_units
