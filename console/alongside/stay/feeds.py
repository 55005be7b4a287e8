"""Section `feeds:`, where readings come from and what they must pass."""

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import Final

from alongside.stay.channels import CHANNELS, SENTENCES, TENSION, kind_of, xdr_units
from alongside.stay.exports import columns_fit
from alongside.stay.fields import (
    NAME,
    TEXT,
    Field,
    by_shape,
    choice,
    distinct,
    known,
    listed,
    named,
    number,
)
from alongside.stay.model import Feed, Line, Poll, Source, TidePlan
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.pattern_steps import LONGEST_PATTERN, MOST_STEPS, NotBounded, steps
from alongside.stay.ports import EXPECTED, STDIN, parse_port
from alongside.stay.records import optional, record, required
from alongside.stay.row_times import ROW_TIME
from alongside.stay.sources import SOURCE, Given, source_of, unit_fits
from alongside.stay.unit_words import factor

ENDS: Final = "repeats that end before what they repeat: [^,]*, for .*, and no * or + round another"
LONGEST_PROMPT: Final = 64
PROMPT_LIKE: Final = '"#01\\r"'
POLLED: Final = ("serial:", "tcp:")
MODBUS: Final = ("modbus:", "modbus-rtu:")


def _read_port(node: Node) -> str:
    text = TEXT.read(node)
    try:
        if text:
            parse_port(text)
    except ValueError as error:
        wrong, _, expected = str(error).partition(", expected ")
        node.fault(wrong, expected or EXPECTED)
    return text


def _read_pattern(node: Node) -> str:
    text = node.text(PATTERN.expected)
    if text is None:
        return ""
    if len(text) > LONGEST_PATTERN:
        node.fault(f"{len(text)} characters", f"at most {LONGEST_PATTERN}")
        return ""
    try:
        groups = re.compile(text.encode()).groupindex
        if steps(text) > MOST_STEPS:
            node.fault(f"{shown(text)} may try without end in one line", ENDS)
            return ""
    except NotBounded as error:
        node.fault(f"{shown(text)} holds {error}", "a pattern without it")
        return ""
    except (re.error, OverflowError, RecursionError) as error:
        node.fault(f"{shown(text)} is not a regular expression ({error})", PATTERN.expected)
        return ""
    if not groups:
        node.fault(f"{shown(text)} has no named group", PATTERN.expected)
    return text


PORT: Final = Field(EXPECTED, _read_port)
PATTERN: Final = Field("a regular expression with a named group such as (?P<tide>[-0-9.]+)", _read_pattern)


# --- one feed


def _sentences_bear_channels(node: Node, channels: Mapping[str, Given]) -> None:
    for channel, given in channels.items():
        if "height_m" in given and channel != "wind_speed":
            node[channel]["height_m"].fault("only wind has a height", "height_m with wind_speed, or none")
        borne = SENTENCES.get(given.get("sentence", ""), ())
        if borne and channel not in borne and "field" not in given:
            node[channel]["sentence"].fault(f"{given['sentence']} cannot carry {channel}", one_of(borne, ""))
        if _is_channel(channel):
            _transducer_unit_fits(node[channel], channel, given)
            unit_fits(node[channel], channel, given)


def _transducer_unit_fits(node: Node, channel: str, given: Given) -> None:
    if "unit" not in given or "name" not in given or {"scale", "ma"} & given.keys():
        return
    unit, letters = kind_of(channel).unit, xdr_units(channel)
    if given["unit"] not in letters and (len(given["unit"]) < 2 or factor(unit, given["unit"]) is None):
        expected = f"a scale that makes it {unit}, or unit {' or '.join(letters)}"
        node["unit"].fault(f"unit {shown(given['unit'])} without a scale", expected)


def _sources(channels: Mapping[str, Given]) -> tuple[Source, ...]:
    return tuple(source_of(channel, given) for channel, given in channels.items() if _is_channel(channel))


def _is_channel(name: str) -> bool:
    return name in CHANNELS or name.startswith(TENSION)


def _admitted_have_a_pattern(node: Node, feed: Feed) -> None:
    for what in ("makers", "sentences"):
        if what in feed.admit and not feed.pattern:
            expected = f"a pattern that finds their values, or no {what}"
            node["admit"].fault(f"{what} without a pattern", expected)


def _groups_are_in_pattern(node: Node, feed: Feed) -> None:
    groups = re.compile(feed.pattern or "").groupindex
    wanted: list[tuple[Node, str]] = []
    for source in feed.channels:
        channel = node["channels"][source.channel]
        wanted += _places_of(channel["group"], source.groups_read)
        if source.groups_read:
            wanted += [(channel["minus"][group], group) for group, _ in source.minus]
            wanted += [(channel["unit_in"], source.unit_in)] if source.unit_in else []
    if feed.time is not None and "group" in node["time"]:
        wanted += _places_of(node["time"]["group"], feed.time.groups)
    for place, group in wanted:
        if "pattern" not in node:
            place.fault("group given, but the feed has no pattern", "sentence, or a pattern for the feed")
        elif groups and group not in groups:
            place.fault(f"no group {shown(group)} in the pattern", one_of(groups, group))


