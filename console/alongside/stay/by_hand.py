"""Section `by_hand:`, how often is read by hand what no gauge gives."""

from typing import Final

from alongside.stay.fields import Field, number
from alongside.stay.model import ByHand
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record

MINUTES: Final = number("min", least=10, most=1440)


def _read_minutes(node: Node) -> float | None:
    return None if node.word == "never" else MINUTES.read(node)


BY_HAND: Final = record(ByHand, every_min=optional(Field(f"{MINUTES.expected}, or never", _read_minutes)))
