"""What a form refuses: the reason in words for the watch."""


class Refused(Exception):
    """What was typed cannot be done; the message says what was expected."""
