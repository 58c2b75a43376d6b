"""Files that are written for the user: never over one that is there."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from coach.core.errors import InputError, MissingError
from coach.edges.lasting import make_owned_folder, open_owned


def write_new(contents: Mapping[Path, str | bytes]) -> None:
    """Write every content, text as UTF-8, into a new file, or none of them.

    InputError if one is there already; MissingError if one cannot be written.
    """
    _write_new(contents, None)


def write_owned(contents: Mapping[Path, bytes]) -> None:
    """As `write_new`, for the owner's eyes only; what is there with the same bytes is left."""
    _write_new({path: new for path, new in contents.items() if not _holds(path, new)}, open_owned)


def check_new(contents: Mapping[Path, bytes]) -> None:
    """InputError if `write_owned` would refuse a place because of what is there."""
    for path, content in contents.items():
        if not _holds(path, content):
            _check_place(path)


def _holds(path: Path, content: bytes) -> bool:
    try:
        return path.read_bytes() == content
    except OSError:
        return False


def _write_new(
    contents: Mapping[Path, str | bytes], opener: Callable[[str, int], int] | None
) -> None:
    for path in contents:
        _check_place(path)
    written: list[Path] = []
    try:
        for path, content in contents.items():
            if opener is None:
                path.parent.mkdir(parents=True, exist_ok=True)
            else:
                make_owned_folder(path.parent)
            with open(path, "xb", opener=opener) as file:
                written.append(path)
                file.write(content.encode("utf-8") if isinstance(content, str) else content)
    except FileExistsError as error:
        _take_back(written)
        raise InputError(
            f"{error.filename or path} is there already: move it away or choose another name."
        ) from None
    except OSError as error:
        _take_back(written)
        reason = error.strerror or error
        raise MissingError(f"{path} cannot be written ({reason}): choose another folder.") from None


def _check_place(path: Path) -> None:
    if path.parent.exists() and not path.parent.is_dir():
        raise InputError(f"{path.parent} is no folder: choose another place for {path.name}.")
    if path.exists() or path.is_symlink():
        raise InputError(f"{path} is there already: move it away or choose another name.")


def _take_back(written: list[Path]) -> None:
    """Half a pair would keep the next attempt from writing both."""
    for path in written:
        path.unlink(missing_ok=True)
