"""A disk that is full, for real: the limit of the file size makes a write fail half-way."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

import pytest


@contextlib.contextmanager
def full_disk(most_bytes: int) -> Iterator[None]:
    """No file grows beyond so many bytes, in this process and in those started meanwhile."""
    resource = pytest.importorskip("resource", reason="only POSIX limits the size of a file")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
