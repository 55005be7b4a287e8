"""The page in a real browser without network. Where no browser is installed the strict reader stands in."""

import json
import re
from html import unescape
from pathlib import Path

import pytest

from alongside.reports.stay.write import write_report
from tests.reports.stay.browser import dom, find_browser, printed, trap
from tests.reports.stay.strict import Page

POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
MEASURE = """
<pre id="measured"></pre>
<script>
const box = e => { const b = e.getBoundingClientRect(); return [b.width, b.height]; };
const root = document.documentElement;
document.getElementById("measured").textContent = JSON.stringify({
  title: document.title,
  charts: [...document.querySelectorAll("svg")].map(box),
  lines: [...document.querySelectorAll("#lines tbody tr")].map(r => [...r.cells].map(c => c.innerText)),
  strokes: document.querySelectorAll("svg g[id$=tension_kn] path").length,
  fetched: performance.getEntriesByType("resource").map(e => e.name),
  scripts: document.querySelectorAll("script").length,
  images: document.querySelectorAll("img").length,
  wide: root.scrollWidth - root.clientWidth,
  blue: getComputedStyle(document.querySelector("h2")).color,
});
</script>
"""
"""Put into a copy of the page, whose own policy would not let it run."""


@pytest.fixture(scope="module")
def path(flood: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_report(flood, tmp_path_factory.mktemp("browser") / "report.html")


@pytest.mark.slow
def test_in_a_browser_the_page_is_whole_and_asks_for_nothing(path: Path, tmp_path: Path) -> None:
    html = path.read_text(encoding="utf-8")
    ours = Page(html)
    browser = find_browser()
    if browser is None:
        ours.harmless()
        assert "://" not in html
        return
    copy = tmp_path / "measured.html"
    copy.write_text(POLICY.sub("", html).replace("</body>", f"{MEASURE}</body>"), encoding="utf-8")
    with trap() as caught:
        shown = dom(browser, path, caught.port, tmp_path / "one")
        measured = dom(browser, copy, caught.port, tmp_path / "two")
    assert caught.by_page == []
    assert len(re.findall("<svg", shown)) == len(ours.svgs) == 5
    assert "<script" not in shown
    measures = json.loads(unescape(re.findall(r'<pre id="measured">(.*?)</pre>', measured, re.DOTALL)[0]))
    assert (measures["fetched"], measures["scripts"], measures["images"]) == ([], 1, 0)
    assert "<script>alert(1)</script>" in measures["title"]
    assert all(width > 800.0 and height > 120.0 for width, height in measures["charts"])
    assert measures["strokes"] >= 3
    assert measures["wide"] <= 0, "nothing sticks out sideways"
    assert measures["blue"] == "rgb(18, 80, 123)", "the style sheet is in force"
    cells = [[" ".join(cell.split()) for cell in row] for row in measures["lines"]]
    assert cells == [[" ".join(cell.split()) for cell in row] for row in ours.rows["lines"][1:]]


@pytest.mark.slow
def test_it_prints(path: Path, tmp_path: Path) -> None:
    """On paper of A4, a few pages of it."""
    browser = find_browser()
    if browser is None:
        assert "@page { size: A4" in path.read_text(encoding="utf-8")
        return
    with trap() as caught:
        pdf = printed(browser, path, caught.port, tmp_path / "profile", tmp_path / "report.pdf")
    assert caught.by_page == []
    assert pdf.startswith(b"%PDF")
    assert 3 <= len(re.findall(rb"/Type\s*/Page\b", pdf)) <= 8
    width, height = (float(side) for side in re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)[0])
    assert (width, height) == pytest.approx((595.0, 842.0), abs=2.0)


@pytest.mark.slow
def test_the_trap_catches_what_a_page_asks_for(tmp_path: Path) -> None:
    """Or the tests above would prove nothing."""
    browser = find_browser()
    page = tmp_path / "asks.html"
    page.write_text('<!DOCTYPE html><title>x</title><img src="http://chart.invalid/a.png">', encoding="utf-8")
    if browser is None:
        with pytest.raises(AssertionError, match="<img> in the page"):
            Page(page.read_text(encoding="utf-8")).harmless()
        return
    with trap() as caught:
        dom(browser, page, caught.port, tmp_path / "profile")
    assert [line for line in caught.by_page if "chart.invalid" in line]
