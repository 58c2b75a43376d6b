"""A data folder's records as one file (ZIP), to carry to another station or to put away.

It holds `about.json` (which lists every file in it with its SHA-256), `register.jsonl`,
`sessions/` with the journals, and `skills/` with the skills' contents; nothing else is taken out.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import re
import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from io import FileIO
from pathlib import Path

from coach.core.errors import InputError, MissingError
from coach.edges.journal_file import SUFFIX
from coach.edges.lasting import flush, flush_folder, open_owned
from coach.edges.register_file import FILE as REGISTER

FORMAT = 1
"""Raised when yesterday's program would misread the file."""

ABOUT = "about.json"

LARGEST_BYTES = 64_000_000
"""Of one file in it; an hour's session takes less than one."""

MOST_FILES = 2_000_000

_NAMES = re.compile(
    r"register\.jsonl(\.torn)?"
    r"|sessions/[0-9A-Za-z][0-9A-Za-z._-]{0,180}\.journal\.jsonl(\.torn)?"
    r"|skills/[0-9a-f]{64}\.json"
)
"""What may be in it: no name leads out of the folder that it is unpacked in."""

_PARTS = (REGISTER, f"{REGISTER}.torn", f"sessions/*{SUFFIX}", f"sessions/*{SUFFIX}.torn")
_SKILLS = "skills/*.json"


@dataclass(frozen=True, slots=True)
class Bundle:
    """The content of a bundle, by the names in it."""

    file: str
    files: Mapping[str, bytes] = field(default_factory=dict)

    def inside(self, folder: str, ending: str) -> dict[str, bytes]:
        """The files of a folder in it that end so, by their names without the folder."""
        return {
            name.removeprefix(f"{folder}/"): content
            for name, content in self.files.items()
            if name.startswith(f"{folder}/") and name.endswith(ending)
        }


def of_data_folder(data: Path, torn: bool) -> Iterator[tuple[str, bytes]]:
    """The records of a data folder, by their names in a bundle; `torn`: with the half lines.

    InputError for a file that cannot be read.
    """
    for pattern in (*_PARTS, _SKILLS):
        for path in sorted(data.glob(pattern)):
            if torn or path.suffix != ".torn":
                name = path.relative_to(data).as_posix()
                if _NAMES.fullmatch(name):
                    yield name, _read(path)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}).") from error


def write_bundle(target: Path, files: Iterator[tuple[str, bytes]], made: str, kind: str) -> int:
    """Write a new file, for its owner only; the number of journals in it.

    InputError if there is one already, MissingError if it cannot be written; nothing half written
    stays, whatever `files` raises.
    """
    if target.exists():
        raise InputError(f"{target} is there already: move it away or choose another name.")
    draft = target.with_name(target.name + ".new")
    listed: dict[str, str] = {}
    try:
        draft.unlink(missing_ok=True)
        with FileIO(draft, "x+", opener=open_owned) as file:
            with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
                for name, content in files:
                    archive.writestr(name, content)
                    listed[name] = hashlib.sha256(content).hexdigest()
                about = {"format": FORMAT, "kind": kind, "made": made, "files": listed}
                archive.writestr(ABOUT, json.dumps(about, indent=1))
            flush(file)
        draft.replace(target)
        flush_folder(target.parent)
    except OSError as error:
        reason = error.strerror or error
        raise MissingError(
            f"{target} cannot be written ({reason}): choose another place."
        ) from None
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
    return sum(name.endswith(SUFFIX) for name in listed)


def read_bundle(path: Path) -> Bundle:
    """The content of a file that `write_bundle` made, or of a folder; all of it checked.

    InputError for anything that is not whole, not of this program, or of a newer one.
    """
    if path.is_dir():
        return _of_folder(path)
    try:
        with zipfile.ZipFile(path) as archive:
            listed = _listed(path, archive)
            files = {name: _content(path, archive, name, sha) for name, sha in listed.items()}
    except FileNotFoundError:
        raise InputError(f"{path} does not exist: check the name.") from None
    except OSError as error:
        raise InputError(f"{path} cannot be read ({error.strerror}).") from error
    # zipfile raises the second for an unknown packing, the third for a password, the last for
    # an end that is missing
    except (zipfile.BadZipFile, NotImplementedError, RuntimeError, EOFError) as error:
        raise InputError(
            f"{path} is no file of `coach records export`, or is not whole ({error})."
        ) from error
    return Bundle(path.name, files)


def _listed(path: Path, archive: zipfile.ZipFile) -> dict[str, str]:
    """The names with their SHA-256, as the file lists them."""
    if ABOUT not in archive.namelist():
        raise InputError(f"{path} is no file of `coach records export`: {ABOUT} is not in it.")
    try:
        about = json.loads(_bytes_of(path, archive, ABOUT))
        version, listed = about["format"], dict(about["files"])
    except (ValueError, KeyError, TypeError) as error:
        raise InputError(f"{path} is damaged: {ABOUT} in it cannot be read.") from error
    if version != FORMAT:
        raise InputError(
            f"{path} was written by a newer version of the program (format {version}; this one "
            f"reads {FORMAT}). Update the program to read it."
        )
    for name in listed:
        if not _NAMES.fullmatch(str(name)):
            raise InputError(f'{path} holds "{name}", which is no part of records: left unread.')
    if len(listed) > MOST_FILES:
        raise InputError(f"{path} holds {len(listed):,} files, too many for records.")
    return listed


def _content(path: Path, archive: zipfile.ZipFile, name: str, sha256: str) -> bytes:
    content = _bytes_of(path, archive, name)
    if hashlib.sha256(content).hexdigest() != sha256:
        raise InputError(f"{path} is damaged: {name} in it was changed.")
    return content


def _bytes_of(path: Path, archive: zipfile.ZipFile, name: str) -> bytes:
    try:
        info = archive.getinfo(name)
    except KeyError:
        raise InputError(f"{path} is damaged: {name} is missing in it.") from None
    if info.file_size > LARGEST_BYTES:
        raise InputError(f"{path} holds {name} of {info.file_size:,} bytes, too large for records.")
    # The size that is told may be a lie: no more than told is read.
    with archive.open(info) as file:
        return file.read(info.file_size)


def _of_folder(folder: Path) -> Bundle:
    """A data folder, or a folder of journals alone."""
    files = dict(of_data_folder(folder, torn=False))
    for path in sorted(folder.glob(f"*{SUFFIX}")):
        name = f"sessions/{path.name}"
        if _NAMES.fullmatch(name):
            files[name] = _read(path)
    if not files:
        raise InputError(f"{folder} holds no journals: name a data folder, or one with journals.")
    return Bundle(folder.name, files)


@contextlib.contextmanager
def writing_into(folder: Path) -> Iterator[None]:
    """Say in words that a folder cannot be written."""
    try:
        yield
    except OSError as error:
        reason = error.strerror or error
        raise MissingError(
            f"{error.filename or folder} cannot be written ({reason}). Free some space, or make "
            f"{folder} writable."
        ) from error
