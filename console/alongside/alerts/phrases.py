"""What each cause of an alert says: of what, and its figure. The limit is added by `text`."""

from collections.abc import Callable
from dataclasses import dataclass
from math import inf, isclose, isfinite, isinf, nan
from typing import Final

import numpy as np

from alongside.alerts.over_brake import if_brakes
from alongside.alerts.rule_model import Rule
from alongside.mechanics.holding import NO_WEAK_SPOT, WeakSpot
from alongside.mechanics.holding_search import CAP_MS
from alongside.stay.causes import Cause
from alongside.stay.model import Line, Stay
from alongside.wording.figures import (
    degrees,
    force_figure,
    force_text,
    held_speed,
    lead,
    metres,
    percent,
    quantity,
    slope,
    speed_text,
)
from alongside.wording.names import condition, what_gives, what_holds
from alongside.wording.safe import safe


@dataclass(frozen=True, slots=True)
class Detail:
    """What the value of a rule alone does not say."""

    time: float = nan
    """The instant, UNIX seconds."""
    leads_down: bool | None = None
    """Whether the line leads down from its fairlead, or up."""
    computed_kn: float = nan
    measured_kn: float = nan
    moved_m: float = nan
    """Surge or sway, with its sign."""
    wind_ms: float = nan
    gust_ms: float = nan
    """The highest gust of ten minutes."""
    wind_from_known: bool = True
    weak: WeakSpot = NO_WEAK_SPOT
    """What would give first in such a wind, and how much is held."""
    without: str = ""
    """Lines that the answer leaves out, in words."""
    path_m: float = nan
    """Path of the line now."""
    parted_at: float = nan
    """When the line parted, UNIX seconds."""
    ran_out_m: float = nan
    """Metres that have run out over the line's brake if it slipped; NaN where that is not in question."""
    most_kn: float = nan
    """The highest load that it has borne if it held."""
    or_more: bool = False
    """Whether more may have run out than is known."""
    in_question: tuple[str, ...] = ()
    """Lines whose brakes are in question."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """`head` and `figure` of an alert, such as "Line 4 stretch" and "88 %"; `whole` where the two together
    are no plain sentence."""

    head: str
    figure: str
    whole: str = ""

    @property
    def sentence(self) -> str:
        return self.whole or f"{self.head} {self.figure}"


ONE_LOAD_KN: Final = 1e-6
"""Loads no farther apart are the same one."""

Say = Callable[[Stay, Rule, float, Detail], Phrase]
"""The phrase of a rule with a value (NaN: not known)."""


def headed(rule: Rule) -> str:
    """Return what a rule is about: `Line 4 stretch`, `Bollard B12 load`, `UKC`."""
    name = condition(rule.cause, rule.subject, rule.line)
    return f"{name[:1].upper()}{name[1:]}"


def _steep(_stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    sign = -1.0 if detail.leads_down is False else 1.0
    figure = degrees(value) if detail.leads_down is None else lead(sign * value)
    return Phrase(headed(rule), figure, f"{headed(rule)}: {figure}")


def _stretch(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    return Phrase(headed(rule), percent(value))


def _load(stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    if value == -inf:
        return Phrase(headed(rule), "cell and computed load agree")
    kn = value * line_of(stay, rule).smallest_wll_kn
    if cell := _by_cell(stay, kn, detail):
        figure = f"{cell}, {percent(value)} of WLL"
        return Phrase(headed(rule), figure, f"{headed(rule)}: {figure}")
    return Phrase(headed(rule), f"{force_text(kn, stay.display)}, {percent(value)} of WLL")


def _by_cell(stay: Stay, kn: float, detail: Detail) -> str:
    """Return `cell 30.6 t, computed 4.7 t` where the load that counts is the cell's, else ""."""
    if not (isclose(kn, detail.measured_kn, abs_tol=ONE_LOAD_KN) and not kn <= detail.computed_kn):
        return ""
    return f"cell {force_text(kn, stay.display)}, computed {force_text(detail.computed_kn, stay.display)}"


