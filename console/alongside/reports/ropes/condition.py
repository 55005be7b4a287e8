"""How much of a rope is left, and what is due: by the circulars, by its maker's limits, by its inspections.

No limit in hours or years and no interval is assumed: where none was entered, nothing is due by it. Pure.
"""

from calendar import monthrange
from dataclasses import dataclass, replace
from datetime import date
from math import nan

from alongside.record.ropes.entry import day_of
from alongside.reports.ropes.history import RopeHistory, day_at
from alongside.stay.model import Rope
from alongside.wording.figures import figure, percent_short_of


@dataclass(frozen=True, slots=True)
class Due:
    """Something due on a day and why; `day` None: now, whatever the day."""

    day: date | None
    why: str


@dataclass(frozen=True, slots=True)
class Condition:
    """A rope or tail as it is on a day. `residual` is the share of its own MBL that is left, NaN where no
    inspection says; `rope` has it, 1 where it is not known, None where no breaking load is known."""

    history: RopeHistory
    residual: float
    residual_by: str
    """`tested 2026-11-20`; "" where not known."""
    rope: Rope | None
    in_service: date | None
    inspected: date | None
    retired: date | None
    retire: tuple[Due, ...]
    """Why it is to be retired, those of a day to come too, soonest first."""
    inspect: Due | None

    def retire_now(self, today: date) -> tuple[str, ...]:
        """Return why it is to be retired now; () where it need not be, or is."""
        if self.retired is not None:
            return ()
        return tuple(due.why for due in self.retire if due.day is None or due.day <= today)

    def retire_by(self) -> Due | None:
        """Return what retires it first on a day; None where none is known."""
        return next((due for due in self.retire if due.day is not None), None)

    def inspect_now(self, today: date) -> str:
        """Return why it is to be inspected now; "" where it need not be."""
        due = self.inspect
        is_due = self.retired is None and due is not None and due.day is not None and due.day <= today
        return due.why if is_due and due is not None else ""


def condition_of(history: RopeHistory, design_mbl_kn: float | None = None) -> Condition:
    """Return the condition of a rope; without `design_mbl_kn` by the ship of its last use."""
    rope = history.new_rope
    if rope is not None and design_mbl_kn is not None:
        rope = replace(rope, design_mbl_kn=design_mbl_kn)
    residual, by = _residual(history)
    if rope is not None and residual == residual:
        rope = replace(rope, residual_strength=residual)
    service = _in_service(history)
    inspected = history.last("inspected")
    last = None if inspected is None else day_of(inspected.day)
    out = history.last("retired", "fitted")
    retired = day_of(out.day) if out is not None and out.deed == "retired" else None
    retire = (*_by_strength(rope), *_by_use(history), *_by_age(history, service))
    return Condition(
        history, residual, by, rope, service, last, retired, retire, _inspection(history, service)
    )


def _residual(history: RopeHistory) -> tuple[float, str]:
    """Return the share of its MBL that is left, and by what."""
    for entry in reversed(history.entries):
        if "residual_strength" in entry.fields:
            return float(entry.fields["residual_strength"]), f"{entry.fields['how']} {entry.day}"
    return nan, ""


def _in_service(history: RopeHistory) -> date | None:
    """Return the day from which on it was in use: first fitted, or first made fast on record."""
    days = [entry.day for entry in history.entries if entry.deed == "fitted"]
    days += [day_at(each.use.fast_at) for each in history.uses]
    return day_of(min(days)) if days else None


def _by_strength(rope: Rope | None) -> tuple[Due, ...]:
    if rope is None or not rope.is_spent:
        return ()
    of_what = "MBL" if rope.design_mbl_kn is None else "ship design MBL"
    return (
        Due(None, f"strength {percent_short_of(100.0 * rope.of_design, (75.0,))} of {of_what} (limit 75 %)"),
    )


def _by_use(history: RopeHistory) -> tuple[Due, ...]:
    due: list[Due] = []
    limit, life = history.certificate.get("hours_limit", nan), history.life
    if life is not None and life.hours_made_fast >= limit:
        due.append(Due(None, f"fast {figure(life.hours_made_fast)} h (maker's limit {figure(limit)} h)"))
    inspected = history.last("inspected")
    looked = "" if inspected is None else inspected.day
    if inspected is not None and "parted" in inspected.fields["findings"]:
        due.append(Due(None, f"found parted {inspected.day}"))
    for each in history.uses:
        if each.use.parted_at == each.use.parted_at and day_at(each.use.parted_at) > looked:
            day = day_at(each.use.parted_at)
            due.append(Due(None, f"line {each.use.part.line} parted {day}, not inspected since"))
    return tuple(due)


def _by_age(history: RopeHistory, service: date | None) -> tuple[Due, ...]:
    years = history.certificate.get("years_limit")
    since = service or day_of(str(history.certificate.get("made", "")))
    if years is None or since is None:
        return ()
    whole, part = divmod(12.0 * float(years), 1.0)
    day = _months_later(since, int(whole) + (part > 0.0))
    from_when = "in use since" if service is not None else "made"
    return (
        Due(day, f"maker's limit {figure(float(years), 1).removesuffix('.0')} years, {from_when} {since}"),
    )


def _inspection(history: RopeHistory, service: date | None) -> Due | None:
    last = history.last("inspected")
    for entry in reversed(history.entries):
        # One that was set before stands, where the last inspection set none and came before it.
        if (following := entry.fields.get("next", "")) and last is not None and following > last.day:
            return Due(day_of(following), f"due {following} (entered {entry.day})")
    months = history.certificate.get("inspect_months")
    since = service if last is None else day_of(last.day)
    if months is None or since is None:
        return None
    day = _months_later(since, int(months))
    from_when = f"in use since {since}" if last is None else f"last {since}"
    return Due(day, f"due {day} (every {months} months, {from_when})")


def _months_later(day: date, months: int) -> date:
    """Return the same day some months later, the last of the month where there is no such day."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))
