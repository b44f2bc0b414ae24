"""SVG files that mean harm or are merely monstrous: each is refused in sentences, or read with nothing of it left.

The elements and attributes are those that SVG 2 (W3C) and the OWASP notes on SVG name as active: script, foreignObject,
animation, links, event attributes, references to elsewhere; the XML attacks are those that defusedxml's own list names.
"""

from __future__ import annotations

import pytest
from test_outline_read import SMALL

from inspect_app.trade import outline
from tests.conftest import no_more_than

EVIL = "https://evil.invalid/x"
BODY = '<g class="art">'
REFUSED = {
    "script": (BODY, f'<script href="{EVIL}">alert(1)</script>{BODY}'),
    "script in CDATA": ("<title>", "<script><![CDATA[alert(1)]]></script><title>"),
    "foreignObject": (BODY, f'<foreignObject><body xmlns="http://www.w3.org/1999/xhtml"/></foreignObject>{BODY}'),
    "image from elsewhere": (BODY, f'{BODY}<image href="{EVIL}.png" width="9" height="9"/>'),
    "use": (BODY, f'{BODY}<use href="{EVIL}.svg#a"/>'),
    "link around a path": (BODY, f'{BODY}<a href="javascript:alert(1)"><path class="line" d="M 0 0 H 9"/></a>'),
    "set": (BODY, f'{BODY}<set attributeName="onload" to="alert(1)"/>'),
    "animate": (BODY, f'{BODY}<animate attributeName="d" values="M0 0"/>'),
    "onload": ("<svg ", '<svg onload="alert(1)" '),
    "onbegin": ('class="body"', 'class="body" onbegin="alert(1)"'),
    "href on a path": ('class="body"', f'class="body" href="{EVIL}"'),
    "clip-path": ('class="body"', f'class="body" clip-path="url({EVIL}#a)"'),
    "filter": ('class="body"', f'class="body" filter="url({EVIL}#a)"'),
    "mask": ('class="body"', f'class="body" mask="url({EVIL}#a)"'),
    "handler in capitals": ('class="body"', 'class="body" ONCLICK="alert(1)"'),
    "markup in an id": ('id="left.door"', 'id="left.&lt;script&gt;"'),
    "markup in a part": ('data-part="door_left"', 'data-part="&quot; onload=&quot;x"'),
    "entities": ("<svg ", '<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><svg '),
    "an external entity": ("<svg ", '<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/hostname">]><svg '),
    "an external DTD": ("<svg ", f'<!DOCTYPE svg SYSTEM "{EVIL}.dtd"><svg '),
    "a parameter entity": ("<svg ", f'<!DOCTYPE svg [<!ENTITY % a SYSTEM "{EVIL}">%a;]><svg '),
    "not a number": ("M 0 0 H 900", "M NaN 0 H 900"),
    "infinity": ("M 0 0 H 900", "M 0 0 H 1e999"),
    "hexadecimal": ("M 0 0 H 900", "M 0 0 H 0x10"),
    "a width that is none": ('data-width="1000"', 'data-width="NaN"'),
    "a width in Arabic digits": ('data-width="1000"', 'data-width="١٠٠٠"'),
    "a huge number": ("M 0 0 H 900", "M 0 0 H 99999999999999999999"),
    "a control character in a label": ('data-label="left door"', 'data-label="left&#10;door"'),
    "deep nesting": (BODY, "<g>" * 40_000 + "</g>" * 40_000 + BODY),
    "20,000 zones": ('<g class="zones">', '<g class="zones">' + '<path id="left.a"/>' * 20_000),
    "200,000 numbers": ("M 0 0 H 900 V 400 H 0 Z", "M 0 0" + "L1 1" * 105_000),
    "30,000 attributes": ("<svg ", "<svg " + " ".join(f'a{i}="1"' for i in range(30_000)) + " "),
}  # fmt: skip
CLEANED = {
    "style with url": ('class="body"', f'class="body" style="fill:url({EVIL})"'),
    "a style sheet": ("<title>", f'<style>@import url("{EVIL}");</style><title>'),
    "a gradient": ("<title>", f'<defs><linearGradient href="{EVIL}"/><script>alert(1)</script></defs><title>'),
    "fill with url": ('class="body"', f'class="body" fill="url({EVIL}#a)"'),
    "xlink": ("<svg ", f'<svg xmlns:xlink="http://www.w3.org/1999/xlink" xlink:href="{EVIL}" '),
    "a foreign namespace": (BODY, f'<x:script xmlns:x="http://www.w3.org/1999/xhtml" src="{EVIL}">alert(1)</x:script>{BODY}'),
    "a comment": (BODY, f"<!-- {EVIL} -->{BODY}"),
    "an instruction": (BODY, f'<?xml-stylesheet href="{EVIL}"?>{BODY}'),
    "markup in the title": ("Box van", "Box van &lt;script src=&quot;https://evil.invalid/x&quot;&gt;"),
    "a description": ("<title>", f"<desc>{EVIL}</desc><title>"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new"), REFUSED.values(), ids=REFUSED)
def test_it_is_refused_in_sentences(old, new):
    assert old in SMALL

    with no_more_than(20), pytest.raises(outline.OutlineError) as caught:
        outline.load(SMALL.replace(old, new, 1))

    assert caught.value.faults
    for fault in caught.value.faults:
        assert fault.endswith(".")
        assert "\n" not in fault
        assert len(fault) < 400


@pytest.mark.parametrize(("old", "new"), CLEANED.values(), ids=CLEANED)
def test_it_is_read_and_nothing_of_it_is_left(old, new):
    assert old in SMALL

    made = outline.load(SMALL.replace(old, new, 1))

    written = made.to_svg()
    assert outline.load(written).views == outline.load(SMALL).views
    assert "<script" not in written
    assert "url(" not in written
    assert "href" not in written.replace("&lt;script src=", "")
    if old != "Box van":
        assert "evil" not in written


def test_what_is_no_text_of_an_outline_is_no_outline():
    for text in ("", "no SVG", "<svg/>", "<html><body/></html>", "\ufeff", "<svg xmlns='http://www.w3.org/2000/svg'/>"):
        with pytest.raises(outline.OutlineError):
            outline.load(text)
