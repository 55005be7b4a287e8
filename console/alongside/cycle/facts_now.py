"""What alerts say at the last instant of a block: values and texts of now."""

from alongside.alerts.event_text import refreshed
from alongside.alerts.model import Watchlist
from alongside.alerts.text import Facts
from alongside.cycle.block import Block
from alongside.cycle.guard import Guard
from alongside.cycle.memory import Memory
from alongside.forecast.basis import Basis


def watchlist_now(basis: Basis, memory: Memory, block: Block, guard: Guard) -> Watchlist:
    """Return the watchlist with values and texts of the block's last instant, for showing."""
    facts = facts_now(basis, memory, block)
    return refreshed(memory.watchlist, block.assessment.at(facts.row), guard.words(facts))


def facts_now(basis: Basis, memory: Memory, block: Block) -> Facts:
    """Return what texts are made from at the block's last instant."""
    row = len(block.readings) - 1
    return Facts(
        basis.stay,
        block.assessment,
        block.readings,
        row,
        block.hold.lines,
        block.hold.pose,
        block.weak,
        block.unrecorded,
        block.next_limits or (),
        memory.lengths.parted_at(),
        block.filling,
        None if block.others.slipped is None else block.others.slipped.over,
        block.call_fault,
        block.bridge_fault,
        block.due or (),
    )
