"""Key `wind:` of the ship, the areas that the wind leans on, or a first guess of them from freeboard and what
stands on deck."""

from collections.abc import Sequence
from typing import Any, Final

from alongside.stay.coefficients import WIND_COEFFICIENTS
from alongside.stay.fields import Check, Field, listed, number, whole
from alongside.stay.hull_estimates import AREA_SPREAD, FirstAreas, OnDeck, first_areas
from alongside.stay.model import WindAreas
from alongside.stay.model.guess import Guess
from alongside.stay.nodes import Node
from alongside.stay.records import optional, record, required

AREA: Final = number("m2", above=0)
CENTROID_SPREAD: Final = 0.03
"""Of LBP; common practice, no source."""

ON_DECK: Final = listed(
    record(
        OnDeck,
        x=required(number("m", least=-50, most=650)),
        length=required(number("m", above=0, most=600)),
        height=required(number("m", above=0, most=80)),
    ),
    least=1,
)


def _profile_given(node: Node, areas: WindAreas) -> None:
    if areas.coefficients == "isherwood" and areas.perimeter_m is None:
        node["coefficients"].fault("isherwood needs the perimeter of the side", "perimeter_m beside it, m")


def _areas_given(node: Node, _areas: WindAreas) -> None:
    for key in ("front_m2", "side_m2"):
        if key not in node and "on_deck" not in node:
            node.missing(key, f"{AREA.expected}, or on_deck for a first guess")


def _afloat(depth: float) -> Check:
    """Return the check that something stands out of the water to be guessed from."""

    def check(node: Node, areas: WindAreas) -> None:
        if "on_deck" in node and areas.at_draught >= depth:
            node["at_draught"].fault(
                f"{areas.at_draught:g} m leaves no freeboard to guess areas from", f"less than {depth:g}"
            )

    return check


def wind_of(loa: float, lbp: float, breadth: float, depth: float) -> Field[WindAreas]:
    """Return the field of the wind areas of such a hull."""

    def guess(name: str, spread: float, unit: str, words: str) -> Any:
        """Return what makes the field of an area that is not given: guessed where `on_deck` is."""

        def make(at_draught: float, on_deck: Sequence[OnDeck] | None) -> Field[float | None]:
            def read(node: Node) -> float | None:
                if not on_deck or not at_draught < depth:
                    return None
                first: FirstAreas = first_areas(loa, lbp, breadth, depth - at_draught, on_deck)
                value: float = getattr(first, name)
                size = spread * (lbp if unit == "m" else value)
                return node.estimates.note(Guess(node.path, value, size, unit, f"{words}, common practice"))

            return Field(words, read)

        return make

    def given(field: Field[float]) -> Any:
        return lambda _at_draught, _on_deck: field

    known = ("at_draught", "on_deck")
    return record(
        _wind,
        _profile_given,
        _areas_given,
        _afloat(depth),
        at_draught=required(number("m", above=0, most=40)),
        on_deck=optional(ON_DECK),
        front_m2=optional(
            given(AREA),
            knowing=known,
            band="front_band",
            otherwise=guess("front_m2", AREA_SPREAD, "m2", "breadth x (freeboard + house) x 0.85"),
        ),
        side_m2=optional(
            given(AREA),
            knowing=known,
            band="side_band",
            otherwise=guess("side_m2", AREA_SPREAD, "m2", "LOA x freeboard + what stands on deck"),
        ),
        side_centroid_x=optional(
            given(number("m")),
            knowing=known,
            otherwise=guess("side_centroid_x", CENTROID_SPREAD, "m", "of freeboard and what stands on deck"),
        ),
        coefficients=optional(WIND_COEFFICIENTS),
        perimeter_m=optional(number("m", above=0)),
        superstructure_m2=optional(number("m2", least=0)),
        mast_groups=optional(whole(least=0, most=20)),
    )


def _wind(
    at_draught: float,
    front_m2: float = float("nan"),
    side_m2: float = float("nan"),
    on_deck: Sequence[OnDeck] = (),
    front_band: float = 0.0,
    side_band: float = 0.0,
    **more: Any,
) -> WindAreas:
    """Return the areas; what they were guessed from has served."""
    return WindAreas(front_m2, side_m2, at_draught, area_band=max(front_band, side_band), **more)
