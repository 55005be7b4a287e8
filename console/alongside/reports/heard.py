"""What was heard of each feed: a page to read, the same as JSON, and the channel lines that it proposes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any, Final

from alongside.feeds.flaws import Tally
from alongside.feeds.listen import Listening, feed_lines
from alongside.feeds.times_heard import TimeHeard, time_heard
from alongside.readings import FeedNews
from alongside.reports.proposal import Numbered, Proposal, about, numbered, offset, proposed
from alongside.reports.why_silent import why_nothing_is_used, why_waiting
from alongside.stay.channels import kind_of
from alongside.stay.model import Feed
from alongside.units import iso_time
from alongside.wording.safe import safe

OF_NOW_S: Final = 86_400.0
"""What a feed says of an earlier day is no error of its clock."""


@dataclass(frozen=True, slots=True)
class PortHeard:
    """What is known of a port beside its lines; of a log nothing."""

    open: bool = True
    note: str = ""
    bytes_heard: int = 0
    dropped: int = 0
    others: int = 0
    begun: bytes = b""
    """What came of a line that has not ended."""


@dataclass(frozen=True, slots=True)
class Heard:
    """All that was heard up to `now`. `named`: channels that the engineer gives, by the number of a figure;
    `lines` of the stay, None without one."""

    listening: Listening
    ports: Mapping[str, PortHeard]
    now: float
    named: Mapping[int, str]
    lines: frozenset[str] | None = None

    def figures(self) -> dict[str, list[Numbered]]:
        """Return the figures of each feed, numbered through; feeds in the order of the stay file."""
        figures: dict[str, list[Numbered]] = {}
        first = 1
        for feed in self.listening.stay.feeds:
            figures[feed.name] = numbered(self.listening.figures[feed.name], first)
            first += len(figures[feed.name])
        return figures

    def proposals(self) -> list[Proposal]:
        """Return what each feed may say in a stay file."""
        figures, heard = self.figures(), self.listening.figures
        return [
            proposed(feed.name, feed.port, heard[feed.name], figures[feed.name], self.named, self.lines)
            for feed in self.listening.stay.feeds
        ]

    def clock_ahead(self, feed: Feed) -> float | None:
        """Return by how much the clock of a feed is ahead of ours, s: by ZDA, or by the times that its lines
        bear, in the zone that fits best. None where it says no time."""
        if feed.name in self.listening.clock_ahead:
            return self.listening.clock_ahead[feed.name]
        time = self._time_in_lines(feed)
        return None if time is None else time.ahead_s

    def zone_taken(self, feed: Feed) -> str:
        """Return the zone that fits best the times in the lines of a feed, which name none; "" where they
        do."""
        time = self._time_in_lines(feed)
        return "" if time is None or time.zone_s is None else offset(time.zone_s)

    def _time_in_lines(self, feed: Feed) -> TimeHeard | None:
        times = (time_heard(kind) for kind in self.listening.figures[feed.name].kinds.values())
        return next((time for time in times if time is not None), None)


# --- a page


def page(heard: Heard) -> str:
    """Return what was heard as text, one feed after the other."""
    listening = heard.listening
    lines: list[str] = []
    for feed in listening.stay.feeds:
        port = heard.ports.get(feed.name, PortHeard())
        lines.append(f"{feed.name}  {feed.port}")
        lines += feed_lines(listening, feed, heard.now)
        lines += _about_feed(heard, feed, port)
    if listening.kinds[""] or listening.tally(""):
        lines.append("(no feed)")
        lines += feed_lines(listening, None, heard.now)
    return "\n".join(safe(line) for line in lines)


def _about_feed(heard: Heard, feed: Feed, port: PortHeard) -> Iterator[str]:
    came = heard.listening.came[feed.name]
    if came.rate.count > 1:
        yield f"  longest silence {came.longest_gap_s:.1f} s"
    if feed.name not in heard.listening.clock_ahead and (ahead := heard.clock_ahead(feed)) is not None:
        if abs(ahead) < OF_NOW_S:
            zone = heard.zone_taken(feed)
            taken = f", taken as of zone {zone}," if zone else ""
            how = "behind" if ahead < 0 else "ahead of"
            yield f"  times in its lines{taken} are {abs(ahead):.1f} s {how} ours"
        else:
            yield f"  times in its lines are of {iso_time(came.rate.last + ahead)[:10]}"
    if why := _why(heard, feed, port):
        yield f"  {why}"
    for source in feed.channels:
        if why := why_waiting(heard.listening, feed, source):
            yield f"  {source.channel}: {why}"


def _why(heard: Heard, feed: Feed, port: PortHeard) -> str:
    """Return what is wrong with a feed as a whole; "" of a port that is not open and gave nothing."""
    if not port.open and not heard.listening.came[feed.name].rate.count:
        return ""
    return why_nothing_is_used(heard.listening, feed, port.bytes_heard, port.begun)


def figures_page(heard: Heard) -> str:
    """Return all figures with their numbers, and the proposal."""
    lines: list[str] = []
    proposals = heard.proposals()
    of_feed = heard.figures()
    for feed, proposal in zip(heard.listening.stay.feeds, proposals, strict=True):
        figures = of_feed[feed.name]
        if figures:
            lines.append(f"Figures of {feed.name}:")
        for each in figures:
            where = each.kind.address or ("row" if each.kind.columns else "plain line")
            if each.kind.where is not None:
                where += f" {each.kind.where[0]}={each.kind.where[1]}"
            name = heard.named.get(each.number, each.figure.channel or "")
            why = proposal.not_proposed.get(each.number, "")
            why = f"  (not proposed: {why})" if why else ""
            lines.append(f"  {each.number:>3}  {where:<10}  {about(each)}  {name}{why}")
        other = heard.listening.figures[feed.name].other_lines
        if other:
            lines.append(f"  {other} lines of more kinds are not shown")
    text = "\n".join(safe(line.rstrip()) for line in lines)
    of_figures = any(of_feed.values())
    return f"{text}\n{proposal_text(proposals, of_figures)}" if text else proposal_text(proposals, of_figures)


def proposal_text(proposals: list[Proposal], of_figures: bool = True) -> str:
    """Return the feeds of a stay file; a line that says what to do where no channel is known. `of_figures`:
    some were heard."""
    texts = [text.removeprefix("feeds:\n") for each in proposals if (text := each.text())]
    if texts:
        fill = " with the words in capitals filled in" if any(each.to_fill for each in proposals) else ""
        return f"Proposed for the stay file, to be looked at{fill}:\n\nfeeds:\n" + "".join(texts).rstrip("\n")
    if not of_figures:
        return "No figure was heard: there is nothing to propose"
    if any(each.not_proposed for each in proposals):
        return "Nothing can be proposed: behind each figure stands why"
    return "No channel is known yet: name a figure by its number, --name 1=tide"


# --- JSON


def as_json(heard: Heard, news: FeedNews) -> dict[str, Any]:
    """Return the same as plain values."""
    proposals = heard.proposals()
    figures = heard.figures()
    feeds = [
        _feed_json(heard, feed, figures[feed.name], proposal, news)
        for feed, proposal in zip(heard.listening.stay.feeds, proposals, strict=True)
    ]
    return {"time": iso_time(heard.now), "feeds": feeds, "no_feed": _tally(heard.listening.tally(""))}


def _feed_json(
    heard: Heard, feed: Feed, figures: list[Numbered], proposal: Proposal, news: FeedNews
) -> dict[str, Any]:
    listening, now = heard.listening, heard.now
    port, came = heard.ports.get(feed.name, PortHeard()), listening.came[feed.name]
    return {
        "name": feed.name,
        "port": feed.port,
        "open": port.open,
        "note": port.note or None,
        "lines": came.rate.count,
        "lines_per_s": _known(came.rate.per_s),
        "bytes": port.bytes_heard,
        "longest_gap_s": came.longest_gap_s if came.rate.count > 1 else None,
        "clock_ahead_s": heard.clock_ahead(feed),
        "why": _why(heard, feed, port) or None,
        "dropped": port.dropped,
        "others": port.others,
        "faults": _tally(listening.tally(feed.name)),
        "kinds": [
            {
                "kind": address,
                "count": rate.count,
                "per_s": _known(rate.per_s),
                "age_s": _known(now - rate.last),
                "used": address not in listening.unknown[feed.name],
            }
            for address, rate in sorted(listening.kinds[feed.name].items())
        ],
        "channels": [_channel_json(heard, feed, source.channel) for source in feed.channels],
        "from": [{"sender": sender, "lines": count} for sender, count in sorted(came.senders.items())],
        "senders": [
            {"channel": use.channel, "sender": use.sender, "since": iso_time(use.since)}
            for use in news.memory.senders
            if use.feed == feed.name
        ],
        "figures": [_figure_json(each, proposal) for each in figures],
        "proposal": proposal.text() or None,
    }


def _channel_json(heard: Heard, feed: Feed, channel: str) -> dict[str, Any]:
    newest = heard.listening.newest[channel]
    source = next(source for source in feed.channels if source.channel == channel)
    return {
        "channel": channel,
        "raw": _known(newest.raw),
        "value": _known(newest.value),
        "unit": kind_of(channel).unit,
        "off_the_bow": newest.off_the_bow,
        "age_s": _known(heard.now - newest.time),
        "wrong_unit": newest.wrong_unit or None,
        "outside": newest.outside or None,
        "why": why_waiting(heard.listening, feed, source) or None,
    }


def _figure_json(each: Numbered, proposal: Proposal) -> dict[str, Any]:
    figure = each.figure
    return {
        "number": each.number,
        "kind": each.kind.address or None,
        "where": None if each.kind.where is None else {str(each.kind.where[0]): each.kind.where[1]},
        "at": figure.at,
        "words": figure.words or None,
        "unit": figure.unit or None,
        "last": figure.last,
        "least": figure.least,
        "most": figure.most,
        "channel": figure.channel,
        "not_proposed": proposal.not_proposed.get(each.number),
    }


def _tally(tally: Tally) -> list[dict[str, Any]]:
    return [{"fault": flaw.value, "count": count} for flaw, count in sorted(tally.items()) if count]


def _known(value: float) -> float | None:
    return value if isfinite(value) else None
