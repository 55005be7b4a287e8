"""Section `feeds:`, where readings come from and what they must pass."""

import re
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any, Final

from alongside.stay.channels import CHANNELS, REFERENCES, SENTENCES, TENSION, kind_of, xdr_units
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
    row,
    word,
)
from alongside.stay.model import Feed, Line, Poll, Source, TidePlan
from alongside.stay.nodes import Node, one_of, shown
from alongside.stay.pattern_steps import LONGEST_PATTERN, MOST_STEPS, NotBounded, steps
from alongside.stay.ports import EXPECTED, STDIN, parse_port
from alongside.stay.records import exactly_one, optional, record, required

ENDS: Final = "repeats that end before what they repeat: [^,]*, for .*, and no * or + round another"
LONGEST_PROMPT: Final = 64
PROMPT_LIKE: Final = '"#01\\r"'
POLLED: Final = ("serial:", "tcp:")
Given = Mapping[str, Any]
"""Keys of one channel as far as the file gives them; the rest depends on which channel it is."""


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


def _read_unless_never(node: Node) -> float | None:
    return None if node.word == "never" else SECONDS.read(node)


PORT: Final = Field(EXPECTED, _read_port)
PATTERN: Final = Field("a regular expression with a named group such as (?P<tide>[-0-9.]+)", _read_pattern)
SECONDS: Final = number("s", above=0)
SECONDS_OR_NEVER: Final = Field(f"{SECONDS.expected}, or never", _read_unless_never)


# --- one channel


def _range_rises(node: Node, given: Given) -> None:
    low, high = given.get("range", (0.0, 1.0))
    if high <= low:
        node["range"][1].fault(f"{high:g} is not above the lower end", f"more than {low:g}")


def _stale_before_lost(node: Node, given: Given) -> None:
    if given.get("stale_s", 0.0) > given.get("lost_s", float("inf")):
        node["lost_s"].fault("lost_s is less than stale_s", f"at least {given['stale_s']:g} s")


def _names_its_transducer(node: Node, given: Given) -> None:
    if given.get("sentence") == "XDR" and "name" not in given:
        node.missing("name", "the name of the transducer in the XDR")
    if given.get("sentence") != "XDR" and "name" in given:
        node["name"].fault("only the transducers of an XDR have names", "sentence XDR, or no name")


def _unit_is_of_a_transducer(node: Node, given: Given) -> None:
    if "unit" in given and given.get("sentence") != "XDR":
        node["unit"].fault("only the transducers of an XDR have units", "sentence XDR, or no unit")


def _heeds_its_reference(node: Node, given: Given) -> None:
    heeded = REFERENCES.get(given.get("sentence", ""), ())
    reference = given.get("reference", "")
    if reference and reference not in heeded:
        node["reference"].fault(f"{shown(reference)} is not a reference of this sentence", one_of(heeded, ""))


SOURCE: Final[Field[Given]] = record(
    dict,
    exactly_one("sentence", "group"),
    _names_its_transducer,
    _heeds_its_reference,
    _unit_is_of_a_transducer,
    _range_rises,
    _stale_before_lost,
    sentence=optional(choice(*SENTENCES)),
    talker=optional(word("two letters or digits such as WI", "[A-Z0-9]{2}")),
    name=optional(by_shape(NAME.then(lambda name: (name,)), listed(NAME, least=1))),
    reference=optional(NAME),
    group=optional(NAME),
    unit=optional(word("the unit field of the XDR, a letter such as M", "[!-+.-~]{1,8}")),
    height_m=optional(number("m", above=0, most=200)),
    scale=optional(number()),
    offset=optional(number()),
    range=optional(row(low=number(), high=number())),
    rate_per_s=optional(number("the channel's unit a second", above=0)),
    freeze_s=optional(SECONDS_OR_NEVER),
    stale_s=optional(SECONDS),
    lost_s=optional(SECONDS),
    smooth_s=optional(number("s", least=0, most=3600)),
)


