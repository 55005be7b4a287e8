"""The pages of the manual, read from the package."""

from pathlib import Path

import pytest

import alongside
from alongside.errors import WrongInput
from alongside.reports.manual_pages import lines_with, page, pages, summary

FOLDER = Path(alongside.__file__).parent / "manual"


def test_every_file_is_a_page_and_reads_as_it_stands() -> None:
    assert pages() == tuple(sorted(path.stem for path in FOLDER.glob("*.md")))
    for name in pages():
        assert page(name) == (FOLDER / f"{name}.md").read_text(encoding="utf-8")
        assert page(name).startswith("# ")


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("", "one of ahead, alerts, "),
        ("zzz", "one of ahead, alerts, "),
        ("ahaed", "perhaps 'ahead'"),
        ("../manual/console", "one of|perhaps"),
        ("console.md", "perhaps 'console'"),
        ("console\x1b[2J", "perhaps 'console'"),
    ],
)
def test_a_page_that_does_not_exist_is_refused(name: str, expected: str) -> None:
    with pytest.raises(WrongInput, match=f"the manual has no page .*expected ({expected})") as error:
        page(name)
    assert "\x1b" not in str(error.value)


@pytest.mark.parametrize("name", pages())
def test_what_a_page_is_about_is_a_line(name: str) -> None:
    about = summary(name)
    assert about
    assert "\n" not in about
    assert "](" not in about


def test_a_word_is_found_with_page_and_heading() -> None:
    found = list(lines_with("BOLLARD"))
    assert all("bollard" in line.lower() for _page, _heading, line in found)
    assert len({name for name, _heading, _line in found}) > 3
    assert any(heading for _page, heading, _line in found)
    assert not list(lines_with("no such word stands here"))
