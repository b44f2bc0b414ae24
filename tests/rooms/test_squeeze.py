"""Answers in text travel compressed, and caching still works with them."""

import gzip
import json


def test_a_long_text_is_compressed_for_whoever_can_read_it(plant, client_as):
    client = client_as("ines")
    plain = client.get("/catalogues/current.json")
    small = client.get("/catalogues/current.json", headers={"Accept-Encoding": "gzip"})

    assert small.headers["Content-Encoding"] == "gzip"
    assert json.loads(gzip.decompress(small.data)) == plain.json
    assert len(small.data) < len(plain.data) / 3


def test_an_unchanged_file_is_told_with_304_though_it_was_compressed(client_as):
    client = client_as("ines")
    first = client.get("/client/css/tokens.css", headers={"Accept-Encoding": "gzip"})
    again = client.get(
        "/client/css/tokens.css", headers={"Accept-Encoding": "gzip", "If-None-Match": first.headers["ETag"]}
    )

    assert (again.status_code, again.data) == (304, b"")


def test_the_changes_feed_knows_its_compressed_answer_again(plant, client_as):
    for number in range(12):
        plant.unit(f"{number:06d}")
    client = client_as("ines")
    first = client.get("/changes?since=0", headers={"Accept-Encoding": "gzip"})
    n = json.loads(gzip.decompress(first.data))["n"]
    again = client.get(
        f"/changes?since={n}", headers={"Accept-Encoding": "gzip", "If-None-Match": first.headers["ETag"]}
    )

    assert again.status_code == 304
