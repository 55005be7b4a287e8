"""A line that nothing is known of is never normal: on any screen, in any output, for any reason.

Worlds of one awkward berth in which lines are unknown for each reason: not made fast, a tail longer than the
path, parted, a gauge lost.
"""

import csv
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from pathlib import Path
from typing import Final

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from alongside.alerts.rules import rules_of
from alongside.cli.main import main
from alongside.cycle.advance import advance
from alongside.cycle.gauge_samples import present_at
from alongside.cycle.memory import Memory
from alongside.cycle.picture import Picture
from alongside.forecast.basis import Basis
from alongside.forecast.look_ahead import Far, look_ahead
from alongside.mechanics.reasons import REASONS, NoAnswer, NoLength
from alongside.readings import Quality, Readings, Reason
from alongside.record.states import Columns, pack, unpack
from alongside.reports.ahead_text import ahead_rows
from alongside.reports.handover import handover_text
from alongside.reports.json_lines import state_lines
from alongside.screens.parts import PARTS
from alongside.stay.model import Line, Stay, Tail
from alongside.stay.read import read_stay
from alongside.stay.stage import Stage
from tests.berth import START, gauges, tagged, write_stay
from tests.reports.stay.records import recorded
from tests.screens.shown import console
from tests.worlds import AWKWARD_TEXT, CHANNELS, Watched, readings, watched

SURE_WORDS: Final = ("Nothing to do", "No tending needed", "ALL NORMAL", "all normal", "all stay normal")
"""What must not stand beside a line that nothing is known of."""
LATE: Final = START + 2.0 * 86400.0
LONG_TAIL_M: Final = 99.0
ONSHORE: Final = (2.0, 160.0)
"""A breeze that a few lines are enough for."""
WORDS: Final = {
    NoLength.NOT_FAST: "not made fast",
    NoLength.IMPOSSIBLE: "length not known",
    NoLength.PARTED: "parted",
}
WORLD_TEXT: Final = AWKWARD_TEXT.replace("made_fast: {at: 2026-03-04T", "made_fast: {at: 2026-03-02T") + (
    "tide:\n  high_low:\n"
    "    - [2026-03-01T21:00:00Z, 1.0]\n    - [2026-03-02T03:00:00Z, 3.0]\n"
    "    - [2026-03-02T09:00:00Z, 1.0]\n    - [2026-03-02T15:00:00Z, 3.0]\n"
    "    - [2026-03-02T21:00:00Z, 1.0]\n    - [2026-03-03T03:00:00Z, 3.0]\n"
)
"""All six lines are fast at `START`, and the tide can be looked up."""
FAST_6: Final = "{at: 2026-03-02T04:00:00Z, tension_kn: 20}}"


def world_stay(folder: Path) -> Stay:
    return read_stay(write_stay(folder, WORLD_TEXT))


@pytest.fixture(scope="module")
def stay(tmp_path_factory: pytest.TempPathFactory) -> Stay:
    return world_stay(tmp_path_factory.mktemp("stay"))


def with_unknown(stay: Stay, unknown: dict[str, NoLength]) -> Stay:
    """Return the stay with lines that are not made fast, or whose tail is longer than any path."""

    def changed(line_id: str) -> Iterator[object]:
        for line in stay.lines:
            if unknown.get(line.id) is NoLength.NOT_FAST:
                yield replace(line, made_fast=replace(line.made_fast, at=LATE))
            elif unknown.get(line.id) is NoLength.IMPOSSIBLE:
                yield replace(line, tail=Tail(line.rope, LONG_TAIL_M))
            else:
                yield line

    return replace(stay, lines=tuple(changed("")))  # type: ignore[arg-type]


def lost(heard: Readings, channel: str) -> Readings:
    """Return the readings without a gauge."""
    at = heard.channels.index(channel)
    value, quality, reason = heard.value.copy(), heard.quality.copy(), heard.reason.copy()
    age = heard.age.copy()
    value[:, at], quality[:, at], reason[:, at] = np.nan, Quality.LOST, Reason.SILENT
    age[:, at] = 600.0
    return replace(heard, value=value, quality=quality, reason=reason, age=age)


@dataclass(frozen=True)
class World:
    """A stay of which lines are unknown, watched for some minutes."""

    seen: Watched
    unknown: dict[str, NoLength]
    blind: bool

    @property
    def picture(self) -> Picture:
        return self.seen.picture()


def world(stay: Stay, unknown: dict[str, NoLength], blind: bool = False) -> World:
    """Return the stay watched for two minutes with these lines unknown; `blind` without a tide gauge, nor a
    table that stands in for it, from then on for two more."""
    stay = with_unknown(stay, unknown)
    stay = replace(stay, tide=None) if blind else stay
    seen = watched(stay, readings(wind=ONSHORE))
    memory = seen.memory
    for line, why in unknown.items():
        if why is NoLength.PARTED:
            lengths = memory.lengths.with_line_parted(seen.line(line), START + 120.0)
            memory = replace(memory, lengths=lengths)
    after = readings(start=START + 120.0, wind=ONSHORE)
    after = lost(after, "tide") if blind else after
    memory, block = advance(seen.basis, memory, after)
    return World(Watched(seen.basis, memory, block), unknown, blind)


