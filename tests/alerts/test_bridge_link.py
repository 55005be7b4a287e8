"""How alerts go to the bridge over their life, and what it may do to them.

States, categories and counters are those of IMO bridge alert management and IEC 61162-1, from memory.
"""

from dataclasses import replace

import pytest

from alongside.actions import FROM_THE_BRIDGE, Accept, Acknowledge, Action, Silence
from alongside.alerts.bridge.link import BridgeLink
from alongside.alerts.bridge.numbers import IDENTIFIERS
from alongside.alerts.bridge.sent import followed
from alongside.alerts.episodes import episodes_of
from alongside.alerts.model import Event, Standing
from alongside.alerts.state_text import state_word
from alongside.feeds.sentence import said_by, sentence
from alongside.stay.causes import Cause
from alongside.stay.model import AlertsOut
from tests.alerts.bridge import START, Bridge
from tests.feeds.stays import stay_with

OUT = AlertsOut("udp:127.0.0.1:60017", maker="XYZ", commands="udp:60019?from=127.0.0.1")
OLD = AlertsOut("udp:127.0.0.1:60017", form="alr", commands="udp:60019?from=127.0.0.1")


class Ship:
    """A bridge at the end of the line: alerts of one cause on line 3, what was sent, what it asks."""

    def __init__(self, cause: str, settings: AlertsOut = OUT) -> None:
        self.watch = Bridge((cause,))
        self.link = BridgeLink(settings, stay_with())
        self.cause = cause
        self.sent: list[tuple[int, list[str]]] = []
        self.notes: list[Event] = []
        self.actions: list[Action] = []

    def at(self, second: int, word: str = "", *lines: bytes, deed: Action | None = None) -> "Ship":
        """Go on to a second, each of them a cycle; from it on the rule says `word`; `lines` come at it."""
        while self.watch.clock < second:
            at = self.watch.clock + 1
            came = lines if at == second else ()
            now = START + at
            asked, notes = self.link.hear(came, self.watch.watch, now)
            self.notes += notes
            self.actions += asked
            if at == second and word:
                self.watch.say(word)
            done = [*asked, *([deed] if deed is not None and at == second else [])]
            self.watch.until(at, *done)
            for message in self.link.say(self.watch.watch, now):
                for line in message.split(b"\r\n"):
                    if line:
                        self.sent.append((at, said_by(line).decode().split(",")))
        return self

    def of(self, formatter: str) -> list[list[str]]:
        return [fields for _, fields in self.sent if fields[0] == f"II{formatter}"]

    def states(self) -> str:
        """Priority and state of each ALF, first sentences only."""
        return " ".join(f"{f[6]}{f[7]}" for f in self.of("ALF") if f[2] == "1")

    def command(self, deed: str, instance: str = "") -> bytes:
        return sentence(f"CAACN,040000.00,XYZ,{IDENTIFIERS[self.cause]},{instance},{deed},C")  # type: ignore[index]


def test_a_life_from_raised_to_normal() -> None:
    ship = (
        Ship("drift").at(0, "warning").at(70, "alarm").at(90, "", ship_ack("drift")).at(100, "normal").at(400)
    )
    assert ship.states() == "WV AV AA AN"
    first = [fields for fields in ship.of("ALF") if fields[2] == "1"]
    assert [int(fields[11]) for fields in first] == list(range(1, len(first) + 1))
    assert first[-1][7] == "N"
    assert {fields[10] for fields in first} == {"2"}


def ship_ack(cause: str) -> bytes:
    return Ship(cause).command("A")


def test_rectified_unacknowledged_and_normal() -> None:
    ship = Ship("drift").at(0, "alarm").at(80, "normal").at(200)
    assert ship.watch.standing is Standing.RECTIFIED
    assert ship.states().endswith("AV AU")
    ship.at(201, "", ship.command("A")).at(202)
    assert ship.states().endswith("AV AU AN")
    assert not ship.watch.watch.alerts


