"""What a browser asks for, read strictly: one request line, headers, nothing else."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

_FIRST: Final = re.compile(rb"([A-Za-z]{1,20}) ([\x21-\x7e]{1,2000}) HTTP/1\.[01]")
_HEADER: Final = re.compile(rb"([!#$%&'*+.^_`|~0-9A-Za-z-]{1,100}):[ \t]*([\t\x20-\x7e\x80-\xff]*)")
_MOST: Final = 64
"""Headers of one request."""


class NoRequest(ValueError):
    """What came is no request."""


@dataclass(frozen=True, slots=True)
class Request:
    """A request without its body, which is never read: `headers` by name in small letters."""

    method: str
    path: str
    query: str
    headers: Mapping[str, str]


def request_of(head: bytes) -> Request:
    """Return the request of which these are the bytes up to the empty line. Raise NoRequest."""
    first, *rows = head.removesuffix(b"\r\n\r\n").split(b"\r\n")
    line = _FIRST.fullmatch(first)
    if line is None or len(rows) > _MOST:
        raise NoRequest
    headers: dict[str, str] = {}
    for row in rows:
        header = _HEADER.fullmatch(row)
        if header is None:
            raise NoRequest
        name = header[1].decode("ascii").lower()
        if name in headers and name != "cookie":
            raise NoRequest  # which of two is meant is a matter of opinion
        value = header[2].decode("latin-1").strip(" \t")
        headers[name] = f"{headers[name]}; {value}" if name in headers else value
    path, _, query = line[2].decode("ascii").partition("?")
    return Request(line[1].decode("ascii"), path, query, headers)
