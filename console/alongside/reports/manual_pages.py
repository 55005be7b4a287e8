"""The manual that travels with the program: its pages, what each is about, where a word stands."""

import re
from collections.abc import Iterator
from importlib.resources import files
from typing import Final

from alongside.errors import WrongInput
from alongside.stay.nodes import one_of
from alongside.wording.safe import safe

_PAGES: Final = files("alongside").joinpath("manual")
_LINK: Final = re.compile(r"\[([^\]]+)\]\([^)]*\)")


def pages() -> tuple[str, ...]:
    """Return the names of the pages, sorted: `alerts`, `console`, …"""
    return tuple(sorted(page.name[:-3] for page in _PAGES.iterdir() if page.name.endswith(".md")))


def page(name: str) -> str:
    """Return the text of a page, Markdown. Raise WrongInput for a page that does not exist."""
    if name not in pages():
        expected = one_of(pages(), name)
        raise WrongInput(f"the manual has no page {safe(name)!r}; expected {expected}")
    return _PAGES.joinpath(f"{name}.md").read_text(encoding="utf-8")


def summary(name: str) -> str:
    """Return what a page is about: the first sentence below its title, or the title where there is none."""
    title, _, rest = page(name).partition("\n")
    first = next((part for part in rest.split("\n\n") if part.strip()[:1].isalpha()), "")
    sentence = re.split(r"(?<=[.:])\s", " ".join(first.split()), maxsplit=1)[0]
    return _LINK.sub(r"\1", sentence).rstrip(".:") or title.lstrip("# ")


def lines_with(word: str) -> Iterator[tuple[str, str, str]]:
    """Yield page, heading and text of each line that holds a word, capital or small letters alike."""
    sought = word.casefold()
    for name in pages():
        heading, in_code = "", False
        for line in page(name).splitlines():
            in_code ^= line.startswith("```")
            if line.startswith("#") and not in_code:
                heading = line.lstrip("# ")
            if sought in line.casefold():
                yield name, heading, line.strip()
