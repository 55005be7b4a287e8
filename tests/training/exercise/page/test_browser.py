"""The printed debrief in a real browser without network: whole, nothing cut, nothing over another, on A4.
Where no browser is installed the strict reader stands in."""

import json
import re
from html import unescape
from pathlib import Path

import pytest

from alongside.training.exercise.debrief import Debrief
from alongside.training.exercise.page.write import write_page
from tests.reports.stay.browser import dom, find_browser, printed, trap
from tests.reports.stay.strict import Page

POLICY = re.compile(r'<meta http-equiv="Content-Security-Policy"[^>]*>')
MEASURE = """
<pre id="measured"></pre>
<script>
const root = document.documentElement;
const rect = e => { const b = e.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
document.getElementById("measured").textContent = JSON.stringify({
  charts: [...document.querySelectorAll("svg")].map(svg => ({
    box: rect(svg),
    texts: [...svg.querySelectorAll("text")].map(t => [t.textContent, ...rect(t)]),
  })),
  cut: [...document.querySelectorAll("td, th, h1, h3, p, dd")].filter(
    e => e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 0).map(e => e.textContent.slice(0, 60)),
  fetched: performance.getEntriesByType("resource").map(e => e.name),
  scripts: document.querySelectorAll("script").length,
  wide: root.scrollWidth - root.clientWidth,
  bold: getComputedStyle(document.querySelector("tr.all td")).fontWeight,
});
</script>
"""
"""Put into a copy of the page, whose own policy would not let it run."""


@pytest.fixture(scope="module")
def path(debriefed: Debrief, tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("browser") / "debrief.html"
    write_page(debriefed, out, all_lines=True)
    return out


@pytest.mark.slow
def test_in_a_browser_nothing_is_cut_and_nothing_lies_over_another(path: Path, tmp_path: Path) -> None:
    html = path.read_text(encoding="utf-8")
    ours = Page(html)
    browser = find_browser()
    if browser is None:
        ours.harmless()
        return
    copy = tmp_path / "measured.html"
    copy.write_text(POLICY.sub("", html).replace("</body>", f"{MEASURE}</body>"), encoding="utf-8")
    with trap() as caught:
        shown = dom(browser, path, caught.port, tmp_path / "one")
        measured = dom(browser, copy, caught.port, tmp_path / "two")
    assert caught.by_page == []
    assert "<script" not in shown
    assert len(re.findall("<svg", shown)) == len(ours.svgs) >= 5
    measures = json.loads(unescape(re.findall(r'<pre id="measured">(.*?)</pre>', measured, re.DOTALL)[0]))
    assert (measures["fetched"], measures["scripts"]) == ([], 1)
    assert measures["wide"] <= 0, "nothing sticks out sideways"
    assert measures["cut"] == []
    assert measures["bold"] == "700", "the style sheet is in force"
    for chart in measures["charts"]:
        assert outside(chart["box"], chart["texts"]) == []
        assert over_another(chart["texts"]) == []


def outside(box: list[float], texts: list[list[object]]) -> list[object]:
    """Return texts that reach over the edge of their chart."""
    left, top, right, bottom = box
    return [
        name
        for name, x, y, x2, y2 in texts
        if x < left - 1.0 or y < top - 1.0 or x2 > right + 1.0 or y2 > bottom + 1.0  # type: ignore[operator]
    ]


def over_another(texts: list[list[object]]) -> list[tuple[object, object]]:
    """Return pairs of texts whose boxes share more than their margins: a box is as high as its line."""
    return [
        (one[0], other[0])
        for at, one in enumerate(texts)
        for other in texts[at + 1 :]
        if shared(one[1:], other[1:])  # type: ignore[arg-type]
    ]


def shared(one: list[float], other: list[float]) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > 1.0 and down > 0.35 * min(one[3] - one[1], other[3] - other[1])


def test_texts_over_one_another_are_found() -> None:
    """Or the test above would prove nothing."""
    assert over_another([["a", 0, 0, 10, 10], ["b", 5, 2, 15, 12]]) == [("a", "b")]
    assert over_another([["a", 0, 0, 10, 10], ["b", 5, 8, 15, 18], ["c", 20, 0, 30, 10]]) == []
    assert outside([0, 0, 10, 10], [["a", 5, 5, 12, 8], ["b", 1, 1, 9, 9]]) == ["a"]


@pytest.mark.slow
def test_it_prints_on_a_few_pages_of_a4(path: Path, tmp_path: Path) -> None:
    browser = find_browser()
    if browser is None:
        assert "@page { size: A4" in path.read_text(encoding="utf-8")
        return
    with trap() as caught:
        pdf = printed(browser, path, caught.port, tmp_path / "profile", tmp_path / "debrief.pdf")
    assert caught.by_page == []
    assert 3 <= len(re.findall(rb"/Type\s*/Page\b", pdf)) <= 6
    boxes = re.findall(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    for width, height in boxes:
        assert (float(width), float(height)) == pytest.approx((595.0, 842.0), abs=2.0)
