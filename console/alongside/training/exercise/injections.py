"""Section `injections:` of an exercise file: what is put into the stay, and when."""

from collections.abc import Callable, Mapping
from typing import Any, Final, TypeVar, get_args

from alongside.stay.fields import TEXT, TIME, Check, Field, Unread, choice, known, listed, number
from alongside.stay.gauge_faults import OF_VALUES, gauge_fault_of
from alongside.stay.model import Line, Stay
from alongside.stay.nodes import Node
from alongside.stay.records import Key, exactly_one, optional, record, required
from alongside.training.exercise.model import (
    BrakeRendering,
    CargoRate,
    ForgottenLine,
    Gust,
    Injection,
    Message,
    PartedLine,
    Sender,
    TideSurge,
)
from alongside.units import KNOT, iso_time

T = TypeVar("T")

SECONDS: Final = number("s", above=0, most=1_000_000)
SPIKE_EVERY: Final = 6
"""One value in so many is a spike where the file does not say."""
FORCE: Final = number("kN", above=0, most=100_000)
SENDERS: Final = get_args(Sender)
MESSAGE_MOST: Final = 200
"""Characters of a message."""
SAME_S: Final = 0.5
"""Two times so near to each other are the same."""
NOTHING: Final = PartedLine("", float("nan"))
"""In place of an injection that could not be read."""


def injections_of(stay: Stay | None) -> Field[tuple[Injection, ...]]:
    """Return the list. `stay` None: it could not be read, and no name is checked."""
    return listed(_injection_of(_Names(stay)))


def _injection_of(names: "_Names") -> Field[Injection]:
    kinds = _kinds(names)
    kind_of = choice(*kinds)

    def read(node: Node) -> Injection:
        if node.entries("a table with kind, at, …") is None:
            return NOTHING
        if "kind" not in node:
            node.missing("kind", kind_of.expected)
            return NOTHING
        kind = kind_of.read(node["kind"])
        return kinds[kind].read(node) if kind in kinds else NOTHING

    return Field("a table with kind, at, …", read)


class _Names:
    """The names that a stay has; without a stay no name is checked."""

    def __init__(self, stay: Stay | None) -> None:
        self.stay = stay
        self.channels: Any = Unread()
        self.lines: Mapping[str, Line] = Unread()
        self.operations: Any = Unread()
        if stay is not None:
            self.channels = [source.channel for feed in stay.feeds for source in feed.channels]
            self.lines = {line.id: line for line in stay.lines}
            self.operations = [operation.name for operation in stay.cargo]

    @property
    def line(self) -> Field[str]:
        return known(self.lines, "line")

    def has_channel(self, channel: str) -> Check:
        """The stay must have a gauge that shows it."""

        def check(node: Node, _: object) -> None:
            if self.stay is not None and channel not in self.channels:
                node["kind"].fault(f"no feed gives {channel}", "a stay that is watched for it")

        return check


def _kinds(names: _Names) -> dict[str, Field[Any]]:
    """How each kind is read."""
    gauge_fault = gauge_fault_of(OF_VALUES, names.channels, every=SPIKE_EVERY)
    spell = {"at": required(TIME), "seconds": required(SECONDS)}
    return {
        **dict.fromkeys(OF_VALUES, gauge_fault),
        "gust": _record(
            _gust,
            "gust",
            names.has_channel("wind_speed"),
            exactly_one("speed_ms", "speed_kn"),
            **spell,
            speed_ms=optional(number("m/s", above=0, most=100)),
            speed_kn=optional(number("kn", above=0, most=200)),
            from_deg=optional(number("deg", least=0, most=360)),
        ),
        "tide_surge": _record(
            TideSurge,
            "tide_surge",
            names.has_channel("tide"),
            **spell,
            metres=required(number("m", least=-10, most=10)),
        ),
        "forgotten_line": _record(
            ForgottenLine,
            "forgotten_line",
            exactly_one("tend_at", "tension_kn"),
            _forgotten(names),
            line=required(names.line),
            tend_at=optional(TIME),
            tension_kn=optional(FORCE),
        ),
        "parted_line": _record(PartedLine, "parted_line", line=required(names.line), at=required(TIME)),
        "brake_rendering": _record(
            BrakeRendering,
            "brake_rendering",
            _renders(names),
            line=required(names.line),
            at=required(TIME),
            brake_kn=required(FORCE),
        ),
        "cargo_rate": _record(
            CargoRate,
            "cargo_rate",
            _goes_on(names),
            operation=required(known(names.operations, "cargo operation")),
            at=required(TIME),
            times=optional(number(least=0, most=10)),
        ),
        "message": _record(
            _message,
            "message",
            _short,
            at=required(TIME),
            text=required(TEXT),
            **{"from": required(choice(*SENDERS))},
        ),
    }


