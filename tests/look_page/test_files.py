"""The files of the page: nothing inline, nothing from outside, words from one place, legible colours."""

import re
from html.parser import HTMLParser
from typing import Final

import pytest

from alongside.reports.look_page.files import page_files
from alongside.wording.look_page import PAGE

FILES: Final = {path: content.decode() for path, (_, content) in page_files().items()}
HTML, CSS, JS = FILES["/"], FILES["/page.css"], FILES["/page.js"]
ON_PANEL: Final = ("ink", "faint", "normal", "caution", "warning", "alarm")
BARS: Final = ("bar", "bar-caution", "bar-warning", "bar-alarm")


class Tags(HTMLParser):
    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def test_nothing_is_inline_and_nothing_comes_from_outside() -> None:
    page = Tags(HTML)
    for tag, attributes in page.tags:
        assert tag not in ("style", "iframe", "object", "form", "base", "img")
        assert not [name for name in attributes if name.startswith("on") or name == "style"]
        for name in ("src", "href"):
            assert (attributes.get(name) or "/").startswith(("/", "data:,"))
    assert [attributes.get("src") for tag, attributes in page.tags if tag == "script"] == ["/page.js"]
    for text in FILES.values():
        assert "://" not in text
        assert "url(" not in text
    assert not re.search(r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function", JS)


def test_every_word_of_the_page_is_from_the_one_place() -> None:
    page = Tags(HTML)
    words = {word.strip() for word in page.words if word.strip()}
    assert words <= set(PAGE.values()) | {f"{PAGE['looks_only']}"}
    assert "$" not in HTML
    texts = re.findall(r'"((?:[^"\\]|\\.)*)"', re.sub(r"/\*.*?\*/", "", JS, flags=re.S))
    said = [text for text in texts if re.search(r"[A-Z][a-z]+ [a-z]|[A-Z]{2,} [A-Z]", text)]
    assert not said, "a sentence in the script"


def test_it_can_be_read_aloud_and_used_with_keys() -> None:
    tags = Tags(HTML).tags
    assert tags[0][1]["lang"] == "en"
    names = [tag for tag, _ in tags]
    assert names.count("h1") == 1
    assert names.count("h2") == 6
    assert sum("aria-live" in attributes for _, attributes in tags) == 1, "the headline alone is read out"
    assert {"header", "main", "footer"} <= set(names)
    assert all(attributes.get("type") == "button" for tag, attributes in tags if tag == "button")
    ids = [attributes["id"] for _, attributes in tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    assert all(
        attributes["aria-labelledby"] in ids for _, attributes in tags if "aria-labelledby" in attributes
    )
    assert "width=device-width" in str(tags)
    assert "user-scalable" not in HTML


def test_it_begins_as_old() -> None:
    """Before the first figure, and where scripts are off, nothing may look right."""
    assert 'class="stale"' in HTML
    assert PAGE["first"] in HTML
    assert "<noscript>" in HTML


def palettes() -> dict[str, dict[str, str]]:
    """Colours by day, in the dark and at night, each on top of those before."""
    blocks = re.findall(r":root(\.night)? \{([^}]*--ground[^}]*)\}", CSS)
    assert len(blocks) == 3
    named = [dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", block)) for _, block in blocks]
    return dict(zip(("day", "dark", "night"), named, strict=True))


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    parts = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio, WCAG 2.1."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_the_standard() -> None:
    """White on black is 21:1, a colour on itself 1:1 (WCAG 2.1)."""
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == pytest.approx(1.0)


@pytest.mark.parametrize("name", ["day", "dark", "night"])
def test_letters_can_be_read_in_every_light(name: str) -> None:
    colours = palettes()[name]
    for ground in ("ground", "panel"):
        for ink in ON_PANEL:
            assert contrast(colours[ink], colours[ground]) >= 4.5, f"{ink} on {ground}"
    for ink in ("ink", "faint"):
        assert contrast(colours[ink], colours["track"]) >= 4.5, f"{ink} on the quay"
    assert contrast(colours["alarm"], colours["track"]) >= 3.0, "large letters"
    assert contrast(colours["on-alarm"], colours["alarm"]) >= 4.5
    assert contrast(colours["panel"], colours["warning"]) >= 4.5, "a chip reversed"
    for bar in BARS:
        assert contrast(colours[bar], colours["track"]) >= 2.5, bar


def test_red_at_night_is_for_alarms_only() -> None:
    colours = palettes()["night"]

    def is_red(colour: str) -> bool:
        red, green, blue = (int(colour[at : at + 2], 16) for at in (1, 3, 5))
        return red > 120 and green < 0.5 * red and blue < 0.5 * red

    assert {name for name, colour in colours.items() if is_red(colour)} == {"alarm", "bar-alarm"}


def test_no_letters_are_smaller_than_16_px() -> None:
    assert "font: 16px" in CSS
    sizes = re.findall(r"font-size: ([^;]+);", CSS)
    assert sizes
    for size in sizes:
        least = re.search(r"(\d+(?:\.\d+)?)rem", size)
        assert least, size
        assert float(least[1]) >= 1.0, size
