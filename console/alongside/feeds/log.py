"""Reading a feed log, plain or gzipped, as a stream: a block at a time, never the whole.

A log that breaks off, in mid-line or in mid-gzip, gives everything before the break and a note of it.
"""

from collections.abc import Iterator
from math import inf
from pathlib import Path
from typing import BinaryIO, Final, NamedTuple

import numpy as np

from alongside.errors import WrongInput
from alongside.feeds.batch import Batch
from alongside.feeds.block import Flags, Framed, Positions, different_texts, frame, one_line_end
from alongside.feeds.clock import BACK_S, CONFIRM_S, LogClock
from alongside.feeds.export_log import ExportLog, export_feed
from alongside.feeds.flaws import Flaw, Flawed, Tally
from alongside.feeds.gzip_cache import in_members
from alongside.feeds.gzip_members import seek_member
from alongside.feeds.gzip_text import Unzipped
from alongside.feeds.sentence import LONGEST, NO_TAG, Tag, read_tags, said_by, split_tags
from alongside.readings import Floats
from alongside.stay.model import Stay
from alongside.stay.plain_file import NotPlain, check_plain
from alongside.units import is_time

BLOCK: Final = 1 << 18
AT_ONCE: Final = 1 << 20
"""Bytes of a plain log that are read at once."""
SETTLE_S: Final = BACK_S + 2.0 * CONFIRM_S
"""From so long before a time on the log is read, so that its clock has believed a time by then."""
_GZIP_MAGIC: Final = b"\x1f\x8b"
_TAGS_KEPT: Final = 8192


class _Tags(dict[bytes, Tag | None]):
    """TAG blocks read lately: sentences of one second often share theirs. None for a wrong one."""

    def __missing__(self, raw: bytes) -> Tag | None:
        if len(self) >= _TAGS_KEPT:
            self.clear()
        tag: Tag | None
        try:
            tag = read_tags(raw)
        except Flawed:
            tag = None
        self[raw] = tag
        return tag


class _Tagged(NamedTuple):
    """What the TAG blocks of k lines say: as in `Batch`, but the time is NaN for none."""

    time: Floats
    sound: Flags
    source: Positions
    sources: tuple[bytes | None, ...]
    sender: Positions
    senders: tuple[str, ...]
    numbered: list[tuple[int, bytes, int]]


