"""The pages of the manual, read from the package."""

from pathlib import Path

import pytest

import alongside
from alongside.errors import WrongInput
from alongside.reports.manual_pages import page, pages

FOLDER = Path(alongside.__file__).parent / "manual"


def test_every_file_is_a_page_and_reads_as_it_stands() -> None:
    assert pages() == tuple(sorted(path.stem for path in FOLDER.glob("*.md")))
    for name in pages():
        assert page(name) == (FOLDER / f"{name}.md").read_text(encoding="utf-8")
        assert page(name).startswith("# ")


@pytest.mark.parametrize("name", ["", "nothing", "../manual/console", "console.md", "console\x1b[2J"])
def test_a_page_that_does_not_exist_is_refused(name: str) -> None:
    with pytest.raises(
        WrongInput, match=r"the manual has no page .*expected one of: ahead, alerts, console, "
    ) as error:
        page(name)
    assert "\x1b" not in str(error.value)
