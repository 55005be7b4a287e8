"""The hours ahead in words, once for the command, the hand-over, the advice and the screens.

    words = AheadWords(stay.display, now)
    words.limit(limit)            "Line 4 stretch: alarm expected 03:40 (03:20 to 04:05)"
    words.round(each)             "Slack 4 by 0.80 m between 03:10 and 03:35, good until 11:25"
    words.cannot_cure(each)       "No length keeps line 2 within limits, 08:45 to 09:45: 0.29 m short"
    words.tending(forecast)       the rounds of a forecast, (kind, sentence) a row, in order of reading
    words.clock(time)             "03:40", "21 Mar 03:40" on another day than that of `now`

Sentences come without marks and without an end; names in them are safe to show. Times are those of the place.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import isfinite
from typing import Final, Literal

from alongside.alerts.model import Alert, Standing
from alongside.forecast.model import SURE, ChoiceAhead, Forecast, Incurable, LimitAhead, MoveAhead
from alongside.forecast.round_words import RoundWords, chance_text, lower_first, moves_text, worth_saying
from alongside.forecast.ship_changes import costs, is_left
from alongside.stay.stage import Stage
from alongside.wording.figures import counted, listed, metres, percent, speed_text
from alongside.wording.names import cause as cause_word
from alongside.wording.names import condition, what_gives, without
from alongside.wording.safe import safe

NONE_EXPECTED: Final = "none"
LEAST_SHOWN_M: Final = 0.005
TENDED: Final = ("stretch", "load", "brake", "slack")
"""Causes that tending keeps lines short of."""
Kind = Literal[
    "unknown",
    "round",
    "unsure",
    "metres",
    "more",
    "cannot_cure",
    "helps",
    "because",
    "not_prevented",
    "check",
]
"""Of a row of `tending`: how far the forecast reaches; a round; one that holds in too few cases to be a plan;
its metres by when it is begun; how many more are no plan; a line that no tending keeps within limits, and
what helps it all the same; a limit reached because of the rounds; one they do not prevent; how far the plan
can be relied on."""


class AheadWords(RoundWords):
    """Words of forecasts for a display, with times about the day of `now` (UNIX s)."""

    __slots__ = ()

    def limit(self, limit: LimitAhead) -> str:
        """Return what is reached and when: `Line 4 stretch: alarm expected 03:40 (03:20 to 04:05)`."""
        weak = what_gives(limit.weak.gives, limit.weak.where)
        first = f", gives first: {weak}" if weak else ""
        return f"{limit_name(limit)}: {limit.stage.word} {self.when(limit)}{first}"

    def when(self, limit: LimitAhead) -> str:
        """Return when a limit is reached: `expected 03:40 (03:20 to 04:05)`, `possible from 03:20`, `now`."""
        if limit.standing:
            return "now"
        if limit.expected is None:
            return f"possible from {self.clock(limit.not_before)}"
        return f"expected {self.clock(limit.expected)} ({self.likely(limit)})"

    def likely(self, limit: LimitAhead) -> str:
        """Return between which times a limit is likely reached: `03:20 to 04:05`."""
        earliest = self.clock(limit.not_before)
        if limit.no_later is None:
            return f"from {earliest}, perhaps never"
        latest = self.clock(limit.no_later)
        return f"at {earliest}" if earliest == latest else f"{earliest} to {latest}"

    def reached(self, limit: LimitAhead | None) -> str:
        """Return stage, time and what gives of a limit that is expected: `warning 05:10 (brake of line 4)`;
        `none` where none is."""
        if limit is None or limit.expected is None:
            return NONE_EXPECTED
        weak = what_gives(limit.weak.gives, limit.weak.where)
        return f"{limit.stage.word} {self.clock(limit.expected)}{f' ({weak})' if weak else ''}"

    def cannot_cure(self, cure: Incurable) -> str:
        """Return which line no tending keeps within limits, when, and by how much it is short."""
        line, missing = safe(cure.line), short_by(cure.missing_m)
        spell = f"{self.clock(cure.time)} to {self.clock(cure.until)}"
        match cure.why:
            case "wind":
                deed = "heave" if cure.heaves else "slack"
                wind = f", wind {speed_text(cure.wind_ms, self.display)}" if isfinite(cure.wind_ms) else ""
                if cure.helps is not None:
                    return f"Only in part{wind}: line {line}, {spell}"
                return f"Do not {deed}{wind}: line {line} by {missing}, {spell}"
            case "pace":
                return f"Rounds cannot keep up with line {line}, {spell}: {missing} short"
            case "together":
                return f"Line {line} leaves its limits in spite of the rounds, {spell}: {missing} short"
        return f"No length keeps line {line} within limits, {spell}: {missing} short"

    def helps(self, cure: Incurable) -> Iterator[str]:
        """Return the deed that helps all the same, what it does, and what it does not cure: `Slack 4 by
        0.60 m at 13:50 helps: stretch 92 % at 14:20 (limit 85 %), without it 104 %. Not cured: call terminal,
        shift`; nothing where none does."""
        deed = cure.helps
        if deed is None:
            return
        move = MoveAhead(cure.line, deed.pay_out_m)
        at = "now" if deed.at <= self.now else f"at {self.clock(deed.at)}"
        back = "heave" if deed.pay_out_m > 0.0 else "slack"
        undone = f", {back} it back at {self.clock(deed.undone_at)}" if isfinite(deed.undone_at) else ""
        of = "load" if deed.cause == "slack" else cause_word(deed.cause)
        does = f"{of} {percent(deed.share)} at {self.clock(deed.share_at)} (limit {percent(deed.limit)})"
        text = f"{moves_text([move])} {at}{undone} helps: {does}, without it {percent(deed.share_without)}"
        call = "call master" if cure.why == "wind" else "call terminal, shift"
        yield text if deed.cures else f"{text}. Not cured: {call}"

    def tending(self, forecast: Forecast, over: Sequence[str] = ()) -> list[tuple[Kind, str]]:
        """Return the rounds of a forecast and how far they can be relied on, (kind, sentence) a row; `over`
        names what is past a limit of tending now, whatever the forecast says of it."""
        tending = forecast.tending
        rows: list[tuple[Kind, str]] = []
        rows += [("unknown", text) for text in self.not_known(forecast)]
        if tending.pending:
            return [*rows, ("check", "Lines were tended: rounds are being planned anew")]
        if tending.waits_for:
            return [
                *rows,
                ("check", f"{look_text(tending.waits_for)} first: no round rests on a gauge in doubt"),
            ]
        if tending.untried:
            return [*rows, ("check", "No round: calculation failed, not tried in the wind of now")]
        if tending.winches:
            rows.append(("check", _winches_first(tending.winches)))
        for each in worth_saying(tending.rounds):
            rows.append(("round" if each.is_sure else "unsure", self.round(each)))
            rows += [("metres", text) for text in self.metres_by_time(each) if each.is_sure]
        more = self.then_more(tending.rounds)
        rows += [("more", more)] if more else []
        for cure in tending.cannot_cure:
            rows.append(("cannot_cure", self.cannot_cure(cure)))
            rows += [("helps", text) for text in self.helps(cure)]
        if not tending.rounds:
            return [*rows, *(("check", text) for text in self._no_round(forecast, over))]
        rows += [("because", self.limit(change.after)) for change in costs(forecast) if change.after]
        rows += [("not_prevented", self.limit(limit)) for limit in forecast.followed if is_left(limit)]
        rows += [("check", text) for text in check_text(forecast)]
        return rows

    def _no_round(self, forecast: Forecast, over: Sequence[str]) -> Iterator[str]:
        """Return that no round is needed; of what is past its limit all the same, that tending does not help;
        nothing where it is said above. Where nothing is known of some lines, of the others alone."""
        tending = forecast.tending
        if tending.cannot_cure or tending.winches:
            return
        reached = [limit for limit in forecast.limits if is_of_tending(limit, tending.within)]
        if reached:
            yield f"No round helps: {lower_first(self.limit(reached[0]))}"
            return
        if over:
            yield f"No round planned, but now at {tending.within} or worse: {listed(over)}"
            return
        kept = kept_text(tending.within)
        until = f" until {self.clock(forecast.known_until)}" if self.unknown_after(forecast) else ""
        if not forecast.without and tending.holds < SURE:
            yield f"No round planned{until}: {kept} only {chance_text(tending.holds)}"
        elif not forecast.without:
            yield f"No tending needed{until}: {kept}"
        elif len(forecast.without) < len(forecast.lines):
            yield f"No round for the other lines{until}: their {kept}"

    def not_known(self, forecast: Forecast) -> list[str]:
        """Return of which lines nothing is known, and from when on nothing is known of any."""
        rows = [f"Not known: {without(forecast.without)}"] if forecast.without else []
        after = self.unknown_after(forecast)
        return [*rows, after] if after else rows

    def unknown_after(self, forecast: Forecast) -> str:
        """Return from when on nothing is known, and why; "" where the forecast reaches to its end."""
        if forecast.known_until >= forecast.times[-1]:
            return ""
        until = self.clock(forecast.known_until) if isfinite(forecast.known_until) else "now"
        return f"Not known after {until}: tide or draughts end there"


def _winches_first(lines: Sequence[str]) -> str:
    """Return `Look at winch 4 first: no metres for line 4 before the answer`."""
    names = listed([safe(line) for line in lines])
    winch, line = ("winch", "line") if len(lines) == 1 else ("winches", "lines")
    return f"Look at {winch} {names} first: no metres for {line} {names} before the answer"


ROUNDS: Final = ("round", "unsure")
"""Kinds of rows that are numbered from 1, as the rounds are."""
TITLES: Final[dict[Kind, str]] = {
    "because": "Caused or brought forward by these rounds",
    "not_prevented": "Not prevented by these rounds",
}
"""What stands over rows of a kind, or before each of them."""


def titled(rows: Sequence[tuple[Kind, str]]) -> list[str]:
    """Return rows of `AheadWords.tending` as sentences that stand alone; rounds are numbered from 1."""
    texts, number = [], 0
    for kind, text in rows:
        if kind in ROUNDS:
            number += 1
            texts.append(f"{number}  {text}")
        else:
            texts.append(f"{TITLES[kind]}: {text}" if kind in TITLES else text)
    return texts


def short_by(missing_m: float) -> str:
    """Return `0.29 m`; of what rounds to nothing, `less than 0.01 m`."""
    return metres(missing_m) if missing_m >= LEAST_SHOWN_M else "less than 0.01 m"


def limit_name(limit: LimitAhead) -> str:
    """Return what reaches a limit: `Line 4 stretch`, `Ship off fenders`."""
    name = condition(limit.cause, limit.subject, limit.line)
    return name[:1].upper() + name[1:]


def is_of_tending(limit: LimitAhead, within: str) -> bool:
    """Return whether a limit is one that tending is to keep a line short of, and is expected."""
    stage = Stage[within.upper()]
    return limit.cause in TENDED and limit.stage >= stage and limit.expected is not None


def past_limits(alerts: Iterable[Alert], within: str) -> tuple[str, ...]:
    """Return what is at a stage now, by its own value, that tending is to keep lines short of: for
    `AheadWords.tending`."""
    return tuple(
        condition(alert.cause, alert.subject, alert.line)
        for alert in alerts
        if alert.cause in TENDED
        and alert.standing is not Standing.RECTIFIED
        and alert.value_stage >= Stage[within.upper()]
    )


def look_text(in_doubt: str) -> str:
    """Return what to look at where a gauge is in doubt: `Read the tide board`."""
    return "Read the tide board" if in_doubt == "tide" else "Read the draughts"


def kept_text(within: str) -> str:
    """Return what stays below which stage: `stretch, load, brakes and slack stay below warning`."""
    return f"stretch, load, brakes and slack stay below {within}"


def choice_text(choice: ChoiceAhead) -> str:
    """Return `3 rounds leave 0.14 m to spare`."""
    rounds = counted(choice.rounds, "round")
    return f"{rounds} {'leaves' if choice.rounds == 1 else 'leave'} {metres(choice.margin_m)} to spare"


def check_text(forecast: Forecast) -> Iterator[str]:
    """Return how the plan stood the calculation, whether fewer rounds may do, and what more would give."""
    tending = forecast.tending
    is_left = any(is_of_tending(limit, tending.within) for limit in forecast.followed)
    but = ", except as above" if tending.cannot_cure or is_left else ""
    sure = f" {chance_text(tending.holds)}" if isfinite(tending.holds) else ""
    if forecast.known_until < forecast.times[-1]:
        yield "Plan not checked to its end: tide or draughts not known"
    elif not tending.verified:
        yield f"Plan checked by calculation: does NOT keep lines below {tending.within}"
    elif tending.holds < SURE:
        yield f"No plan for all these hours: the rounds hold only{sure}{but}"
    else:
        yield f"Plan checked by calculation: {kept_text(tending.within)}{sure}{but}"
    if not tending.is_fewest:
        yield "Fewer rounds may be possible"
    if tending.rounds_by_table not in (None, len(tending.rounds)):
        by_table = counted(tending.rounds_by_table, "round") if tending.rounds_by_table else "No round"
        yield f"{by_table} by the table alone, {len(tending.rounds)} for what is likely"
    yield from (choice_text(choice) for choice in tending.choices)
