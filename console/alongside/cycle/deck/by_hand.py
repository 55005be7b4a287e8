"""What the watch enters of lines, done one after the other, in both states of what is asked of brakes."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import replace

from alongside.actions import (
    AcceptLearnt,
    Action,
    AddLine,
    AnswerBrake,
    ChangeCargo,
    Correct,
    LetTugGo,
    LineGone,
    MakeFast,
    NameRope,
    PutTug,
    ReadLoad,
    RenewLine,
    SetBrake,
    ShiftLine,
    TendLine,
)
from alongside.alerts.model import Event
from alongside.cycle.brakes.answers import answered, question_over
from alongside.cycle.deck.altered import altered_stay, rig_of, shifted, with_bights
from alongside.cycle.deck.gone import line_gone
from alongside.cycle.deck.learning import learnt_accepted, load_was_read, made_fast_since
from alongside.cycle.deck.line_state import line_state, with_line_state
from alongside.cycle.deck.made_fast import made_fast_anew
from alongside.cycle.deck.model import LineDeed, last_deed, taken_back, with_deed
from alongside.cycle.deck.named_ropes import rope_named
from alongside.cycle.deck.new_line import renewed
from alongside.cycle.deck.notes import by_whom, not_done, taken_back_event
from alongside.cycle.deck.others import OF_DECISIONS, OTHERS, done_to_others
from alongside.cycle.lengths import Lengths, tend_by_hand
from alongside.errors import WrongInput
from alongside.mechanics.arrangement import Arrangement, arrangement_of
from alongside.mechanics.situation import Situation
from alongside.stay.model import Line, Stay
from alongside.wording.figures import force_text
from alongside.wording.safe import safe

Changed = tuple[Lengths, tuple[Event, ...]]
Noted = SetBrake | ReadLoad | AcceptLearnt | NameRope
Lasting = TendLine | AnswerBrake | LineGone | MakeFast | ShiftLine | AddLine | RenewLine | Noted
Others = PutTug | LetTugGo | ChangeCargo
OnALine = Lasting | Correct


def done_by_hand(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, here: Situation, actions: Sequence[Action]
) -> Changed:
    """Do what was entered of lines at one instant, in the order in which it was entered. `stay` is the stay
    file, `arrangement` how its lines lead now."""
    events: tuple[Event, ...] = ()
    for action in actions:
        before, now = lengths.deck, altered_stay(stay, lengths.deck)
        if isinstance(action, Others) or (isinstance(action, Correct) and _is_of_others(now, action)):
            lengths, news = done_to_others(now, lengths, float(here.time[0]), action)
        elif isinstance(action, Correct) and _is_of_decisions(now, action):
            continue  # `cycle.decide_memory` does
        elif isinstance(action, OnALine) and action.line:
            lengths, news = _done(now, arrangement, lengths, here, action)
        else:
            continue
        deck = with_bights(stay, lengths.deck, lengths.gone)
        lengths = lengths if deck is lengths.deck else replace(lengths, deck=deck)
        if lengths.deck != before:
            arrangement = arrangement_of(altered_stay(stay, lengths.deck))
        events += news
    return lengths, events


def _is_of_others(stay: Stay, action: Correct) -> bool:
    return action.line in OTHERS and action.line not in {line.id for line in stay.lines}


def _is_of_decisions(stay: Stay, action: Correct) -> bool:
    return action.line in OF_DECISIONS and action.line not in {line.id for line in stay.lines}


def in_both_states(before: Lengths, changed: Callable[[Lengths], Changed]) -> Changed:
    """Return the lengths after a change, made in both states of what is asked of brakes, and its events."""
    after, events = changed(before)
    if before.brakes.slipped is None:
        return after, events
    slipped = changed(replace(before, unstretched=before.brakes.slipped))[0].unstretched
    return replace(after, brakes=replace(after.brakes, slipped=slipped)), events


def brakes_touched(lengths: Lengths, touched: Collection[str], known: Collection[str], now: float) -> Changed:
    """Return the lengths after some lines were `touched`: what their brakes held before proves nothing.
    Nothing is asked any more of those whose length is `known` in either state."""
    brakes = lengths.brakes
    if not (brakes.questions or brakes.answers):
        return lengths, ()
    events = tuple(question_over(now, each) for each in brakes.questions if each.line in known)
    return replace(lengths, brakes=brakes.without(known).set_anew(touched)), events


def _done(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, here: Situation, action: OnALine
) -> Changed:
    """Do one thing, and remember it where it took effect."""
    ids, now = arrangement.ids, float(here.time[0])
    if action.line not in ids:
        return lengths, (_no_such_line(stay, arrangement, lengths, here, action),)
    index = ids.index(action.line)
    if isinstance(action, Correct):
        return _corrected(stay, lengths, index, now, action)
    after, events = _effect(stay, arrangement, lengths, here, action, index)
    if not events or after is lengths or (events[0].event == "note" and not isinstance(action, Noted)):
        return after, events
    before_it, after_it = (line_state(each, index, action.line) for each in (lengths, after))
    adds = isinstance(action, AddLine)
    deed = LineDeed(action.line, now, _words(events[0], action), before_it, after_it, adds, action.by)
    return replace(after, deeds=with_deed(lengths.deeds, deed)), events


def _no_such_line(
    stay: Stay, arrangement: Arrangement, lengths: Lengths, here: Situation, action: OnALine
) -> Event:
    now = float(here.time[0])
    match action:
        case TendLine():
            return tend_by_hand(stay, arrangement, lengths, here, [action])[1][0]
        case AnswerBrake():
            return answered(stay, arrangement, lengths.unstretched, lengths.brakes, action, now).event
        case _:
            return not_done(now, action.line, "there is no such line")


def _effect(
    stay: Stay,
    arrangement: Arrangement,
    lengths: Lengths,
    here: Situation,
    action: Lasting,
    index: int,
) -> Changed:
    now = float(here.time[0])
    match action:
        case AnswerBrake():
            found = answered(stay, arrangement, lengths.unstretched, lengths.brakes, action, now)
            return replace(lengths, unstretched=found.unstretched, brakes=found.brakes), (found.event,)
        case TendLine():
            after, events = in_both_states(
                lengths, lambda one: tend_by_hand(stay, arrangement, one, here, [action])
            )
            is_done = events[0].event == "tended"
            touched = {action.line} if is_done else set()
            known = touched if action.to_tension_kn is not None else set()
            after, more = brakes_touched(after, touched, known, now)
            return after, events + more
        case LineGone():
            after, event = line_gone(stay, lengths, index, now, action)
            return after, (event,)
        case MakeFast():
            after, events = in_both_states(
                lengths, lambda one: made_fast_anew(stay, arrangement, one, here, index, action)
            )
            brakes, deck = after.brakes.without({action.line}), made_fast_since(after.deck, action.line)
            return replace(after, brakes=brakes, deck=deck if after is not lengths else after.deck), events
        case ReadLoad() | NameRope():
            after, event = (
                load_was_read(stay, lengths, here, index, action)
                if isinstance(action, ReadLoad)
                else rope_named(stay, lengths, index, now, action)
            )
            return after, (event,)
        case AcceptLearnt():
            return _learnt(stay, lengths, index, now, action)
        case SetBrake():
            return _brake_set(stay, lengths, index, now, action)
        case AddLine():
            rig = rig_of(stay.lines[index], lengths.deck)
            other = stay.lines[index].bight_with
            how = f"put out as a bight with line {safe(other)}" if other else "put out"
            words = f"{how} over {safe(rig.fairlead)} to {safe(rig.bollard)}"
            return _fast_there(stay, lengths, here, action, index, stay.lines[index], words)
        case ShiftLine() | RenewLine():
            try:
                line = _other_gear(stay, stay.lines[index], action, now)
            except WrongInput as error:
                return lengths, (not_done(now, action.line, str(error)),)
            words = (
                f"got a new rope {safe(line.rope.name)}"
                if isinstance(action, RenewLine)
                else f"shifted over {safe(line.fairlead)} to {safe(line.bollard)}"
            )
            return _fast_there(stay, lengths, here, action, index, line, words)


def _other_gear(stay: Stay, line: Line, action: ShiftLine | RenewLine, now: float) -> Line:
    if isinstance(action, RenewLine):
        return renewed(stay, line, action, now)
    return shifted(stay, line, action.fairlead, action.bollard)


def _learnt(stay: Stay, lengths: Lengths, index: int, now: float, action: AcceptLearnt) -> Changed:
    """Take what was learnt of a line, in both states; what its brake held before proves nothing."""

    def accepted(one: Lengths) -> Changed:
        after, event = learnt_accepted(stay, one, index, now, action)
        return after, (event,)

    after, events = in_both_states(lengths, accepted)
    if after is lengths or after.deck == lengths.deck:
        return lengths, events
    after, more = brakes_touched(after, {action.line}, (), now)
    return after, events + more


def _brake_set(stay: Stay, lengths: Lengths, index: int, now: float, action: SetBrake) -> Changed:
    """Set a brake to hold another load; what it held before proves nothing."""
    line = stay.lines[index]
    if line.winch is None or not action.holding_kn > 0.0:
        why = "it is on no winch" if line.winch is None else "a brake holds more than nothing"
        return lengths, (not_done(now, action.line, why),)
    rig = replace(rig_of(line, lengths.deck), brake_kn=action.holding_kn)
    after = replace(lengths, deck=lengths.deck.with_rig(line.id, rig))
    load = force_text(action.holding_kn, stay.display)
    text = f"Line {safe(line.id)} brake set to hold {load}{by_whom(action.by)}"
    after, more = brakes_touched(after, {line.id}, (), now)
    return after, (Event(now, "note", line=line.id, value=action.holding_kn, text=text), *more)


def _fast_there(
    stay: Stay,
    lengths: Lengths,
    here: Situation,
    action: ShiftLine | AddLine | RenewLine,
    index: int,
    line: Line,
    words: str,
) -> Changed:
    """Make one line fast as it leads and with the rope that it has now, `line`; `words` say what was done."""
    now = float(here.time[0])
    rig = replace(rig_of(line, lengths.deck), fairlead=line.fairlead, bollard=line.bollard)
    if isinstance(action, RenewLine):
        rig = replace(rig, rope=line.rope, serial=line.serial, rope_since=line.rope_since, learnt=None)
    there = replace(stay, lines=tuple(line if at == index else each for at, each in enumerate(stay.lines)))
    tension = action.tension_kn
    if tension is None and action.length_m is None:
        tension = line.made_fast.tension_kn
    fast = MakeFast(action.line, tension, action.length_m, action.by)
    loose = lengths if lengths.gone[index] else lengths.with_line_let_go(index, now)
    after, events = in_both_states(
        loose, lambda one: made_fast_anew(there, arrangement_of(there), one, here, index, fast)
    )
    if events[0].event == "note":
        return lengths, events
    text = events[0].text.replace(" made fast", f" {words}, made fast", 1)
    deck = made_fast_since(lengths.deck.with_rig(action.line, rig), action.line)
    after = replace(after, deck=deck, brakes=after.brakes.without({action.line}))
    return after, (replace(events[0], text=text),)


def _corrected(stay: Stay, lengths: Lengths, index: int, now: float, action: Correct) -> Changed:
    """Take back the last deed of a line."""
    deed = last_deed(lengths.deeds, action.line)
    if deed is None:
        return lengths, (not_done(now, action.line, "nothing was entered that can be taken back"),)
    state = taken_back(line_state(lengths, index, action.line), deed)
    after = with_line_state(lengths, index, action.line, state)
    deeds = tuple(each for each in lengths.deeds if each is not deed)
    return replace(after, deeds=deeds), (taken_back_event(now, stay.display, deed, action),)


def _words(event: Event, action: Lasting) -> str:
    """Return what was done, without the name of the line and who did it."""
    words = event.text.removeprefix(f"Line {event.line}").lstrip(": ")
    return words.removesuffix(by_whom(action.by)).removesuffix(f", {action.by}" if action.by else "")
