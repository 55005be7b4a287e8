"""The simulated log: every feed of the stay sends its sentences once an interval."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import BinaryIO

import numpy as np

from alongside.errors import WrongInput
from alongside.feeds.gzip_members import GzipMembers
from alongside.readings import Floats
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import LOG
from alongside.stay.model import Scenario, Stay
from alongside.training.simulate.outgoing import Outgoing, outgoing_of
from alongside.training.simulate.sending import Sending
from alongside.training.simulate.truth import Truth

BLOCK_S = 3600.0
SAY_EVERY = 100
"""Instants between two words of how far a log is."""


def simulate(stay: Stay, *, seed: int | None = None, hours: float | None = None) -> Iterator[bytes]:
    """Return the lines of a feed log of this stay, CRLF included: tide, cargo, wind and swell by its file, as
    its gauges read them. `seed` and `hours` go before those of the stay file.

    The same stay and seed give the same bytes. Heel is that of a ship upright at the start, by small-angle
    statics with the scenario's `gm`; load cells show what the lines carry by the program's own mechanics, as
    she lies or, where something moves her, as she ranges. Raises WrongInput at once when the stay file misses
    what a simulated log needs, and, while lines are drawn, where tide table or hydrostatics end too early, or
    where nothing holds her.
    """
    return (line for _, lines in instants(stay, seed=seed, hours=hours) for line in lines)


def instants(
    stay: Stay, *, seed: int | None = None, hours: float | None = None
) -> Iterator[tuple[float, list[bytes]]]:
    """Return the same lines, those of each instant with its time, UNIX seconds."""
    scenario = _scenario(stay, seed, hours)
    outgoing = outgoing_of(stay, scenario)
    asked = [channel for sentence in outgoing for channel in sentence.channels]
    return _instants(Truth(stay, scenario, asked), scenario, outgoing)


def write_log(
    stay: Stay,
    path: str | Path,
    *,
    seed: int | None = None,
    hours: float | None = None,
    drawn_to: Callable[[float], None] | None = None,
) -> int:
    """Write the simulated log to `path`, compressed when that ends in .gz. Return the number of lines.
    `drawn_to` is told now and then how far it is, UNIX seconds.

    The file appears whole or not at all. Raises WrongInput for a place where a log is already: a recorded
    one cannot be had again.
    """
    place = Path(path)
    check_outputs([Path(stay.file)], [(place, LOG)])
    drawn = instants(stay, seed=seed, hours=hours)
    with Outputs() as outputs:
        return _write(drawn, outputs.binary(place, LOG), place.suffix == ".gz", drawn_to)


def _write(
    drawn: Iterator[tuple[float, list[bytes]]],
    file: BinaryIO,
    packed: bool,
    drawn_to: Callable[[float], None] | None,
) -> int:
    """Write all lines. Return how many."""
    count, archive = 0, GzipMembers()
    for instant, (time, lines) in enumerate(drawn):
        if drawn_to is not None and instant % SAY_EVERY == 0:
            drawn_to(time)
        text = b"".join(lines)
        file.write(archive.compress(time, text) if packed else text)
        count += len(lines)
    if packed:
        file.write(archive.finish())
    return count


def _scenario(stay: Stay, seed: int | None, hours: float | None) -> Scenario:
    scenario = stay.simulate
    if scenario is None:
        raise WrongInput(
            f"{stay.file}: simulate: missing, expected when the log starts and with what draughts"
        )
    if seed is not None and seed < 0:
        raise WrongInput(f"seed {seed}: expected 0 or more")
    return replace(
        scenario,
        seed=scenario.seed if seed is None else seed,
        hours=scenario.hours if hours is None else hours,
    )


def _instants(
    truth: Truth, scenario: Scenario, outgoing: list[Outgoing]
) -> Iterator[tuple[float, list[bytes]]]:
    sender = Sending(scenario, outgoing)
    total = int(np.floor(scenario.hours * 3600.0 / scenario.interval_s)) + 1
    size = max(1, round(BLOCK_S / scenario.interval_s))
    for first in range(0, total, size):
        number = np.arange(first, min(first + size, total), dtype=np.float64)
        time: Floats = scenario.start + number * scenario.interval_s
        yield from _block(truth, sender, outgoing, time)


def _block(
    truth: Truth, sender: Sending, outgoing: list[Outgoing], time: Floats
) -> Iterator[tuple[float, list[bytes]]]:
    """The lines of some instants, in the order of time and, within an instant, of the stay file."""
    truth_now = truth.next_block(time)
    spoken = [lines for each in outgoing for lines in sender.lines(each, time, truth_now)]
    for at, row in zip(time.tolist(), zip(*spoken, strict=True), strict=True):
        yield at, [line for line in row if line is not None]
