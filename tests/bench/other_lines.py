"""One more line for sixteen: spare ropes over free fairleads, on free winches and bitts, to the bollards of
the first example."""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from alongside.cli.examples import example_stay
from alongside.forecast.basis import Basis
from alongside.forecast.other_lines.arrange import best_arrangement
from alongside.forecast.other_lines.one_more import one_more_line
from alongside.forecast.present import Present
from alongside.stay.model import Point, SpareRope, Stay, Winch
from alongside.stay.read import read_stay
from tests.bench.forecast import Figure, _sixteen_lines, best_ms

FAIRLEADS = {
    "F8": Point(179.0, -8.0, 19.6),
    "F9": Point(172.5, -12.8, 19.6),
    "F0": Point(163.0, -15.2, 17.2),
    "A0": Point(19.0, -15.0, 17.2),
    "A8": Point(6.5, -12.6, 17.2),
    "A9": Point(-2.6, -4.5, 17.2),
}
ON = {
    "P1": Winch(Point(176.0, -4.0, 19.6), swl_kn=700.0),
    "P2": Winch(Point(165.0, -10.0, 17.2), swl_kn=700.0),
    "W8": Winch(Point(170.0, -6.0, 20.2), brake_kn=384.0),
    "P3": Winch(Point(19.0, -9.0, 17.2), swl_kn=700.0),
    "P4": Winch(Point(2.0, -4.0, 17.2), swl_kn=700.0),
    "V8": Winch(Point(11.0, -8.0, 18.0), brake_kn=384.0),
}


def run() -> Iterator[Figure]:
    basis, present = with_spares()
    found = one_more_line(basis, present, ahead=False)
    yield "leads that break no limit, for 16 lines", float(found.tried), ""
    yield "  left out by a limit", float(sum(found.left_out.values())), ""
    yield (
        "one more line, without rounds",
        best_ms(partial(one_more_line, basis, present, ahead=False), 3),
        "ms",
    )
    yield "  with the rounds of four forecasts", best_ms(partial(one_more_line, basis, present), 2), "ms"
    stay = read_stay(example_stay("product_jetty"))
    yield "best of all arrangements, 12 lines at a jetty", best_ms(partial(best_arrangement, stay), 1), "ms"
    yield "  of so many", float(best_arrangement(stay).count or 0), ""
    stay = read_stay(example_stay("coal_berth"))
    yield "best found, 14 lines at a quay", best_ms(partial(best_arrangement, stay), 1), "ms"


def with_spares() -> tuple[Basis, Present]:
    basis, present = _sixteen_lines(balance=True)
    stay: Stay = basis.stay
    ship = replace(
        stay.ship, fairleads={**stay.ship.fairleads, **FAIRLEADS}, winches={**stay.ship.winches, **ON}
    )
    rope, tail = stay.lines[0].rope, stay.lines[0].tail
    spare = (SpareRope(rope, 220.0, 2, tail), SpareRope(rope, 200.0, 2))
    return Basis.of(replace(stay, ship=ship, spare_ropes=spare)), present
