"""Renew the pictures of README and manual from the program's own demo: `python -m tests.pictures`."""

import asyncio
from datetime import UTC, datetime
from pathlib import Path

from alongside import read_stay
from alongside.runtime.replay import ReplayDesk
from alongside.screens.app import ConsoleApp
from alongside.screens.parts import Part
from alongside.screens.view_svg import svg_of
from tests.screens.shown import keys_to

ROOT = Path(__file__).parents[1]
PLACE = ROOT / "console" / "alongside" / "manual" / "pictures"
SIZE = (120, 34)
SQUALL = datetime(2026, 3, 20, 3, 56, tzinfo=UTC).timestamp()
"""A squall off the quay in the demo's stay."""
QUIET = datetime(2026, 3, 20, 3, 15, tzinfo=UTC).timestamp()
PICTURES: dict[str, tuple[float, Part]] = {
    "now": (SQUALL, "lines"),
    "line": (SQUALL, "line"),
    "wind": (SQUALL, "wind"),
    "ahead": (QUIET, "ahead"),
}


async def picture(at: float, part: Part) -> str:
    """Return a part of the screen at a time of the demo, once the hours ahead are known."""
    stay = read_stay(ROOT / "configs" / "coal_berth.yaml")
    desk = ReplayDesk(stay, ROOT / "replay_logs" / "coal_berth.log.gz", start=at)
    app = ConsoleApp(desk, stay)
    async with app.run_test(size=SIZE) as pilot:
        for _ in range(3000):
            await pilot.pause(0.1)
            watch = app.view.watch
            if watch.time >= at and not watch.paused and not watch.reading:
                await pilot.press("space")
                await pilot.pause(1.0)
            if watch.time >= at and watch.paused and watch.forecast is not None and not watch.reading:
                break
        else:
            raise TimeoutError(f"no figures of {part} at {at}")
        await pilot.press(*keys_to(part))
        await pilot.pause(8.0)
        strips = app.screen._compositor.render_strips()
    desk.stop()
    return svg_of(strips, "alongside")


def main() -> None:
    PLACE.mkdir(exist_ok=True)
    for name, (at, part) in PICTURES.items():
        (PLACE / f"{name}.svg").write_text(asyncio.run(picture(at, part)), encoding="utf-8")
        print(PLACE / f"{name}.svg")


if __name__ == "__main__":
    main()
