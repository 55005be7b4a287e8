"""Remarks on gauges: which field each channel reads, and what its values must pass."""

from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from ipaddress import ip_address
from math import isnan
from typing import Final

from alongside.feeds.modbus import EXTRA
from alongside.reports.remarks.afloat import Afloat
from alongside.reports.remarks.exports import export_remarks
from alongside.reports.remarks.model import Remark
from alongside.stay.model import Feed, Source
from alongside.stay.pattern_cuts import cuts_of
from alongside.stay.ports import (
    CallersPort,
    ModbusPort,
    ModbusSerialPort,
    Port,
    SerialPort,
    UdpPort,
    parse_port,
)
from alongside.wording.figures import figure, metres

SCALE_OF_A_LENGTH: Final = 20.0
LONGEST_LOST_S: Final = 3600.0
"""A figure from so long ago is not what a line carries now."""
LONGEST_MEAN_S: Final = 900.0
"""At half tide of a large range the mean of more is 0.3 m late."""


def gauge_remarks(afloat: Afloat) -> Iterator[Remark]:
    yield from _one_port_twice(afloat.stay.feeds)
    yield from export_remarks(afloat.stay)
    for place, feed in enumerate(afloat.stay.feeds):
        yield from _any_caller(f"feeds[{place}].port", feed)
        yield from _needs_library(f"feeds[{place}].port", feed)
        yield from _cuts_numbers(f"feeds[{place}].pattern", feed)
        path = f"feeds[{place}].channels"
        yield from _one_field_twice(path, feed)
        for source in feed.channels:
            yield from _of_source(afloat, f"{path}.{source.channel}", source)


def _one_port_twice(feeds: Sequence[Feed]) -> Iterator[Remark]:
    """Of two feeds on one port only the first is ever opened, whatever their `from=` say."""
    ports: list[tuple[str, Port]] = []
    for place, feed in enumerate(feeds):
        port = parse_port(feed.port)
        first = next((name for name, other in ports if _shut_out(port, other)), None)
        if first is not None:
            text = f"feed {first} has this port: only one of the two can be opened"
            yield Remark(f"feeds[{place}].port", f"{text}; all its channels in one feed, or another port?")
        ports.append((feed.name, port))


def _shut_out(port: Port, other: Port) -> bool:
    """Whether one port cannot be opened beside the other; groups can be joined by several."""
    if isinstance(port, CallersPort) and isinstance(other, CallersPort):
        same = port.address == other.address or any(
            ip_address(p.address).is_unspecified for p in (port, other)
        )
        return port.port == other.port and same
    if isinstance(port, SerialPort) and isinstance(other, SerialPort):
        return port.device == other.device
    if not (isinstance(port, UdpPort) and isinstance(other, UdpPort)) or port.group or other.group:
        return False
    return port.port == other.port and (port.on == other.on or None in (port.on, other.on))


def _any_caller(path: str, feed: Feed) -> Iterator[Remark]:
    """A port that others on the network can call takes figures from whoever calls first."""
    port = parse_port(feed.port)
    if isinstance(port, CallersPort) and not port.sender and not ip_address(port.address).is_loopback:
        text = f"anybody who can reach {port.address} may call in and be believed: name the gauge by from=?"
        yield Remark(path, text)


def _cuts_numbers(path: str, feed: Feed) -> Iterator[Remark]:
    """What a pattern may take of a number is no figure: it is counted as garbled."""
    read = {group for source in feed.channels for group in source.groups_read}
    for group, cuts in cuts_of(feed.pattern).items() if feed.pattern else ():
        if group in read and cuts.before:
            text = f"what stands before (?P<{group}>…) may take digits of its number, and leave 5 of 125"
            yield Remark(path, f"{text}: such a line is not used; end it with what is no digit, [^0-9]*")
        elif group in read and cuts.behind:
            text = f"(?P<{group}>…) may end before its number does, 12 of 125"
            yield Remark(path, f"{text}: such a line is not used; take all digits, [0-9.]+")


def _needs_library(path: str, feed: Feed) -> Iterator[Remark]:
    is_modbus = isinstance(parse_port(feed.port), ModbusPort | ModbusSerialPort)
    if is_modbus and find_spec("pymodbus") is None:
        yield Remark(path, f"needs pymodbus, which is not installed: {EXTRA}")


def _one_field_twice(path: str, feed: Feed) -> Iterator[Remark]:
    """One field is one figure: a draught forward copied to aft shows an even keel for ever."""
    seen: dict[tuple[object, ...], str] = {}
    for source in feed.channels:
        read = {
            "group": source.groups_read,
            "field": source.fields,
            "column": source.columns,
            "register": source.register,
            "name": frozenset(source.names),
        }
        if not any(read.values()):
            continue
        field: tuple[object, ...] = (
            *(source.sentence, source.talker, *read.values(), source.unit_in, source.where),
            *(source.combine, source.weights, source.minus, source.scale, source.offset),
        )
        first = seen.setdefault(field, source.channel)
        if first != source.channel:
            key = next(key for key, places in read.items() if places)
            text = f"reads what {first} reads: the two are always the same figure; copied?"
            yield Remark(f"{path}.{source.channel}.{key}", text)


def _of_source(afloat: Afloat, path: str, source: Source) -> Iterator[Remark]:
    low, high = source.range
    stated: dict[str, float | None] = dict(zip(("draught_fwd", "draught_aft"), afloat.draughts, strict=True))
    stated["tide"] = afloat.stay.lines[0].made_fast.tide
    value = stated.get(source.channel)
    if value is not None and not isnan(value) and not low <= value <= high:
        text = f"{metres(low)} to {metres(high)} leaves out {metres(value)}, as stated at making fast"
        yield Remark(f"{path}.range", f"{text}: every reading would be refused")
    elif source.channel == "tide":
        for level, water in zip(_table(afloat), ("low", "high"), strict=False):
            if not low <= level <= high:
                text = (
                    f"{metres(low)} to {metres(high)} leaves out {water} water by the table, {metres(level)}"
                )
                yield Remark(f"{path}.range", f"{text}: readings would be refused then")
    if (
        source.channel in ("tide", "draught_fwd", "draught_aft", "depth")
        and abs(source.scale) > SCALE_OF_A_LENGTH
    ):
        yield Remark(f"{path}.scale", f"{figure(source.scale)} on a length: divide instead of multiply?")
    for key, seconds, longest in (
        ("lost_s", source.lost_s, LONGEST_LOST_S),
        ("smooth_s", source.smooth_s, LONGEST_MEAN_S),
    ):
        if seconds > longest:
            text = (
                f"{figure(seconds)} s is {figure(seconds / 60.0)} min, more than {figure(longest / 60.0)} min"
            )
            meant = "a silent gauge is believed so long" if key == "lost_s" else "the mean comes late"
            yield Remark(f"{path}.{key}", f"{text}: {meant}; milliseconds?")


def _table(afloat: Afloat) -> tuple[float, ...]:
    """Return the lowest and highest water of a table; nothing for constituents, whose sum never comes."""
    tide = afloat.stay.tide
    return afloat.levels if tide is not None and tide.high_low else ()