reasons = st.sampled_from(list(WORDS))
subsets = st.dictionaries(st.sampled_from("123456"), reasons, min_size=1)


def sure_words_in(text: str) -> list[str]:
    return [words for words in SURE_WORDS if words in text]


@pytest.mark.slow
@settings(max_examples=12)
@given(subsets, st.booleans())
def test_a_line_nothing_is_known_of_is_never_normal(
    stay: Stay, unknown: dict[str, NoLength], blind: bool
) -> None:
    here = world(stay, unknown, blind)
    picture = here.picture
    for row in picture.lines:
        if row.id in unknown:
            assert (row.stage, row.because, dict(row.stages)) == (None, "", {})
            assert row.why == WORDS[unknown[row.id]]
            assert row.no_length is unknown[row.id]
        elif blind:
            assert (row.stage, row.why) == (None, "tide not known")
        elif code := int(here.seen.block.hold.reason[-1]):
            assert code in (NoAnswer.NOTHING_HOLDS, NoAnswer.NOT_BALANCED), "too few lines are left"
            assert (row.stage, row.why) == (None, REASONS[code])
        else:
            assert isinstance(row.stage, Stage)
            assert row.why == ""
    assert not sure_words_in(f"{picture.advice.text} {picture.advice.short} {picture.advice.large}")
    assert picture.advice.stage > Stage.NORMAL
    state = json.loads(next(state_lines(here.seen.basis, here.seen.block, [119])))
    for line, row in zip(state["lines"], picture.lines, strict=True):
        assert (line["stage"], line["why"]) == (
            row.stage.word if row.stage is not None else None,
            row.why or None,
        )
    rows = handover_text(picture, START)
    lines = rows[rows.index("LINES") + 2 : rows.index("ALERTS STANDING") - 1]
    for row, line in zip(picture.lines, lines, strict=True):
        assert (row.stage is None) == (" normal " not in line and row.why != "" and row.why in line)
    assert not sure_words_in("\n".join(rows))


@pytest.mark.slow
@settings(max_examples=10)
@given(subsets)
def test_each_has_its_alert_and_a_lost_gauge_adds_none(stay: Stay, unknown: dict[str, NoLength]) -> None:
    here = world(stay, unknown)
    alerts = here.seen.memory.watchlist.alerts
    for line in "123456":
        expected = {
            NoLength.NOT_FAST: [("not_known", Stage.CAUTION)] if set(unknown.values()) else [],
            NoLength.IMPOSSIBLE: [("not_known", Stage.WARNING)],
            NoLength.PARTED: [("parted", Stage.ALARM)],
            None: [],
        }[unknown.get(line)]
        found = [
            (alert.cause, alert.stage)
            for alert in alerts.values()
            if alert.line == line and alert.cause in ("not_known", "parted")
        ]
        if all(why is NoLength.NOT_FAST for why in unknown.values()) and len(unknown) == len(stay.lines):
            assert not found, "all are to be put out together"
        else:
            assert found == expected
    blind = world(stay, unknown, blind=True)
    kept = {key for key in blind.seen.memory.watchlist.alerts if key[0] in ("not_known", "parted")}
    assert kept == {key for key in alerts if key[0] in ("not_known", "parted")}


@pytest.mark.slow
@settings(max_examples=4)
@example(unknown={"6": NoLength.IMPOSSIBLE})
@given(unknown=subsets)
def test_what_rests_on_the_whole_set_says_which_lines_it_leaves_out(
    stay: Stay, unknown: dict[str, NoLength]
) -> None:
    here = world(stay, unknown)
    picture = here.picture
    present = replace(present_at(here.seen.block, here.seen.memory), planned=True)
    assert dict(present.without(here.seen.basis.arrangement.ids)) == {
        line: WORDS[why] for line, why in unknown.items()
    }
    forecast = look_ahead(here.seen.basis, present, Far(3.0, 1800.0, 3))
    assert dict(forecast.without) == {line: WORDS[why] for line, why in unknown.items()}
    if not forecast.reason:
        unknown_columns = [line in unknown for line in forecast.lines]
        np.testing.assert_array_equal((forecast.stage == -1).all(axis=0), unknown_columns)
        np.testing.assert_array_equal((forecast.stage_worst == -1).all(axis=0), unknown_columns)
    text = "\n".join(ahead_rows(here.seen.basis.stay, forecast))
    assert not sure_words_in(text)
    assert not re.search("No limit is reached (in|as)", text)
    for line in unknown:
        assert re.search(rf"lines? [^(]*\b{line}\b[^(]*\({WORDS[unknown[line]]}\)", text)
        assert re.search(rf"Without [^.]*\b{line}\b", picture.holding_text) or not picture.holding_text


