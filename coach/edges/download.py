"""Fetching one file over the network into a `.part` file that a later call takes up again."""

from __future__ import annotations

import hashlib
import http.client
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable
from pathlib import Path

from coach.core.errors import MissingError

BLOCK = 1 << 16
TIMEOUT_S = 30.0
_PARTIAL = 206
_RANGE_REFUSED = 416

Progress = Callable[[int, int], None]
"""Called with the bytes that are there and the bytes awaited (0 when unknown)."""


class UnreachableError(MissingError):
    """A place on the network gave no file; another may."""


def file_sha256(path: Path) -> str:
    """SHA-256 of a file's content, in hexadecimal."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def download(address: str, part: Path, expected_bytes: int, progress: Progress) -> None:
    """Fetch `address` into `part`, going on where an earlier call was broken off.

    UnreachableError names the host (never the whole address) when the network, the host or the
    connection fails; what came until then stays in `part`.
    """
    host = urllib.parse.urlsplit(address).hostname or "the given place"
    try:
        _fetch(address, part, expected_bytes, progress)
    except (urllib.error.URLError, http.client.HTTPException, TimeoutError, ConnectionError) as why:
        reason = getattr(why, "reason", None) or why
        raise UnreachableError(f"{host} could not be reached or gave no file ({reason})") from why
    if expected_bytes and part.stat().st_size < expected_bytes:
        raise UnreachableError(f"{host} broke off the connection")


def _fetch(address: str, part: Path, expected_bytes: int, progress: Progress) -> None:
    there = part.stat().st_size if part.exists() else 0
    if expected_bytes and there >= expected_bytes:
        return
    request = urllib.request.Request(address, headers={"User-Agent": "hands-free-skill-coach"})
    if there:
        request.add_header("Range", f"bytes={there}-")
    try:
        answer = urllib.request.urlopen(request, timeout=TIMEOUT_S)
    except urllib.error.HTTPError as refused:
        if refused.code != _RANGE_REFUSED or not there:
            raise
        part.unlink()
        _fetch(address, part, expected_bytes, progress)
        return
    with answer:
        goes_on = answer.status == _PARTIAL
        there = there if goes_on else 0
        with part.open("ab" if goes_on else "wb") as file:
            while block := answer.read(BLOCK):
                file.write(block)
                there += len(block)
                progress(there, expected_bytes)