@pytest.mark.parametrize(
    "cause", ["stretch", "load", "brake", "bollard", "holding", "off_fenders", "under_keel", "parted"]
)
def test_category_a_is_silenced_and_no_more(cause: Cause) -> None:
    ship = Ship(cause).at(0, "alarm").at(70)
    assert ship.watch.standing is Standing.UNACKNOWLEDGED
    ship.at(71, "", ship.command("A"))
    assert ship.watch.standing is Standing.UNACKNOWLEDGED
    assert not ship.actions
    assert ship.of("ARC") == [["IIARC", "040111.00", "XYZ", str(IDENTIFIERS[cause]), "", "A"]]
    ship.at(72, "", ship.command("O"))
    assert ship.watch.standing is Standing.UNACKNOWLEDGED
    assert not ship.actions
    assert ship.of("ARC")[1][5] == "O"
    ship.at(73, "", ship.command("S"))
    assert ship.actions == [Silence(FROM_THE_BRIDGE, cause, "3")]
    assert ship.watch.standing is Standing.SILENCED
    assert ship.states().endswith("AS")
    ship.at(110)
    assert ship.watch.standing is Standing.UNACKNOWLEDGED, "temporary: an alarm sounds again after 30 s"
    assert ship.states().endswith("AS AV")
    assert [note.text.rsplit(": ", 1)[1] for note in ship.notes] == ["refused", "refused"]


def test_category_b_is_acknowledged_from_the_bridge() -> None:
    ship = Ship("gangway").at(0, "alarm").at(70)
    ship.at(71, "", ship.command("A", "2"))
    assert ship.actions == [Acknowledge("gangway", "3", "bridge")]
    assert ship.watch.standing is Standing.ACKNOWLEDGED
    assert ship.states().endswith("AV AA")
    assert not ship.of("ARC")
    assert not ship.notes
    texts = [event.text for event in ship.watch.events if event.event == "acknowledged"]
    assert texts == ["Acknowledged from the bridge: 0 alarm"]
    ship.at(72, "", ship.command("A"))
    assert len(ship.actions) == 1, "acknowledged already: said again, not refused"
    assert ship.states().endswith("AV AA AA")
    assert not ship.of("ARC")
    assert ship.of("ALF")[-1][11] == ship.of("ALF")[-2][11], "nothing has changed"


def test_responsibility_transferred_until_it_worsens() -> None:
    ship = Ship("gangway").at(0, "warning").at(70)
    ship.at(71, "", ship.command("O"))
    assert ship.states().endswith("WV WO")
    assert state_word(ship.watch.alert) == "bridge"
    ship.at(72, "alarm").at(150)
    assert ship.states().endswith("WO AV")
    assert not ship.watch.alert.transferred


def test_a_caution_stands_as_acknowledged_and_takes_no_command() -> None:
    ship = Ship("drift").at(0, "caution").at(80)
    assert ship.states() == "CA"
    for second, deed in enumerate("ASO", 81):
        ship.at(second, "", ship.command(deed))
    assert [fields[5] for fields in ship.of("ARC")] == ["A", "S", "O"]
    assert not ship.actions


def test_an_accepted_alert_stands_as_acknowledged() -> None:
    ship = Ship("steep").at(0, "warning").at(70)
    ship.at(71, "", deed=Accept("steep", "3", START + 3600.0, "short breast", "AB"))
    assert ship.states().endswith("WV WA")


def test_a_command_to_what_does_not_stand_is_refused_and_a_request_after_it_answered() -> None:
    ship = Ship("gangway").at(5, "", Ship("gangway").command("A"))
    assert ship.of("ARC")[0][3:] == [str(IDENTIFIERS["gangway"]), "", "A"]
    ship.at(6, "alarm").at(70).at(71, "normal", ship.command("A")).at(300)
    assert ship.states().endswith("AN")
    ship.at(301, "", ship.command("Q"))
    assert ship.states().endswith("AN AN"), "gone: its last state is said again"
    ship.at(302, "", Ship("clock").command("Q"))
    assert ship.of("ARC")[-1][3] == str(IDENTIFIERS["clock"])


