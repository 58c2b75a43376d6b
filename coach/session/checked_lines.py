"""Records as lines of text that are known to be whole: the format of the journal and the register.

A line is one JSON object: `v` the version, `n` the number of the line (0 for the first), `event`
the class, then the fields of the class by their names, and last `crc`, the CRC-32 (ISO 3309, as
in zlib) of the line without it, in eight hex digits. The text is ASCII, so no byte of a text can
end a line early.
"""

from __future__ import annotations

import json
import re
import types
import zlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import MISSING, dataclass, fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, Generic, TypeVar, Union, get_args, get_origin, get_type_hints

_CRC_AT_END = re.compile(r'(?P<body>\{.*),"crc":"(?P<crc>[0-9a-f]{8})"\}', re.DOTALL)

Kind = TypeVar("Kind")


class LineError(ValueError):
    """A line that cannot be read; the message says what is wrong with it."""


class NewerLineError(LineError):
    """A sound line of a newer program."""


@dataclass(frozen=True, slots=True)
class LineFormat(Generic[Kind]):
    """The lines of one kind of file: what it is called, the version, its classes by their names."""

    called: str
    version: int
    kinds: Mapping[str, type]

    def encode(self, record: Kind, sequence: int) -> str:
        """The line of a record, without the line break; `sequence` is its number in the file.

        ValueError for a record whose values are not of the declared types, or not finite: a line
        that could not be read back is never written.
        """
        data = {"v": self.version, "n": sequence, "event": type(record).__name__, **_plain(record)}
        body = json.dumps(data, separators=(",", ":"), allow_nan=False)[:-1]
        line = f'{body},"crc":"{_checksum(body)}"}}'
        if self.decode(line) != (sequence, record):
            raise ValueError(f"{record!r} would not come back from the {self.called} as it is.")
        return line

    def decode(self, line: str) -> tuple[int, Kind]:
        """The number and the record of a line (without its line break).

        LineError for a line that was cut off, changed or not written by this program,
        NewerLineError for one that a newer program wrote.
        """
        found = _CRC_AT_END.fullmatch(line)
        data = _object(line)
        version = data.pop("v", None)
        if type(version) is int and version > self.version:
            raise NewerLineError(
                f"The line was written by a newer version of the program ({self.called} version "
                f"{version}; this one reads up to {self.version}). Update the program to read it."
            )
        if found is None:
            raise LineError("The line has no checksum at its end.")
        if found["crc"] != _checksum(found["body"]):
            raise LineError("The checksum does not fit: the line was changed after it was written.")
        if type(version) is not int or version < 1:
            raise LineError(f"{version!r} is not a {self.called} version.")
        del data["crc"]
        sequence, name = data.pop("n", None), data.pop("event", None)
        if type(sequence) is not int or sequence < 0:
            raise LineError(f"{sequence!r} is not the number of a line.")
        if not isinstance(name, str) or name not in self.kinds:
            raise NewerLineError(
                f"The event {name!r} is not known to this version of the program. "
                "Update the program to read it."
            )
        record: Kind = _from_plain(data, self.kinds[name], name)
        return sequence, record

    def decode_bytes(self, line: bytes) -> tuple[int, Kind]:
        """As `decode`, for the bytes of a line without its break."""
        try:
            return self.decode(line.decode("ascii"))
        except UnicodeDecodeError as error:
            raise LineError("The line is not whole: it holds bytes that are not text.") from error


def whole_lines(data: bytes, form: LineFormat[Any]) -> tuple[list[bytes], int]:
    """The lines without their breaks, a torn last one left out, and how many bytes they span."""
    *lines, tail = data.split(b"\n")
    if tail:
        try:
            form.decode_bytes(tail)
        except LineError:
            return lines, len(data) - len(tail)
        return [*lines, tail], len(data)
    if lines and b"\0" in lines[-1]:
        # After a power cut, parts of the last line that never reached the disk read as zeros.
        return lines[:-1], len(data) - len(lines[-1]) - 1
    return lines, len(data)


def _checksum(body: str) -> str:
    return f"{zlib.crc32(body.encode()):08x}"


def _object(line: str) -> dict[str, Any]:
    try:
        data = json.loads(line)
    except (ValueError, RecursionError) as error:
        raise LineError("The line is not whole: it is not a JSON object.") from error
    if not isinstance(data, dict):
        raise LineError("The line is not a JSON object.")
    return data


def _plain(value: Any) -> Any:
    """A value as JSON has it."""
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, StrEnum):
        return value.value
    if isinstance(value, Mapping):
        return {_plain(key): _plain(item) for key, item in value.items()}
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return value


class _MisfitError(Exception):
    """A value that is not of its type: `told` follows on its `place` in the record."""

    def __init__(self, told: str, kind: type[LineError] = LineError) -> None:
        super().__init__(told)
        self.told = told
        self.kind = kind
        self.place = ""

    def within(self, place: str) -> _MisfitError:
        """The same, of what holds the value."""
        self.place = f"{place}{self.place}"
        return self


