"""How well colours can be read and distinguished, by eyes of all kinds: contrast, simulated
deficiencies of colour vision, and colour distance."""

from typing import Final

import numpy as np

from alongside.readings import Floats

VISIONS: Final[dict[str, Floats]] = {
    "common": np.eye(3),
    "protan": np.array(
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ]
    ),
    "deutan": np.array(
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ]
    ),
    "tritan": np.array(
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ]
    ),
}
"""Linear RGB as seen without one kind of cones: Machado, Oliveira and Fernandes 2009, severity 1.0. From
memory, the same in several public copies."""

_TO_XYZ: Final = np.array(
    [
        [0.4124564, 0.3575761, 0.1804375],
        [0.2126729, 0.7151522, 0.0721750],
        [0.0193339, 0.1191920, 0.9503041],
    ]
)
"""sRGB (IEC 61966-2-1), linear, to CIE XYZ at D65."""
_D65: Final = np.array([0.95047, 1.0, 1.08883])

NAMES: Final = ("black", "red", "green", "yellow", "blue", "magenta", "cyan", "white")
NAMES_16: Final = (*NAMES, *(f"bright_{name}" for name in NAMES))
TERMINALS: Final = {
    name: dict(zip(NAMES_16, (f"#{colour}" for colour in colours.split()), strict=True))
    for name, colours in {
        # The 16 colours of a VGA text screen, and those of xterm: from memory.
        "vga": "000000 aa0000 00aa00 aa5500 0000aa aa00aa 00aaaa aaaaaa"
        " 555555 ff5555 55ff55 ffff55 5555ff ff55ff 55ffff ffffff",
        "xterm": "000000 cd0000 00cd00 cdcd00 0000ee cd00cd 00cdcd e5e5e5"
        " 7f7f7f ff0000 00ff00 ffff00 5c5cff ff00ff 00ffff ffffff",
    }.items()
}


def linear(colour: str) -> Floats:
    """Linear RGB (3,) of `#rrggbb`, 0 to 1."""
    part = np.array([int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)])
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def luminance(colour: str) -> float:
    """Relative luminance of WCAG 2.1."""
    return float(linear(colour) @ [0.2126, 0.7152, 0.0722])


def contrast(one: str, other: str) -> float:
    """Contrast ratio of WCAG 2.1, section 1.4.3."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def lab(rgb: Floats) -> Floats:
    """CIE L*a*b* (3,) at D65 of linear RGB (3,)."""
    xyz = _TO_XYZ @ np.clip(rgb, 0.0, 1.0) / _D65
    f = np.where(xyz > 216.0 / 24389.0, np.cbrt(xyz), (24389.0 / 27.0 * xyz + 16.0) / 116.0)
    return np.array([116.0 * f[1] - 16.0, 500.0 * (f[0] - f[1]), 200.0 * (f[1] - f[2])])


def distance(one: str, other: str, vision: str = "common") -> float:
    """CIEDE2000 between two colours as eyes of a kind see them."""
    seen = VISIONS[vision]
    return ciede2000(lab(seen @ linear(one)), lab(seen @ linear(other)))


def ciede2000(one: Floats, other: Floats) -> float:
    """CIEDE2000 between two colours in L*a*b*: CIE 142-2001 with all weights 1."""
    chroma = (np.hypot(*one[1:]) + np.hypot(*other[1:])) / 2.0
    stretched = 1.0 + 0.5 * (1.0 - np.sqrt(chroma**7 / (chroma**7 + 25.0**7)))
    (c1, h1), (c2, h2) = (_polar(stretched * each[1], each[2]) for each in (one, other))
    grey = c1 * c2 == 0.0
    turn = 0.0 if grey else (h2 - h1 + 180.0) % 360.0 - 180.0
    d_hue = 2.0 * np.sqrt(c1 * c2) * np.sin(np.radians(turn) / 2.0)
    hue = h1 + h2 if grey else (h1 + turn / 2.0) % 360.0
    light, chroma = (one[0] + other[0]) / 2.0, (c1 + c2) / 2.0
    of = [np.cos(np.radians(n * hue + at)) for n, at in ((1, -30.0), (2, 0.0), (3, 6.0), (4, -63.0))]
    t = 1.0 - 0.17 * of[0] + 0.24 * of[1] + 0.32 * of[2] - 0.20 * of[3]
    s_light = 1.0 + 0.015 * (light - 50.0) ** 2 / np.sqrt(20.0 + (light - 50.0) ** 2)
    s_chroma, s_hue = 1.0 + 0.045 * chroma, 1.0 + 0.015 * chroma * t
    rotation = 2.0 * np.sqrt(chroma**7 / (chroma**7 + 25.0**7))
    rotation *= -np.sin(np.radians(60.0 * np.exp(-(((hue - 275.0) / 25.0) ** 2))))
    parts = np.array([(other[0] - one[0]) / s_light, (c2 - c1) / s_chroma, d_hue / s_hue])
    return float(np.sqrt(parts @ parts + rotation * parts[1] * parts[2]))


def _polar(a: float, b: float) -> tuple[float, float]:
    return float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a)) % 360.0)
