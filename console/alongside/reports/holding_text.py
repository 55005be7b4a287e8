"""The answer to "what does she hold?": as a table, a picture in the terminal, and JSON."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any

import numpy as np

from alongside.cycle.last_polar import Rest, polar_in_words
from alongside.cycle.who_holds import HeldBy, HoursAhead, held_by_rows, who_holds
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.instant_words import sought_rows
from alongside.forecast.present import Present
from alongside.mechanics.automatic import opposed
from alongside.mechanics.holding import DIRECTIONS, HoldingPower
from alongside.mechanics.holding_roles import ROLES
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.lesser_holding import worse_criterion
from alongside.mechanics.pose import in_place
from alongside.mechanics.situation import Situation
from alongside.mechanics.standard_criteria import WIND_KN, CriterionRow, standard_criteria
from alongside.mechanics.wind_heel import listed_by_wind
from alongside.readings import Floats
from alongside.reports.polar_legend import polar_text
from alongside.stay.model import Stay
from alongside.units import KNOT, iso_time
from alongside.wording.cautions import opposed_winches
from alongside.wording.figures import bearing, held_speed, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.names import what_gives, what_holds
from alongside.wording.safe import safe

PICTURE_COLUMNS = 80
PICTURE_ROWS = 20

CAUTION = (
    "Computed from the stay file and the gauges: no waves, passing ships, friction or dynamics.\n"
    "The master's judgement, the ship's line management plan, port rules, the makers' data and any\n"
    "class-approved analysis stand above it."
)


@dataclass(frozen=True, slots=True, eq=False)
class HoldingAnswer:
    """Holding power at a moment, the rows of the criteria where asked for, who holds her, and what to
    print."""

    power: HoldingPower
    criteria: tuple[CriterionRow, ...]
    who: tuple[HeldBy, ...]
    heel_deg: Floats
    """(72,) the list in the wind that is held, deg, starboard down +; NaN where GM is not known."""
    rows: list[str]


def holding_answer(basis: Basis, present: Present, standard: bool = False) -> HoldingAnswer:
    """Return holding power at a moment; while brakes are in question the worse of both states, of polar,
    criteria and who holds her alike. The balance is sought whether or not the stay keeps her in place. Raise
    WrongInput where there is no answer, that says what is missing."""
    here, no_length = present.situation(), present.why_no_length()
    other = present.if_slipped()
    rests = [Rest(here, each.unstretched) for each in (present, other) if each is not None]
    power, sentence = polar_in_words(
        basis, rests, no_length=no_length, weakest=DIRECTIONS, asked=present.asked
    )
    if power.reason:
        raise WrongInput(f"{basis.stay.file}: holding power at {iso_time(power.time)}: {power.reason}")
    wind = (present.wind_speed, present.wind_from)
    picture = polar_text(power, basis.stay, *wind, columns=PICTURE_COLUMNS, rows=PICTURE_ROWS)
    rows = [sentence, "", *map(safe, picture), "", *_table(power, basis.stay)]
    slipped = None if other is None else other.unstretched
    who = who_holds(basis, here, present.unstretched, HoursAhead.asked(basis, present), slipped)
    rows += ["", "Who holds her", *(f"  {safe(row)}" for row in held_by_rows(who, basis.stay.display))]
    if creeps := opposed_winches(*opposed(basis.arrangement, in_place(here))):
        rows += ["", creeps[0].upper() + safe(creeps[1:])]
    criteria = _criteria(basis, present) if standard else ()
    if criteria:
        rows += ["", *_criteria_rows(criteria)]
    heel = heel_when_held(basis, here, power)
    last = [*sought_rows(basis.stay), *CAUTION.splitlines()]
    return HoldingAnswer(power, criteria, who, heel, [*rows, "", *last])


def heel_when_held(basis: Basis, here: Situation, power: HoldingPower) -> Floats:
    """Return the list (72,) in the wind that is held from each direction, deg, starboard down +: the list now
    with that of this wind; NaN where GM, her weight or her wind areas are not known."""
    exposure, before = basis.arrangement.exposure, here.at(np.zeros(DIRECTIONS, dtype=np.intp))
    if exposure.righting is None or exposure.wind is None:
        return np.full(DIRECTIONS, np.nan)
    blown = replace(before, wind_speed=power.holds_ms, wind_from=power.from_deg)
    heel: Floats = listed_by_wind(exposure, blown, before, basis.criteria.gust_factor).heel_deg
    return heel


def holding_object(
    power: HoldingPower,
    criteria: Sequence[CriterionRow] = (),
    who: Sequence[HeldBy] = (),
    heel_deg: Floats | None = None,
) -> dict[str, Any]:
    """Return the answer for other programs: 72 true directions, m/s, with the list (72,) in each wind, the
    rows of the criteria, and who holds her."""
    heel = np.full(DIRECTIONS, np.nan) if heel_deg is None else heel_deg
    rows = zip(
        power.from_deg,
        power.holds_ms,
        power.gives_first,
        power.where,
        power.drift_m,
        power.contact_ms,
        strict=True,
    )
    directions = [
        {
            "from_deg": float(come_from),
            "holds_ms": round(float(holds), 6),
            "gives_first": gives,
            "where": where,
            "drift_m": None if np.isnan(drift) else round(float(drift), 6),
            "contact_ms": None if contact >= CAP_MS else round(float(contact), 6),
            "then": [
                {"holds_ms": round(each.holds_ms, 6), "gives": each.gives, "where": each.where}
                for each in power.then.get(at, ())
            ],
            "heel_deg": None if np.isnan(heel[at]) else round(float(heel[at]), 6),
        }
        for at, (come_from, holds, gives, where, drift, contact) in enumerate(rows)
    ]
    return {
        "time": iso_time(power.time),
        "directions": directions,
        "without": [{"line": line, "why": why} for line, why in power.without],
        "criteria": [_criterion(row) for row in criteria],
        "who_holds": [_held_by(each) for each in who],
    }


def _held_by(each: HeldBy) -> dict[str, Any]:
    return {
        "when": each.when,
        "time": iso_time(each.time) if np.isfinite(each.time) else None,
        "tide": _share(each.tide),
        "draught_fwd": _share(each.draught_fwd),
        "draught_aft": _share(each.draught_aft),
        "why": each.why or None,
        "winds": [
            {
                "wind": wind.against,
                "from_deg": wind.from_deg,
                "holds_ms": round(wind.holds_ms, 6),
                **{role: _share(share) for role, share in zip(ROLES, wind.shares, strict=True)},
            }
            for wind in each.winds
        ],
    }


def _criterion(row: CriterionRow) -> dict[str, Any]:
    return {
        "wind_ms": round(WIND_KN * KNOT, 6),
        "wind_from_deg": row.worst_from_deg,
        "current_ms": round(row.current_ms, 6),
        "current_from_deg": row.current_from_deg,
        **{name: _share(getattr(row, name)) for name in ("line_share", "brake_share", "bollard_share")},
        "gives": row.gives,
        "where": row.where,
        "in_contact": row.in_contact,
    }


def _share(share: float) -> float | None:
    return round(share, 6) if np.isfinite(share) else None


def _table(power: HoldingPower, stay: Stay) -> list[str]:
    """Every 15 degrees; the weakest direction is marked."""
    rows = [f"  wind from  {'first limit':<35} {'then':<15}  off fenders  moved m"]
    step = max(1, power.from_deg.size // 24)
    shown = sorted({*range(0, power.from_deg.size, step), power.weakest})
    for at in shown:
        holds_ms = float(power.holds_ms[at])
        contact_ms = float(power.contact_ms[at])
        contact = "–" if contact_ms >= CAP_MS else held_speed(contact_ms, stay.display)
        mark = "▸" if at == power.weakest and holds_ms < CAP_MS else " "
        first, then = _first(power, at, stay), _then(power, at, stay)
        rows.append(
            f"{mark} {bearing(power.from_deg[at]):>9}  {first:<35} {then:<15}"
            f" {contact:>12}  {power.drift_m[at]:7.2f}"
        )
    return rows


def _first(power: HoldingPower, at: int, stay: Stay) -> str:
    """Return what is held and what gives first: `lines hold 55 kn: brake of line 4`; where it is the reach
    alone, `ship 1.0 m off place from 52 kn`."""
    gives = power.gives_first[at]
    held = held_speed(float(power.holds_ms[at]), stay.display, CAP_MS)
    held = f"{what_holds(gives, float(power.drift_m[at]))} {held}"
    return held if gives in (None, "drift") else f"{held}: {what_gives(gives, power.where[at])}"


def _then(power: HoldingPower, at: int, stay: Stay) -> str:
    """Return what is held once the first thing has given: `holds 30 kn`, or `off place 30 kn`; `goes at once`
    where nothing that follows holds more; `–` where nothing gives, or the reach alone."""
    chain = power.then.get(at, ())
    if not chain:
        return "–"
    later = next((each for each in chain if each.holds_ms > power.holds_ms[at]), None)
    if later is None:
        return "goes at once"
    held = held_speed(later.holds_ms, stay.display, CAP_MS).replace("more than ", ">")
    return f"{'off place' if later.gives == 'drift' else 'holds'} {held}"


def _criteria(basis: Basis, present: Present) -> tuple[CriterionRow, ...]:
    if basis.arrangement.exposure.current is None:
        raise WrongInput(f"{basis.stay.file}: ship.current: missing, expected for the standard criteria")
    calm = replace(present.situation(), wind_speed=np.zeros(1), wind_from=np.zeros(1))
    states = [each.unstretched for each in (present, present.if_slipped()) if each is not None]
    rows = [standard_criteria(basis.arrangement, calm, each, basis.criteria) for each in states]
    return tuple(reduce(worse_criterion, each) for each in zip(*rows, strict=True))


def _criteria_rows(criteria: Sequence[CriterionRow]) -> list[str]:
    """Standard criteria: 60 kn from any direction with each current; strength, and contact beside it."""
    rows = [
        "  60 kn of wind from any direction, with current",
        "  current  off bow  worst wind    line   brake  bollard  fenders  lines",
    ]
    for row in criteria:
        shares = "  ".join(
            f"{percent(share) if np.isfinite(share) else NOT_KNOWN:>6}"
            for share in (row.line_share, row.brake_share, row.bollard_share)
        )
        verdict = "hold" if row.holds else f"do not hold: {what_gives(row.gives, row.where)}"
        contact = "on" if row.in_contact else "off"
        rows.append(
            f"  {row.current_ms / KNOT:4.2f} kn {row.current_attack_deg:7.0f}°  {row.worst_from_deg:9.0f}°"
            f"  {shares}  {contact:>7}  {verdict}"
        )
    return rows
