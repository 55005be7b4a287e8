"""What is in sight after a key, by the View alone; keys, forms and parts know each other."""

import re
from dataclasses import replace

import pytest

from alongside.screens.keys import KEYS
from alongside.screens.open_form import ACTING, IN_SIGHT
from alongside.screens.pages import FORMS
from alongside.screens.palettes import PALETTES
from alongside.screens.parts import HOME, OVER_ANY, PAGES, PARTS, STATION, Part, next_part, page_of
from alongside.screens.view import View, stepped_back, turned_to
from tests.screens import invented

PICTURE = invented.normal()
VIEW = View(PICTURE.stay, PALETTES["day"], PICTURE, PICTURE, scroll=7)


def seen(*parts: Part) -> View:
    view = VIEW
    for part in parts:
        view = turned_to(view, part)
    return view


def test_each_part_is_of_one_page_or_lies_over_any() -> None:
    on_pages = [part for _name, parts in PAGES.values() for part in parts]
    assert sorted((*on_pages, *OVER_ANY)) == sorted((*PARTS, STATION))
    for page, (_name, parts) in PAGES.items():
        assert {page_of(part) for part in parts} == {page}


@pytest.mark.parametrize("over", OVER_ANY)
def test_what_lies_over_a_part_leads_back_to_it(over: Part) -> None:
    view = seen("wind", over)
    assert (view.part, view.behind, view.scroll) == (over, "wind", 0)
    assert page_of(view.part, view.behind) == "wind"
    assert turned_to(view, over).part == "wind", "its key again"
    assert stepped_back(view).part == "wind", "Escape"
    assert next_part(view.part, view.behind, 1) == "wind", "Tab"


def test_the_help_of_the_manual_lies_over_the_same_part() -> None:
    assert seen("gauges", "manual", "help").behind == "gauges"
    assert stepped_back(seen("gauges", "manual", "help")).part == "gauges"


def test_a_part_is_read_from_its_top_and_escape_leads_home() -> None:
    assert seen("log").scroll == 0
    assert stepped_back(replace(seen("log"), scroll=3)) == replace(VIEW, part=HOME, scroll=0)


@pytest.mark.parametrize("page", PAGES)
def test_tab_goes_round_a_page_either_way(page: str) -> None:
    parts = PAGES[page][1]  # type: ignore[index]
    for step in (1, -1):
        at, gone = parts[0], []
        for _ in parts:
            at = next_part(at, HOME, step)
            gone.append(at)
        assert sorted(gone) == sorted(parts)
        assert gone[-1] == parts[0]


def test_every_form_is_known_where_it_must_be() -> None:
    """A form that ends in an action cannot be opened by a console that only looks."""
    assert set(FORMS) - set(ACTING) == {"seek_form", "what_if_form", "command_form", "quit_form"}
    assert set(ACTING) <= set(FORMS)
    assert set(IN_SIGHT) <= set(FORMS)
    opened = {name for key in KEYS for name in re.findall(r"form\('(\w+)'\)", key.action)}
    by_themselves = {"acknowledge_form", "self_test_form"}
    """Opened by their deeds, which do something first."""
    assert opened | by_themselves == set(FORMS)


def test_every_key_of_a_part_names_one() -> None:
    assert {part for key in KEYS for part in key.parts} <= set(PARTS)
    turned = {part for key in KEYS for part in re.findall(r"page\('(\w+)'\)", key.action)}
    assert turned <= {*PARTS, STATION}
