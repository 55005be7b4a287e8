"""Channel lines of a stay file, proposed from what a feed says: ready to paste, valid as they stand."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from alongside.feeds.figures_heard import FigureHeard, FiguresHeard, KindHeard
from alongside.feeds.line_shapes import pattern_of
from alongside.feeds.routing import formatter
from alongside.feeds.row_times import AHEAD_S
from alongside.feeds.times_heard import TimeHeard, time_heard
from alongside.reports.proposal_tried import tried
from alongside.stay.channels import CHANNELS, TENSION, kind_of, xdr_units
from alongside.stay.pattern_steps import LONGEST_PATTERN, MOST_STEPS, NotBounded, steps
from alongside.stay.unit_words import FOLLOWING_FIELD, factor, field_factor, is_of_no_channel, is_unit_word
from alongside.wording.safe import safe

_SIDES: Final = (("P", "S"), ("PORT", "STBD"), ("L", "R"))
_PLAIN_WORD: Final = re.compile("[A-Za-z][A-Za-z0-9_]*")


@dataclass(frozen=True, slots=True)
class Numbered:
    """A figure by the number that an engineer calls it by."""

    number: int
    kind: KindHeard
    figure: FigureHeard


@dataclass(slots=True)
class Proposal:
    """What a feed of the stay file may say; `not_proposed` has why, by the number of the figure. `numbers`
    has that of the figure which a channel is made of, `to_fill` channels of which more must be said."""

    name: str
    port: str
    channels: dict[str, str] = field(default_factory=dict)
    about: dict[str, str] = field(default_factory=dict)
    keys: list[str] = field(default_factory=list)
    not_proposed: dict[int, str] = field(default_factory=dict)
    numbers: dict[str, int] = field(default_factory=dict)
    to_fill: set[str] = field(default_factory=set)

    def text(self) -> str:
        """Return the feed as it stands in a stay file; "" where no channel is known."""
        if not self.channels:
            return ""
        lines = ["feeds:", f"  - name: {quoted(self.name)}", f"    port: {quoted(self.port)}"]
        lines += [f"    {key}" for key in self.keys]
        lines.append("    channels:")
        for channel, entry in self.channels.items():
            lines.append(f"      {channel}: {entry}  # {self.about[channel]}")
        return "\n".join(lines) + "\n"


def quoted(text: str) -> str:
    """Return a text as YAML takes it."""
    return text if _PLAIN_WORD.fullmatch(text) else "'" + text.replace("'", "''") + "'"


def numbered(heard: FiguresHeard, first: int = 1) -> list[Numbered]:
    """Return the figures of a feed, numbered from `first`."""
    return [Numbered(first + at, kind, figure) for at, (kind, figure) in enumerate(heard.figures())]


def proposed(
    name: str,
    port: str,
    heard: FiguresHeard,
    figures: Sequence[Numbered],
    named: Mapping[int, str],
    lines: frozenset[str] | None = None,
) -> Proposal:
    """Return the proposal for a feed. `named` are channels that the engineer gives, by number; they come
    first. `lines` are those of the stay, where there is one: no other has a load cell. What it would not read
    itself from the newest lines it does not propose."""
    unread: dict[int, str] = {}
    while True:
        read = [each for each in figures if each.number not in unread]
        proposal = _proposed_of(name, port, heard, read, named, lines)
        proposal.not_proposed |= unread
        kinds = {id(each.kind): each.kind for each in figures if each.number in proposal.numbers.values()}
        tried_of = tried(
            proposal.text(),
            proposal.channels,
            proposal.numbers,
            [(kind.time, kind.line) for kind in kinds.values()],
        )
        for channel, why in tried_of.outside.items():
            if channel not in proposal.to_fill:
                proposal.about[channel] += f"; {why}"
        failed = {
            proposal.numbers[channel]: why
            for channel, why in tried_of.unread.items()
            if channel not in proposal.to_fill
        }
        if not failed:
            return proposal
        unread |= failed


def _proposed_of(
    name: str,
    port: str,
    heard: FiguresHeard,
    figures: Sequence[Numbered],
    named: Mapping[int, str],
    lines: frozenset[str] | None,
) -> Proposal:
    proposal = Proposal(name, port)
    wanted = [(each, named[each.number]) for each in figures if each.number in named]
    if not lines:
        is_known = CHANNELS.__contains__
    else:
        is_known = frozenset((*CHANNELS, *(f"{TENSION}{line}" for line in lines))).__contains__
    guesses = [(each, each.figure.channel) for each in figures if each.number not in named]
    wanted += [(each, channel) for each, channel in guesses if channel is not None and is_known(channel)]
    proposal.not_proposed |= {
        each.number: f"say of which line: --name {each.number}={TENSION}LINE"
        for each, channel in guesses
        if channel is not None and not is_known(channel)
    }
    in_shapes: list[tuple[Numbered, str]] = []
    in_rows: list[tuple[Numbered, str]] = []
    for each, channel in wanted:
        if channel in proposal.channels or any(channel == other for _, other in (*in_shapes, *in_rows)):
            continue
        if why := _unfit(each, channel):
            proposal.not_proposed[each.number] = why
        elif each.kind.columns:
            in_rows.append((each, channel))
        elif each.kind.shape is not None:
            in_shapes.append((each, channel))
        else:
            _add(proposal, each, channel, _of_sentence(each, channel))
    _add_standard(proposal, heard)
    _add_shapes(proposal, in_shapes)
    _add_rows(proposal, in_rows)
    used = [kind for kind in heard.kinds.values() if kind.address and not kind.checked]
    if used and any("sentence" in entry for entry in proposal.channels.values()):
        proposal.keys.append("admit: [no_checksum]")
    return proposal


def _add(proposal: Proposal, each: Numbered, channel: str, entry: str) -> None:
    """Add a channel, with a name in capitals where somebody has to say more of it than was heard."""
    left_open, why = _left_open(each, channel)
    if left_open:
        entry = f"{entry[:-1]}, {left_open}}}"
        proposal.to_fill.add(channel)
    proposal.channels[channel] = entry
    proposal.about[channel] = f"{about(each)}{f'; {why}' if why else ''}"
    proposal.numbers[channel] = each.number


def about(each: Numbered) -> str:
    """Return what a figure said: its newest value, and between which it was."""
    figure = each.figure
    words = f" beside {safe(figure.words)}" if figure.words else ""
    unit = f" {safe(figure.unit)}" if is_unit_word(figure.unit) else ""
    piece = f", or a piece of {safe(figure.piece_of)}" if figure.piece_of else ""
    return f"{figure.last:.6g}{unit} ({figure.least:.6g} to {figure.most:.6g}){words}{piece}"


def _unfit(each: Numbered, channel: str) -> str:
    """Return why a figure cannot be this channel as it is; "" where it can."""
    unit, word = kind_of(channel).unit, each.figure.unit
    if port_side(each, channel) and each.figure.least < 0.0:
        return "is negative, and has a side behind it: say by `minus` which side is negative"
    if each.figure.twin:
        return "two columns have this heading: give one of them another"
    is_unit = is_unit_word(word) and len(word) > 1 and not _left_open(each, channel)[0]
    known = field_factor(unit, word) if each.kind.address else factor(unit, word)
    return f"unit {word} is none of {unit}" if is_unit and known is None else ""


def _left_open(each: Numbered, channel: str) -> tuple[str, str]:
    """Return the keys that nobody but the engineer can fill in, with names in place of the numbers, and what
    they are; two empty texts where the figure is read as it is."""
    unit, word = kind_of(channel).unit, each.figure.unit
    if word.lower() in ("ma", "ua", "µa"):
        return "ma: [AT_4, AT_20]", f"AT_4, AT_20: what it is at 4 and at 20 mA, {unit}"
    scale = f"unit: {quoted(word)}, scale: SCALE", f"SCALE: what makes {safe(word)} {unit}"
    if each.figure.name or each.kind.address[2:] == "XDR":
        fits = not word or word in xdr_units(channel) or (len(word) > 1 and factor(unit, word) is not None)
        return ("", "") if fits else scale
    return scale if len(word) > 1 and is_of_no_channel(word) else ("", "")


def _of_sentence(each: Numbered, channel: str) -> str:
    sentence = formatter(each.kind.address.encode())
    talker = "" if sentence == each.kind.address else f", talker: {each.kind.address[:2]}"
    unit = kind_of(channel).unit
    if sentence == "XDR":
        letters = xdr_units(channel)
        is_said = each.figure.unit in ("", *letters) or _left_open(each, channel)[0]
        in_unit = "" if is_said else f", unit: {quoted(each.figure.unit)}"
        return f"{{sentence: XDR{talker}, name: {quoted(each.figure.name)}{in_unit}}}"
    word = each.figure.unit
    is_unit = word in FOLLOWING_FIELD[unit] or (len(word) > 1 and factor(unit, word) is not None)
    unit_in = f", unit_in: {each.figure.at + 1}" if is_unit else ""
    at, text = each.kind.where or (0, "")
    where = f", where: {{{at}: {quoted(text)}}}" if at else ""
    port = port_side(each, channel)
    minus = f", minus: {{{each.figure.at + 1}: {port}}}" if port else ""
    return f"{{sentence: {sentence}{talker}, field: {each.figure.at}{unit_in}{where}{minus}}}"


def port_side(each: Numbered, channel: str) -> str:
    """Return the word behind a list that says that it is to port, and so negative; "" where none says so."""
    pairs = [pair for pair in _SIDES if each.figure.sides and each.figure.sides <= set(pair)]
    return pairs[0][0] if channel == "heel" and pairs else ""


def _add_standard(proposal: Proposal, heard: FiguresHeard) -> None:
    """Add the channels that sentences of the standard carry, each from the first that does."""
    for kind in heard.kinds.values():
        sentence = formatter(kind.address.encode())
        for channel in kind.standard:
            if channel not in proposal.channels:
                proposal.channels[channel] = f"{{sentence: {sentence}, talker: {kind.address[:2]}}}"
                proposal.about[channel] = f"{kind.count} heard"


def _add_shapes(proposal: Proposal, wanted: Sequence[tuple[Numbered, str]]) -> None:
    """Add the channels of plain lines, and the pattern that reads them."""
    kinds = list({id(each.kind): each.kind for each, _ in wanted}.values())
    time = time_heard(kinds[0]) if len(kinds) == 1 else None
    if time is not None and time.ahead_s > AHEAD_S:
        time = None
    parts: list[str] = []
    taken: list[tuple[Numbered, str]] = []
    for kind in kinds:
        mine = [(each, channel) for each, channel in wanted if each.kind is kind]
        if kind.commas != kinds[0].commas:
            why = "decimals by comma and by point in one feed"
            proposal.not_proposed |= {each.number: why for each, _ in mine}
            continue
        part = _part(kind, mine, time)
        if _is_too_much(_joined([*parts, part])):
            why = "its pattern would be too long, or search too long"
            proposal.not_proposed |= {each.number: why for each, _ in mine}
            continue
        parts.append(part)
        taken += mine
    if not taken:
        return
    proposal.keys.append(f"pattern: {_in_quotes(_joined(parts))}")
    if kinds[0].commas:
        proposal.keys.append("decimal: comma")
    elif any("," in between for each, _ in taken if each.kind.shape for between in each.kind.shape.between):
        proposal.keys.append("decimal: point")
    if time is not None:
        proposal.keys.append(_time_key(time, f"group: {'at' if len(time.slots) == 1 else '[at, clock]'}"))
    for each, channel in taken:
        port = port_side(each, channel)
        minus = f", minus: {{side{each.number}: {port}}}" if port else ""
        _add(proposal, each, channel, f"{{group: n{each.number}{minus}}}")


def _add_rows(proposal: Proposal, wanted: Sequence[tuple[Numbered, str]]) -> None:
    """Add the channels of an export, all from rows of one kind, and the columns of their time."""
    if not wanted:
        return
    kind = wanted[0][0].kind
    time = time_heard(kind)
    if time is None:
        why = "no column bears a time whose form is sure (day or month first?): name it by "
        why += "`time: {column: …, form: …}`"
        proposal.not_proposed |= {each.number: why for each, _ in wanted}
        return
    if kind.commas:
        proposal.keys.append("decimal: comma")
    columns = [quoted(kind.columns[at]) for at in time.slots]
    proposal.keys.append(_time_key(time, f"column: {_one_or_list(columns)}") + "  # the zone of its clock?")
    for each, channel in wanted:
        if each.kind is kind:
            at = each.figure.unit_at
            unit_in = f", unit_in: {quoted(kind.columns[at])}" if at >= 0 else ""
            entry = f"{{column: {quoted(kind.columns[each.figure.at])}{unit_in}}}"
            _add(proposal, each, channel, entry)


def _one_or_list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"[{', '.join(names)}]"


def _part(kind: KindHeard, wanted: Sequence[tuple[Numbered, str]], time: TimeHeard | None) -> str:
    if kind.shape is None:
        return ""
    groups: list[str | None] = [None] * len(kind.shape.kinds)
    for each, channel in wanted:
        groups[each.figure.at] = f"n{each.number}"
        if port_side(each, channel):
            groups[each.figure.at + 1] = f"side{each.number}"
    for at, group in zip(time.slots if time else (), ("at", "clock"), strict=False):
        groups[at] = group
    return pattern_of(kind.shape, groups)


def _joined(parts: Sequence[str]) -> str:
    return "^" + (parts[0] if len(parts) == 1 else f"(?:{'|'.join(parts)})")


def _is_too_much(pattern: str) -> bool:
    try:
        return len(pattern) > LONGEST_PATTERN or steps(pattern) > MOST_STEPS
    except (NotBounded, re.error):
        return True


def _in_quotes(text: str) -> str:
    return "'" + text.replace("'", "''") + "'"


def _time_key(time: TimeHeard, place: str) -> str:
    form = "" if time.form == "iso" else f", form: {_in_quotes(time.form) if '%' in time.form else time.form}"
    return f"time: {{{place}{form}{_zone(time.zone_s)}}}"


def _zone(seconds: float | None) -> str:
    if seconds is None:
        return ""
    zone = offset(seconds)
    return f", zone: {zone}" if zone == "Z" else f', zone: "{zone}"'


def offset(seconds: float) -> str:
    """Return an offset from UTC as a stay file has it: `+02:00`, `Z` for none."""
    minutes = round(abs(seconds) / 60.0)
    return f"{'-' if seconds < 0 else '+'}{minutes // 60:02d}:{minutes % 60:02d}" if minutes else "Z"
