"""The page in a real browser, at the size of a phone and of a desk: figures, no word cut off, nothing from
outside, and the network cut."""

import signal
from collections.abc import Iterator
from pathlib import Path
from typing import Final

import pytest

from tests.look_page.chromium import Tab, tab
from tests.look_page.conftest import NASTY, Kept, Served, kept, served
from tests.record.kept import FLOOD_TEXT
from tests.reports.stay.browser import find_browser, trap

BROWSER: Final = find_browser()
SIZES: Final = {"phone": (390, 844), "small": (320, 568), "desk": (1280, 800)}
FRESH: Final = "!document.documentElement.classList.contains('stale')"
OLD: Final = "document.documentElement.classList.contains('stale')"
WORDS: Final = "document.getElementById('old-words').textContent"
CROSSED: Final = """[...document.querySelectorAll('main .figure')].filter(e => e.textContent).every(
    e => getComputedStyle(e).textDecorationLine.includes('line-through'))"""
TOO_WIDE: Final = """[...document.querySelectorAll('body *')].filter(e => {
    const at = e.getBoundingClientRect();
    return at.width > 2 && (at.right > innerWidth + 1 || at.left < -1)}).map(e => e.id + '.' + e.className)"""
SMALL: Final = """[...document.querySelectorAll('body *')].filter(e =>
    [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) && e.getBoundingClientRect().width > 2 &&
    parseFloat(getComputedStyle(e).fontSize) * (e instanceof SVGElement ?
        e.ownerSVGElement.getBoundingClientRect().width / e.ownerSVGElement.viewBox.baseVal.width : 1) < 15.9
    ).map(e => e.className.baseVal ?? e.className)"""

pytestmark = [pytest.mark.slow, pytest.mark.skipif(BROWSER is None, reason="no browser here")]


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tab]:
    assert BROWSER is not None
    with trap() as caught:
        flags = (f"--proxy-server=127.0.0.1:{caught.port}", "--proxy-bypass-list=127.0.0.1")
        with tab(BROWSER, tmp_path_factory.mktemp("profile"), *flags) as one:
            yield one
        assert not caught.by_page, "nothing is asked for outside"


@pytest.mark.parametrize("size", SIZES)
def test_figures_appear_and_nothing_is_wider_than_the_screen(
    seen: Tab, looked_at: tuple[Kept, Served], size: str
) -> None:
    width, height = SIZES[size]
    seen.size(width, height, phone=size != "desk")
    seen.open(looked_at[1].address)
    seen.wait(FRESH)
    assert seen.value("document.getElementById('ship').textContent") == "Test ship"
    assert seen.value("document.getElementById('large').textContent")
    assert seen.value("document.querySelectorAll('#lines li').length") >= 3
    assert seen.value("document.querySelectorAll('#plan svg polyline').length") == 3
    assert seen.value("document.documentElement.scrollWidth") <= width
    assert seen.value(TOO_WIDE) == []
    assert size == "small" or seen.value(SMALL) == []
    clock = seen.value("document.getElementById('clock').textContent")
    seen.wait(f"document.getElementById('clock').textContent !== {clock!r}", 5.0)
    assert {address.split("/")[2] for address in seen.asked} == {looked_at[1].address.split("/")[2]}
    assert seen.said == [], "the policy refuses nothing that the page needs"


def test_night_is_a_switch_that_stays(seen: Tab, looked_at: tuple[Kept, Served]) -> None:
    seen.open(looked_at[1].address)
    seen.wait(FRESH)
    ground = "getComputedStyle(document.body).backgroundColor"
    seen.dark(False)
    assert seen.value(ground) != "rgb(0, 0, 0)"
    seen.value("document.getElementById('night').click()")
    assert seen.value(ground) == "rgb(0, 0, 0)"
    assert seen.value("document.getElementById('night').getAttribute('aria-pressed')") == "true"
    seen.open(looked_at[1].address)
    seen.wait(FRESH)
    assert seen.value(ground) == "rgb(0, 0, 0)"
    seen.value("document.getElementById('night').click()")


