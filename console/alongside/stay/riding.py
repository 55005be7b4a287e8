"""What bollards stand on: the quay, what floats, or another ship; and by which key their height is given."""

from collections.abc import Collection, Mapping
from typing import Final, Protocol

from alongside.stay.nodes import Node, one_of, shown

HEIGHTS: Final[tuple[str, ...]] = ("z", "over_water", "below_rail", "above_keel")

Stands = tuple[bool, str]
"""Whether it floats, and the ship that it stands on, "" for none."""


class OnQuay(Protocol):
    """What the file says of a bollard, None or "" where it does not."""

    @property
    def floats(self) -> bool | None: ...
    @property
    def on(self) -> str: ...
    @property
    def from_bollard(self) -> str | None: ...


def all_stands(measured: Mapping[str, OnQuay], all_float: bool) -> dict[str, Stands]:
    """Return what each bollard stands on: as the file says, else as the one it is measured from, else as the
    berth."""
    known: dict[str, Stands] = {}
    for name in measured:
        passed: dict[str, None] = {}
        while name in measured and name not in passed and name not in known:
            passed[name] = None
            one = measured[name]
            if one.on or one.floats is not None:
                known[name] = (False, one.on) if one.on else (bool(one.floats), "")
                break
            name = one.from_bollard or ""
        known |= dict.fromkeys(
            (each for each in passed if each not in known), known.get(name, (all_float, ""))
        )
    return known


def check_riding(
    name: str,
    measured: Mapping[str, OnQuay],
    ships: Collection[str],
    stands: Mapping[str, Stands],
    own: Node,
) -> None:
    """Put on the list a height that is not over what the bollard stands on, and what it cannot stand on."""
    one = measured[name]
    if one.on and one.floats:
        own["floats"].fault("floats and on together", "one of them: a ship floats anyhow")
    if one.on and one.on not in ships:
        own["on"].fault(f"there is no ship {shown(one.on)} beside her", one_of(ships, one.on))
    floats, on = stands[name]
    what, wanted = "of the quay", HEIGHTS[:3]
    if floats:
        what, wanted = "that floats", ("over_water",)
    elif on:
        what, wanted = f"on {on}", ("above_keel",)
    given = [key for key in HEIGHTS if key in own]
    for key in given:
        if key not in wanted:
            own[key].fault(f"{key} of a bollard {what}", f"{' or '.join(wanted)}, m")
    origin = one.from_bollard or ""
    if not given and origin in measured and stands[origin] != (floats, on):
        own.missing(wanted[0], f"m, since {shown(origin)} does not stand on the same")
