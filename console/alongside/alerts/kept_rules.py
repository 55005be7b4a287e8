"""What alerting remembers, where the rules have become others."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Final, TypeVar

from alongside.alerts.model import Alert, Event, Key, Watchlist
from alongside.alerts.rule_model import Rule

Kept = TypeVar("Kept")
OF_GONE_LINES: Final = frozenset({"parted", "not_known"})


def rules_of_lines_out(rules: Sequence[Rule], gone: Collection[str]) -> tuple[Rule, ...]:
    """Return the rules that ask something of what is out: of a line that is gone only whether it parted."""
    return tuple(rule for rule in rules if rule.line not in gone or rule.cause in OF_GONE_LINES)


def cleared(alert: Alert, now: float) -> Event:
    """Return the event that an alert is over because its line is gone, or leads elsewhere."""
    text = f"{alert.text}: over, the line is gone or leads elsewhere"
    return Event(now, "cleared", alert.cause, alert.subject, alert.stage, alert.line, text=text)


def of_rules(watchlist: Watchlist, rules: Sequence[Rule]) -> tuple[Watchlist, tuple[Alert, ...]]:
    """Return the watchlist with what belongs to any of the rules, and the alerts that go with the others."""
    keys = {rule.key for rule in rules}
    gone = tuple(alert for key, alert in watchlist.alerts.items() if key not in keys)
    kept = replace(
        watchlist,
        alerts=_of(keys, watchlist.alerts),
        conditions=_of(keys, watchlist.conditions),
        rises=_of(keys, watchlist.rises),
    )
    return kept, gone


def _of(keys: set[Key], table: Mapping[Key, Kept]) -> dict[Key, Kept]:
    return {key: value for key, value in table.items() if key in keys}