def test_names_from_outside_are_shown_as_text(seen: Tab, tmp_path: Path) -> None:
    text = FLOOD_TEXT.replace('"Test ship"', f"'{NASTY}'").replace('"Test quay"', f"'{NASTY}'")
    (tmp_path / "stay.yaml").write_text(text, encoding="utf-8")
    with kept(tmp_path, text), served(tmp_path) as page:
        seen.open(page.address)
        seen.wait(FRESH)
        assert "<img onerror=alert(1) src=x> &amp; " in seen.value(
            "document.getElementById('ship').textContent"
        )
        assert seen.value("document.images.length") == 0
        assert seen.value("document.scripts.length") == 1
        assert seen.said == []


def test_the_server_gone_crosses_out_all_figures_and_they_come_back(seen: Tab, tmp_path: Path) -> None:
    with kept(tmp_path):
        with served(tmp_path) as page:
            port = page.port
            seen.open(page.address)
            seen.wait(FRESH)
            page.process.send_signal(signal.SIGKILL)
            took = seen.wait(OLD, 12.0)
            assert 3.0 <= took <= 9.0, "5 s after the last figure, with the time that a busy machine takes"
            assert seen.value(WORDS).startswith("NO NEW FIGURES for ")
            assert seen.value(CROSSED)
            assert seen.value("document.getElementById('old-words').getBoundingClientRect().height") > 30
        with served(tmp_path, str(port)):
            seen.wait(FRESH, 20.0)
            assert not seen.value(CROSSED)


def test_a_watch_that_stands_still_crosses_out_all_figures(seen: Tab, tmp_path: Path) -> None:
    """The server answers all the while: it is the instant that counts, not the connection."""
    with kept(tmp_path) as running, served(tmp_path) as page:
        seen.open(page.address)
        seen.wait(FRESH)
        running.halt()
        assert seen.wait(OLD, 12.0) <= 10.0
        assert seen.value(WORDS).startswith("NO NEW FIGURES for ")
        seen.open(page.address)
        seen.wait("document.getElementById('ship').textContent !== ''")
        assert seen.value(OLD), "a page that is opened later knows how old they are"


def test_a_watch_that_is_gone_is_said_in_large_words(seen: Tab, tmp_path: Path) -> None:
    with kept(tmp_path) as running, served(tmp_path) as page:
        seen.open(page.address)
        seen.wait(FRESH)
        running.kill()
        seen.wait(f"{OLD} && {WORDS} === 'NOBODY KEEPS WATCH'", 15.0)
        assert seen.value(CROSSED)


def test_a_network_that_is_cut_crosses_out_at_once_what_cannot_be_new(
    seen: Tab, looked_at: tuple[Kept, Served]
) -> None:
    seen.open(looked_at[1].address)
    seen.wait(FRESH)
    offline = {"latency": 0, "downloadThroughput": -1, "uploadThroughput": -1}
    seen.call("Network.emulateNetworkConditions", offline=True, **offline)
    assert seen.wait(OLD, 12.0) <= 9.0
    seen.call("Network.emulateNetworkConditions", offline=False, **offline)
    seen.wait(FRESH, 15.0)


def test_a_page_back_from_sleep_believes_nothing_old(seen: Tab, looked_at: tuple[Kept, Served]) -> None:
    """Its clock goes on by an hour while it hears nothing, as a device does that wakes up."""
    seen.open(looked_at[1].address)
    seen.wait(FRESH)
    seen.value("""(() => { const real = EventSource, now = Date.now;
        window.EventSource = class { close() {} };
        window.back = () => { window.EventSource = real; };
        Date.now = () => now.call(Date) + 3600000; })()""")
    assert seen.wait(OLD, 3.0) <= 3.0
    seen.value("window.back()")
    seen.wait(FRESH, 15.0)


def test_the_token_leaves_no_trace_in_the_address(seen: Tab, tmp_path: Path) -> None:
    with kept(tmp_path), served(tmp_path, "0.0.0.0:0") as page:
        address = f"http://127.0.0.1:{page.port}/"
        seen.open(address)
        seen.wait("document.title === 'Not let in'")
        seen.open(f"{address}?token={page.token}")
        seen.wait(f"document.getElementById('ship') !== null && {FRESH}")
        assert seen.value("location.href") == address
        assert seen.value("document.cookie") == "", "no script can read it"
        assert page.token not in seen.value("document.documentElement.outerHTML")
        page.process.kill()
        page.process.wait()
        with served(tmp_path, f"0.0.0.0:{page.port}"):
            seen.wait("document.getElementById('old-why').textContent.startsWith('Not let in')", 25.0)
            assert seen.value(OLD)
