"""Registers of a Modbus device: where a number stands, of which type, and in which order its bytes come.

Manuals name orders by letters and disagree on what they mean; an example says it: what the registers show,
and for which number. From it follows one order, or none.
"""

import re
import struct
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final, cast, get_args

from alongside.stay.fields import Field, choice, whole
from alongside.stay.model import Register, RegisterType
from alongside.stay.nodes import Node, shown
from alongside.stay.records import optional, record, required

TYPES: Final[tuple[RegisterType, ...]] = get_args(RegisterType)
WORDS: Final[Mapping[str, int]] = {name: int(name.lstrip("uintfloa")) // 16 for name in TYPES}
"""How many registers a number of each type takes."""
_FORMS: Final = {"float32": ">f", "float64": ">d"}
MOST_ADDRESS: Final = 0xFFFF
_REFERENCES: Final = (
    (30_001, 39_999, "input"),
    (40_001, 49_999, "holding"),
    (300_001, 365_536, "input"),
    (400_001, 465_536, "holding"),
)
"""Addresses that are counted from 1 with the table in front, as most manuals print them."""


def orders_of(words: int) -> tuple[tuple[int, ...], ...]:
    """Return the orders in which the bytes of so many registers may come: as they are, each register's two
    bytes exchanged, the registers from last to first, and both."""
    plain = tuple(range(2 * words))
    turned = tuple(place ^ 1 for place in plain)
    if words == 1:
        return plain, turned
    back = tuple(2 * word + byte for word in reversed(range(words)) for byte in (0, 1))
    return plain, turned, back, tuple(place ^ 1 for place in back)


def number_of(registers: Sequence[int], kind: str, order: Sequence[int]) -> float:
    """Return the number that registers (0 to 65535 each) stand for; not finite where a float says so."""
    came = b"".join(register.to_bytes(2, "big") for register in registers)
    data = bytes(came[place] for place in order)
    if kind in _FORMS:
        return float(struct.unpack(_FORMS[kind], data)[0])
    return float(int.from_bytes(data, "big", signed=kind.startswith("int")))


def registers_of(number: float, kind: str, order: Sequence[int]) -> list[int]:
    """Return the registers that stand for a number, the nearest whole one of a type without decimals. Raise
    OverflowError for one that the type does not hold."""
    size = 2 * WORDS[kind]
    if kind in _FORMS:
        data = struct.pack(_FORMS[kind], number)
    else:
        data = round(number).to_bytes(size, "big", signed=kind.startswith("int"))
    came = bytearray(size)
    for place, byte in zip(order, data, strict=True):
        came[place] = byte
    return [int.from_bytes(came[at : at + 2], "big") for at in range(0, size, 2)]


@dataclass(frozen=True, slots=True)
class Example:
    """`registers` show `number`, which is exact to `within`."""

    registers: tuple[int, ...]
    number: float
    within: float


def _read_shows(node: Node) -> tuple[int, ...]:
    text = node.text(SHOWS.expected)
    if text is None:
        return ()
    digits = "".join(text.split())
    if not re.fullmatch("(?:[0-9A-Fa-f]{4})+", digits):
        node.fault(f"{shown(text)} shows no registers", SHOWS.expected)
        return ()
    return tuple(int(digits[at : at + 4], 16) for at in range(0, len(digits), 4))


def _read_number(node: Node) -> tuple[float, float]:
    text = node.text(FOR.expected)
    if text is None:
        return 0.0, 0.0
    try:
        number = float(text)
    except ValueError:
        number = float("nan")
    if not isfinite(number) or "_" in text:
        node.fault(f"{shown(text)} is no number", FOR.expected)
        return 0.0, 0.0
    mantissa, _, power = text.lower().partition("e")
    decimals = len(mantissa.partition(".")[2]) - int(power or 0)
    return number, 0.5 * 10.0**-decimals if "." in mantissa else 0.0


def _read_address(node: Node) -> int:
    text = node.text(ADDRESS.expected)
    if text is None:
        return 0
    for first, last, table in _REFERENCES:
        if text.isascii() and text.isdigit() and first <= int(text) <= last:
            wrong = f"{text} is how manuals count, from 1 with the table in front"
            node.fault(
                wrong, f"{int(text) - first} of table {table}, or 0x{int(text):X} for that very address"
            )
            return 0
    base = 16 if text[:2] in ("0x", "0X") else 10
    try:
        number = int(text, base) if text.isascii() and text.isalnum() else -1
    except ValueError:
        number = -1
    if not 0 <= number <= MOST_ADDRESS:
        node.fault(f"{shown(text)} is no address", ADDRESS.expected)
        return 0
    return number


SHOWS: Final = Field(
    'the registers in hexadecimal, in the order of their addresses, such as "47F1 2000"', _read_shows
)
FOR: Final = Field("the number that the device itself shows then, such as 123456.0", _read_number)
ADDRESS: Final = Field(
    "an address counted from 0 as on the wire, 0 to 65535, or in hexadecimal 0x…", _read_address
)

Given = Mapping[str, Any]


def _example(shows: tuple[int, ...], **number: tuple[float, float]) -> Example:
    return Example(shows, *number["for"])


EXAMPLE: Final = record(_example, shows=required(SHOWS), **{"for": required(FOR)})


def fitting(example: Example, kind: str) -> tuple[tuple[int, ...], ...]:
    """Return the orders in which an example reads as it says."""
    orders = orders_of(WORDS[kind])
    near = max(example.within, 1e-6 * abs(example.number) if kind == "float32" else 0.0)
    return tuple(
        order for order in orders if abs(number_of(example.registers, kind, order) - example.number) <= near
    )


def _register(given: Given) -> Register:
    kind = cast(RegisterType, given.get("type", "int16"))
    example: Example | None = given.get("example")
    order = orders_of(WORDS[kind])[0]
    if example is not None and len(example.registers) == WORDS[kind]:
        order = next(iter(fitting(example, kind)), order)
    return Register(
        given.get("table", "holding"), given.get("address", 0), kind, order, given.get("station", 1)
    )


def _has_one_order(node: Node, given: Given) -> None:
    """Put on the list an example that is missing, or from which not one order follows."""
    kind, example = str(given.get("type", "")), given.get("example")
    if kind not in WORDS:
        return
    words = WORDS[kind]
    if example is None:
        if words > 1:
            node.missing(
                "example", f'what {words} registers show for a number: {{shows: "47F1 2000", for: 123456.0}}'
            )
        return
    if not example.registers:
        return
    if len(example.registers) != words:
        node["example"]["shows"].fault(
            f"{len(example.registers)} registers", f"{words}: {kind} takes as many"
        )
        return
    _one_order(node["example"], kind, example)


def _one_order(node: Node, kind: str, example: Example) -> None:
    fits = fitting(example, kind)
    if len(fits) == 1:
        return
    orders = orders_of(WORDS[kind])
    if not fits:
        reads = " or ".join(f"{number_of(example.registers, kind, order):.6g}" for order in orders)
        node["for"].fault(f"read as {kind} it is {reads}", "one of these: another type, or another example?")
        return
    ways = ", ".join(_in_words(order, orders) for order in fits)
    node["shows"].fault(f"fits {len(fits)} orders of the bytes ({ways})", "a number whose bytes all differ")


def _in_words(order: tuple[int, ...], orders: Sequence[tuple[int, ...]]) -> str:
    return ("as they come", "bytes exchanged", "last register first", "last byte first")[orders.index(order)]


def _read(node: Node) -> Register:
    return _register(REGISTER_KEYS.read(node))


REGISTER_KEYS: Final[Field[Given]] = record(
    dict,
    _has_one_order,
    table=required(choice("holding", "input")),
    address=required(ADDRESS),
    type=required(choice(*TYPES)),
    station=optional(whole(least=0, most=255)),
    example=optional(EXAMPLE),
)
REGISTER: Final = Field(REGISTER_KEYS.expected, _read)
