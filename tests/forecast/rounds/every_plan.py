"""The fewest rounds by trying every plan there is. Whole metres only: bands, lengths and moves are whole, so
that a plan of whole lengths exists wherever any plan does."""

from itertools import combinations, pairwise, product

RANGE = range(-30, 50)


def holds(lo, hi, line, value, begin, end):
    spell = range(begin, min(end, len(lo)))
    return all(lo[k][line] <= value <= hi[k][line] or lo[k][line] > hi[k][line] for k in spell)


def served(lo, hi, line, present, starts, ends, moved, largest):
    """Can one line be kept in band, moving in the rounds `moved` only? `ends`: when each round is done."""
    values, since = {present}, 0
    for j in moved:
        if starts[j] > 0:
            values = {v for v in values if holds(lo, hi, line, v, since, ends[j])}
        values = {w for v in values for w in RANGE if abs(w - v) <= largest}
        since = starts[j]
    return any(holds(lo, hi, line, v, since, len(lo)) for v in values)


def possible(lo, hi, present, starts, gap, largest, per_line, teams):
    lines, rounds = range(len(present)), range(len(starts))
    if any(b - a < gap for a, b in pairwise(starts)):
        return False
    if per_line == 0:
        return all(served(lo, hi, i, present[i], starts, starts, rounds, largest) for i in lines)
    subsets = [c for r in range(len(starts) + 1) for c in combinations(rounds, r)]
    for choice in product(subsets, repeat=len(present)):
        counts = [sum(j in moved for moved in choice) for j in rounds]
        ends = [start + -(-count // teams) * per_line for start, count in zip(starts, counts, strict=True)]
        if any(ends[j] > starts[j + 1] for j in rounds[:-1]):
            continue
        if all(served(lo, hi, i, present[i], starts, ends, choice[i], largest) for i in lines):
            return True
    return False


def fewest(lo, hi, present, gap=0, largest=99, per_line=0, teams=99):
    """The fewest rounds, or None where no number of them serves."""
    for rounds in range(len(lo) + 1):
        for starts in combinations(range(len(lo)), rounds):
            if possible(lo, hi, present, starts, gap, largest, per_line, teams):
                return rounds
    return None
