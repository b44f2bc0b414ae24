"""Checking a PIN on the tablet: where the browser can, and what is said where it cannot."""

from __future__ import annotations

import pytest

from .conftest import Tablet

pytestmark = pytest.mark.browser

ME = """{ person: 'p1', name: 'Ines', roles: ['inspector'], departments: [], ticket: 't9', token: 'x', tablet: 'b1', letters: 'B',
  until: Date.now() + 3600000, now: Date.now() }"""
SIGNED_IN = f"async () => {{ await (await import('/client/identity.js')).remember({ME}, '2580'); }}"
OFFERED = "async () => (await (await import('/client/switching.js')).whoCanGoOn()).map(({ name }) => name)"
GO_ON = """async (pin) => {
  const { goOn } = await import('/client/switching.js');
  return goOn('p1', pin).then(() => 'went on', (fault) => fault.message);
}"""


def test_on_plain_http_no_pin_can_be_checked_and_that_is_said(plain_tablet: Tablet) -> None:
    plain_tablet.run(SIGNED_IN)

    assert plain_tablet.run(OFFERED) == []
    assert "without https this tablet cannot check a PIN by itself" in plain_tablet.run(GO_ON, "2580")


def test_who_was_asked_for_again_keeps_the_proof_a_right_pin_forgets_the_wrong_ones_and_what_has_run_out_is_not_offered(
    tablet: Tablet,
) -> None:
    tablet.run(SIGNED_IN)
    tablet.run(f"async () => {{ await (await import('/client/identity.js')).remember({ME}); }}")  # as each page does
    assert tablet.run(OFFERED) == ["Ines"]

    for _ in range(2):
        for left in ("4 more tries", "3 more tries"):
            assert left in tablet.run(GO_ON, "9999")
        assert tablet.run(GO_ON, "2580") == "went on"

    ended = ME.replace("Date.now() + 3600000", "Date.now() - 1000")
    tablet.run(f"async () => {{ await (await import('/client/identity.js')).remember({ended}, '2580'); }}")
    assert tablet.run(OFFERED) == []
