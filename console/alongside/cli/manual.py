"""`alongside manual`: the pages of the manual, on board."""

import argparse
import sys
from textwrap import shorten
from typing import Final

from alongside.cli.standard_output import columns_of_terminal, print_rows
from alongside.errors import WrongInput
from alongside.reports.manual_pages import lines_with, page, pages, summary

WIDEST: Final = 100
"""Columns of a page: longer rows are hard to read."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    name = "the page to show, such as ahead; without one the pages are listed"
    parser.add_argument("page", nargs="?", metavar="PAGE", help=name)
    parser.add_argument("--find", metavar="WORD", help="print the lines with a word, by page and heading")


def run(options: argparse.Namespace) -> int:
    if options.find is not None and options.page is not None:
        raise WrongInput("alongside manual: expected a page or --find WORD, not both")
    if options.find is not None:
        print_lines_with(options.find)
    elif options.page is None:
        print_list()
    else:
        print_page(options.page)
    return 0


def print_list() -> None:
    """Print each page with what it is about, a line each."""
    width = max(map(len, pages()))
    for name in pages():
        print_rows(f"{name:{width}}  {shorten(summary(name), WIDEST - width - 2, placeholder=' …')}")


def print_lines_with(word: str) -> None:
    """Print the lines that hold a word. Raises WrongInput where there is none."""
    found = False
    for name, heading, line in lines_with(word):
        found = True
        print_rows(f"{name}: {heading}: {line}")
    if not found:
        raise WrongInput(f"the manual does not say {word!r}; `alongside manual` lists its pages")


def print_page(name: str) -> None:
    """Print a page: with colours on a terminal, else as plain text of at most 100 columns."""
    text = page(name)
    from rich.console import Console
    from rich.markdown import Markdown

    terminal = sys.stdout.isatty()
    width = min(WIDEST, columns_of_terminal()) if terminal else WIDEST
    console = Console(width=width, force_terminal=terminal, color_system="auto" if terminal else None)
    with console.capture() as shown:
        console.print(Markdown(text, hyperlinks=False))
    sys.stdout.write("".join(f"{row.rstrip()}\n" for row in shown.get().splitlines()))
