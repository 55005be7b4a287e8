"""The files of the look-only page, as a server hands them out."""

from collections.abc import Mapping
from html import escape
from importlib.resources import files
from string import Template
from typing import Final

from alongside.wording.look_page import PAGE

KINDS: Final = {
    "page.html": "text/html; charset=utf-8",
    "page.css": "text/css; charset=utf-8",
    "page.js": "text/javascript; charset=utf-8",
}


def page_files() -> Mapping[str, tuple[str, bytes]]:
    """Return kind and content of each file by its path, the page itself at `/`, its words filled in."""
    texts = {name: (files(__package__) / name).read_text(encoding="utf-8") for name in KINDS}
    words = {name: escape(text) for name, text in PAGE.items()}
    texts["page.html"] = Template(texts["page.html"]).substitute(words)
    return {
        "/" if name == "page.html" else f"/{name}": (KINDS[name], text.encode())
        for name, text in texts.items()
    }
