"""Section `stood:` of an exercise file: what lines had out at a time, where its log begins after they were
made fast."""

from alongside.stay.fields import TEXT, TIME, Field, choice, known, listed, number
from alongside.stay.model import Stay
from alongside.stay.nodes import Node
from alongside.stay.records import exactly_one, optional, record, required
from alongside.training.exercise.model import LineStood
from alongside.units import iso_time


def stood_of(stay: Stay | None) -> Field[tuple[LineStood, ...]]:
    """Return the list. `stay` None: it could not be read, and no name is checked."""
    lines = TEXT if stay is None else known({line.id: line for line in stay.lines}, "line")
    return listed(
        record(
            LineStood,
            exactly_one("out_m", "gone"),
            at=required(TIME),
            line=required(lines),
            out_m=optional(number("m", above=0, most=2000)),
            gone=optional(choice("parted", "let_go")),
        ),
        _in_order,
    )


def _in_order(node: Node, stood: tuple[LineStood, ...]) -> None:
    before: dict[str, float] = {}
    for place, each in enumerate(stood):
        if each.at <= before.get(each.line, -float("inf")):
            last = iso_time(before[each.line])
            node[place]["at"].fault(
                f"line {each.line} stands so at another time before", f"later than {last}"
            )
        before[each.line] = each.at
