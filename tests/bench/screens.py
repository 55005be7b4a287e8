"""What the screen costs: until it is up, and for each cycle with 24 lines."""

import asyncio
import math
import resource
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

from alongside.cycle.picture import Picture
from alongside.screens.app import ConsoleApp
from tests.screens.invented import FakeDesk, flood, invented_stay, one_warning

ROOT = Path(__file__).parents[2]
CYCLES = 60
_UP = """
import time
begun = time.perf_counter()
from tests.screens.invented import FakeDesk, one_warning
from alongside.screens.app import ConsoleApp
import asyncio
async def up():
    picture = one_warning()
    app = ConsoleApp(FakeDesk(picture), picture.stay)
    async with app.run_test(size=(120, 30)) as pilot:
        while "Slack" not in app.view.watch.advice.text:
            await pilot.pause(0.005)
        print(time.perf_counter() - begun)
asyncio.run(up())
"""


def run() -> list[tuple[str, float, str]]:
    """(name, figure, unit) of each measurement."""
    figures = [("screen up, imports included", _until_up(), "s")]
    for name, size, page in (
        ("lines, 80x24", (80, 24), "lines"),
        ("lines with plan and chart, 120x30", (120, 30), "lines"),
        ("lines with plan and chart, 160x50", (160, 50), "lines"),
        ("chart, 120x30", (120, 30), "chart"),
        ("wind, 120x30", (120, 30), "wind"),
        ("wind, 160x50", (160, 50), "wind"),
        ("hours ahead, 120x30", (120, 30), "ahead"),
        ("hours ahead, 160x50", (160, 50), "ahead"),
    ):
        figures.append((f"CPU of a cycle, 24 lines, {name}", asyncio.run(_cycle(size, page)), "ms"))
    few = asyncio.run(_cycle((160, 50), "lines", lines=16))
    figures.append(("CPU of a cycle, 16 lines with the polar below them, 160x50", few, "ms"))
    figures.append(("CPU of a second of flashing flood, 120x30", asyncio.run(_flashing()), "ms"))
    figures.append(("largest memory", resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0, "MB"))
    return figures


def _until_up() -> float:
    """From the first import to the first Picture on the screen, the shortest of three."""
    runs = [
        subprocess.run([sys.executable, "-c", _UP], cwd=ROOT, capture_output=True, check=True)
        for _ in range(3)
    ]
    return min(float(each.stdout) for each in runs)


def _moved(picture: Picture, second: int) -> Picture:
    """The Picture a second later: every figure a little different."""
    wave = 1.0 + 0.02 * math.sin(second)
    rows = tuple(
        replace(row, tension_kn=row.tension_kn * wave, load_share=row.load_share * wave)
        for row in picture.lines
    )
    return replace(picture, time=picture.time + second, tide=picture.tide + 0.001 * second, lines=rows)


def _with_lines(picture: Picture, count: int = 24) -> Picture:
    stay = replace(picture.stay, lines=picture.stay.lines[:count])
    return replace(picture, stay=stay, lines=picture.lines[:count])


async def _cycle(size: tuple[int, int], page: str, lines: int = 24) -> float:
    """Mean CPU of one cycle at 1 Hz, ms: two beats, one new Picture, figures renewed every other cycle."""
    picture = _with_lines(one_warning(invented_stay(repeat=2)), lines)
    seconds = [0.0]
    app = ConsoleApp(FakeDesk(picture), picture.stay, now=lambda: seconds[0])
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.show(replace(app.view, part=page))  # type: ignore[arg-type]
        await pilot.pause()
        pictures = [_moved(picture, second) for second in range(CYCLES)]
        begun = time.process_time()
        for each in pictures:
            seconds[0] += 0.5
            app.beat()
            seconds[0] += 0.5
            app.desk.deliver(each)  # type: ignore[attr-defined]
            await pilot.pause()
            await asyncio.sleep(0.02)
        return (time.process_time() - begun) / CYCLES * 1000.0


async def _flashing() -> float:
    """Mean CPU of a second in which a whole flood flashes and no figure changes, ms."""
    picture = _with_lines(flood(invented_stay(repeat=2)))
    seconds = [0.0]
    app = ConsoleApp(FakeDesk(picture), picture.stay, now=lambda: seconds[0])
    async with app.run_test(size=(120, 30)) as pilot:
        await pilot.pause()
        begun = time.process_time()
        for _ in range(CYCLES):
            for _beat in range(2):
                seconds[0] += 0.5
                app.beat()
                await pilot.pause()
                await asyncio.sleep(0.02)
        return (time.process_time() - begun) / CYCLES * 1000.0
