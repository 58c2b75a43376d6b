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
from collections.abc import Mapping
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


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _from_plain(value: Any, hint: Any, place: str) -> Any:
    """A JSON value as the declared type has it; LineError names the place of what does not fit."""
    origin, arguments = get_origin(hint), get_args(hint)
    if origin in (Union, types.UnionType):
        return _from_optional(value, arguments, place)
    if origin is tuple:
        return _from_list(value, arguments, place)
    if origin is not None and issubclass(origin, Mapping):
        return _from_mapping(value, arguments, place)
    if is_dataclass(hint):
        return _from_fields(value, hint, place)
    if issubclass(hint, StrEnum):
        if isinstance(value, str) and value in [member.value for member in hint]:
            return hint(value)
        raise LineError(f"{place}: {value!r} is not one of {', '.join(hint)}.")
    if hint is float and type(value) in (int, float):
        return float(value)
    if hint in (str, bool, int) and type(value) is hint:
        return value
    raise LineError(f"{place}: {value!r} is not of type {hint.__name__}.")


def _from_optional(value: Any, arguments: tuple[Any, ...], place: str) -> Any:
    kinds = [kind for kind in arguments if kind is not type(None)]
    if value is None and len(kinds) < len(arguments):
        return None
    if len(kinds) != 1:
        raise TypeError(f"{place}: a journal line cannot tell {arguments} apart.")
    return _from_plain(value, kinds[0], place)


def _from_list(value: Any, arguments: tuple[Any, ...], place: str) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise LineError(f"{place}: {value!r} is not a list.")
    kinds = arguments if arguments[-1] is not Ellipsis else arguments[:1] * len(value)
    if len(kinds) != len(value):
        raise LineError(f"{place}: {len(value)} values where {len(kinds)} belong.")
    pairs = enumerate(zip(value, kinds, strict=True))
    return tuple(_from_plain(item, kind, f"{place}[{number}]") for number, (item, kind) in pairs)


def _from_mapping(value: Any, arguments: tuple[Any, ...], place: str) -> dict[Any, Any]:
    if not isinstance(value, dict):
        raise LineError(f"{place}: {value!r} is not a mapping.")
    key_kind, item_kind = arguments
    return {
        _from_plain(key, key_kind, f"{place} key"): _from_plain(item, item_kind, f"{place}.{key}")
        for key, item in value.items()
    }


def _from_fields(value: Any, kind: Any, place: str) -> Any:
    if not isinstance(value, dict):
        raise LineError(f"{place}: {value!r} is not an object.")
    hints = _hints(kind)
    unknown = [name for name in value if name not in hints]
    if unknown:
        raise NewerLineError(
            f"{place} has the field {unknown[0]!r}, which this version of the program does not "
            "know. Update the program to read it."
        )
    # A field added later has a default; the lines of before its time do without it.
    missing = [field.name for field in fields(kind) if field.name not in value and _needed(field)]
    if missing:
        raise LineError(f"{place} lacks the field {missing[0]!r}.")
    return kind(
        **{name: _from_plain(item, hints[name], f"{place}.{name}") for name, item in value.items()}
    )


def _needed(field: Any) -> bool:
    return field.default is MISSING and field.default_factory is MISSING
