"""The manual that travels with the program: its pages, and the text of each."""

from importlib.resources import files
from typing import Final

from alongside.errors import WrongInput
from alongside.wording.safe import safe

_PAGES: Final = files("alongside").joinpath("manual")


def pages() -> tuple[str, ...]:
    """Return the names of the pages, sorted: `alerts`, `console`, …"""
    return tuple(sorted(page.name[:-3] for page in _PAGES.iterdir() if page.name.endswith(".md")))


def page(name: str) -> str:
    """Return the text of a page, Markdown. Raise WrongInput for a page that does not exist."""
    if name not in pages():
        raise WrongInput(f"the manual has no page {safe(name)!r}; expected one of: {', '.join(pages())}")
    return _PAGES.joinpath(f"{name}.md").read_text(encoding="utf-8")
