"""From gauges to sentences: IEC 61162-1 bodies, checksums and TAG blocks, a block of instants at a time."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.readings import Floats

Bodies = list[str | None]
"""Lines without `$` and checksum, one an instant; None where nothing is sent."""
Texts = tuple[str | None, ...]
"""What one input of a gauge shows, one an instant; None where it is silent."""
Write = Callable[[Floats, Sequence[Texts]], Bodies]
"""(times (n,), texts (n,) of each place of a line) -> its bodies."""

LONGEST_BODY = 76
"""Characters between `$` and `*` that keep a sentence within the 82 of IEC 61162-1."""

XDR_KINDS: Final = {"heel": ("A", "D"), "heading": ("A", "D"), "wind_from": ("A", "D")}
"""Transducer type and unit of XDR; a level is a displacement in metres, a load a force in newtons."""


def xdr_kind(channel: str) -> tuple[str, str]:
    if channel.startswith("tension."):
        return "N", "N"
    if channel == "wind_speed":
        return "G", ""
    return XDR_KINDS.get(channel, ("D", "M"))


@dataclass(frozen=True, slots=True)
class Quad:
    """A transducer of an XDR: type, unit, name."""

    kind: str
    unit: str
    name: str


def xdr(talker: str, quads: Sequence[Quad], columns: Sequence[Texts]) -> Bodies:
    """Return XDR of transducers with their values; the quad of a silent gauge is left out."""
    bodies: Bodies = []
    for texts in zip(*columns, strict=True):
        present = [
            f"{quad.kind},{text},{quad.unit},{quad.name}"
            for quad, text in zip(quads, texts, strict=True)
            if text is not None
        ]
        bodies.append(f"{talker}XDR,{','.join(present)}" if present else None)
    return bodies


def xdr_groups(names: Sequence[Sequence[str]]) -> list[list[int]]:
    """Return which channels, each with the names of its transducers, share a sentence, in order, so that none
    is too long. A quad counts as its name with up to nine characters of value."""
    groups: list[list[int]] = []
    room = 0
    for index, own in enumerate(names):
        need = sum(len(name) + len(",D,,M,") + 9 for name in own)
        if not groups or need > room:
            groups.append([])
            room = LONGEST_BODY - len("YXXDR")
        groups[-1].append(index)
        room -= need
    return groups


def _mwv(talker: str, reference: str, of: Mapping[str, Texts]) -> Bodies:
    """Speed in m/s, angle off the bow; nothing at all where the instrument is silent."""
    pairs = _both(of, "wind_from", "wind_speed")
    return [
        None if angle is None or speed is None else f"{talker}MWV,{angle},{reference},{speed},M,A"
        for angle, speed in pairs
    ]


def _mwd(talker: str, reference: str, of: Mapping[str, Texts]) -> Bodies:
    """Direction from true north, speed in m/s; magnetic and knots left empty."""
    pairs = _both(of, "wind_from", "wind_speed")
    return [
        None if from_deg is None or speed is None else f"{talker}MWD,{from_deg},T,,M,,N,{speed},M"
        for from_deg, speed in pairs
    ]


def _hdt(talker: str, reference: str, of: Mapping[str, Texts]) -> Bodies:
    return [None if text is None else f"{talker}HDT,{text},T" for text in of["heading"]]


def _ths(talker: str, reference: str, of: Mapping[str, Texts]) -> Bodies:
    return [None if text is None else f"{talker}THS,{text},A" for text in of["heading"]]


def _both(of: Mapping[str, Texts], first: str, second: str) -> list[tuple[str | None, str | None]]:
    """Texts of two channels, instant by instant; an empty field for one that the feed does not ask for."""
    n = max(len(texts) for texts in of.values())
    return list(zip(of.get(first, ("",) * n), of.get(second, ("",) * n), strict=True))


Writer = Callable[[str, str, Mapping[str, Texts]], Bodies]

WRITERS: Final[dict[str, tuple[Writer, tuple[str, ...], str]]] = {
    "MWV": (_mwv, ("wind_from", "wind_speed"), "WI"),
    "MWD": (_mwd, ("wind_from", "wind_speed"), "WI"),
    "HDT": (_hdt, ("heading",), "HE"),
    "THS": (_ths, ("heading",), "HE"),
}
"""Formatter -> writer, the channels it can carry, its usual talker. XDR carries any channel."""


def checksums(texts: Sequence[str]) -> NDArray[np.uint8]:
    """XOR of the bytes of each text, (n,): the checksum of IEC 61162-1 and of its TAG blocks."""
    # A numpy byte string is padded with zeros, which leave an exclusive or as it is.
    packed = np.array(texts, dtype="S")
    width = max(packed.dtype.itemsize, 1)
    rows = packed.view(np.uint8).reshape(len(texts), width)
    return np.asarray(np.bitwise_xor.reduce(rows, axis=1), dtype=np.uint8)


def tag_blocks(source: str, time: NDArray[np.float64], sender: str = "") -> list[str]:
    """TAG blocks with source, UNIX time and who sent it, where that is told: whole seconds, or milliseconds
    where the instant has any."""
    millis = np.round(time * 1000.0).astype(np.int64).tolist()
    by = f",t:from {sender}" if sender else ""
    texts = [f"s:{source},c:{ms if ms % 1000 else ms // 1000}{by}" for ms in millis]
    return [f"\\{text}*{check:02X}\\" for text, check in zip(texts, checksums(texts).tolist(), strict=True)]


def framed(tags: Sequence[str], bodies: Bodies, corrupt: NDArray[np.bool_]) -> list[bytes | None]:
    """Whole lines with TAG block, checksum and CRLF; `corrupt` (n,) is true for a wrong checksum."""
    texts = [body or "" for body in bodies]
    sums = np.where(corrupt, checksums(texts) ^ np.uint8(0x15), checksums(texts)).tolist()
    return [
        f"{tag}${body}*{check:02X}\r\n".encode("ascii") if body is not None else None
        for tag, body, check in zip(tags, bodies, sums, strict=True)
    ]


def plain_lines(tags: Sequence[str], bodies: Bodies) -> list[bytes | None]:
    """Whole plain lines with TAG block and CRLF."""
    return [
        f"{tag}{body}\r\n".encode("latin-1") if body is not None else None
        for tag, body in zip(tags, bodies, strict=True)
    ]
