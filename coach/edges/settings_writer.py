"""The settings file written: what is remembered or forgotten, and all else as its owner wrote it.

ruamel.yaml keeps comments, order and quotation marks. The file is replaced as a whole, so that
after a crash it is the old one or the new, and only its owner can read it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from io import StringIO
from pathlib import Path
from typing import Any

from coach.core.errors import InputError, MissingError
from coach.edges.folders import SETTINGS_VARIABLE, settings_file
from coach.edges.lasting import make_owned_folder, replace_owned
from coach.edges.setting_values import check_setting
from coach.edges.settings_text import read_settings

HEADING = "# Settings of the hands-free skill coach, one a line; see `coach settings`.\n"


def remember(values: Mapping[str, str], environ: Mapping[str, str]) -> Path:
    """Write these settings into the settings file, and give its path.

    InputError for a setting or value that does not fit, and for a file that is no settings file;
    MissingError where it cannot be written.
    """
    for name, value in values.items():
        check_setting(name, value)
    return _changed(settings_file(environ), values, ())


def forget(names: Collection[str], environ: Mapping[str, str]) -> tuple[str, ...]:
    """Take these settings out of the settings file; the names of those that stood there."""
    path = settings_file(environ)
    there = tuple(name for name in names if name in read_settings(_text(path), path))
    if there:
        _changed(path, {}, there)
    return there


def _changed(path: Path, values: Mapping[str, str], gone: Collection[str]) -> Path:
    # A link is followed: whoever keeps his settings elsewhere means that file.
    path = path.resolve()
    if path.exists() and not path.is_file():
        # A device would be replaced by a file, for the whole machine.
        raise InputError(
            f"{path} is no ordinary file, so nothing is written: set {SETTINGS_VARIABLE} to one."
        )
    text = _text(path)
    before = {name: given.text for name, given in read_settings(text, path).items()}
    wanted = {name: value for name, value in {**before, **values}.items() if name not in gone}
    new = _written(text, values, gone)
    after = {name: given.text for name, given in read_settings(new, path).items()}
    if after != wanted:
        raise InputError(
            f"{path} is written in a way that cannot be changed without losing something: change "
            "it by hand."
        )
    content = new.replace("\n", "\r\n") if "\r\n" in text else new
    try:
        make_owned_folder(path.parent)
        replace_owned(path, content.encode("utf-8"))
    except OSError as error:
        raise MissingError(
            f"{path} cannot be written ({error.strerror}): make it writable, or set "
            f"{SETTINGS_VARIABLE} to another file."
        ) from error
    return path


def _text(path: Path) -> str:
    try:
        return path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        return ""
    except OSError as error:
        raise MissingError(f"{path} cannot be read ({error.strerror}).") from error
    except UnicodeDecodeError as error:
        raise InputError(f"{path} is not a text file in UTF-8: save it as such.") from error


def _written(text: str, values: Mapping[str, str], gone: Collection[str]) -> str:
    """The text with these values and without those names."""
    from ruamel.yaml import YAML  # loaded only where something is written

    yaml = YAML()
    yaml.preserve_quotes = True
    yaml.width = 4096
    tree: Any = yaml.load(text)
    if tree is None:  # no setting yet, perhaps comments
        kept = text if not text or text.endswith("\n") else f"{text}\n"
        tree, text = yaml.map(), kept or HEADING
    else:
        text = ""
    for name in gone:
        tree.pop(name, None)
    for name, value in values.items():
        tree[name] = value
    out = StringIO()
    if tree:
        yaml.dump(tree, out)
    return (text + out.getvalue()).replace("\r\n", "\n")
