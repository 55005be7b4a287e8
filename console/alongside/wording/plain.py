"""Text from outside, made fit to be shown."""

import unicodedata


def plain(text: str) -> str:
    """Text from outside made fit for a terminal: control characters, which could steer it, replaced."""
    return "".join("�" if unicodedata.category(char) in ("Cc", "Cf", "Cs") else char for char in text)
