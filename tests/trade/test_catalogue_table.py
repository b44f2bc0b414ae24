"""docs/catalogue.md says what the data says."""

from pathlib import Path

from inspect_app.trade.catalogue import builtin
from inspect_app.trade.catalogue_table import BEGIN, as_markdown, main

PAGE = Path(__file__).parents[2] / "docs" / "catalogue.md"
CATALOGUE = builtin()


def test_the_page_has_the_tables_of_the_builtin_catalogue():
    written = PAGE.read_text("utf-8").split(BEGIN)[1]

    assert written.strip() == as_markdown(CATALOGUE).strip()


def test_every_row_of_the_tables_ends_with_its_origin():
    rows = [line for line in as_markdown(CATALOGUE).splitlines() if line.startswith("| ") and "---" not in line]
    origins = {row.strip("| ").split(" | ")[-1] for row in rows}
    known = ("common practice, no source", "invented for the demo", "from memory", "CFR", "HSE", "NIOSH", "ISO", "IEC")

    assert {one for one in origins - {"origin"} if not any(word in one for word in known)} == {
        "collision-repair training bulletin on radar areas",
        "vehicle service manuals: hinged and sliding van doors, 1 mm",
    }


def test_writing_the_tables_leaves_the_words_above_them_alone(tmp_path):
    page = tmp_path / "page.md"
    page.write_text(f"# Ours\n\n{BEGIN}\nold", "utf-8")

    main(str(page))

    assert page.read_text("utf-8").startswith(f"# Ours\n\n{BEGIN}\n\n## Kinds: Paint")
    assert "old" not in page.read_text("utf-8").splitlines()
