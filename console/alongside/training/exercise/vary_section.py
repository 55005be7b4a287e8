"""Section `vary:` of an exercise file: how far drawn variations may go, and which may be hit for another."""

from collections.abc import Iterator
from typing import Final

from alongside.stay.fields import Check, Field, listed, number, word
from alongside.stay.model import Stay
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.records import optional, record
from alongside.training.exercise.model import BrakeRendering, Exercise, ForgottenLine, Vary

SHARE: Final = number("", least=0, most=0.5)
NAME: Final = word("the name of a line, or a channel", r"\S{1,40}")


def vary_of(stay: Stay | None) -> Field[Vary]:
    """Return the section. `stay` None: it could not be read, and no name is checked."""
    return record(
        Vary,
        minutes=optional(number("min", least=0, most=60)),
        tide_m=optional(number("m", least=0, most=1)),
        tide_min=optional(number("min", least=0, most=60)),
        tide_range=optional(SHARE),
        wind=optional(SHARE),
        wind_deg=optional(number("deg", least=0, most=90)),
        size=optional(SHARE),
        among=optional(listed(listed(NAME, _equals(stay), least=2), _each_once)),
    )


def check_equals(node: Node, exercise: Exercise) -> None:
    """Add what does not fit to the faults: whoever may be hit in the place of another must be able to be."""
    for place, names in enumerate(exercise.vary.among):
        for why in _cannot_be_hit(exercise, names):
            node["vary"]["among"][place].fault(why, "lines or gauges of which any may be hit")


def _equals(stay: Stay | None) -> Check:
    lines = [] if stay is None else [line.id for line in stay.lines]
    channels = [] if stay is None else [each.channel for feed in stay.feeds for each in feed.channels]

    def check(node: Node, names: tuple[str, ...]) -> None:
        if stay is None:
            return
        known = lines if names and names[0] in lines else channels
        for place, name in enumerate(names):
            if name not in known:
                kind = "line" if known is lines else "line or channel of the feeds"
                expected = one_of([*lines, *channels] if known is channels else lines, name)
                node[place].fault(f"there is no {kind} {shown(name)}", expected)

    return check


def _each_once(node: Node, among: tuple[tuple[str, ...], ...]) -> None:
    seen: set[str] = set()
    for place, names in enumerate(among):
        for at, name in enumerate(names):
            if name in seen:
                node[place][at].fault(f"{shown(name)} is named before", "each name once")
            seen.add(name)


def _cannot_be_hit(exercise: Exercise, names: tuple[str, ...]) -> Iterator[str]:
    of_stay = {line.id: line for line in exercise.stay.lines}
    for injection in exercise.injections:
        if getattr(injection, "line", None) not in names:
            continue
        if isinstance(injection, ForgottenLine) and injection.tend_at is not None:
            yield f"line {injection.line} is forgotten at a tending of its own"
        if isinstance(injection, BrakeRendering):
            for name in names:
                winch = exercise.stay.ship.winches.get(of_stay[name].winch or "") if name in of_stay else None
                holds = None if winch is None else winch.holding_kn
                if holds is None or holds <= injection.brake_kn:
                    yield f"the brake of line {name} holds no more than {injection.brake_kn:g} kN, or none"
