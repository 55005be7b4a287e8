"""A watch that was cut off goes on as if it had not been."""

from pathlib import Path

from console.actions import Acknowledge, Silence, TendLine
from tests.record.kept import Watch, flood_stay, shown, words

ACTIONS = {
    500: Acknowledge("stretch", "2", by="TK"),
    520: TendLine("2", paid_out=0.4, by="TK"),
    1010: Silence("TK"),
    1040: TendLine("1", paid_out=-0.2, by="RB"),
}


def test_resumed_equals_uninterrupted_state_by_state(tmp_path: Path) -> None:
    """Cut off and started again without a pause at several instants: every Picture after it is the same."""
    stay = flood_stay(tmp_path)
    whole = Watch(stay, None).run(1300, ACTIONS)
    assert {"raised", "worsened", "acknowledged", "silenced"} <= set(words(whole.last.log))
    folder = tmp_path / "record"
    pictures = []
    second = 0.0
    for upto in (346, 445, 515, 560, 940, 1020, 1300):
        part = Watch(stay, folder, second).run(upto - int(second), ACTIONS)
        pictures += part.pictures
        part.kill()
        second = part.second
    differing = [p.time for p, q in zip(pictures, whole.pictures, strict=True) if shown(p) != shown(q)]
    assert differing == []
    told = [event for event in part.last.log if event.event not in ("started", "gap", "note")]
    assert told == [event for event in whole.last.log if event.event not in ("started", "gap", "note")]
