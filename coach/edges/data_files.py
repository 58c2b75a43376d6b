"""Where the files that come with the program lie: in the installed package or in a checkout."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from coach.core.errors import MissingError


def data_folder(name: str) -> Path:
    """The folder `name` ("procedures", "models") of an installed program, else of the checkout.

    MissingError when it is in neither place.
    """
    package = Path(str(files("coach")))
    for folder in (package / name, package.parent / name):
        if folder.is_dir():
            return folder
    raise MissingError(
        f"The folder {name} that comes with the program is missing: install the program again."
    )
