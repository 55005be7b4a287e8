"""What is left of a rope and what is due, by cases worked by hand (ours)."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.record.ropes.entry import Entry
from alongside.record.ropes.store import Kept
from alongside.record.ropes.use import Use
from alongside.reports.ropes.condition import Condition, condition_of
from alongside.reports.ropes.history import histories_of
from alongside.reports.ropes.history_text import due_rows, list_rows, rope_rows
from alongside.stay.model import Rope
from tests.record.ropes.kept import BEGIN, HOUR, NOW, entry, use

TODAY = date(2026, 11, 29)


def condition(*entries: Entry, uses: tuple[Use, ...] = (), design: float | None = None) -> Condition:
    kept = [Kept(number, NOW, each) for number, each in enumerate(entries, 1)]
    (history,) = histories_of(kept, [(9, each) for each in uses])
    return condition_of(history, design)


def certificate(**values: Any) -> Entry:
    return entry(deed="certificate", day="2026-01-01", **{"mbl_kn": 200.0, **values})


def test_nothing_is_due_by_what_was_not_entered() -> None:
    """No limit, no interval and no strength is made up."""
    one = condition(certificate(), entry(deed="fitted", day="1999-01-01", where="aft"))
    assert (one.retire, one.inspect, one.residual_by) == ((), None, "")
    assert one.residual != one.residual
    assert list(due_rows([one], TODAY)) == []


def test_derated_limits_by_the_contract() -> None:
    """WLL = 0.5 x the least of MBL x residual and design MBL: 0.5 x 160 = 80, 0.5 x 150 = 75; wire 0.55."""
    left = entry(residual_strength=0.8, how="tested")
    for entries, design, wll in (
        ((certificate(),), None, 100.0),
        ((certificate(), left), None, 80.0),
        ((certificate(), left), 150.0, 75.0),
        ((certificate(material="steel"), left), None, 88.0),
    ):
        rope = condition(*entries, design=design).rope
        assert rope is not None
        assert rope.wll_kn == pytest.approx(wll, rel=1e-12)


@pytest.mark.parametrize(
    ("residual", "design", "spent"),
    [
        (0.75, None, False),
        (0.7499, None, True),
        (0.75, 195.0, False),
        (0.7, 180.0, False),
        (0.74, 200.0, True),
    ],
)
def test_below_75_percent_of_the_ship_design_mbl_a_rope_is_retired(
    residual: float, design: float | None, spent: bool
) -> None:
    """MSC.1/Circ.1620 as digests of flag and class give it: the datum is the ship design MBL (read)."""
    one = condition(certificate(), entry(residual_strength=residual, how="judged"), design=design)
    assert bool(one.retire_now(TODAY)) == spent
    if spent:
        assert "74 % of" in one.retire_now(TODAY)[0], "never rounded up to the limit"
    rope = Rope("x", "synthetic", 200.0, (), 0.5, residual_strength=residual, design_mbl_kn=design)
    assert rope.is_spent == spent


def test_the_newest_inspection_counts_by_its_day() -> None:
    later = entry(day="2026-11-20", residual_strength=0.8, how="judged")
    earlier = entry(day="2026-10-20", residual_strength=0.9, how="tested")
    one = condition(certificate(), later, earlier, entry(day="2026-11-25"))
    assert (one.residual, one.residual_by) == (0.8, "judged 2026-11-20")
    assert one.inspected == date(2026, 11, 25)


def test_makers_limits_where_they_were_entered() -> None:
    """Five years from 2024-02-29 end on 2029-02-28; two and a half on 2026-08-29."""
    fitted = entry(deed="fitted", day="2024-02-29", where="winch 1")
    by = condition(certificate(years_limit=5.0), fitted).retire_by()
    assert by is not None
    assert by.day == date(2029, 2, 28)
    one = condition(certificate(years_limit=2.5), fitted)
    assert one.retire_now(date(2026, 8, 28)) == ()
    assert one.retire_now(date(2026, 8, 29)) == ("maker's limit 2.5 years, in use since 2024-02-29",)
    hours = use("PL-2207", loads=(20.0,) * 361)
    assert condition(certificate(hours_limit=1.01), uses=(hours,)).retire_now(TODAY) == ()
    assert condition(certificate(hours_limit=1.0), uses=(hours,)).retire_now(TODAY) == (
        "fast 1 h (maker's limit 1 h)",
    )


def test_inspections_due() -> None:
    every = certificate(inspect_months=6)
    fitted = entry(deed="fitted", day="2026-03-31", where="winch 1")
    one = condition(every, fitted)
    assert one.inspect_now(date(2026, 9, 29)) == ""
    assert one.inspect_now(date(2026, 9, 30)) == "due 2026-09-30 (every 6 months, in use since 2026-03-31)"
    assert condition(every, fitted, entry(day="2026-11-20")).inspect_now(TODAY) == ""
    first = entry(day="2026-10-01", next="2026-11-25")
    assert condition(certificate(), first).inspect_now(TODAY) == "due 2026-11-25 (entered 2026-10-01)"
    assert condition(certificate(), first, entry(day="2026-11-20")).inspect_now(TODAY) != ""
    assert condition(certificate(), first, entry(day="2026-11-25")).inspect is None


def test_a_line_that_parted_is_looked_at_or_retired() -> None:
    parted = replace(use("PL-2207"), parted_at=BEGIN + 20.0)
    assert condition(certificate(), uses=(parted,)).retire_now(TODAY) == (
        "line 3 parted 2026-03-02, not inspected since",
    )
    looked = entry(day="2026-03-02", findings=["chafed"])
    assert condition(certificate(), looked, uses=(parted,)).retire_now(TODAY) == ()
    found = entry(day="2026-03-02", findings=["parted"])
    assert condition(certificate(), found, uses=(parted,)).retire_now(TODAY) == ("found parted 2026-03-02",)


def test_what_is_retired_is_not_due_and_may_come_back() -> None:
    weak = entry(residual_strength=0.5, how="tested")
    retired = entry(deed="retired", day="2026-11-21")
    one = condition(certificate(), weak, retired)
    assert (one.retired, one.retire_now(TODAY), one.history.where) == (date(2026, 11, 21), (), "retired")
    again = condition(certificate(), weak, retired, entry(deed="fitted", day="2026-11-22", where="aft"))
    assert again.retired is None
    assert again.retire_now(TODAY)


def test_where_it_is_and_how_long() -> None:
    """The later of what was entered and of the last stay; 220 m less 10, then measured 205, less 5."""
    used = use("PL-2207", line="7")
    before = entry(deed="fitted", day="2026-03-01", where="winch 1")
    after = entry(deed="stowed", day="2026-03-03", where="forepeak")
    assert condition(certificate(), before, uses=(used,)).history.where == "line 7"
    assert condition(certificate(), before, after, uses=(used,)).history.where == "forepeak"
    cuts = [entry(deed="cropped", day=f"2026-03-0{day}", cut_m=cut, **more) for day, cut, more in (
        (4, 10.0, {}), (5, 5.0, {"length_m": 205.0}), (6, 5.0, {}))]  # fmt: skip
    assert condition(certificate(length_m=220.0), *cuts).history.length_m == 200.0
    assert condition(certificate(), *cuts[:1]).history.length_m != 220.0


def test_hours_before_a_record_began_count_once() -> None:
    """Made fast an hour before the first of two records of one making fast."""
    first = replace(use("PL-2207", loads=(20.0,) * 361), fast_at=BEGIN - HOUR)
    second = replace(use("PL-2207", begin=BEGIN + 2 * HOUR, loads=(20.0,) * 361), fast_at=BEGIN - HOUR)
    one = condition(certificate(), uses=(first, second))
    assert [each.hours_fast for each in one.history.uses] == [2.0, 1.0]


@given(st.lists(st.floats(0.01, 1.0), min_size=1, max_size=4), st.floats(100.0, 400.0))
def test_weaker_is_never_better(shares: list[float], design: float) -> None:
    """Less strength: no larger WLL, and due to be retired at the latest where more was."""
    found = []
    for share in sorted(shares):
        one = condition(certificate(), entry(residual_strength=share, how="judged"), design=design)
        assert one.rope is not None
        found.append((one.rope.wll_kn, not one.retire_now(TODAY)))
    assert found == sorted(found)


def test_rows_have_no_markup_nor_escapes_and_fit() -> None:
    serial = "[b]\x1b[31m<i>\u202e" + "x" * 50
    one = condition(
        replace(certificate(maker="\x1b]0;x\x07"), serial=serial),
        replace(entry(note="\u2028[/]"), serial=serial),
        uses=(use(serial),),
    )
    rows = [*list_rows([one], TODAY), *rope_rows(one, TODAY)]
    assert all(row.isprintable() for row in rows)
    usual = condition(certificate(), entry(next="2026-12-01"), uses=(use("PL-2207"),))
    assert max(map(len, list_rows([usual], TODAY))) <= 80
