"""A change of a local program that makes a patient less safe needs its reason, said aloud."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from coach.procedure.skill_texts import LONGEST_SAY
from coach.procedure.spoken_length import spoken_words
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json, Path
from coach.trade.wording import counted

KEY = "weakens"
"""The key of the reason."""


def weakening_mistakes(
    path: Path, where: str, written: Mapping[str, Json], weaker: str, rule: str = "a safety rule"
) -> Iterator[Mistake]:
    """What is wrong with the reason of a change: none where one is due, one too many, too long.

    `where` names the change at `path`, `weaker` tells in words how it weakens `rule`; "" if it
    does not.
    """
    if weaker and KEY not in written:
        yield (
            path,
            f"{where} weakens {rule} ({weaker}): say why in '{KEY}', which the coach says aloud, "
            "or take the change out.",
        )
    if KEY in written and not weaker:
        yield (
            (*path, KEY),
            f"{where} weakens nothing: take '{KEY}' out, and say in 'because' why it differs.",
        )
    yield from unspeakable_reason(path, where, written)


def unspeakable_reason(path: Path, where: str, written: Mapping[str, Json]) -> Iterator[Mistake]:
    """A reason that is too long to be said aloud."""
    reason = written.get(KEY)
    words = spoken_words(reason) if isinstance(reason, str) else 0
    if words > LONGEST_SAY:
        yield (
            (*path, KEY),
            f"'{KEY}' of {where} has {counted(words, 'spoken word')}, and is said aloud: keep to "
            f"{LONGEST_SAY}.",
        )
