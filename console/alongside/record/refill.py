"""What a watch that goes on fills again from its record: means of the gauges, charts."""

from collections.abc import Sequence
from math import inf
from pathlib import Path

import numpy as np

from alongside.cycle.chart_history import Past
from alongside.cycle.past_series import series_names
from alongside.cycle.trends import marks
from alongside.feeds.batch import Batch
from alongside.feeds.intake import Intake, memory_of_intake
from alongside.feeds.log import FeedLog
from alongside.feeds.sentence import tag_name
from alongside.forecast.basis import Basis
from alongside.mechanics.situation import situation_of
from alongside.readings import Floats, watched_channels
from alongside.record.feedfiles import feed_logs
from alongside.record.states import States


def warm(intake: Intake, folder: Path, until: float, now: float) -> None:
    """Let an intake take the feed logs from shortly before `until` on, so that means, spikes and freezes are
    as without the break. A feed whose strictest channel would be lost by now starts anew, as after any long
    silence: what is lost because nobody listened is no news of the gauge. One that was silent for less keeps
    what it said before its silence."""
    silence = max((source.lost_s for feed in intake.stay.feeds for source in feed.channels), default=0.0)
    begin = until - memory_of_intake(intake.stay) - silence
    batches = [batch for path in feed_logs(folder, begin, until) for batch in FeedLog(path, begin)]
    newest: dict[bytes | None, float] = {}
    for batch in batches:
        for at in np.unique(batch.source).tolist():
            newest[batch.sources[at]] = float(batch.time[batch.source == at][-1])
    fresh = {
        tag_name(feed.name)
        for feed in intake.stay.feeds
        if feed.channels
        and newest.get(tag_name(feed.name), -inf) > now - min(source.lost_s for source in feed.channels)
    }
    for batch in batches:
        intake.take_batch(_of_feeds(batch, fresh))


def _of_feeds(batch: Batch, feeds: set[bytes]) -> Batch:
    wanted = np.array([source in feeds for source in batch.sources])
    return batch.where(wanted[batch.source])


def restore(past: Past, basis: Basis, channels: Sequence[str], states: Sequence[States]) -> None:
    """Fill the past with even states of an earlier run."""
    names = series_names(basis, channels)
    for piece in states:
        past.add(piece.time, _columns(piece, names, basis.arrangement.ids, set(watched_channels(channels))))


def _columns(states: States, names: Sequence[str], lines: Sequence[str], channels: set[str]) -> Floats:
    readings = states.readings()
    quality = situation_of(states.stay, readings).quality
    lengths = np.stack([states.numbers(f"unstretched_m.{line}") for line in lines], axis=1)
    steps = marks(lines, readings, lengths, states.hold().without, quality)
    numbers = {name: states.numbers(f"value.{name}" if name in channels else name) for name in names}
    return np.stack([steps.get(name, numbers[name]) for name in names], axis=1)
