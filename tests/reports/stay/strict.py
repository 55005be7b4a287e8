"""A strict reader of pages: everything closed in order, nothing fetched, nothing that runs."""

import re
import xml.etree.ElementTree as ET
from html.parser import HTMLParser

VOID = {"meta", "link", "img", "br", "hr", "input", "wbr"}
FETCHING = {
    "script",
    "link",
    "img",
    "iframe",
    "object",
    "embed",
    "video",
    "audio",
    "source",
    "base",
    "form",
    "image",
}


class Page(HTMLParser):
    """A page as read: `tags` with their attributes in order, `text` by the id of the section it stands in."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.ids: list[str] = []
        self.rows: dict[str, list[list[str]]] = {}
        self.text: dict[str, str] = {}
        self._open: list[str] = []
        self._section = ""
        self.feed(html)
        self.close()
        assert self._open == [], f"left open: {self._open}"
        assert len(set(self.ids)) == len(self.ids), "an id stands twice"
        self.svgs = [ET.fromstring(one) for one in re.findall(r"<svg.*?</svg>", html, re.DOTALL)]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        attributes = {name: value or "" for name, value in attrs}
        assert len(attributes) == len(attrs), f"{tag}: an attribute twice"
        self.tags.append((tag, attributes))
        self.ids += [attributes["id"]] if "id" in attributes else []
        if tag not in VOID:
            self._open.append(tag)
        if tag == "section":
            self._section = attributes["id"]
            self.rows[self._section], self.text[self._section] = [], ""
        if tag == "tr":
            self.rows[self._section].append([])
        if tag in ("td", "th"):
            self.rows[self._section][-1].append("")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.handle_endtag(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self._open, f"</{tag}> closes nothing"
        assert self._open.pop() == tag, f"</{tag}> closes another"

    def handle_data(self, data: str) -> None:
        if not self._section or "style" in self._open:
            return
        self.text[self._section] += data
        if "td" in self._open or ("th" in self._open and "tr" in self._open):
            cell = self.rows[self._section][-1]
            cell[-1] = f"{cell[-1]} {data.strip()}".strip()

    def harmless(self) -> None:
        """Nothing is fetched and nothing runs."""
        for tag, attributes in self.tags:
            assert tag not in FETCHING, f"<{tag}> in the page"
            for name, value in attributes.items():
                assert not name.startswith("on"), f"{tag} {name}"
                assert name != "src", f"{tag} src={value}"
                if name == "href":
                    assert value.startswith("#"), f"{tag} href={value}"
                assert "url(" not in value or "url(#" in value, f"{tag} {name}={value}"
                if name != "content":
                    assert "http:" not in value, f"{tag} {name}={value}"
                    assert "https:" not in value, f"{tag} {name}={value}"