@pytest.mark.slow
@given(subsets)
@settings(max_examples=10)
def test_a_record_says_the_same_as_the_watch(stay: Stay, unknown: dict[str, NoLength]) -> None:
    here = world(stay, unknown)
    basis, block = here.seen.basis, here.seen.block
    columns = Columns.of(basis.stay, CHANNELS)
    packed = pack(block, 119, columns.lines)
    back = unpack(basis.stay, columns, [float(block.readings.time[119])], [packed])
    state = back.block(basis, here.seen.memory)
    np.testing.assert_array_equal(state.hold.why_no_length()[-1], block.hold.why_no_length()[-1])


@pytest.mark.slow
@given(st.lists(st.integers(1, 119), min_size=1, max_size=3, unique=True), subsets)
@settings(max_examples=10)
def test_it_is_the_same_wherever_a_log_is_cut(
    stay: Stay, cuts: list[int], unknown: dict[str, NoLength]
) -> None:
    changed = with_unknown(stay, unknown)
    basis, heard = Basis.of(changed), readings()
    _, whole = advance(basis, Memory.at_start(changed), heard)
    memory, codes, events = Memory.at_start(changed), [], []
    edges = [0, *sorted(cuts), len(heard)]
    for start, stop in pairwise(edges):
        memory, block = advance(basis, memory, heard.rows(start, stop))
        codes.append(block.hold.why_no_length())
        events += block.events
    np.testing.assert_array_equal(np.concatenate(codes), whole.hold.why_no_length())
    assert events == list(whole.events)


@pytest.mark.slow
def test_a_line_still_on_its_way_out_is_no_alert_but_not_known(stay: Stay) -> None:
    """One that is put out within the hour of the first; after that hour it is late."""

    def with_line_2(at: float) -> tuple[Line, ...]:
        times = {line.id: at if line.id == "2" else START - 600.0 for line in stay.lines}
        return tuple(
            replace(each, made_fast=replace(each.made_fast, at=times[each.id])) for each in stay.lines
        )

    soon, late = with_line_2(START + 300.0), with_line_2(START + 3600.0)
    for lines, alerts in ((soon, []), (late, ["Line 2 not made fast, planned 05:00"])):
        seen = watched(replace(stay, lines=lines))
        texts = [a.text for a in seen.memory.watchlist.alerts.values() if a.cause == "not_known"]
        assert texts == alerts
        assert seen.picture().lines[1].stage is None


def test_a_bollard_with_an_unknown_line_is_judged_by_the_others_where_they_alone_reach_a_limit(
    stay: Stay,
) -> None:
    def on_b4(swl_kn: float, why: NoLength) -> float:
        bollards = {**stay.berth.bollards, "B4": replace(stay.berth.bollards["B4"], swl_kn=swl_kn)}
        here = world(replace(stay, berth=replace(stay.berth, bollards=bollards)), {"6": why})
        keys = [rule.key for rule in rules_of(here.seen.basis.stay)]
        return float(here.seen.block.assessment.value[-1, keys.index(("bollard", "B4"))])

    share = on_b4(900.0, NoLength.PARTED)
    assert 0.0 < share < 0.7, "a line that parted pulls no more: line 4 alone"
    assert np.isnan(on_b4(900.0, NoLength.IMPOSSIBLE)), "line 6 may pull as hard as it likes"
    by_line_4 = on_b4(900.0 * share / 0.8, NoLength.IMPOSSIBLE)
    assert by_line_4 == pytest.approx(0.8, rel=0.05), "line 4 alone is over 70 %"


EACH: Final = {
    "not fast": {"2": NoLength.NOT_FAST},
    "no length": {"2": NoLength.IMPOSSIBLE},
    "parted": {"2": NoLength.PARTED},
    "gauge lost": {},
}


@pytest.mark.slow
@pytest.mark.parametrize("name", EACH)
@pytest.mark.parametrize("size", [(80, 24), (120, 30), (160, 50)])
async def test_no_page_calls_it_normal(stay: Stay, name: str, size: tuple[int, int]) -> None:
    here = world(stay, EACH[name], blind=not EACH[name])
    picture = here.picture
    present = present_at(here.seen.block, here.seen.memory)
    forecast = look_ahead(here.seen.basis, present, Far(3.0, 1800.0, 3))
    async with console(replace(picture, forecast=None if not EACH[name] else forecast), size=size) as shown:
        shown.app.show(replace(shown.app.view, line="2"))
        for part in PARTS:
            await shown.turn(part)
            text = shown.text
            assert not sure_words_in(text), part
            (rule, *_) = [row for row in shown.rows if row.startswith("─")] or [""]
            if EACH[name] and ("hold" in rule or "her fenders" in rule):
                assert "ithout " in rule, "what the set holds says what it leaves out"
            for row in shown.rows:
                if re.match(r"^[ ▸]*\S+ \S+ +2 +(spring|breast|\S)", row) or "Line 2, " in row:
                    assert "normal" not in row, row


