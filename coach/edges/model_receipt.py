"""What a model that was unpacked whole consists of, noted beside it, so that damage is seen later.

The archive was checked by its own SHA-256; its files have none in the manifest. The note has a
line for each file: SHA-256, bytes, path.
"""

from __future__ import annotations

from pathlib import Path

from coach.edges.download import file_sha256

RECEIPT = "receipt.txt"


def write_receipt(folder: Path) -> None:
    """Note every file in the folder as it is now."""
    paths = sorted(path for path in folder.rglob("*") if path.is_file())
    lines = [
        f"{file_sha256(p)} {p.stat().st_size} {p.relative_to(folder).as_posix()}" for p in paths
    ]
    (folder / RECEIPT).write_text("\n".join(lines) + "\n", encoding="utf-8")


def read_receipt(folder: Path) -> tuple[tuple[str, int, str], ...] | None:
    """Name, bytes and SHA-256 of each file that was unpacked; None where nothing was noted.

    A note that cannot be read counts as one of a file that is missing.
    """
    try:
        text = (folder / RECEIPT).read_text(encoding="utf-8")
        rows = [line.split(" ", 2) for line in text.splitlines()]
        return tuple((name, int(size), sha256) for sha256, size, name in rows)
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        return ((RECEIPT, -1, ""),)
