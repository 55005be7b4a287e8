"""The conversation with the ship's alert management: alerts in, messages out; its lines in, actions out.

It knows no port: whoever has one hands in the lines that came and sends the messages. Nothing of it decides
anything about alerts but by actions, which are those of the watch and go on record as such.
"""

from collections.abc import Iterable
from math import inf
from typing import Final

from alongside.actions import Action
from alongside.alerts.bridge.commands import Command, ack_in, acn_in, judged
from alongside.alerts.bridge.framing import Framing
from alongside.alerts.bridge.numbers import IDENTIFIERS, Numbers
from alongside.alerts.bridge.sent import Sent, SentCount, counts_of, followed
from alongside.alerts.bridge.sentences import alc, alf, alr, arc, hbt, no_alr
from alongside.alerts.model import Alert, Event, Key, Watchlist
from alongside.alerts.order import worst_first
from alongside.stay.model import Stay
from alongside.stay.model.alerts_out import AlertsOut
from alongside.wording.actions import alert_name
from alongside.wording.bridge import refused_text

MOST_COMMANDS: Final = 50
"""Of one cycle; those beyond are not read."""
NOTED_AGAIN_S: Final = 600.0
"""The same refusal is put on record no sooner than after this."""


class BridgeLink:
    """Says how alerts stand, and takes commands of the bridge. `hear` comes before the cycle that does what
    it returns, `say` after it."""

    def __init__(self, settings: AlertsOut, stay: Stay, counts: Iterable[SentCount] = ()) -> None:
        """`counts`: how far the counters of an earlier watch had come."""
        self._settings = settings
        self._counts = {(count.cause, count.subject): count for count in counts}
        self._numbers = Numbers(stay)
        self._framing = Framing(settings.source)
        self._sent: dict[Key, Sent] = {}
        self._again: dict[Key, None] = {}
        self._all_again = False
        self._refusals: list[bytes] = []
        self._noted: dict[tuple[str, Key], float] = {}
        self._sequence = self._list_sequence = self._heartbeat = -1
        self._list_due = self._heartbeat_due = -inf

    def hear(self, lines: Iterable[bytes], watch: Watchlist, now: float) -> tuple[list[Action], list[Event]]:
        """Return what the watch is to do by commands of the bridge, and notes of what was refused."""
        actions: list[Action] = []
        notes: list[Event] = []
        for line, _ in zip(lines, range(MOST_COMMANDS), strict=False):
            command = self._command(line)
            if command is None:
                continue
            keys = self._keys_of(command, watch)
            if command.deed == "Q" and command.number is None:
                self._all_again = True
            elif command.deed != "Q" and len(keys) != 1:
                self._refuse(command, now)  # gone meanwhile, or not clear which of several is meant
            for key in keys if command.deed == "Q" or len(keys) == 1 else ():
                verdict = "again" if key not in watch.alerts else judged(command, watch.alerts[key])
                if verdict == "refused":
                    self._refuse(command, now)
                    notes += self._note(command, key, now)
                else:
                    self._again[key] = None
                    actions += [] if verdict == "again" else [verdict]
            if command.deed == "Q" and command.number is not None and not keys:
                self._refuse(command, now)
        return actions, notes

    def say(self, watch: Watchlist, now: float, anew: bool = False) -> list[bytes]:
        """Return the messages that are due, each to be sent at once; `anew`: the port was just opened, so
        all that stands is sent."""
        self._sent, changed = followed(self._sent, watch.alerts, now, self._counts)
        due = dict.fromkeys([sent.key for sent in changed] + list(self._again))
        if anew or self._all_again:
            due |= dict.fromkeys(key for key, sent in self._sent.items() if sent.stands)
        messages: list[tuple[bytes, ...]] = []
        if self._settings.form == "alf":
            messages += [(refusal,) for refusal in self._refusals]
        order = {alert.key: place for place, alert in enumerate(worst_first(watch))}
        keys = sorted((key for key in due if key in self._sent), key=lambda key: order.get(key, -1))
        for key in keys:
            messages += self._one(self._sent[key])
        self._again, self._all_again, self._refusals = {}, False, []
        if anew or now >= self._list_due:
            self._list_due = now + self._settings.list_s
            messages += self._list([alert for alert in worst_first(watch) if alert.key in self._sent])
        if self._settings.form == "alf" and (anew or now >= self._heartbeat_due):
            self._heartbeat_due = now + self._settings.heartbeat_s
            self._heartbeat += 1
            well = not any(alert.cause == "calculation" for alert in watch.alerts.values())
            beat = hbt(self._settings.heartbeat_s, well, self._heartbeat, self._settings.talker)
            messages.append((beat,))
        return [self._framing(message) for message in messages]

    @property
    def counts(self) -> tuple[SentCount, ...]:
        """Return how far all counters have come, those of an earlier watch that did not go on among them."""
        earlier = (count for key, count in self._counts.items() if key not in self._sent)
        return (*earlier, *counts_of(self._sent))

    def _command(self, line: bytes) -> Command | None:
        return acn_in(line, self._settings.maker) if self._settings.form == "alf" else ack_in(line)

    def _keys_of(self, command: Command, watch: Watchlist) -> list[Key]:
        """Return the alerts that a command may mean: those that stand; one that has just gone, where it is to
        be sent again."""
        if command.number is None:
            return []
        known = self._sent if command.deed == "Q" else watch.alerts
        return [key for key in known if self._is_meant(command, key)]

    def _is_meant(self, command: Command, key: Key) -> bool:
        if self._settings.form == "alr":
            return self._numbers.local(key) == command.number
        if IDENTIFIERS[key[0]] != command.number:
            return False
        return command.instance is None or self._numbers.instance(key[1]) == command.instance

    def _refuse(self, command: Command, now: float) -> None:
        if command.number is not None:
            which = command.number, command.instance, command.deed
            self._refusals.append(arc(now, *which, self._settings.talker, self._settings.maker))

    def _note(self, command: Command, key: Key, now: float) -> list[Event]:
        """Return the note that a command was refused; none where the same was noted lately."""
        which = command.deed, key
        if now < self._noted.get(which, -inf) + NOTED_AGAIN_S:
            return []
        self._noted[which] = now
        return [Event(now, "note", text=refused_text(command.deed, alert_name(*key)))]

    def _one(self, sent: Sent) -> list[tuple[bytes, ...]]:
        """Return the message of one alert."""
        settings = self._settings
        if settings.form == "alf":
            self._sequence += 1
            instance = self._numbers.instance(sent.key[1])
            return [alf(sent, instance, self._sequence, settings.talker, settings.maker)]
        number = self._numbers.local(sent.key)
        return [] if number is None else [(alr(sent, number, settings.talker),)]

    def _list(self, alerts: list[Alert]) -> list[tuple[bytes, ...]]:
        """Return the list of what stands; for old receivers each alarm again."""
        standing = [self._sent[alert.key] for alert in alerts]
        if self._settings.form == "alr":
            again = [message for sent in standing for message in self._one(sent)]
            return again or [(no_alr(self._settings.talker),)]
        self._list_sequence += 1
        entries = [(sent, self._numbers.instance(sent.key[1])) for sent in standing]
        return [alc(entries, self._list_sequence, self._settings.talker, self._settings.maker)]
