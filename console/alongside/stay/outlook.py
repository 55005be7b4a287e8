"""Section `outlook:`, how far ahead is looked and what a tending round takes."""

from typing import Final

from alongside.stay.fields import choice, number, whole
from alongside.stay.model import Gangway, LookAhead
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required


def _usable_somewhere(node: Node, gangway: Gangway) -> None:
    if gangway.lowest is not None and gangway.highest is not None and gangway.highest <= gangway.lowest:
        node["highest"].fault(f"{gangway.highest:g} is not above lowest", f"more than {gangway.lowest:g}")
    if gangway.steepest_deg is not None and gangway.length is None:
        node["steepest_deg"].fault("a slope without a length", "length as well, m from rail to foot")


def _enough_for_a_line(node: Node, outlook: LookAhead) -> None:
    if outlook.hands is not None and outlook.hands < outlook.hands_per_line:
        wanted = f"at least hands_per_line, {outlook.hands_per_line}"
        node["hands"].fault(f"{outlook.hands} hands cannot tend one line", wanted)


GANGWAY: Final = record(
    Gangway,
    _usable_somewhere,
    ship_x=required(number("m")),
    rail_z=required(number("m", above=0, most=80)),
    quay_z=required(number("m", least=-20, most=40)),
    lowest=optional(number("m", least=-30, most=60)),
    highest=optional(number("m", least=-30, most=60)),
    kind=optional(choice("gangway", "ladder", "ramp")),
    length=optional(number("m", above=0, most=120)),
    steepest_deg=optional(number("deg", above=0, below=90)),
)

OUTLOOK: Final = record(
    LookAhead,
    _enough_for_a_line,
    hours=optional(number("h", above=0, most=240)),
    every_min=optional(number("min", least=1, most=60)),
    members=optional(whole(least=2, most=500)),
    soon_min=optional(number("min", above=0, most=1440)),
    keep_within=optional(choice("caution", "warning", "alarm")),
    hands=optional(whole(least=1, most=100)),
    hands_per_line=optional(whole(least=1, most=20)),
    minutes_per_line=optional(number("min", least=0, most=240)),
    gap_min=optional(number("min", least=0, most=1440)),
    largest_move=optional(number("m", above=0, most=100)),
    margin=optional(number("m", least=0, most=5)),
    gangway=optional(GANGWAY),
)
