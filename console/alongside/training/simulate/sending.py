"""What goes over the wire of a simulated feed: TAG blocks, what frames a line, and the faults of feeds,
clocks and senders."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from alongside.readings import Floats
from alongside.stay.model import GaugeFault, Scenario
from alongside.training.gauge_faults import Mask, lasts
from alongside.training.simulate.outgoing import Outgoing
from alongside.training.simulate.sentences import Bodies, framed, plain_lines, tag_blocks
from alongside.training.simulate.weather import stream

FIRST_SENDER: Final = "192.0.2.10"
SECOND_SENDER: Final = "192.0.2.20"
"""Addresses that stand in no network: for examples (RFC 5737)."""
NOISE: Final = b"\xff\x00~?"

Lines = list[bytes | None]


class Sending:
    """Makes whole lines of what feeds say, block by block."""

    def __init__(self, scenario: Scenario, outgoing: Sequence[Outgoing]) -> None:
        self._seed = scenario.seed
        self._faults = scenario.faults
        told_twice = {fault.channel for fault in scenario.faults if fault.kind == "second_sender"}
        self._two_senders = {each.feed for each in outgoing if told_twice & set(each.channels)}
        self._random: dict[int, np.random.Generator] = {}
        self._feeds: dict[str, _FeedFaults] = {}

    def lines(self, outgoing: Outgoing, time: Floats, truth: Mapping[str, Floats]) -> list[Lines]:
        """Return the lines (n,) of one that is sent, and those of a second sender where there is one."""
        faults = self._feed_faults(outgoing)
        told = faults.clock(time)
        spoken = outgoing.next_block(told if outgoing.bears_time else time, truth)
        stamped = time if outgoing.bears_time else told
        dead = faults.dead(time)
        first = FIRST_SENDER if faults.two_senders else ""
        whole = _framed(outgoing, _unless(dead, spoken.bodies), spoken.corrupt, stamped, first)
        lines = [self._garbled(outgoing, whole, spoken.garbled)]
        if faults.two_senders:
            second = _unless(dead, spoken.second)
            lines.append(_framed(outgoing, second, spoken.corrupt, stamped, SECOND_SENDER))
        return lines

    def _feed_faults(self, outgoing: Outgoing) -> "_FeedFaults":
        if outgoing.feed not in self._feeds:
            own = tuple(fault for fault in self._faults if fault.feed == outgoing.feed)
            self._feeds[outgoing.feed] = _FeedFaults(own, outgoing.feed in self._two_senders)
        return self._feeds[outgoing.feed]

    def _garbled(self, outgoing: Outgoing, lines: Lines, garbled: Mask) -> Lines:
        """Return lines of which some are cut short, or have a byte that is another."""
        if not garbled.any():
            return lines
        name = f"garbled {outgoing.feed} {' '.join(outgoing.channels)}"
        random = self._random.setdefault(id(outgoing), stream(self._seed, name))
        return [
            _damaged(line, random) if line is not None and hit else line
            for line, hit in zip(lines, garbled.tolist(), strict=True)
        ]


@dataclass(frozen=True, slots=True)
class _FeedFaults:
    """What befalls a feed as a whole."""

    own: Sequence[GaugeFault]
    two_senders: bool

    def dead(self, time: Floats) -> Mask:
        """Return (n,) where nothing is sent."""
        gone = np.zeros(time.size, dtype=np.bool_)
        for each in self.own:
            if each.kind == "silent":
                gone |= lasts(each, time)
        return gone

    def clock(self, time: Floats) -> Floats:
        """Return the times (n,) that the feed's clock shows."""
        for each in self.own:
            if each.kind == "clock":
                time = np.where(lasts(each, time), time + (each.by or 0.0), time)
        return time


def _unless(dead: Mask, bodies: Bodies) -> Bodies:
    return [None if gone else body for gone, body in zip(dead.tolist(), bodies, strict=True)]


def _framed(outgoing: Outgoing, bodies: Bodies, corrupt: Mask, time: Floats, sender: str) -> Lines:
    tags = tag_blocks(outgoing.feed, time, sender)
    return plain_lines(tags, bodies) if outgoing.plain else framed(tags, bodies, corrupt)


def _damaged(line: bytes, random: np.random.Generator) -> bytes:
    """Return a line behind whose TAG block something is lost: its end, or one byte."""
    tag, said = line[: line.index(b"\\", 1) + 1], line[line.index(b"\\", 1) + 1 : -2]
    at = int(random.integers(1, max(2, len(said))))
    if random.random() < 0.5:
        return tag + said[:at] + b"\r\n"
    noise = NOISE[int(random.integers(0, len(NOISE)))]
    return tag + said[:at] + bytes([noise]) + said[at + 1 :] + b"\r\n"