Reader = Callable[[Any], Any]
"""Gives a JSON value as the declared type has it; _MisfitError for what does not fit."""


def _from_plain(value: Any, kind: type, place: str) -> Any:
    """A JSON value as the declared type has it; LineError names the place of what does not fit."""
    try:
        return _reader(kind)(value)
    except _MisfitError as misfit:
        raise misfit.kind(f"{place}{misfit.place}{misfit.told}") from None


@cache
def _reader(hint: Any) -> Reader:
    """The types are looked into once; journals have many lines."""
    origin, arguments = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _optional_reader(arguments)
    if origin is tuple:
        return _list_reader(arguments)
    if origin is not None and issubclass(origin, Mapping):
        return _mapping_reader(*arguments)
    if is_dataclass(hint):
        return _fields_reader(hint)
    if issubclass(hint, StrEnum):
        return _choice_reader(hint)
    if hint is float:
        return _float
    if hint in (str, bool, int):
        return _exact_reader(hint)
    raise TypeError(f"A line cannot hold {hint}.")


def _float(value: Any) -> float:
    if type(value) not in (int, float):
        raise _MisfitError(f": {value!r} is not of type float.")
    return float(value)


def _exact_reader(kind: type) -> Reader:
    def read(value: Any) -> Any:
        if type(value) is not kind:
            raise _MisfitError(f": {value!r} is not of type {kind.__name__}.")
        return value

    return read


def _choice_reader(kind: type[StrEnum]) -> Reader:
    members = {member.value: member for member in kind}

    def read(value: Any) -> StrEnum:
        if not isinstance(value, str) or value not in members:
            raise _MisfitError(f": {value!r} is not one of {', '.join(kind)}.")
        return members[value]

    return read


def _optional_reader(arguments: tuple[Any, ...]) -> Reader:
    kinds = [kind for kind in arguments if kind is not type(None)]
    if len(kinds) != 1:
        raise TypeError(f"A line cannot tell {arguments} apart.")
    inner = _reader(kinds[0])
    return lambda value: None if value is None else inner(value)


def _list_reader(arguments: tuple[Any, ...]) -> Reader:
    same = _reader(arguments[0]) if arguments[-1] is Ellipsis else None
    each = [] if same else [_reader(kind) for kind in arguments]

    def read(value: Any) -> tuple[Any, ...]:
        if not isinstance(value, list):
            raise _MisfitError(f": {value!r} is not a list.")
        readers = [same] * len(value) if same else each
        if len(readers) != len(value):
            raise _MisfitError(f": {len(value)} values where {len(readers)} belong.")
        found = []
        for number, (item, reader) in enumerate(zip(value, readers, strict=True)):
            try:
                found.append(reader(item))
            except _MisfitError as misfit:
                raise misfit.within(f"[{number}]") from None
        return tuple(found)

    return read


def _mapping_reader(key_kind: Any, item_kind: Any) -> Reader:
    read_key, read_item = _reader(key_kind), _reader(item_kind)

    def read(value: Any) -> dict[Any, Any]:
        if not isinstance(value, dict):
            raise _MisfitError(f": {value!r} is not a mapping.")
        found = {}
        for key, item in value.items():
            try:
                known = read_key(key)
            except _MisfitError as misfit:
                raise misfit.within(" key") from None
            try:
                found[known] = read_item(item)
            except _MisfitError as misfit:
                raise misfit.within(f".{key}") from None
        return found

    return read


def _fields_reader(kind: Any) -> Reader:
    hints = get_type_hints(kind)
    # A field added later has a default; the lines of before its time do without it.
    needed = [field.name for field in fields(kind) if _needed(field)]
    # A class may hold itself: what reads a field is made when the field is first met.
    readers: dict[str, Reader] = {}

    def read(value: Any) -> Any:
        if not isinstance(value, dict):
            raise _MisfitError(f": {value!r} is not an object.")
        if value.keys() != hints.keys():
            _check_names(value, hints, needed)
        found = {}
        for name, item in value.items():
            reader = readers.get(name)
            if reader is None:
                reader = readers[name] = _reader(hints[name])
            try:
                found[name] = reader(item)
            except _MisfitError as misfit:
                raise misfit.within(f".{name}") from None
        return kind(**found)

    return read


def _check_names(value: Mapping[str, Any], known: Mapping[str, Any], needed: Sequence[str]) -> None:
    unknown = next((name for name in value if name not in known), None)
    if unknown is not None:
        raise _MisfitError(
            f" has the field {unknown!r}, which this version of the program does not "
            "know. Update the program to read it.",
            NewerLineError,
        )
    missing = next((name for name in needed if name not in value), None)
    if missing is not None:
        raise _MisfitError(f" lacks the field {missing!r}.")


def _needed(field: Any) -> bool:
    return field.default is MISSING and field.default_factory is MISSING