def test_of_several_alerts_one_must_be_named() -> None:
    ship = Ship("gangway")
    ship.watch = Bridge(("gangway",), ("3", "4"))
    ship.at(0, "alarm").at(70)
    ship.at(71, "", ship.command("A"))
    assert not ship.actions
    assert ship.of("ARC")
    ship.at(72, "", ship.command("A", "3"))
    assert ship.actions == [Acknowledge("gangway", "4", "bridge")]
    before = len(ship.of("ALF"))
    ship.at(73, "", sentence("CAACN,040000.00,XYZ,,,Q,C"))
    assert len(ship.of("ALF")) == before + 4, "all, each with its text"
    ship.at(74, "", sentence("CAACN,040000.00,,,,Q,C"))
    assert len(ship.of("ALF")) == before + 8, "asked of the alerts of all makers"
    for other in ("CAACN,040000.00,ABC,,,Q,C", "CAACN,040000.00,,10014,,Q,C", "CAACN,040000.00,,,,A,C"):
        ship.at(75, "", sentence(other))
    assert len(ship.of("ALF")) == before + 8, "not for these alerts"


def test_lists_and_heartbeats_come_in_their_time() -> None:
    ship = Ship("drift").at(100)
    assert [at for at, fields in ship.sent if fields[0] == "IIALC"] == [0, 30, 60, 90]
    assert [at for at, fields in ship.sent if fields[0] == "IIHBT"] == [0, 30, 60, 90]
    assert {fields[4] for fields in ship.of("ALC")} == {"0"}
    assert {fields[2] for fields in ship.of("HBT")} == {"A"}
    ship.at(101, "alarm").at(200)
    last = ship.of("ALC")[-1]
    alf = [fields for fields in ship.of("ALF") if fields[2] == "1"][-1]
    assert last[4:] == ["1", *alf[8:12]]


def test_the_heartbeat_says_when_the_console_fails() -> None:
    ship = Ship("calculation").at(0, "alarm").at(100)
    assert ship.of("HBT")[0][2] == "A"
    assert ship.of("HBT")[-1][2] == "V"


def test_a_port_opened_anew_hears_all_that_stands() -> None:
    ship = Ship("gangway").at(0, "alarm").at(71)
    again = ship.link.say(ship.watch.watch, START + 72, anew=True)
    words = [said_by(line).decode()[2:5] for each in again for line in each.split(b"\r\n") if line]
    assert words == ["ALF", "ALF", "ALC", "HBT"]


def test_escalations_are_counted() -> None:
    ship = Ship("stretch").at(0, "warning").at(300)
    first = [fields for fields in ship.of("ALF") if fields[2] == "1"]
    assert [(fields[6], fields[12]) for fields in first][-2:] == [("W", "0"), ("A", "1")]


def test_revisions_go_from_99_to_1_and_escalations_from_9() -> None:
    watch = Bridge(("gangway",)).say("alarm").until(10)
    (key,) = watch.watch.alerts
    table, _ = followed({}, watch.watch.alerts, START)
    seen = []
    for change in range(1, 250):
        alert = replace(watch.alert, text=str(change), escalated=change % 2 == 1)
        table, changed = followed(table, {key: alert}, START + change)
        assert changed == [table[key]]
        seen.append((table[key].revision, table[key].escalations))
    assert [revision for revision, _ in seen] == [change % 99 + 1 for change in range(1, 250)]
    assert [count for _, count in seen[::2]] == [change % 9 + 1 for change in range(125)]
    table, (gone,) = followed(table, {}, START + 300)
    assert (gone.state, gone.revision) == ("N", seen[-1][0] % 99 + 1)
    table, (back,) = followed(table, watch.watch.alerts, START + 301)
    assert (back.revision, back.escalations) == (gone.revision % 99 + 1, 0)


