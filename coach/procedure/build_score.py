"""The score that a step works out, from checked content, and what is wrong with one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from coach.core.units import Quantity
from coach.procedure.filler import Filler, texts
from coach.procedure.model import Scored, ScoreSpec
from coach.procedure.resolve import listed, mapping
from coach.procedure.wording import Mistake, did_you_mean, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.birth_score import Sign
from coach.trade.consciousness import Scale

PARTS: Mapping[Scored, tuple[str, ...]] = {
    Scored.CONSCIOUSNESS: ("eye", "verbal", "motor"),
    Scored.BIRTH: tuple(Sign),
}
"""How the readings of a score's parts are named."""

_SCALES = {"adult": Scale.ADULT, "infant": Scale.INFANT}


def score_from(
    step_id: str, written: Mapping[str, Json], present: frozenset[str], filler: Filler
) -> ScoreSpec:
    """What is worked out, as written; steps that are not `present` vanish."""
    named = texts(written.get("from")) or (step_id,)
    return ScoreSpec(
        of=Scored(str(written["of"])),
        parts=tuple(step for step in named if step in present),
        scale=_SCALES[str(written.get("scale", "adult"))],
        minute=int(filler.number(written["minute"])) if "minute" in written else 1,
    )


def score_mistakes(
    root: dict[str, Json], path: Path, written: dict[str, Json], own_id: Json
) -> Iterator[Mistake]:
    """What is wrong with the score of a step or variant: unknown steps and parts."""
    score, steps = mapping(written.get("score")), listed(root.get("steps"))
    if not score:
        return
    where, here = place(root, path), (*path, "score")
    ids = [str(mapping(step).get("id")) for step in steps]
    named = listed(score.get("from")) or [own_id]
    for number, step in enumerate(named):
        if isinstance(step, str) and step not in ids:
            yield (
                (*here, "from", number),
                f"'score' of {where} names '{step}', which is no step: "
                f"{did_you_mean(step, ids, 'steps')}",
            )
    parts = PARTS.get(_scored(score.get("of")), ())
    counts = set(_counts([step for step in steps if mapping(step).get("id") in named]))
    missing = [part for part in parts if part not in counts]
    if missing:
        yield (
            here,
            f"'score' of {where} has no number for '{missing[0]}': give one of its steps a reading "
            f"of quantity 'count' with the name '{missing[0]}'.",
        )


def minute_mistakes(
    root: dict[str, Json], path: Path, score: dict[str, Json], minutes: Sequence[int]
) -> Iterator[Mistake]:
    """What is wrong with the minute of a score at `path`; `minutes` are those of a newborn's."""
    minute, where = score.get("minute"), place(root, path[:-1])
    is_birth = score.get("of") == Scored.BIRTH
    never = isinstance(minute, int | float) and minute not in minutes
    if never or (is_birth and minute is None):
        yield (
            path if minute is None else (*path, "minute"),
            f"'score' of {where} needs the 'minute' at which a newborn is scored: one of "
            f"{', '.join(map(str, minutes))}.",
        )


def _scored(value: Json) -> Scored:
    return Scored.BIRTH if value == Scored.BIRTH else Scored.CONSCIOUSNESS


def _counts(steps: Sequence[Json]) -> Iterator[str]:
    """The names of the counts that these steps ask for, with whatever choice."""
    for step in map(mapping, steps):
        for layer in (step, *map(mapping, listed(step.get("variants")))):
            for reading in map(mapping, listed(layer.get("readings"))):
                if reading.get("quantity") == Quantity.COUNT:
                    yield str(reading.get("name"))