def _record(make: Callable[..., T], kind: str, /, *checks: Check, **keys: Key) -> Field[T]:
    """A table with a key `kind` besides."""

    def made(*, kind: str, **parts: Any) -> T:
        return make(**parts)

    return record(made, *checks, kind=required(choice(kind)), **keys)


def _gust(
    at: float,
    seconds: float,
    speed_ms: float | None = None,
    speed_kn: float | None = None,
    from_deg: float | None = None,
) -> Gust:
    return Gust(at, seconds, (speed_kn or 0.0) * KNOT if speed_ms is None else speed_ms, from_deg)


def _message(*, at: float, text: str, **sender: Any) -> Message:
    """`from` is the file's own word, and one of Python's."""
    return Message(at, sender["from"], text)


def _short(node: Node, message: Message) -> None:
    if len(message.text) > MESSAGE_MOST:
        node["text"].fault(f"{len(message.text)} characters", f"at most {MESSAGE_MOST}: send two")


def _forgotten(names: _Names) -> Check:
    """The tending must be one that the stay file has; the tension one that the line can be made fast with."""

    def check(node: Node, forgotten: ForgottenLine) -> None:
        line = names.lines.get(forgotten.line)
        if line is None:
            return
        at = forgotten.tend_at
        if at is not None and at == at and not any(abs(tend.at - at) < SAME_S for tend in line.tended):
            times = ", ".join(iso_time(tend.at) for tend in line.tended)
            node["tend_at"].fault(f"line {line.id} is not tended then", times or "a line that is tended")
        ropes = [line.rope] if line.tail is None else [line.rope, line.tail.rope]
        weakest = min(rope.strength_kn for rope in ropes)
        if forgotten.tension_kn is not None and forgotten.tension_kn >= weakest:
            node["tension_kn"].fault(
                f"{forgotten.tension_kn:g} kN would part it", f"less than {weakest:g} kN"
            )

    return check


def _renders(names: _Names) -> Check:
    """The line must have a brake that holds more than that, in a stay with the balance on."""

    def check(node: Node, brake: BrakeRendering) -> None:
        line = names.lines.get(brake.line)
        if line is None or names.stay is None:
            return
        holding = names.stay.ship.winches[line.winch].holding_kn if line.winch is not None else None
        if holding is None:
            node["line"].fault(f"no brake is known for line {line.id}", "a line on a winch with brake_kn")
        elif brake.brake_kn >= holding:
            node["brake_kn"].fault("no less than it holds anyway", f"below {holding:g} kN")
        if not (names.stay.balance and names.stay.berth.fenders):
            node["kind"].fault(
                "a brake does not render where the ship is kept in place", "a stay with balance: on"
            )

    return check


def _goes_on(names: _Names) -> Check:
    """The operation must be going on at that time, and what it does to her draughts be known."""

    def check(node: Node, rate: CargoRate) -> None:
        stay = names.stay
        if stay is None or rate.operation not in names.operations or rate.at != rate.at:
            return
        own = [operation for operation in stay.cargo if operation.name == rate.operation]
        if not any(operation.start <= rate.at < operation.end for operation in own):
            spells = ", ".join(f"{iso_time(each.start)} to {iso_time(each.end)}" for each in own)
            node["at"].fault("it is not going on then", spells)
        if not stay.ship.hydrostatics:
            node["kind"].fault("without hydrostatics draughts do not change", "a ship with hydrostatics")

    return check