class FeedLog:
    """One pass through a feed log from the first line at or after `start`.

        log = FeedLog(path)
        for batch in log:
            ...

    `faults` counts lines the log itself made unusable (their time, their length); `note` says in plain
    words where a log breaks off, "" for a whole one. With `as_written` each line is what stands in the log,
    TAG blocks and all. An export that a feed of `stay` reads is a log too: each row at its own time. Raises
    WrongInput when the file cannot be read at all.
    """

    def __init__(
        self,
        path: str | Path,
        start: float | None = None,
        as_written: bool = False,
        stay: Stay | None = None,
    ) -> None:
        self._as_written = as_written
        self.path = Path(path)
        self.start = start
        self._export = export_feed(stay, self.path)
        self.clock = LogClock(in_steps=self._export is not None)
        self.note = ""
        self.bytes_read = 0
        self._tags = _Tags()

    @property
    def faults(self) -> Tally:
        return self.clock.faults

    @property
    def size(self) -> int:
        """Return bytes of the file, to set `bytes_read` against."""
        return self.path.stat().st_size

    def __iter__(self) -> Iterator[Batch]:
        try:
            check_plain(self.path, "a feed log")
            file = self.path.open("rb")
        except NotPlain as error:
            raise WrongInput(f"{self.path}: {error}") from error
        except OSError as error:
            raise WrongInput(f"{self.path}: {error.strerror or error}, expected a feed log") from error
        with file:
            undecided = b""
            reached = self.start is None
            for block, last in self._blocks(file):
                reached = reached or last or not _all_before(block, self.start)
                if not reached:
                    undecided = block  # the last of these says whether a silence ends in the next
                    continue
                batch, undecided = self._read(undecided + block, last)
                if self.start is not None and len(batch) and batch.time[0] < self.start:
                    batch = batch.where(batch.time >= self.start)
                if len(batch) or batch.gaps:
                    yield batch

    def _blocks(self, file: BinaryIO) -> Iterator[tuple[bytes, bool]]:
        """Blocks of whole lines, each ended by LF, and whether it is the last."""
        rest = b""
        dropping = False
        for chunk in self._chunks(file):
            rest += chunk
            kept_back = b"\r" if rest.endswith(b"\r") else b""
            text = one_line_end(rest[: len(rest) - len(kept_back)])
            whole, line_end, rest = text.rpartition(b"\n")
            rest += kept_back
            if line_end and dropping:
                whole, dropping = whole.partition(b"\n")[2], False
            if line_end and whole:
                yield whole + b"\n", False
            if len(rest) > BLOCK:
                if not dropping:
                    self.faults.count(Flaw.OVERLONG)
                dropping, rest = True, b""
        yield (b"" if dropping else self._last_line(rest.rstrip(b"\r"))), True

    def _last_line(self, line: bytes) -> bytes:
        """Return a last line without its end if it is a whole sentence."""
        if not line:
            return b""
        try:
            said_by(split_tags(line)[1])
        except Flawed:
            self.note = self.note or "breaks off in mid-line; everything before it was read"
            return b""
        return line + b"\n"

    def _chunks(self, file: BinaryIO) -> Iterator[bytes]:
        if self._export is not None:
            begin = -inf if self.start is None else self.start - SETTLE_S
            for text in ExportLog(file, self.path, self._export).texts(begin):
                self.bytes_read = file.tell()
                yield text
            return
        first = file.read(len(_GZIP_MAGIC))
        if first == _GZIP_MAGIC:
            file.seek(0)
            yield from self._unzipped_from_start(file)
            return
        if self.start is not None:
            first = _seek(file, self.start)
        while chunk := first + file.read(AT_ONCE):
            first = b""
            self.bytes_read = file.tell()
            yield chunk

    def _unzipped_from_start(self, file: BinaryIO) -> Iterator[bytes]:
        """Yield what a gzip file holds, from shortly before the start on, where that can be come to."""
        since = -inf if self.start is None else self.start - SETTLE_S
        if seek_member(file, since) or self.start is None:
            yield from self._unzipped(file)
            return
        kept = in_members(file)
        if kept is None:
            file.seek(0)
            yield from self._unzipped(file)
            return
        with kept:
            seek_member(kept, since)
            yield from self._unzipped(kept)

    def _unzipped(self, file: BinaryIO) -> Iterator[bytes]:
        unzipped = Unzipped(file)
        for text in unzipped:
            self.bytes_read = min(file.tell(), self.size)  # one that was packed anew is larger
            yield text
        self.note = unzipped.note

    def _read(self, block: bytes, last: bool) -> tuple[Batch, bytes]:
        """Frame and time a block; hand back the lines that wait for their time to be confirmed."""
        framed = frame(block)
        tagged = self._tagged(block, framed)
        known = len(self.clock.gaps)
        times = self.clock.times(tagged.time, last)
        decided = times.size
        undecided = block[framed.start[decided] :] if decided < tagged.time.size else b""
        cut = tagged.sound & (not self._as_written)
        batch = Batch(
            text=block,
            begin=np.where(cut, framed.body + 1, framed.start)[:decided],
            end=np.where(cut, framed.end - 3, framed.end)[:decided],
            sound=tagged.sound[:decided],
            time=times,
            source=tagged.source[:decided],
            sources=tagged.sources,
            sender=tagged.sender[:decided],
            senders=tagged.senders,
            gaps=tuple(self.clock.gaps[known:]),
            numbered=tuple(each for each in tagged.numbered if each[0] < decided),
        )
        refused = np.isnan(times)
        return (batch.where(~refused) if refused.any() else batch), undecided

    def _tagged(self, block: bytes, framed: Framed) -> _Tagged:
        """Return what the TAG blocks of each line say, and which are sound, TAG blocks included."""
        time, sound = framed.time.copy(), framed.sound.copy()
        plain = np.flatnonzero(framed.plain)
        source, sources = _texts(block, framed.start + 3, framed.comma, plain)
        of_known = plain[framed.sender[plain] < framed.star[plain]]
        sender, addresses = _texts(block, framed.sender, framed.star, of_known)
        by_source = {None: 0} | {text: at for at, text in enumerate(sources, 1)}
        by_sender = {"": 0} | {text.decode("ascii"): at for at, text in enumerate(addresses, 1)}
        numbered: list[tuple[int, bytes, int]] = []
        for at in np.flatnonzero(~framed.plain).tolist():
            start, body, end = int(framed.start[at]), int(framed.body[at]), int(framed.end[at])
            tag = self._tags[block[start:body]] if body > start else NO_TAG
            if tag is None:
                sound[at] = False
            if not sound[at]:
                tag = _careful_tags(block[start : min(end, start + LONGEST)])
            time[at], named, said_by_whom, numbered_by, number = tag or NO_TAG
            source[at] = by_source.setdefault(named, len(by_source))
            sender[at] = by_sender.setdefault(said_by_whom, len(by_sender))
            if number >= 0:
                numbered.append((at, numbered_by, number))
        return _Tagged(time, sound, source, tuple(by_source), sender, tuple(by_sender), numbered)


def _texts(block: bytes, begin: Positions, end: Positions, rows: Positions) -> tuple[Positions, list[bytes]]:
    """Return (k,) which text stands in each row, counted from 1, 0 in rows that are not asked for; and the
    texts."""
    which = np.zeros(begin.size, dtype=np.int64)
    found, texts = different_texts(block, begin[rows], end[rows])
    which[rows] = found + 1
    return which, texts


def _careful_tags(line: bytes) -> Tag:
    """Return TAG blocks of a line in doubt: a backslash may stand in its own text."""
    try:
        return split_tags(line)[0]
    except Flawed:
        return NO_TAG


def _newest_two(block: bytes) -> list[float]:
    """Return times of the last two TAG blocks that bear one."""
    times: list[float] = []
    before = len(block)
    while len(times) < 2 and (before := block.rfind(b"c:", 0, before)) >= 0:
        begin = block.rfind(b"\\", 0, before)
        close = block.find(b"\\", before)
        if begin < 0 or close < 0:
            continue
        try:
            time = read_tags(block[begin : close + 1])[0]
        except Flawed:
            continue
        if is_time(time):
            times.append(time)
    return times


def _all_before(block: bytes, time: float | None) -> bool:
    """Return True if a block may be skipped on the way to a time: its last two times lie well before it."""
    if time is None:
        return False
    newest = _newest_two(block)
    return len(newest) == 2 and max(newest) < time - SETTLE_S


def _seek(file: BinaryIO, time: float) -> bytes:
    """Bring a plain log to a place at or shortly before a time, by halving; returns b"" at that place."""
    low, high = 0, file.seek(0, 2)
    while high - low > BLOCK:
        middle = (low + high) // 2
        file.seek(middle)
        block = one_line_end(file.read(BLOCK // 4))
        if _all_before(block, time):
            low = middle
        else:
            high = middle
    file.seek(low)
    if low:
        file.readline()
    return b""
