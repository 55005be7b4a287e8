"""Large letters of half blocks, three rows high, to be read from across the control room.

Five dots high, one to five wide; two dots stand above each other in a cell.
"""

from typing import Final

DOTS: Final = 5
"""Dots a letter is high; two dots share a row, at double size each has a row of its own."""

_SHAPES: Final[dict[str, str]] = {
    "A": ".#. #.# ### #.# #.#",
    "B": "##. #.# ##. #.# ##.",
    "C": ".## #.. #.. #.. .##",
    "D": "##. #.# #.# #.# ##.",
    "E": "### #.. ##. #.. ###",
    "F": "### #.. ##. #.. #..",
    "G": ".### #... #.## #..# .###",
    "H": "#.# #.# ### #.# #.#",
    "I": "# # # # #",
    "J": "..# ..# ..# #.# .#.",
    "K": "#..# #.#. ##.. #.#. #..#",
    "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#",
    "N": "#..# ##.# #.## #..# #..#",
    "O": "### #.# #.# #.# ###",
    "P": "##. #.# ##. #.. #..",
    "Q": ".##. #..# #..# #.#. .#.#",
    "R": "##. #.# ##. #.# #.#",
    "S": ".## #.. .#. ..# ##.",
    "T": "### .#. .#. .#. .#.",
    "U": "#.# #.# #.# #.# ###",
    "V": "#.# #.# #.# #.# .#.",
    "W": "#...# #...# #.#.# ##.## #...#",
    "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.",
    "Z": "### ..# .#. #.. ###",
    "0": ".#. #.# #.# #.# .#.",
    "1": ".# ## .# .# .#",
    "2": "##. ..# .#. #.. ###",
    "3": "##. ..# .#. ..# ##.",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ##. ..# ##.",
    "6": ".## #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ##.",
    " ": ".. .. .. .. ..",
    "-": "... ... ### ... ...",
    "+": "... .#. ### .#. ...",
    ".": ". . . . #",
    "…": "..... ..... ..... ..... #.#.#",
    ",": ".. .. .. .# #.",
    ":": ". # . # .",
    "/": "..# ..# .#. #.. #..",
    "%": "#.# ..# .#. #.. #.#",
    "'": "# # . . .",
    "?": "##. ..# .#. ... .#.",
    "&": ".#.. #.#. .#.. #.## .##.",
}
_HALVES: Final = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def can_be_large(text: str) -> bool:
    """Return whether there is a shape for every character."""
    return all(character in _SHAPES for character in text.upper())


def large(text: str, *, double: bool = False) -> list[str]:
    """Return the rows of large letters: 3 rows of half blocks, or with `double` 5 rows of full blocks twice
    as wide.

    Characters without a shape are left out; ask `can_be_large` first.
    """
    shapes = [_SHAPES[character].split() for character in text.upper() if character in _SHAPES]
    dots = [".".join(shape[row] for shape in shapes) for row in range(DOTS)]
    if double:
        return [row.replace(".", "  ").replace("#", "██") for row in dots]
    dots.insert(0, "." * len(dots[0]))
    return [
        "".join(
            _HALVES[above == "#", below == "#"] for above, below in zip(dots[i], dots[i + 1], strict=True)
        )
        for i in range(0, DOTS, 2)
    ]
