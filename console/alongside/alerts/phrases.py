"""What each cause of an alert says: who, and what is the matter, with its figure."""

from collections.abc import Callable
from dataclasses import dataclass
from math import isfinite, isinf, nan
from typing import Final

import numpy as np

from alongside.alerts.rule_model import Rule
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.stay.model import Display, Line, Stay
from alongside.units import tonnes_force

UNKNOWN: Final = "—"

BEARS: Final = {
    "wll": "what line {} can bear",
    "brake": "what the brake of line {} holds",
    "bollard": "what bollard {} can bear",
    "drift": "what keeps her within her drift limit",
    "off_fenders": "what keeps her on her fenders",
    None: "what she is held against",
}
PAST: Final = {
    "wll": "line {} is past its working load",
    "brake": "the brake of line {} renders",
    "bollard": "bollard {} is past its working load",
    "drift": "she is past her drift limit",
    "off_fenders": "she is off her fenders",
    None: "a limit is past",
}
"""By what gives first, see `mechanics.usage`."""


@dataclass(frozen=True, slots=True)
class Detail:
    """What the value of a rule alone does not tell."""

    time: float = nan
    """The instant, UNIX seconds."""
    leads_down: bool | None = None
    """Whether the line leads down from its fairlead, or up."""
    computed_kn: float = nan
    measured_kn: float = nan
    moved_m: float = nan
    """Surge or sway, with its sign."""
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first in such a wind."""


def force_text(kn: float, display: Display) -> str:
    """A load with its unit: `23.1 t`, `227 kN`."""
    if not isfinite(kn):
        return UNKNOWN
    return f"{tonnes_force(kn):.1f} t" if display.force == "t" else f"{kn:.0f} kN"


def percent(share: float) -> str:
    """`88 %`; below ten with a decimal where it has one, `0.6 %`."""
    if not isfinite(share):
        return f"{UNKNOWN} %"
    if abs(share) >= 0.0995:
        return f"{share * 100.0:.0f} %"
    return f"{share * 100.0:.1f}".rstrip("0").rstrip(".") + " %"


Phrase = Callable[[Stay, Rule, float, Detail], tuple[str, str]]
"""Who, and what is the matter, of a rule with a value (NaN: not known)."""


def _steep(_stay: Stay, rule: Rule, value: float, detail: Detail) -> tuple[str, str]:
    way = "" if detail.leads_down is None else " down" if detail.leads_down else " up"
    return f"Line {rule.subject}", f"leads {_figure(value, 0)}°{way}"


def _stretch(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    return f"Line {rule.subject}", f"at {percent(value)} of its stretch allowance"


def _load(stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    kn = value * line_of(stay, rule).smallest_wll_kn
    return f"Line {rule.subject}", f"at {percent(value)} of its working load, {force_text(kn, stay.display)}"


def _slack(stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    if value == 0.0:
        return f"Line {rule.subject}", "hangs slack, no load"
    kn = value * line_of(stay, rule).smallest_wll_kn
    load = force_text(kn, stay.display)
    return f"Line {rule.subject}", f"carries {load}, {percent(value)} of its working load"


def _brake(stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    line = line_of(stay, rule)
    winch = stay.ship.winches[line.winch] if line.winch is not None else None
    holding = winch.brake_kn if winch is not None and winch.brake_kn is not None else float("nan")
    load = force_text(value * holding, stay.display)
    return f"Line {rule.subject}", f"at {percent(value)} of what its brake holds, {load}"


def _bollard(stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    swl = stay.berth.bollards[rule.subject].swl_kn or float("nan")
    ids = [line.id for line in stay.lines if line.bollard == rule.subject]
    lines = f"line {ids[0]}" if len(ids) == 1 else f"lines {', '.join(ids)}"
    load = force_text(value * swl, stay.display)
    return f"Bollard {rule.subject}", f"at {percent(value)} of its safe working load, {load} from {lines}"


def _under_keel(_stay: Stay, _rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    return "Under-keel clearance", f"{_figure(value, 2)} m"


def _drift(stay: Stay, rule: Rule, value: float, detail: Detail) -> tuple[str, str]:
    return "Ship", f"{_figure(value, 2)} m {moved_where(stay, rule.subject, detail.moved_m)}"


def moved_where(stay: Stay, way: str, moved_m: float) -> str:
    """Which way she has moved from her place, by the sign of her surge or sway; either where not known."""
    if way == "sway":
        sides = ("onto the berth", "off or onto the berth", "off the berth")
    else:
        sides = ("astern of her place", "ahead or astern of her place", "ahead of her place")
    forward = -1.0 if way == "surge" and stay.alongside == "port" else 1.0
    return sides[1 + (int(np.sign(moved_m * forward)) if isfinite(moved_m) else 0)]


def _gangway(_stay: Stay, _rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    return "Gangway:", f"rail {_figure(value, 2)} m over the quay"


def _off_fenders(_stay: Stay, _rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    return "Ship", f"{_figure(value, 2)} m off her fenders"


def _holding(_stay: Stay, _rule: Rule, value: float, detail: Detail) -> tuple[str, str]:
    if isinf(value):
        return "Wind", f"has no share in it: {past_in_a_calm(detail.weak)}"
    return "Wind", f"takes {percent(value)} of {bears(detail.weak)}"


def bears(weak: WeakSpot) -> str:
    """`what line 4 can bear`: what the wind takes its share of."""
    return BEARS[weak.gives].format(weak.where)


def past_in_a_calm(weak: WeakSpot) -> str:
    return f"{PAST[weak.gives].format(weak.where)} even in a calm"


def _tension(stay: Stay, rule: Rule, value: float, detail: Detail) -> tuple[str, str]:
    kn = value * line_of(stay, rule).smallest_wll_kn
    who, display = f"Line {rule.subject}", stay.display
    if not isfinite(detail.measured_kn + detail.computed_kn):
        return who, f"has cell and computed load {force_text(kn, display)} apart"
    cell, computed = force_text(detail.measured_kn, display), force_text(detail.computed_kn, display)
    return f"{who}:", f"cell says {cell}, computed {computed}: look at it; tend to the cell if true"


def anything(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> tuple[str, str]:
    """A cause without words of its own: its name, subject, value and unit."""
    who = f"{rule.cause.replace('_', ' ').capitalize()} {rule.subject}".strip()
    return who, f"at {quantity(value, rule.unit)}"


PHRASES: Final[dict[str, Phrase]] = {
    "steep": _steep,
    "stretch": _stretch,
    "load": _load,
    "slack": _slack,
    "brake": _brake,
    "bollard": _bollard,
    "under_keel": _under_keel,
    "drift": _drift,
    "off_fenders": _off_fenders,
    "gangway": _gangway,
    "holding": _holding,
    "tension": _tension,
}

NOUN: Final[dict[str, str]] = {
    "steep": "lead",
    "stretch": "stretch",
    "load": "load",
    "slack": "load",
    "brake": "load on its brake",
    "bollard": "load",
    "drift": "drift",
    "gangway": "rail over the quay",
    "tension": "cell and computed load apart by",
    "off_fenders": "off her fenders by",
    "holding": "took",
}
"""What a figure is of, where the figure stands alone."""


def quantity(value: float, unit: str) -> str:
    if not unit:
        return percent(value)
    if unit == "deg":
        return f"{_figure(value, 1).removesuffix('.0')}°"
    return f"{_figure(value, 2 if unit == 'm' else 0)} {unit}"


def _figure(value: float, digits: int) -> str:
    return f"{value:.{digits}f}" if np.isfinite(value) else UNKNOWN


def line_of(stay: Stay, rule: Rule) -> Line:
    return next(line for line in stay.lines if line.id == rule.subject)
