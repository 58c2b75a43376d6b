"""The speech models on this machine: which there are, where they lie, and how one gets here.

A model is put together in a folder of its own beside its place and moved there in one step, so it
is never half there; its files are taken only when their SHA-256 is that of `models/manifest.yaml`.
"""

from __future__ import annotations

import os
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

import yaml

from coach.core.errors import InputError, MissingError
from coach.edges.data_files import data_folder
from coach.edges.download import Progress, UnreachableError, download, file_sha256
from coach.edges.folders import MODELS, user_data_folder
from coach.edges.lasting import make_owned_folder
from coach.edges.model_receipt import read_receipt, write_receipt

FOLDER_VARIABLE = "COACH_MODELS"
"""Environment variable that names another folder for fetched models."""

DEFAULT_STAYS = "The recogniser that comes with the program needs nothing and still works."


class State(StrEnum):
    """Whether a model can be used."""

    INSIDE = "comes with the program"
    FETCHED = "fetched"
    ABSENT = "not fetched"
    DAMAGED = "damaged"


@dataclass(frozen=True, slots=True)
class ModelFile:
    """One file of a model: its name, size in bytes and SHA-256 in hexadecimal."""

    name: str
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Source:
    """A place a model comes from: a zip archive (`sha256` of the whole, if known) or a folder."""

    address: str
    is_archive: bool
    size: int = 0
    sha256: str | None = None


@dataclass(frozen=True, slots=True)
class ModelEntry:
    """A model of the manifest; `inside` is its folder beneath models/ if it comes with us."""

    name: str
    engine: str
    language: str
    licence: str
    about: str
    files: tuple[ModelFile, ...] = ()
    sources: tuple[Source, ...] = ()
    inside: str | None = None

    @property
    def size(self) -> int:
        """Bytes on disk, or of the archive where the files are not listed one by one."""
        return sum(file.size for file in self.files) or max(s.size for s in self.sources)


def _ignore(_there: int, _awaited: int) -> None:
    """Progress nobody looks at."""


def read_manifest(path: Path | None = None) -> tuple[ModelEntry, ...]:
    """The models of `models/manifest.yaml`; MissingError when it is not there or not readable."""
    path = path or data_folder("models") / "manifest.yaml"
    try:
        tree = yaml.safe_load(path.read_text(encoding="utf-8"))
        return tuple(_entry(model) for model in tree["models"])
    except (OSError, UnicodeDecodeError, yaml.YAMLError, KeyError, TypeError, ValueError) as why:
        raise MissingError(
            f"{path} is missing or damaged ({why}): install the program again."
        ) from why


def _entry(model: dict[str, Any]) -> ModelEntry:
    return ModelEntry(
        name=model["name"],
        engine=model["engine"],
        language=model["language"],
        licence=model["licence"],
        about=model["about"],
        files=tuple(
            ModelFile(file["name"], int(file["bytes"]), file["sha256"])
            for file in model.get("files", ())
        ),
        sources=tuple(
            Source(
                address=source.get("archive") or source["folder"],
                is_archive="archive" in source,
                size=int(source.get("bytes", 0)),
                sha256=source.get("sha256"),
            )
            for source in model.get("sources", ())
        ),
        inside=model.get("inside"),
    )


def find_model(name: str) -> ModelEntry:
    """The model of that name; InputError lists the names there are."""
    entries = read_manifest()
    for entry in entries:
        if entry.name == name:
            return entry
    names = ", ".join(entry.name for entry in entries)
    raise InputError(f"There is no speech model named {name}: use one of {names}.")


def models_folder() -> Path:
    """Where fetched models lie: COACH_MODELS, or the user's data folder."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen:
        return Path(chosen).expanduser()
    return user_data_folder(os.environ) / MODELS


def model_path(entry: ModelEntry) -> Path:
    """The folder the model's files lie in, or would lie in."""
    if entry.inside:
        return data_folder("models") / entry.inside
    return models_folder() / entry.name


def model_state(entry: ModelEntry, thorough: bool = False) -> State:
    """Whether the model is there and whole: by size, and with `thorough` by SHA-256 as well."""
    folder = model_path(entry)
    if not folder.is_dir():
        return State.DAMAGED if entry.inside else State.ABSENT
    for file in entry.files or _unpacked_files(folder):
        path = folder / file.name
        if not path.is_file() or path.stat().st_size != file.size:
            return State.DAMAGED
        if thorough and file_sha256(path) != file.sha256:
            return State.DAMAGED
    return State.INSIDE if entry.inside else State.FETCHED


def _unpacked_files(folder: Path) -> tuple[ModelFile, ...]:
    """The files of a model that was unpacked whole; none where it was put there by hand."""
    return tuple(ModelFile(*row) for row in read_receipt(folder) or ())


def way_out(entry: ModelEntry) -> str:
    """What to do about a damaged model."""
    if entry.inside:
        return "install the program again"
    return f"fetch it again with: coach models fetch {entry.name}"


def whole_model(entry: ModelEntry) -> Path:
    """The folder of a model that is there; MissingError when a SHA-256 differs or it is absent."""
    state = model_state(entry, thorough=True)
    if state is State.ABSENT:
        raise MissingError(f"The model {entry.name} is not here: coach models fetch {entry.name}.")
    if state is State.DAMAGED:
        raise MissingError(
            f"The model {entry.name} in {model_path(entry)} is damaged (a file is missing or its "
            f"SHA-256 is not the one it should be): {way_out(entry)}. {DEFAULT_STAYS}"
        )
    return model_path(entry)