def test_the_bridge_silences_the_one_alert_and_no_other() -> None:
    ship = Ship("stretch")
    ship.watch = Bridge(("stretch",), ("3", "4"))
    ship.at(0, "alarm").at(70).at(71, "", ship.command("S", "2"))
    stands = {key[1]: alert.standing for key, alert in ship.watch.watch.alerts.items()}
    assert stands == {"3": Standing.SILENCED, "4": Standing.UNACKNOWLEDGED}
    silenced = [event for event in ship.watch.events if event.event == "silenced"]
    assert [(event.alert, event.subject) for event in silenced] == [("stretch", "3")]
    assert silenced[0].text == "Sound silenced from the bridge for 30 s: 0 alarm"
    seen = {each.subject: each.silenced == each.silenced for each in episodes_of(ship.watch.events)}
    assert seen == {"3": True, "4": False}


def test_refusals_are_noted_once_in_ten_minutes_but_always_answered() -> None:
    ship = Ship("stretch").at(0, "alarm").at(70)
    for second in range(71, 91):
        ship.at(second, "", ship.command("A"))
    assert len(ship.of("ARC")) == 20
    assert [note.text for note in ship.notes] == ["Bridge asked to acknowledge line 3 stretch: refused"]


def test_old_receivers_hear_alr_and_answer_by_ack() -> None:
    ship = Ship("gangway", OLD).at(0)
    assert ship.of("ALR") == [["IIALR", "", "", "V", "V", ""]]
    ship.at(1, "alarm").at(29)
    number = ship.of("ALR")[-1][2]
    assert ship.of("ALR")[-1][3:5] == ["A", "V"]
    ship.at(30, "", sentence(f"CAACK,{number}")).at(31)
    assert ship.actions == [Acknowledge("gangway", "3", "bridge")]
    assert ship.of("ALR")[-1][3:5] == ["A", "A"]
    assert {fields[0] for _, fields in ship.sent} == {"IIALR"}
    ship.at(32, "normal").at(300)
    assert ship.of("ALR")[-1] == ["IIALR", "", "", "V", "V", ""]


def test_old_receivers_cannot_acknowledge_category_a() -> None:
    ship = Ship("stretch", OLD).at(0, "alarm").at(70)
    ship.at(71, "", sentence(f"CAACK,{ship.of('ALR')[-1][2]}")).at(120)
    assert not ship.actions
    assert ship.watch.standing is Standing.UNACKNOWLEDGED
    assert [note.text for note in ship.notes] == ["Bridge asked to acknowledge line 3 stretch: refused"]
    assert {fields[0] for _, fields in ship.sent} == {"IIALR"}


def test_counters_go_on_over_a_restart() -> None:
    """Ours: a receiver that remembers a revision must not take another text for the one that it has."""
    ship = Ship("stretch").at(1).at(20, "warning").at(60, "alarm").at(100, "normal")
    ship.at(400)
    counts = ship.link.counts
    revision = int(ship.of("ALF")[-1][11])
    assert [(count.cause, count.subject, count.revision) for count in counts] == [("stretch", "3", revision)]
    assert revision > 2
    again = Ship("stretch")
    again.link = BridgeLink(OUT, stay_with(), counts)
    assert again.at(1).link.counts == counts, "what has not come again is not forgotten"
    again.at(20, "warning").at(60)
    assert int(again.of("ALF")[0][11]) == revision + 1
    assert again.of("ALF")[0][12] == "0", "raised anew: no escalation"


def test_an_escalation_goes_on_over_a_restart_while_the_alert_stands() -> None:
    ship = Ship("stretch").at(1).at(20, "warning").at(300)
    (count,) = ship.link.counts
    assert count.escalations == 1
    ship.link = BridgeLink(OUT, stay_with(), [count])
    ship.sent.clear()
    ship.at(301)
    assert (int(ship.of("ALF")[0][11]), ship.of("ALF")[0][12]) == (count.revision + 1, "1")
