"""The answer to "what does she hold?": as a table, a picture in the terminal, and JSON."""

from dataclasses import replace
from typing import Any

import numpy as np

from alongside.cycle.last_polar import polar_in_words
from alongside.errors import WrongInput
from alongside.forecast.basis import Basis
from alongside.forecast.present import Present
from alongside.mechanics.holding import HoldingPower
from alongside.mechanics.holding_search import CAP_MS
from alongside.mechanics.standard_criteria import standard_criteria
from alongside.reports.holding_polar import polar_text
from alongside.stay.model import Stay
from alongside.units import iso_time
from alongside.wording.figures import bearing, held_speed
from alongside.wording.names import what_gives
from alongside.wording.safe import safe

PICTURE_COLUMNS = 80
PICTURE_ROWS = 20

CAUTION = (
    "Computed from the stay file and the gauges: no waves, passing ships, friction or dynamics.\n"
    "The master's judgement, the ship's line management plan, port rules, the makers' data and any\n"
    "class-approved analysis stand above it."
)


def holding_answer(basis: Basis, present: Present, standard: bool = False) -> tuple[HoldingPower, list[str]]:
    """Holding power at a moment, and the rows to print. The balance is sought whether or not the stay keeps
    her in place. Raise WrongInput where there is no answer, that says what is missing."""
    power, sentence = polar_in_words(
        basis, present.situation(), present.unstretched, no_length=present.why_no_length()
    )
    if power.reason:
        raise WrongInput(f"{basis.stay.file}: holding power at {iso_time(power.time)}: {power.reason}")
    wind = (present.wind_speed, present.wind_from)
    picture = polar_text(power, basis.stay, *wind, columns=PICTURE_COLUMNS, rows=PICTURE_ROWS)
    rows = [sentence, "", *map(safe, picture), "", *_table(power, basis.stay)]
    if standard:
        rows += ["", *_criteria_rows(basis, present)]
    return power, [*rows, "", *CAUTION.splitlines()]


def holding_object(power: HoldingPower) -> dict[str, Any]:
    """Return the answer for other programs: 72 true directions, m/s."""
    rows = zip(power.from_deg, power.holds_ms, power.gives_first, power.where, power.drift_m, strict=True)
    directions = [
        {
            "from_deg": float(come_from),
            "holds_ms": round(float(holds), 6),
            "gives_first": gives,
            "line": where if gives in ("wll", "brake") else None,
            "where": where,
            "drift_m": None if np.isnan(drift) else round(float(drift), 6),
        }
        for come_from, holds, gives, where, drift in rows
    ]
    left_out = [{"line": line, "why": why} for line, why in power.without]
    return {"time": iso_time(power.time), "directions": directions, "without": left_out}


def _table(power: HoldingPower, stay: Stay) -> list[str]:
    """Every 15 degrees; the weakest direction is marked."""
    rows = ["  wind from         lines hold   gives first              moved m"]
    step = max(1, power.from_deg.size // 24)
    shown = sorted({*range(0, power.from_deg.size, step), power.weakest})
    for at in shown:
        gives, where = power.gives_first[at], power.where[at]
        what = "nothing" if gives is None else what_gives(gives, where)
        holds_ms = float(power.holds_ms[at])
        holds = held_speed(holds_ms, stay.display, CAP_MS)
        mark = "▸" if at == power.weakest and holds_ms < CAP_MS else " "
        rows.append(
            f"{mark} {bearing(power.from_deg[at]):>8}   {holds:>16}   {what:<24} {power.drift_m[at]:7.2f}"
        )
    return rows


def _criteria_rows(basis: Basis, present: Present) -> list[str]:
    """Standard criteria: 60 kn from any direction with each current."""
    if basis.arrangement.exposure.current is None:
        raise WrongInput(f"{basis.stay.file}: ship.current: missing, expected for the standard criteria")
    calm = replace(present.situation(), wind_speed=np.zeros(1), wind_from=np.zeros(1))
    rows = [
        "  60 kn of wind from any direction, with current",
        "  current kn   off the bow   worst wind from   used",
    ]
    for row in standard_criteria(basis.arrangement, calm, present.unstretched, basis.criteria):
        strength = row.limit in ("wll", "brake", "bollard") and np.isfinite(row.share)
        share = f"{row.share:5.0%}" if strength else "    —"
        verdict = "holds" if row.holds else f"does not hold: {what_gives(row.limit, row.where)}"
        rows.append(
            f"  {row.current_knots:10.2f}   {row.current_attack_deg:10.0f}°   {row.worst_from_deg:14.0f}°"
            f"   {share:>5}  {verdict}"
        )
    return rows
