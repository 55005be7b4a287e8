"""The form with which somebody who has looked says whether a doubtful gauge is right."""

from typing import Final, Literal

from alongside.actions import JudgeChannel
from alongside.readings import Quality, Reason
from alongside.screens.form import Form
from alongside.screens.gauge_doubts import chosen_channel, doubted, value_text, witness
from alongside.screens.refusal import Refused
from alongside.screens.view import View
from alongside.wording.names import channel as channel_words
from alongside.wording.safe import safe

_RIGHT: Final = ("right", "gauge")
_WRONG: Final = ("wrong", "table", "plan", "witness")


class JudgeForm(Form):
    fields = (("gauge", "Gauge", 20), ("is", "is right or wrong", 8), ("by", "initials", 6))

    def start_values(self, view: View) -> dict[str, str]:
        row = chosen_channel(view, view.figures)
        return {"gauge": channel_words(row.channel) if row else ""}

    def hint(self, view: View) -> str:
        row = chosen_channel(view, view.figures)
        of = doubted(view.watch, row.channel) if row else None
        who = witness(of.doubt) if of else "what is expected"
        return f"right: go on by the gauge    wrong: by {who}, until it agrees again"

    def read(self, view: View, values: dict[str, str]) -> tuple[JudgeChannel, str]:
        channel = _channel(view, values["gauge"].strip())
        word = values["is"].strip().lower()
        if word not in (*_RIGHT, *_WRONG):
            raise Refused("expected right or wrong")
        right: Literal["gauge", "witness"] = "gauge" if word in _RIGHT else "witness"
        of = doubted(view.watch, channel)
        if of is None:
            raise Refused(f"no witness doubts the gauge {channel_words(channel)}: nothing to say")
        if right == "gauge" and of.doubt.reason is Reason.FROZEN:
            raise Refused("a gauge that does not move will not stay right: say wrong, or wait until it moves")
        by = safe(values["by"]).strip()
        if not by:
            raise Refused("no initials; expected those of who looked")
        value = value_text(channel, of.row.value, view.stay.display)
        deed = f"is right, {value}" if right == "gauge" else f"is wrong, {witness(of.doubt)} is right"
        return JudgeChannel(channel, right, by), f"gauge {channel_words(channel)} {deed}"


def _channel(view: View, text: str) -> str:
    """Return the channel of an id or a name; one that differs in case where no other does."""
    channels = [row.channel for row in view.watch.channels]
    for known in ({name: name for name in channels}, {channel_words(name): name for name in channels}):
        if text in known:
            return known[text]
        alike = [channel for name, channel in known.items() if name.lower() == text.lower()]
        if len(alike) == 1:
            return alike[0]
    doubtful = [channel_words(row.channel) for row in view.watch.channels if row.quality is Quality.SUSPECT]
    there = f"; doubtful are {', '.join(doubtful)}" if doubtful else "; none is doubtful"
    raise Refused(f"no gauge {safe(text)!r}{there}")
