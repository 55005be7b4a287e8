"""Why nothing is read of a feed or a channel, in plain words for whoever stands at the cable."""

from collections.abc import Iterator

from alongside.feeds.flaws import Flaw
from alongside.feeds.listen import PLAIN, TEXT, Listening
from alongside.feeds.routing import formatter
from alongside.stay.model import Feed, Source
from alongside.wording.figures import counted

ETX = b"\x03"
SHOWN = 24
"""Bytes of a line without an end that are shown."""
SHARE = 0.5
"""Of the lines: from here on a fault is what is wrong with the feed, not with a line."""


def why_nothing_comes(feed: Feed, bytes_heard: int, rest: bytes = b"") -> str:
    """Return what to look at where not one line came; `rest` is what came of one."""
    serial = feed.port.startswith("serial:")
    if bytes_heard:
        return f"{bytes_heard} bytes, but no line: {_why_no_line(serial, rest)}"
    if serial:
        return (
            "nothing comes: check cable, power, and that the gauge's output is on this input (A to A, B to B)"
        )
    if feed.port.startswith("udp:"):
        return "nothing comes: check power, cable, and the address and port that the gauge sends to"
    if feed.port.startswith(("csv:", "file:")):
        return "nothing new in the file: does what writes it run? ?from=start reads what stands in it"
    return "nothing comes: check power, cable, address and port"


def _why_no_line(serial: bool, rest: bytes) -> str:
    unread = rest.translate(None, TEXT)
    if not rest or 8 * len(unread) > len(rest):
        return "check baud rate and line end" if serial else "the gauge ends no line"
    seen = f"{rest[:SHOWN].decode('latin-1')!r}{' …' if len(rest) > SHOWN else ''}"
    if ETX in rest:
        return f"{seen}: its lines end by ETX, name the port with end=etx"
    return f"{seen}: where that is no line cut short, name the port with end=pause"


def why_nothing_is_used(listening: Listening, feed: Feed, bytes_heard: int = 0, rest: bytes = b"") -> str:
    """Return what is wrong with a feed as a whole; "" where values come, or nothing is sought."""
    came, tally = listening.came[feed.name], listening.tally(feed.name)
    lines = came.rate.count
    if not lines:
        return why_nothing_comes(feed, bytes_heard, rest)
    if came.no_text > SHARE * lines:
        baud = "baud rate, bits and parity, or an inverted line (A and B exchanged)"
        look = baud if feed.port.startswith("serial:") else "another protocol on this port?"
        return f"{came.no_text} of {lines} lines are no text: {look}"
    if tally[Flaw.CHECKSUM] > SHARE * lines:
        wrong = f"{tally[Flaw.CHECKSUM]} of {lines} checksums are wrong"
        return f"{wrong}: noise, baud rate, or two talkers on one line"
    if tally[Flaw.NO_CHECKSUM] > SHARE * lines:
        return "sentences without a checksum: set the gauge to send them, else `admit: [no_checksum]`"
    if feed.port.startswith("csv:") and tally[Flaw.TIME_BACK] > SHARE * lines:
        return "its rows run back, the newest first: `replay STAY EXPORT` takes it so, a watch does not"
    if not feed.channels or any(_has_value(listening, source) for source in feed.channels):
        return ""
    if any(source.register for source in feed.channels):
        return "asks for its registers, but has none of them: check address, station, table"
    heard = ", ".join(sorted(listening.kinds[feed.name])[:6]) or f"{lines} lines"
    return f"hears {heard}, but none of its channels: check sentence, talker, names, pattern"


def why_waiting(listening: Listening, feed: Feed, source: Source) -> str:
    """Return why a channel has no value yet; "" where it has one."""
    if words := listening.refused.get(source.channel):
        return words
    if _has_value(listening, source) or not listening.came[feed.name].rate.count:
        return ""
    if source.register:
        return "not asked for yet"
    if source.columns:
        return "no row has what its `where` says" if source.where else "no row has its columns"
    if source.groups_read:
        plain = any(kind.shape for kind in listening.figures[feed.name].kinds.values())
        unanswered = listening.tally(feed.name)[Flaw.NO_ANSWER]
        if unanswered:
            return f"the pattern fits no answer; {counted(unanswered, 'prompt', 'prompts')} had none"
        return "the pattern fits no line" if plain or "sentences" in feed.admit else "no plain line came"
    addresses = [address.encode() for address in listening.kinds[feed.name] if address != PLAIN]
    same = [address for address in addresses if formatter(address) == source.sentence]
    if not same:
        return f"no {source.sentence} came"
    talkers = sorted({address[:2].decode("ascii", "replace") for address in same})
    if source.talker and source.talker not in talkers:
        return f"{source.sentence} comes from {' and '.join(talkers)}, not {source.talker}"
    if source.sentence == "XDR" and not source.fields:
        return f"XDR has {', '.join(_names(listening, feed)) or 'no names'}, not {' and '.join(source.names)}"
    return f"{source.sentence} came, but not for this channel"


def _names(listening: Listening, feed: Feed) -> Iterator[str]:
    for _, figure in listening.figures[feed.name].figures():
        if figure.name:
            yield figure.name


def _has_value(listening: Listening, source: Source) -> bool:
    newest = listening.newest[source.channel]
    return newest.time == newest.time