def fetch(entry: ModelEntry, given: Path | None = None, progress: Progress = _ignore) -> Path:
    """Bring a model here from a file the user has (`given`) or from its sources; its folder.

    MissingError when no source can be reached, the disk is full or a hash is wrong; InputError
    when `given` is no archive with the model in it. Nothing that worked before is touched then.
    """
    if entry.inside:
        if model_state(entry, thorough=True) is State.INSIDE:
            return model_path(entry)
        raise MissingError(
            f"The model {entry.name} comes with the program and is damaged: "
            "install the program again."
        )
    if model_state(entry, thorough=True) is State.FETCHED and given is None:
        return model_path(entry)
    try:
        if not os.environ.get(FOLDER_VARIABLE):
            # What is recorded beside the models is for its owner's eyes only.
            make_owned_folder(models_folder().parent)
        models_folder().mkdir(parents=True, exist_ok=True)
        if given is not None:
            _install(entry, given, _sole_hash(entry))
        else:
            _fetch_from_sources(entry, progress)
    except OSError as why:
        raise MissingError(
            f"{entry.name} could not be written to {models_folder()} ({why.strerror or why}): "
            f"make room, or name another folder in {FOLDER_VARIABLE}. {DEFAULT_STAYS}"
        ) from why
    return model_path(entry)


def _sole_hash(entry: ModelEntry) -> str | None:
    """The hash of the archive of a model whose files are not listed one by one."""
    return None if entry.files else entry.sources[0].sha256


def _fetch_from_sources(entry: ModelEntry, progress: Progress) -> None:
    reasons = []
    for number, source in enumerate(entry.sources):
        part = models_folder() / f"{entry.name}.{number}.part"
        try:
            if source.is_archive:
                download(source.address, part, source.size, progress)
                _install(entry, part, source.sha256)
            else:
                _install_folder(entry, source, part, progress)
        except UnreachableError as why:
            reasons.append(str(why))
        except (MissingError, InputError) as why:
            # What was fetched is wrong: going on from it could never mend it.
            reasons.append(str(why).rstrip("."))
            part.unlink(missing_ok=True)
        else:
            part.unlink(missing_ok=True)
            return
    raise MissingError(
        f"{entry.name} was not fetched: {'; '.join(reasons)}. Try again with a network, or give "
        f"a file you have with --from FILE. {DEFAULT_STAYS}"
    )


def _install_folder(entry: ModelEntry, source: Source, part: Path, progress: Progress) -> None:
    """Fetch the files one by one beside the place, and install them when the last one is whole."""
    singles = {}
    for file in entry.files:
        single = singles[file.name] = part.with_name(f"{part.name}.{file.name}")
        download(source.address + file.name, single, file.size, progress)
        if file_sha256(single) != file.sha256:
            single.unlink()
            raise MissingError(_wrong(file.name))
    with _prepared(entry) as folder:
        for name, single in singles.items():
            single.replace(folder / name)


def _install(entry: ModelEntry, archive: Path, sha256: str | None) -> None:
    """Check an archive, unpack the model into a fresh folder and move that to its place."""
    if not archive.is_file():
        raise InputError(f"{archive} does not exist or is no file: check the name.")
    if sha256 is not None and file_sha256(archive) != sha256:
        raise MissingError(f"{_wrong(archive.name)}. {DEFAULT_STAYS}")
    try:
        with zipfile.ZipFile(archive) as packed, _prepared(entry) as folder:
            if entry.files:
                _take_files(entry, packed, folder)
            else:
                _take_all(packed, folder)
    except (zipfile.BadZipFile, EOFError) as why:
        raise InputError(
            f"{archive} is no zip archive or is damaged ({why}): fetch it again."
        ) from why


def _take_files(entry: ModelEntry, packed: zipfile.ZipFile, folder: Path) -> None:
    members = {Path(name).name: name for name in packed.namelist() if not name.endswith("/")}
    for file in entry.files:
        if file.name not in members:
            raise InputError(
                f"{Path(packed.filename or '').name} holds no {file.name}: "
                f"it is not an archive of {entry.name}."
            )
        target = folder / file.name
        with packed.open(members[file.name]) as inside, target.open("wb") as out:
            shutil.copyfileobj(inside, out)
        if file_sha256(target) != file.sha256:
            raise MissingError(f"{_wrong(file.name)}. {DEFAULT_STAYS}")


def _take_all(packed: zipfile.ZipFile, folder: Path) -> None:
    """Unpack everything, without the one folder that most archives wrap around it."""
    packed.extractall(folder)
    inner = list(folder.iterdir())
    if len(inner) == 1 and inner[0].is_dir():
        for path in list(inner[0].iterdir()):
            path.replace(folder / path.name)
        inner[0].rmdir()
    write_receipt(folder)


@contextmanager
def _prepared(entry: ModelEntry) -> Iterator[Path]:
    """A fresh folder that becomes the model's when the block ends well, and vanishes if not."""
    place = model_path(entry)
    with tempfile.TemporaryDirectory(dir=models_folder(), prefix=f".{entry.name}-") as work:
        fresh = Path(work) / "new"
        fresh.mkdir()
        yield fresh
        if place.exists():
            place.replace(Path(work) / "old")
        fresh.replace(place)


def _wrong(name: str) -> str:
    return f"{name} is not the file it should be (its SHA-256 differs), so it was not taken"
