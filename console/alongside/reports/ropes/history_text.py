"""The ropes of a database as rows to read: all of them, one of them, and what is due."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from math import isfinite, nan
from typing import Final

from alongside.record.ropes.entry import Entry
from alongside.record.ropes.store import Kept, KeptImport
from alongside.reports.ropes.condition import Condition
from alongside.reports.ropes.cycles import class_names, cycles_by_class
from alongside.reports.ropes.history import StayUse, day_at
from alongside.reports.ropes.values import OVER, RETIRE_BY, cut
from alongside.units import iso_time
from alongside.wording.figures import counted, figure, percent
from alongside.wording.marks import NOT_KNOWN
from alongside.wording.safe import safe

WIDEST: Final = 24
"""Characters of a serial number in the list; a longer one is cut, and stands whole on its own page."""
PLACE: Final = 10
STANDS_IN: Final = "stands in for its number, which is not entered"
CAUTION: Final = (
    "Loads are computed from stay files and gauges; hours and cycles count what is on record.",
    RETIRE_BY,
)


def list_rows(conditions: Sequence[Condition], today: date) -> Iterator[str]:
    """Yield a row for each rope and tail, then what is due."""
    if not conditions:
        yield "nothing is entered yet"
        return
    width = min(max([6, *(len(safe(each.history.serial)) for each in conditions)]), WIDEST)
    yield (
        f"{'serial':<{width}} {'what':<4} {'where':<{PLACE}} {'MBL kN':>6} {'left':>5} {'WLL kN':>6} "
        f"{'fast h':>7} {'peak':>5} {'inspected':<10} {'next':<10}"
    ).rstrip()
    for each in conditions:
        yield _list_row(each, width)
    rows = [*due_rows(conditions, today), *stand_in_rows(conditions)]
    if rows:
        yield ""
        yield from rows


def _list_row(each: Condition, width: int) -> str:
    history, rope, life = each.history, each.rope, each.history.life
    peak = NOT_KNOWN if life is None else percent(life.peak_share_mbl)
    following = each.inspect.day if each.inspect is not None else None
    return (
        f"{cut(safe(history.serial), width):<{width}} {history.what:<4} "
        f"{cut(safe(history.where) or NOT_KNOWN, PLACE):<{PLACE}} "
        f"{figure(nan if rope is None else rope.mbl_kn):>6} {percent(each.residual):>5} "
        f"{figure(nan if rope is None else rope.wll_kn):>6} "
        f"{figure(nan if life is None else life.hours_made_fast):>7} {peak:>5} "
        f"{_day(each.inspected):<10} {_day(following):<10}"
    ).rstrip()


def due_together(named: Iterable[tuple[str, Condition]], today: date) -> list[tuple[str, str, str]]:
    """Return `RETIRE` or `INSPECT`, the names of ropes that are due for one reason, and that reason."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, each in named:
        due = (("RETIRE", "; ".join(each.retire_now(today))), ("INSPECT", each.inspect_now(today)))
        for word, why in due:
            if why:
                found.setdefault((word, why), []).append(name)
    ordered = sorted(found.items(), key=lambda item: item[0][0] != "RETIRE")
    return [(word, ", ".join(names), why) for (word, why), names in ordered]


def due_rows(conditions: Iterable[Condition], today: date) -> Iterator[str]:
    """Yield `RETIRE PL-2207: strength 72 % …` and `INSPECT …`, a row a reason."""
    named = [(each.history.serial, each) for each in conditions]
    yield from (f"{word} {safe(names)}: {safe(why)}" for word, names, why in due_together(named, today))


def stand_in_rows(conditions: Iterable[Condition]) -> Iterator[str]:
    """Yield each rope without a number of its own, and how it gets one."""
    for each in conditions:
        if each.history.stands_in:
            yield f"{safe(each.history.serial)!r} {STANDS_IN}: {renaming(each.history.serial)}"


def renaming(serial: str) -> str:
    """Return the words that give a rope its own number."""
    return f"enter {safe(serial)!r} renamed to=NUMBER"


def rope_rows(one: Condition, today: date) -> Iterator[str]:
    """Yield all of one rope."""
    history = one.history
    yield f"{history.what.upper()} {safe(history.serial)}, {safe(history.where) or 'place not entered'}"
    yield from (f"  {row}" for row in (*due_rows([one], today), *stand_in_rows([one])))
    for title, rows in (
        ("CERTIFICATE", _certificate_rows(one)),
        ("CONDITION", _condition_rows(one)),
        ("USE ON RECORD", _life_rows(one)),
        ("STAYS", _stay_rows(history.uses)),
        ("ENTRIES", map(kept_row, history.kept) if history.kept else ["none"]),
    ):
        yield ""
        yield title
        yield from (f"  {row}" for row in rows)


def _certificate_rows(one: Condition) -> Iterator[str]:
    given = {name: value for name, value in one.history.certificate.items() if name not in ("what", "note")}
    yield field_words(given) if given else "nothing entered"
    if one.history.entries and isfinite(one.history.length_m):
        yield f"length now {figure(one.history.length_m, 1)} m"


