"""What each cause of an alert is measured by: values (n, rules) at n instants, from the `Findings`."""

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from alongside.alerts.findings import Findings
from alongside.alerts.load_rules import watched_by_cell_alone
from alongside.alerts.rule_model import DueBy, Parts, Rule
from alongside.mechanics.gangway import rail_over_quay, slope_deg
from alongside.mechanics.keel import under_keel_m
from alongside.readings import Codes, Floats, Reason
from alongside.stay.gear import RANGES
from alongside.stay.heading import ship_heading
from alongside.stay.model import ORDERS, Stay

HANGS_SLACK = 0.01
"""Of the working load limit, where the file sets no warning for slack."""
SLIPS = 1e-5
"""Of the holding: a load this near to it is the holding."""
CELL_AGREES = 0.05
"""Of WLL: a cell that shows no more above the computed load than this says the same; common practice, no
source."""
FILLING = 0.5
"""The record is kept, but a feed fills the disk faster than foreseen."""
GONE_S = 120.0
SLOPE = "slope"
"""Subject of the rule of the gangway's slope."""


def steepness(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the steepness in deg, up or down alike; a line not made fast leads nowhere yet, and one that
    hangs slack pulls nowhere: what matters then is that it is slack."""
    columns = findings.columns(rules)
    lines = findings.lines
    steep = watched_angle(findings.stay, lines.vertical_deg[:, columns], lines.load_share[:, columns])
    steep[np.isnan(findings.lines.unstretched_m[:, columns])] = np.nan
    return steep


def watched_angle(stay: Stay, vertical_deg: Floats, load_share: Floats) -> Floats:
    """Return the angle that counts as steepness, deg: up or down alike, 0 while the line hangs slack."""
    angle: Floats = np.abs(vertical_deg)
    angle[load_share <= (stay.limits.slack_share.warning or HANGS_SLACK)] = 0.0
    return angle


def stretch(rules: Sequence[Rule], findings: Findings) -> Floats:
    return findings.lines.stretch_share[:, findings.columns(rules)]


def slack(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return computed tension over the smallest working load limit of the line's parts."""
    return findings.lines.load_share[:, findings.columns(rules)]


def load(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return tension, the larger of computed and by cell, over the smallest working load limit of the line's
    parts. That of a line known by its cell alone is known where it reaches a limit: below that the line is
    not normal, nothing else is known of it. Minus infinite where a cell, for which alone the line is watched,
    says nothing else than the computed load: `stretch` has that, and one situation is one alert."""
    columns = findings.columns(rules)
    limit = np.array([findings.stay.lines[column].smallest_wll_kn for column in columns])
    computed, counted = findings.lines.load_share[:, columns], findings.load_kn(columns)
    by_cell = counted > np.nan_to_num(findings.lines.tension_kn[:, columns], nan=-np.inf)
    share = _reaching(rules, np.where(by_cell, counted / limit, computed), np.isnan(computed))
    cell_alone = watched_by_cell_alone(findings.stay)
    twice = np.array([rule.subject in cell_alone for rule in rules]) & (share - computed <= CELL_AGREES)
    return np.where(twice, -np.inf, share)


def _reaching(rules: Sequence[Rule], share: Floats, alone: NDArray[np.bool_]) -> Floats:
    """Return shares (n, rules), NaN for those that rest on a cell `alone` and reach no limit."""
    first = np.nanmin([rule.limits for rule in rules], axis=1)
    return np.where(alone & ~(share >= first), np.nan, share)


def brake(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return tension, the larger of computed and by cell, over what the winch brake holds; of a brake in
    question the highest since it was over its holding. A brake that slips holds the line at just that, give
    or take the rounding: then the share is 1."""
    columns = findings.columns(rules)
    holding = findings.brake_kn[..., columns]
    share = findings.load_kn(columns) / holding
    slips = np.where(np.abs(share - 1.0) < SLIPS, 1.0, share)
    slips = _reaching(rules, slips, np.isnan(findings.lines.tension_kn[:, columns]))
    if findings.over_brake is None:
        return slips
    most = findings.over_brake.most_kn[:, columns] / holding
    return np.where(np.isnan(most), slips, np.fmax(np.fmax(most, slips), 1.0))


def brake_in_question(rules: Sequence[Rule], findings: Findings) -> NDArray[np.bool_]:
    """Return whether the brake of each line is in question: an alarm until somebody has looked."""
    columns = findings.columns(rules)
    if findings.over_brake is None:
        return np.zeros((len(findings), len(columns)), dtype=bool)
    asked: NDArray[np.bool_] = ~np.isnan(findings.over_brake.ran_out_m[:, columns])
    return asked


def bollard(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the vector sum of the lines on a bollard over its safe working load, each with the larger of
    computed load and load by cell. Where the load of one of them is not known: what the others come to if
    that alone reaches a limit, else NaN."""
    columns = [findings.bollards.index(rule.subject) for rule in rules]
    swl = np.array([findings.stay.berth.swl_of(rule.subject) for rule in rules], dtype=np.float64)
    whole = findings.bollard_kn[:, columns] / swl
    if findings.bollard_least_kn is None:
        return whole
    least = findings.bollard_least_kn[:, columns] / swl
    first = np.nanmin([rule.limits for rule in rules], axis=1)
    return np.where(np.isnan(whole) & (least >= first), least, whole)


def under_keel(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the water under the lowest corner of the keel, m (`mechanics.keel`). Where the heel is not
    known: that of her upright, if that alone reaches a limit, else NaN."""
    depth, ship = findings.stay.berth.charted_depth, findings.stay.ship
    assert depth is not None, "no rule without a charted depth"
    here = findings.situation
    floats = here.tide, here.draught_fwd, here.draught_aft
    clear, upright = (under_keel_m(ship, depth, *floats, heel) for heel in (here.heel_deg, 0.0))
    first = np.nanmax([rule.limits for rule in rules])
    return np.where(np.isnan(clear) & (upright <= first), upright, clear)[:, np.newaxis]


def drift(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return how far she has moved from her place along the berth and off it, m, either way; and how far she
    has ranged in the last 15 min along, across (m) and in yaw (deg), peak to peak."""
    nothing = np.full(len(findings), np.nan)

    def moved(way: str) -> Floats:
        if way in RANGES:
            return nothing if findings.ranges is None else findings.ranges[:, RANGES.index(way)]
        return nothing if findings.pose is None else np.abs(getattr(findings.pose, way))

    return np.stack([moved(rule.subject) for rule in rules], axis=1)


def gangway(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the height of the rail at the gangway over the quay, m, for both ends of the range in which it
    can be used, and its slope, deg."""
    at = findings.stay.outlook.gangway
    assert at is not None, "no rule without a gangway"
    rail = rail_over_quay(findings.stay, findings.situation)
    return np.stack([slope_deg(at, rail) if rule.subject == SLOPE else rail for rule in rules], axis=1)


def off_fenders(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return her side off the nearest fender, m; 0 while she lies on one."""
    return _one_column(findings, None if findings.off_m is None else np.maximum(findings.off_m, 0.0))


def holding(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the 30 s wind by what the set can hold. Where a limit is reached without any wind that is
    infinite; minus infinite where that limit stands in an alert of its own."""
    return _one_column(findings, findings.holding)


def holding_gust(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the same of the highest gust of ten minutes, as a 30 s mean."""
    return _one_column(findings, findings.holding_gust)


def tension(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return measured from computed tension, either way, over the smallest working load limit."""
    columns = findings.columns(rules)
    measured = np.stack([findings.readings.column(f"tension.{rule.subject}") for rule in rules], axis=1)
    computed = findings.lines.tension_kn[:, columns]
    limit = np.array([findings.stay.lines[column].smallest_wll_kn for column in columns])
    differs: Floats = np.abs(measured - computed) / limit
    return differs


def _one_column(findings: Findings, values: Floats | None) -> Floats:
    return (np.full(len(findings), np.nan) if values is None else values)[:, np.newaxis]


def failing(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return the `NoAnswer` of a calculation that has no answer although its inputs are known, else 0."""
    if findings.unanswered is None:
        return np.zeros((len(findings), 1))
    return findings.unanswered.astype(np.float64)[:, np.newaxis]


def failures(rules: Sequence[Rule], findings: Findings) -> Parts:
    """Return (n, 1) which `NoAnswer` a calculation has, a bit each; the first where it has none."""
    return np.left_shift(1, failing(rules, findings).astype(np.int64))


def unrecorded(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return 1 where what happens is not being put on record, 0.5 where a feed fills the disk, else 0."""
    value = 1.0 if findings.unrecorded else FILLING if findings.filling else 0.0
    return np.full((len(findings), 1), value)


def minutes_to_limit(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return minutes to the next limit that the forecast expects, 0 for two minutes from then on, infinite
    after that (its own alert stands by then, or it did not come) and where none is expected; NaN where there
    is no forecast."""
    if findings.next_limits is None:
        return np.full((len(findings), len(rules)), np.nan)
    times = {each.subject: each.time for each in findings.next_limits}
    due = np.array([times.get(rule.subject, np.inf) for rule in rules])
    left = due - findings.situation.time[:, np.newaxis]
    return np.where(left < -GONE_S, np.inf, np.maximum(left, 0.0)) / 60.0


LIKELY: Final = (0.2, 0.5)
"""Share of the cases from which a limit of wind calls for a warning, for an alarm: what may hardly come is
had in mind. Common practice, no source."""
KEPT_CHANCE: Final = 0.15
"""Share of the cases, and part of the minutes, by which a stage that stands must be better. Ours."""


def minutes_to_decide(rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return minutes to when each order is due, 0 once that is past; infinite where nothing calls for it, or
    all is ordered; NaN where nothing is known of the hours ahead."""
    if findings.due is None:
        return np.full((len(findings), len(rules)), np.nan)
    due: dict[str, DueBy] = {each.do: each for each in findings.due if each.is_open}
    by = np.array([due[rule.subject].by if rule.subject in due else np.inf for rule in rules])
    minutes: Floats = np.maximum(by - findings.situation.time[:, np.newaxis], 0.0) / 60.0
    return minutes


def next_orders(rules: Sequence[Rule], findings: Findings) -> Parts:
    """Return (n, rules) which order is due next for each deed, a bit each; 0 where none is."""
    due: dict[str, DueBy] = {each.do: each for each in findings.due or () if each.is_open}
    bits = [1 << ORDERS.index(due[rule.subject].order) if rule.subject in due else 0 for rule in rules]
    return np.tile(np.array(bits, dtype=np.int64), (len(findings), 1))


def decide_levels(rules: Sequence[Rule], findings: Findings) -> Codes:
    """Return (n, rules) Stage by the minutes left, no worse than the share of the cases allows."""
    return _by_chance(rules, findings, 0.0)


def decide_kept(rules: Sequence[Rule], findings: Findings) -> Codes:
    """Return the same while a stage stands: a case more or less ends none."""
    return _by_chance(rules, findings, KEPT_CHANCE)


def _by_chance(rules: Sequence[Rule], findings: Findings, easier: float) -> Codes:
    chance: dict[str, float] = {each.do: each.chance for each in findings.due or ()}
    chances = np.array([chance.get(rule.subject, 0.0) for rule in rules])
    limits = np.array([rule.limits for rule in rules]).T
    return due_levels(minutes_to_decide(rules, findings), chances, limits, easier)


def due_levels(minutes: Floats, chance: Floats, limits: Floats, easier: float = 0.0) -> Codes:
    """Return (n, m) Stage of orders that are due in so many `minutes` (n, m), by limits of share `chance`
    (m,), held against `limits` (3, m) in min; each by the share `easier` nearer than it is."""
    most = 1 + sum((chance >= least - easier).astype(np.int8) for least in LIKELY)
    reached = (minutes <= limits[:, np.newaxis, :] * (1.0 + easier)).sum(axis=0)
    levels: Codes = np.minimum(reached, most).astype(np.int8)
    return levels


def call_failed(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return 1 where the second caller failed when it was called last, else 0."""
    return np.full((len(findings), 1), 1.0 if findings.call_fault else 0.0)


def bridge_failed(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return 1 while the port on which alerts go to the bridge does not work, else 0."""
    return np.full((len(findings), 1), 1.0 if findings.bridge_fault else 0.0)


def clock_ahead(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Return seconds by which times run ahead of the clock."""
    return np.full((len(findings), 1), findings.clock_ahead_s)


def heading_apart(_rules: Sequence[Rule], findings: Findings) -> Floats:
    """Degrees between gyro and the berth's bearing while the gyro is doubtful for it; else 0, and NaN where
    it is not heard."""
    readings = findings.readings
    if "heading" not in readings.channels:
        return np.full((len(findings), 1), np.nan)
    at = readings.channels.index("heading")
    apart = np.abs((readings.value[:, at] - ship_heading(findings.stay) + 180.0) % 360.0 - 180.0)
    doubtful = readings.reason[:, at] == Reason.DIFFERS
    return np.where(doubtful | np.isnan(apart), apart, 0.0)[:, np.newaxis]