# --- the commands


def log_of(folder: Path, seconds: int = 180, without_tide_from: float = np.inf) -> Path:
    """Return a log of steady readings, one a second."""
    path = folder / "stay.log"
    with path.open("wb") as file:
        for second in range(seconds):
            time = START + second
            file.write(tagged(time, "IIMWV,160.0,T,2.0,M,A"))
            if second < without_tide_from:
                file.write(gauges(time, 3.0))
            else:
                file.write(tagged(time, "IIXDR,D,4.000,M,DRF,D,4.500,M,DRA"))
    return path


def command_text(folder: Path, why: NoLength | None) -> str:
    """Return the stay file of a world."""
    text = WORLD_TEXT
    if why is None:
        return text.partition("tide:\n  high_low:")[0]
    if why is NoLength.NOT_FAST:
        return text.replace(FAST_6, FAST_6.replace("03-02", "03-04"))
    if why is NoLength.IMPOSSIBLE:
        return text.replace(
            "bollard: B4, rope: polyester,\n     made_fast: {at: 2026-03-02T04",
            f"bollard: B4, rope: polyester, tail: {{rope: polyester, length: {LONG_TAIL_M}}},\n"
            "     made_fast: {at: 2026-03-02T04",
        )
    return text


@pytest.mark.slow
@pytest.mark.parametrize("why", [NoLength.NOT_FAST, NoLength.IMPOSSIBLE, None])
def test_no_command_calls_it_normal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], why: NoLength | None
) -> None:
    """Line 6 is unknown, or all are for want of a tide."""
    path = write_stay(tmp_path, command_text(tmp_path, why))
    log = log_of(tmp_path, seconds=180 if why else 600, without_tide_from=np.inf if why else 60)
    at = "2026-03-02T04:02:30Z" if why else "2026-03-02T04:09:30Z"
    states, events = tmp_path / "states.jsonl", tmp_path / "events.jsonl"

    def run(*arguments: object) -> str:
        capsys.readouterr()
        main([str(each) for each in arguments])
        return capsys.readouterr().out

    run("replay", path, log, "--headless", "--states", states, "--events", events, "--every", "30")
    last = json.loads(states.read_text().splitlines()[-1])["lines"][5]
    assert (last["stage"], last["stages"]) == (None, {})
    assert last["why"] == (WORDS[why] if why else "tide not known")
    if why:
        happened = [json.loads(row) for row in events.read_text().splitlines()]
        (event,) = [each for each in happened if each["alert"] == "not_known"]
        assert WORDS[why] in event["text"]
    out = run("handover", path, log, "--at", at)
    row = next(row for row in out.splitlines() if re.match(r"  6 +stern", row))
    assert "normal" not in row
    assert last["why"] in row
    ahead, holding = tmp_path / "ahead.json", tmp_path / "holding.json"
    out += run("ahead", path, log, "--at", at, "--members", "3", "--every", "30", "--hours", "3",
               "--what-if", "slack 1 0.1", "--json", ahead)  # fmt: skip
    out += run("holding", path, log, "--at", at, "--json", holding)
    out += run("compare", path, path, "--at", "2026-03-02T04:30:00Z", "--hours", "3")
    assert not sure_words_in(out)
    if why:
        assert {line["id"]: line["why"] for line in json.loads(ahead.read_text())["lines"]}["6"] == WORDS[why]
        assert json.loads(holding.read_text())["without"] == [{"line": "6", "why": WORDS[why]}]
        assert f"Without line 6 ({WORDS[why]})" in out


@pytest.mark.slow
def test_a_report_says_how_long_a_line_was_not_known(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Line 6 is made fast half-way through; line 2 never has a length."""
    text = command_text(tmp_path, NoLength.IMPOSSIBLE)
    path = write_stay(tmp_path, text.replace(FAST_6, FAST_6.replace("04:00:00", "04:01:30")))
    stay = read_stay(path)
    recorded(stay, log_of(tmp_path), tmp_path / "record", {})
    page = tmp_path / "page.html"
    assert main(["report", str(tmp_path / "record"), "--out", str(page), "--csv", str(tmp_path)]) == 0
    assert not sure_words_in(page.read_text())
    assert "Nothing is on record of the loads of line 6" in page.read_text()
    with (tmp_path / "states.csv").open(newline="") as file:
        assert {row["stage.6"] for row in csv.DictReader(file)} == {""}
