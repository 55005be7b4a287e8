"""Standing orders, hand-over with the initials of both, and when a self-test is due: from actions alone."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from alongside.actions import Action, GiveOrder, HandOver, Note, SelfTest, TakeOver, WithdrawOrder
from alongside.cycle.watchkeeping import (
    NOTHING_KEPT,
    SELF_TEST_AFTER_S,
    Watchkeeping,
    watchkeeping_after,
)
from alongside.record.codec import from_text, to_text
from alongside.stay.model import StandingOrder, Stay
from tests.berth import START, a_stay

OF_FILE = (StandingOrder("call me at 30 kn", "Master", START - 3600.0), StandingOrder("two hands on deck"))


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return replace(a_stay(tmp_path_factory.mktemp("stay")), standing_orders=OF_FILE)


def after(
    stay: Stay, *actions: Action, at: float = START, before: Watchkeeping = NOTHING_KEPT
) -> tuple[Watchkeeping, list[str]]:
    keeping, events = watchkeeping_after(before, stay, at, actions)
    return keeping, [f"{event.event}: {event.text}" for event in events]


def test_the_relief_alone_takes_over_and_the_other_initials_follow(stay: Stay) -> None:
    first, said = after(stay, TakeOver("AB", handed_by="TK"))
    assert said == [
        "watch_taken: Watch taken over by AB",
        "watch_handed: Watch handed over by TK",
        "orders_read: 2 standing orders read by AB",
    ]
    assert first.outstanding == ""
    second, said = after(stay, TakeOver("RV"), before=first)
    assert said == ["watch_taken: Watch taken over by RV", "orders_read: 2 standing orders read by RV"]
    assert second.outstanding == "initials of AB"
    signed, said = after(stay, HandOver("AB"), at=START + 60.0, before=second)
    assert said == ["watch_handed: Watch handed over by AB"]
    assert signed.outstanding == ""
    assert signed.hand_over is not None
    assert (signed.hand_over.by, signed.hand_over.at, signed.hand_over.handed_at) == ("RV", START, START + 60)
    assert after(stay, HandOver("XX"), before=signed) == (signed, []), "nothing is outstanding"


def test_who_kept_the_first_watch_is_not_known(stay: Stay) -> None:
    assert after(stay, TakeOver("AB"))[0].outstanding == "initials of who handed over"
    assert after(stay, HandOver("AB")) == (NOTHING_KEPT, [])


def test_orders_are_added_and_withdrawn_with_initials(stay: Stay) -> None:
    keeping, said = after(stay, GiveOrder("watch line 4", "CM"), WithdrawOrder("two hands on deck", "CM"))
    assert [order.text for order in keeping.orders(stay)] == ["call me at 30 kn", "watch line 4"]
    assert keeping.orders(stay)[1] == StandingOrder("watch line 4", "CM", START)
    assert said == [
        "order_given: Standing order by CM: watch line 4",
        "order_withdrawn: Standing order withdrawn by CM: two hands on deck",
    ]
    again, said = after(stay, GiveOrder("two hands on deck", "CM"), at=START + 9.0, before=keeping)
    assert [order.text for order in again.orders(stay)] == [*(each.text for each in OF_FILE), "watch line 4"]
    assert not again.withdrawn
    assert after(stay, GiveOrder("watch line 4", "XX"), before=again) == (again, []), "given already"
    assert after(stay, WithdrawOrder("no such", "XX"), before=again) == (again, [])
    written = replace(stay, standing_orders=(*OF_FILE, StandingOrder("watch line 4")))
    assert len(keeping.orders(written)) == 2, "in the file by now: once"


def test_a_self_test_is_due_half_an_hour_after_taking_over_once_a_watch(stay: Stay) -> None:
    assert not NOTHING_KEPT.is_self_test_due(START)
    keeping, _ = after(stay, TakeOver("AB"))
    late = START + SELF_TEST_AFTER_S
    assert not keeping.is_self_test_due(late - 1.0)
    assert keeping.is_self_test_due(late)
    tested, said = after(stay, SelfTest(True, True, "6 gauges good", "AB"), at=late, before=keeping)
    assert said == ["self_test: Self-test by AB: bell heard, colours seen, 6 gauges good"]
    assert not tested.is_self_test_due(late + 3600.0)
    relieved, _ = after(stay, TakeOver("RV"), at=late + 7200.0, before=tested)
    assert relieved.is_self_test_due(late + 7200.0 + SELF_TEST_AFTER_S), "the next watch makes its own"


texts = st.sampled_from(["a", "b", "call me at 30 kn", "two hands on deck"])
deeds = (
    st.builds(GiveOrder, texts, st.just("X"))
    | st.builds(WithdrawOrder, texts, st.just("X"))
    | st.builds(TakeOver, st.sampled_from(["AB", "RV"]), st.booleans(), st.sampled_from(["", "TK"]))
    | st.builds(HandOver, st.sampled_from(["AB", "RV"]))
    | st.builds(SelfTest, st.booleans(), st.booleans())
    | st.just(Note("x"))
)


@given(st.lists(deeds))
def test_it_is_the_same_at_once_or_one_by_one_and_over_a_restart(stay: Stay, done: list[Action]) -> None:
    at_once, events = watchkeeping_after(NOTHING_KEPT, stay, START, done)
    keeping, said = NOTHING_KEPT, []
    for action in done:
        keeping, more = watchkeeping_after(keeping, stay, START, [action])
        keeping = from_text(Watchkeeping, to_text(keeping))
        said += more
    assert (keeping, tuple(said)) == (at_once, events)
    held = [order.text for order in keeping.orders(stay)]
    assert len(set(held)) == len(held)
    assert not {gone.text for gone in keeping.withdrawn} & set(held)


def test_they_are_known_after_a_restart(tmp_path: Path) -> None:
    from tests.record.kept import Watch, flood_stay

    stay, folder = flood_stay(tmp_path), tmp_path / "record"
    first = Watch(stay, folder).run(6, {2: GiveOrder("watch line 2", "CM"), 4: TakeOver("AB")})
    first.kill()
    again = Watch(stay, folder, 60.0).run(2)
    keeping = again.last.watchkeeping
    assert [order.text for order in keeping.orders(stay)] == ["watch line 2"]
    assert keeping.outstanding == "initials of who handed over"
    again.end()
