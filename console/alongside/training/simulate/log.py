"""The simulated log itself: every feed of the stay speaks once an interval, hour after hour."""

import gzip
import os
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import BinaryIO

import numpy as np

from alongside.errors import WrongInput
from alongside.readings import Floats
from alongside.stay.model import Scenario, Stay
from alongside.training.simulate.sentences import framed, tag_blocks
from alongside.training.simulate.truth import Truth
from alongside.training.simulate.voices import Voice, voices_of

BLOCK_S = 3600.0


def simulate(stay: Stay, *, seed: int | None = None, hours: float | None = None) -> Iterator[bytes]:
    """Lines of a feed log of this stay, CRLF included: tide, cargo, wind and swell as its file says, seen by
    its feeds' gauges. `seed` and `hours` go before those of the stay file.

    The same stay and seed give the same bytes. Heel is that of a ship upright at the start, by small-angle
    statics with the scenario's `gm`; swell moves the water at the gauges, not the ship; load cells tell what
    the lines carry by the program's own mechanics. Raises WrongInput at once when the stay lacks what a
    simulated log needs, and, while lines are drawn, where tide table or hydrostatics end too early.
    """
    scenario = _scenario(stay, seed, hours)
    voices = voices_of(stay, scenario)
    asked = [channel for voice in voices for channel in voice.channels]
    return _lines(Truth(stay, scenario, asked), scenario, voices)


def write_log(stay: Stay, path: str | Path, *, seed: int | None = None, hours: float | None = None) -> int:
    """Write the simulated log to `path`, compressed when that ends in .gz; returns the number of sentences.

    The file appears whole or not at all: it is written beside its place and moved there at the end.
    """
    lines = simulate(stay, seed=seed, hours=hours)
    place = Path(path)
    beside = place.with_name(f".{place.name}.{os.getpid()}")
    try:
        with beside.open("xb") as file:
            count = _write(lines, file, packed=place.suffix == ".gz")
        beside.replace(place)
    except OSError as error:
        beside.unlink(missing_ok=True)
        raise WrongInput(f"{place}: cannot be written: {error.strerror}") from error
    except BaseException:
        # Whatever stopped it, an interrupt included, no half-written file stays behind.
        beside.unlink(missing_ok=True)
        raise
    return count


def _write(lines: Iterator[bytes], file: BinaryIO, packed: bool) -> int:
    """Write all lines; returns how many."""
    if packed:
        # Name and time of writing stay out of the header, or the same log would differ from run to run.
        with gzip.GzipFile(filename="", fileobj=file, mode="wb", mtime=0) as archive:
            return sum(1 for line in lines if archive.write(line))
    return sum(1 for line in lines if file.write(line))


def _scenario(stay: Stay, seed: int | None, hours: float | None) -> Scenario:
    scenario = stay.simulate
    if scenario is None:
        raise WrongInput(
            f"{stay.file}: simulate: missing, it says when the log starts and with what draughts"
        )
    if seed is not None and seed < 0:
        raise WrongInput(f"seed {seed}: expected 0 or more")
    return replace(
        scenario,
        seed=scenario.seed if seed is None else seed,
        hours=scenario.hours if hours is None else hours,
    )


def _lines(truth: Truth, scenario: Scenario, voices: list[Voice]) -> Iterator[bytes]:
    total = int(np.floor(scenario.hours * 3600.0 / scenario.interval_s)) + 1
    size = max(1, round(BLOCK_S / scenario.interval_s))
    for first in range(0, total, size):
        instants = np.arange(first, min(first + size, total), dtype=np.float64)
        time: Floats = scenario.start + instants * scenario.interval_s
        yield from _block(truth, voices, time)


def _block(truth: Truth, voices: list[Voice], time: Floats) -> Iterator[bytes]:
    """The lines of some instants, in the order of time and, within an instant, of the stay file."""
    so = truth.next_block(time)
    tags: dict[str, list[str]] = {}
    spoken = []
    for voice in voices:
        if voice.feed not in tags:
            tags[voice.feed] = tag_blocks(voice.feed, time)
        bodies, corrupt = voice.next_block(time, so)
        spoken.append(framed(tags[voice.feed], bodies, corrupt))
    for row in zip(*spoken, strict=True):
        yield from (line for line in row if line is not None)