def _places_of(node: Node, groups: Sequence[str]) -> list[tuple[Node, str]]:
    return [(node if node.is_scalar else node[at], group) for at, group in enumerate(groups)]


def _prompts(node: Node) -> tuple[str, ...]:
    text = node.text(PROMPT.expected) or ""
    if text and not (text.isascii() and len(text) <= LONGEST_PROMPT):
        node.fault(f"{shown(text)} cannot be sent", f"at most {LONGEST_PROMPT} ASCII characters")
    return (text,)


def _answer_before_next(node: Node, poll: Poll) -> None:
    if poll.answer_s > poll.every_s:
        expected = f"at most {poll.every_s:g} s"
        node["answer_s"].fault("the next prompt comes before the answer's time is over", expected)


PROMPT: Final = Field(f"text of at most {LONGEST_PROMPT} ASCII characters, such as {PROMPT_LIKE}", _prompts)
POLL: Final[Field[Poll]] = record(
    Poll,
    _answer_before_next,
    prompt=optional(
        by_shape(
            PROMPT,
            listed(PROMPT, least=1).then(lambda each: tuple(text for one in each for text in one)),
        )
    ),
    every_s=optional(number("s", least=0.05, most=3600)),
    answer_s=optional(number("s", least=0.02, most=60)),
)


def _polled_where_it_can_be(node: Node, feed: Feed) -> None:
    """Who is asked is on a line of his own."""
    if feed.poll is None:
        return
    asks_registers = feed.port.startswith(MODBUS)
    if not feed.port.startswith(POLLED) and not asks_registers:
        expected = "serial:, tcp:, modbus: or modbus-rtu:, or no poll"
        node["poll"].fault("nobody can be asked through this port", expected)
    elif asks_registers and feed.poll.prompt:
        node["poll"]["prompt"].fault("registers are asked for without one", "every_s and answer_s alone")
    elif not asks_registers and not feed.poll.prompt:
        node["poll"].missing("prompt", PROMPT.expected)


def _registers_fit(node: Node, feed: Feed) -> None:
    """Put on the list registers of what has none, and what has no meaning beside them."""
    has_registers = feed.port.startswith(MODBUS)
    for source in feed.channels:
        channel = node["channels"][source.channel]
        if has_registers and source.register is None:
            channel.fault("a Modbus device has registers only", "register, where the number stands")
        elif source.register is not None and not has_registers:
            expected = "a port such as modbus:192.168.1.30"
            channel["register"].fault("only a Modbus device has registers", expected)
    for key in ("pattern", "admit", "decimal", "time"):
        if has_registers and key in node:
            node[key].fault(f"{key} of registers", f"no {key}")


def feed_of(channels: Collection[str]) -> Field[Feed]:
    """A feed of some of these channels."""
    return record(
        Feed,
        _groups_are_in_pattern,
        _admitted_have_a_pattern,
        _polled_where_it_can_be,
        columns_fit,
        _registers_fit,
        name=required(NAME),
        port=required(PORT),
        channels=required(
            named(SOURCE, _sentences_bear_channels, key=known(channels, "channel"), least=1).then(_sources)
        ),
        pattern=optional(PATTERN),
        admit=optional(listed(choice("no_checksum", "makers", "sentences"), least=1)),
        decimal=optional(choice("point", "comma")),
        time=optional(ROW_TIME),
        poll=optional(POLL),
    )


# --- all of them


def _each_channel_once(node: Node, feeds: tuple[Feed, ...]) -> None:
    filled: dict[str, str] = {}
    for place, feed in enumerate(feeds):
        for source in feed.channels:
            if source.channel in filled:
                again = node[place]["channels"][source.channel]
                again.fault(f"feed {shown(filled[source.channel])} fills this channel", "one feed for each")
            filled.setdefault(source.channel, feed.name)


def _standard_input_once(node: Node, feeds: tuple[Feed, ...]) -> None:
    """What one feed reads of it the other never sees."""
    first: str | None = None
    for place, feed in enumerate(feeds):
        if feed.port != STDIN:
            continue
        if first is not None:
            node[place]["port"].fault(f"feed {shown(first)} reads standard input", "one feed with stdin:")
        first = first or feed.name


def feeds_of(lines: tuple[Line, ...], tide: TidePlan | None = None) -> Field[tuple[Feed, ...]]:
    """Return the field of all feeds. In a dock the level stands: unless the file says otherwise no gauge of
    it is taken to be frozen."""
    channels = dict.fromkeys((*CHANNELS, *(f"{TENSION}{line.id}" for line in lines)))
    feeds = listed(feed_of(channels), distinct("name"), _each_channel_once, _standard_input_once)
    if tide is None or not tide.levels:
        return feeds

    def read(node: Node) -> tuple[Feed, ...]:
        return tuple(
            replace(feed, channels=tuple(_never_frozen(node[place], source) for source in feed.channels))
            for place, feed in enumerate(feeds.read(node))
        )

    return Field(feeds.expected, read)


def _never_frozen(feed: Node, source: Source) -> Source:
    given = "freeze_s" in feed["channels"][source.channel]
    return source if source.channel not in ("tide", "depth") or given else replace(source, freeze_s=None)