def _condition_rows(one: Condition) -> Iterator[str]:
    rope = one.rope
    if rope is None:
        yield "strength and WLL not known: no breaking load entered, and no stay on record"
    else:
        left = "taken as new: nothing else is entered"
        if one.residual_by:
            left = f"{percent(one.residual)} of MBL left, {one.residual_by}"
        yield f"MBL {figure(rope.mbl_kn)} kN, {left}"
        datum = "" if rope.design_mbl_kn is None else f" (ship design MBL {figure(rope.design_mbl_kn)} kN)"
        yield f"strength {figure(rope.strength_kn)} kN, WLL {figure(rope.wll_kn)} kN{datum}"
    yield f"in use since {_day(one.in_service)}, inspected {_day(one.inspected)}"
    by = one.retire_by()
    yield f"retire by {_day(None if by is None else by.day)}{'' if by is None else f': {safe(by.why)}'}"
    due = one.inspect
    yield "next inspection not entered" if due is None else f"next inspection {safe(due.why)}"


def _life_rows(one: Condition) -> Iterator[str]:
    life = one.history.life
    if life is None:
        yield "no record with it was imported"
        return
    yield (
        f"{counted(life.stays, 'stay')}, fast {figure(life.hours_made_fast, 1)} h, load known "
        f"{figure(life.hours_known, 1)} h, carrying {figure(life.hours_carried, 1)} h"
    )
    yield (
        f"peak {figure(life.peak_kn)} kN, {percent(life.peak_share_mbl)} of MBL, over WLL "
        f"{figure(life.hours_above_wll, 2)} h"
    )
    cycles = (f"{name}% {count:g}" for name, count in zip(class_names(), life.cycles, strict=True))
    yield f"cycles by range, of MBL: {', '.join(cycles)}"
    breaking = sorted({use.use.part.rope.mbl_kn for use in one.history.uses})
    if len(breaking) > 1:
        which = " and ".join(f"{figure(kn)} kN" for kn in breaking)
        yield f"by its stay files it breaks at {which}: two ropes of one number, or a wrong file"


def _stay_rows(uses: Sequence[StayUse]) -> Iterator[str]:
    if not uses:
        yield "none"
        return
    head = f"{'entry':>5} {'line':<6} {'from':<17} {'fast h':>7} {'carry h':>7} {'cycles':>6}"
    yield f"{head} {'peak kN':>8} of MBL"
    for each in uses:
        use, mbl = each.use, each.use.part.rope.mbl_kn
        peak = f"{OVER} " if use.peak_kn > use.part.wll_kn else ""
        begin = _minute(each.begin)
        count = sum(cycles_by_class([0.0, *use.turns.tolist(), 0.0], mbl))
        yield (
            f"{each.entry:>5} {safe(use.part.line):<6} {begin:<17} "
            f"{figure(each.hours_fast, 1):>7} {figure(use.carried_s / 3600.0, 1):>7} {count:>6g} "
            f"{peak + figure(use.peak_kn):>8} {percent(use.peak_kn / mbl)}"
        )
        for at in use.slips:
            yield f"{'':>5} brake slipped {_minute(at)}"
        if isfinite(use.parted_at):
            yield f"{'':>5} line parted {_minute(use.parted_at)}"


def kept_row(kept: Kept) -> str:
    """Return an entry in a row: number, day, who, what."""
    gone = "" if kept.stands else f" (withdrawn {day_at(kept.withdrawn)} by {safe(kept.withdrawn_by)})"
    return f"{kept.number:>5} {kept.entry.day} {entry_words(kept.entry)}, {safe(kept.entry.who)}{gone}"


def entry_words(entry: Entry) -> str:
    """Return what was done, in words: `inspected: chafed, cut yarns; left 82 % (judged)`."""
    deed = entry.deed.replace("_", "-")
    fields = dict(entry.fields)
    parts: list[str] = []
    if "findings" in fields:
        parts.append(", ".join(fields.pop("findings")))
    if "residual_strength" in fields:
        parts.append(f"{percent(fields.pop('residual_strength'))} left ({fields.pop('how')})")
    rest = field_words(fields)
    return f"{deed}: {'; '.join([*parts, *([rest] if rest else [])])}".removesuffix(": ")


WORDS: Final = {
    "certificate": "certificate {}",
    "maker": "maker {}",
    "what": "{}",
    "material": "{}",
    "construction": "{}",
    "mbl_kn": "MBL {} kN",
    "length_m": "{} m long",
    "diameter_mm": "{} mm thick",
    "made": "made {}",
    "hours_limit": "maker's limit {} h",
    "years_limit": "maker's limit {} years",
    "inspect_months": "inspect every {} months",
    "where": "{}",
    "cut_m": "{} m cut off",
    "next": "next {}",
    "why": "{}",
    "to": "to {}",
    "note": "note: {}",
}


def field_words(fields: dict[str, object]) -> str:
    """Return values of an entry in words."""
    return ", ".join(WORDS[name].format(_value(value)) for name, value in fields.items())


def _value(value: object) -> str:
    if isinstance(value, float):
        return f"{value:.6g}"
    return safe(str(value)).replace("_", "-")


def import_rows(imports: Sequence[KeptImport]) -> Iterator[str]:
    """Yield a row for each record that was imported."""
    for each in imports:
        record = each.record
        gone = "" if each.stands else f" (withdrawn {day_at(each.withdrawn)})"
        yield (
            f"{each.number:>5} {_minute(record.begin)} to {_minute(record.end)} "
            f"{safe(record.ship)}, {safe(record.stay)}: {counted(record.ropes, 'rope')}{gone}"
        )


def _minute(time: float) -> str:
    return f"{iso_time(time)[:16].replace('T', ' ')}Z"


def _day(day: date | None) -> str:
    return NOT_KNOWN if day is None else day.isoformat()