def source_of(channel: str, given: Given) -> Source:
    """One channel: what the file gives, for the rest the defaults of its kind. A value that is lost sooner
    than it would be stale by default is never merely stale."""
    kind = kind_of(channel)
    to_ten_metres = (10.0 / given.get("height_m", 10.0)) ** (1.0 / 7.0)
    lost = given.get("lost_s", kind.lost_s if "stale_s" not in given else max(kind.lost_s, given["stale_s"]))
    return Source(
        channel=channel,
        sentence=given.get("sentence"),
        talker=given.get("talker"),
        names=given.get("name", ()),
        reference=given.get("reference"),
        group=given.get("group"),
        unit=given.get("unit"),
        checks_unit=given.get("sentence") == "XDR" and not {"unit", "scale"} & given.keys(),
        scale=given.get("scale", 1.0) * to_ten_metres,
        offset=given.get("offset", 0.0) * to_ten_metres,
        range=given.get("range", kind.range),
        rate_per_s=given.get("rate_per_s", kind.rate_per_s),
        freeze_s=given.get("freeze_s", kind.freeze_s),
        stale_s=given.get("stale_s", min(kind.stale_s, lost)),
        lost_s=lost,
        smooth_s=given.get("smooth_s", kind.smooth_s),
    )


# --- one feed


def _sentences_bear_channels(node: Node, channels: Mapping[str, Given]) -> None:
    for channel, given in channels.items():
        if "height_m" in given and channel != "wind_speed":
            node[channel]["height_m"].fault("only wind has a height", "height_m with wind_speed, or none")
        borne = SENTENCES.get(given.get("sentence", ""), ())
        if borne and channel not in borne:
            node[channel]["sentence"].fault(f"{given['sentence']} cannot carry {channel}", one_of(borne, ""))
        if "unit" in given and "scale" not in given and _is_channel(channel):
            letters = xdr_units(channel)
            if given["unit"] not in letters:
                expected = f"a scale that makes it {kind_of(channel).unit}, or unit {' or '.join(letters)}"
                node[channel]["unit"].fault(f"unit {shown(given['unit'])} without a scale", expected)


def _sources(channels: Mapping[str, Given]) -> tuple[Source, ...]:
    return tuple(source_of(channel, given) for channel, given in channels.items() if _is_channel(channel))


def _is_channel(name: str) -> bool:
    return name in CHANNELS or name.startswith(TENSION)


def _makers_have_a_pattern(node: Node, feed: Feed) -> None:
    if "makers" in feed.admit and not feed.pattern:
        node["admit"].fault("makers without a pattern", "a pattern that finds their values, or no makers")


def _groups_are_in_pattern(node: Node, feed: Feed) -> None:
    groups = re.compile(feed.pattern or "").groupindex
    for source in feed.channels:
        place = node["channels"][source.channel]["group"]
        if source.group and "pattern" not in node:
            place.fault("group given, but the feed has no pattern", "sentence, or a pattern for the feed")
        elif source.group and groups and source.group not in groups:
            place.fault(f"no group {shown(source.group)} in the pattern", one_of(groups, source.group))


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
    prompt=required(
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
    if feed.poll is not None and not feed.port.startswith(POLLED):
        node["poll"].fault("nobody can be asked through this port", "serial: or tcp:, or no poll")


def feed_of(channels: Collection[str]) -> Field[Feed]:
    """A feed of some of these channels."""
    return record(
        Feed,
        _groups_are_in_pattern,
        _makers_have_a_pattern,
        _polled_where_it_can_be,
        name=required(NAME),
        port=required(PORT),
        channels=required(
            named(SOURCE, _sentences_bear_channels, key=known(channels, "channel"), least=1).then(_sources)
        ),
        pattern=optional(PATTERN),
        admit=optional(listed(choice("no_checksum", "makers"), least=1)),
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
