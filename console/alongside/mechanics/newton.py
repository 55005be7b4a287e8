"""One step of Newton's method on a 3 by 3 balance, for many instants at once."""

from typing import Final

import numpy as np

from alongside.readings import Floats

TIE_BREAK: Final = 1e-7
"""kN/m of the spring that draws her to her place where nothing else does."""
FLAT: Final = 1e-9
"""Of the stiffest direction (and at least the tie break): a direction less stiff than this is flat."""


def newton_step(net: Floats, stiffness: Floats, turning: Floats, trust: Floats) -> Floats:
    """Return the steps (3, n) that Newton's method takes from net forces (3, n), second derivatives (6, n)
    and the change of the loads with yaw (3, n), none longer than `trust` (n,)."""
    a, b, c, e, f, i = stiffness
    wx, wy, wt = turning
    xt, yt, tt = c - wx, f - wy, i - wt
    # The matrix [[a b xt] [b e yt] [c f tt]] is solved by its cofactors.
    xx_, xy_, xt_ = e * tt - yt * f, xt * f - b * tt, b * yt - xt * e
    yx_, yy_, yt_ = yt * c - b * tt, a * tt - xt * c, xt * b - a * yt
    tx_, ty_, tt_ = b * f - e * c, b * c - a * f, a * e - b * b
    determinant = a * xx_ + b * yx_ + xt * tx_
    divisor = np.where(determinant > 0.0, determinant, 1.0)
    fx, fy, ft = net / divisor
    step = np.stack(
        (xx_ * fx + xy_ * fy + xt_ * ft, yx_ * fx + yy_ * fy + yt_ * ft, tx_ * fx + ty_ * fy + tt_ * ft)
    )
    odd = np.flatnonzero((determinant <= 0.0) | ((step * net).sum(axis=0) < 0.0))
    if odd.size:
        step[:, odd] = _turned_about(net[:, odd], stiffness[:, odd])
    length = np.sqrt((step * step).sum(axis=0))
    step *= np.minimum(1.0, trust / np.maximum(length, 1e-300))
    return step


def _turned_about(net: Floats, stiffness: Floats) -> Floats:
    """Return steps where the matrix is of no use: its negative directions turned about, so that they go
    downhill."""
    matrix = stiffness[[0, 1, 2, 1, 3, 4, 2, 4, 5]].T.reshape(-1, 3, 3)
    value, vector = np.linalg.eigh(matrix)
    flat = np.maximum(FLAT * np.abs(value).max(axis=1), TIE_BREAK)[:, None]
    along = np.einsum("nji,jn->ni", vector, net)
    step: Floats = np.einsum("nij,nj->in", vector, along / np.maximum(np.abs(value), flat))
    return step


def off_the_crest(stiffness: Floats, turning: Floats) -> Floats:
    """Return (3, n) the direction in sway and yaw in which a ship at rest would fall, NaN where she stands in
    a trough.

    Along the berth nobody falls: there a ship on smooth fenders is as good as free, and the fenders'
    friction, which is left out, holds what little there is.
    """
    across, turn = stiffness[3], stiffness[5] - turning[2]
    coupled = stiffness[4] - 0.5 * turning[1]
    least = 0.5 * (across + turn) - np.hypot(0.5 * (across - turn), coupled)
    falls = least < -np.maximum(FLAT * (np.abs(across) + np.abs(turn)), 10.0 * TIE_BREAK)
    angle = 0.5 * np.arctan2(2.0 * coupled, across - turn) + 0.5 * np.pi
    direction = np.stack((np.zeros_like(angle), np.cos(angle), np.sin(angle)))
    return np.where(falls, direction, np.nan)