def _slack(stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    wll_kn = line_of(stay, rule).smallest_wll_kn
    load = "no load" if value == 0.0 else force_text(value * wll_kn, stay.display)
    if detail.measured_kn > rule.limits[0] * wll_kn:
        load = f"cell {force_text(detail.measured_kn, stay.display)}, computed {load}"
    return Phrase(headed(rule), load, f"{headed(rule)}: {load}")


def _brake(stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    winch = stay.ship.winches.get(line_of(stay, rule).winch or "")
    holding = nan if winch is None or winch.holding_kn is None else winch.holding_kn
    cell = _by_cell(stay, value * holding, detail)
    return Phrase(headed(rule), f"{_share_of(stay, value, holding)}{f'; {cell}' if cell else ''}")


def _bollard(stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    swl = stay.berth.swl_of(rule.subject) or nan
    ids = [safe(line.id) for line in stay.lines if stay.berth.bears(rule.subject, line.bollard)]
    lines = f"{'line' if len(ids) == 1 else 'lines'} {', '.join(ids)}"
    return Phrase(headed(rule), f"{_share_of(stay, value, swl)}, {lines}")


def _share_of(stay: Stay, share: float, whole_kn: float) -> str:
    """`88 %: 22.9 of 26.0 t`."""
    part = force_figure(share * whole_kn, stay.display)
    return f"{percent(share)}: {part} of {force_text(whole_kn, stay.display)}"


def _under_keel(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    return Phrase(headed(rule), metres(value))


RANGED: Final = {"surge_range": "along the berth", "sway_range": "across the berth", "yaw_range": "in yaw"}


def _drift(stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    if rule.subject in RANGED:
        figure = degrees(value, 1) if rule.unit == "deg" else metres(value)
        return Phrase("Ship ranges", f"{figure} {RANGED[rule.subject]} in 15 min")
    return Phrase("Ship", f"{metres(value)} {moved_where(stay, rule.subject, detail.moved_m)}")


def moved_where(stay: Stay, way: str, moved_m: float) -> str:
    """Return which way the ship has moved from her place, by the sign of surge or sway; either where that is
    not known."""
    if way == "sway":
        sides = ("onto the berth", "off or onto the berth", "off the berth")
    else:
        sides = ("astern of place", "ahead or astern of place", "ahead of place")
    forward = -1.0 if way == "surge" and stay.alongside == "port" else 1.0
    return sides[1 + (int(np.sign(moved_m * forward)) if isfinite(moved_m) else 0)]


def _off_fenders(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    return Phrase(headed(rule), metres(value), f"Ship {metres(value)} off fenders")


def _gangway(stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    if rule.unit == "deg":
        kind = stay.outlook.gangway.kind if stay.outlook.gangway else "gangway"
        return Phrase(kind[:1].upper() + kind[1:], slope(value))
    rail = f"rail {metres(value)} over quay"
    return Phrase("Gangway", rail, f"{headed(rule)}: {rail}")


def _holding(stay: Stay, _rule: Rule, value: float, detail: Detail) -> Phrase:
    weak = what_gives(detail.weak.gives, detail.weak.where)
    weak = "; ".join(part for part in (weak, f"without {detail.without}" if detail.without else "") if part)
    which = if_brakes(detail.in_question, detail.weak.if_brakes)
    if value == -inf:
        return Phrase("Wind", "", f"Wind {speed_text(detail.wind_ms, stay.display)}: see the alert of {weak}")
    if isinf(value):
        over = f"over limit without wind{which}{f': {weak}' if weak else ''}"
        return Phrase("Wind", over, f"{over[:1].upper()}{over[1:]}")
    wind = _wind(stay, value, detail)
    if not value > 0.0:
        return Phrase("Wind", wind)
    holds_ms = detail.wind_ms / value if detail.weak.holds_ms is None else detail.weak.holds_ms
    holds = f"{what_holds(detail.weak.gives)} {held_speed(holds_ms, stay.display, CAP_MS)}"
    if detail.weak.gives == "drift":
        weak = f"without {detail.without}" if detail.without else ""
    return Phrase("Wind", f"{wind}, {holds}{which}{f' ({weak})' if weak else ''}")


def _wind(stay: Stay, value: float, detail: Detail) -> str:
    """Return the wind that a value of holding is of: `41 kn`, where a gust counts for more, and is why,
    `30 kn, gusts 50 kn`."""
    wind = speed_text(detail.wind_ms, stay.display)
    if not detail.wind_from_known:
        wind = f"{wind}, direction not known"
    held = detail.weak.holds_ms
    by_gust = held is not None and value * held > detail.wind_ms * (1.0 + 1e-9)
    return f"{wind}, gusts {speed_text(detail.gust_ms, stay.display)}" if by_gust else wind


def _tension(stay: Stay, rule: Rule, value: float, detail: Detail) -> Phrase:
    display, head = stay.display, f"Line {safe(rule.subject)} cell"
    if not isfinite(detail.measured_kn + detail.computed_kn):
        apart = force_text(value * line_of(stay, rule).smallest_wll_kn, display)
        return Phrase(head, f"{apart} off the computed load")
    cell, computed = force_text(detail.measured_kn, display), force_text(detail.computed_kn, display)
    return Phrase(head, f"{cell}, computed {computed}")


def _heading(_stay: Stay, _rule: Rule, value: float, _detail: Detail) -> Phrase:
    return Phrase("Gyro", f"{quantity(value, 'deg')} from the berth's bearing: wind turned by it")


def anything(_stay: Stay, rule: Rule, value: float, _detail: Detail) -> Phrase:
    """Return the phrase of a cause without words of its own: its name, subject, value and unit."""
    return Phrase(headed(rule), quantity(value, rule.unit))


PHRASES: Final[dict[Cause, Say]] = {
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
    "heading": _heading,
}


def line_of(stay: Stay, rule: Rule) -> Line:
    """Return the line that a rule is about."""
    return next(line for line in stay.lines if line.id == rule.subject)
