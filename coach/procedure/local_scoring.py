"""What a local program does otherwise with an attempt: points, time, passing, a safety failure."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from coach.procedure.resolve import listed, mapping, or_zero
from coach.procedure.weakening import weakening_mistakes
from coach.procedure.wording import Mistake
from coach.procedure.yaml_tree import Json, Path

OF_RULE = (
    *("step-points", "safety-points", "late", "out-of-order", "wrong-number", "unsaid"),
    *("hints", "ready-from"),
)
"""What of the rule of scoring a program may set. How surely something has to be heard is none of
it: that depends on the ear."""

KEPT_SHARES = ("late", "out-of-order", "wrong-number", "unsaid")
"""Shares that a step keeps; the higher, the milder."""

HERE: Path = ("scoring",)


@dataclass(frozen=True, slots=True)
class ScoringChange:
    """A program's own scoring: `values` go into the rule, by their names in `scoring.yaml`.

    `time_limit_s` is called in an attempt (0: left to the setting), `safety_failure` is "counts" or
    "ends" ("" leaves it to the setting). `weaker` tells each value that passes an attempt more
    easily than published, `weakens` is the program's reason for that.
    """

    because: str
    values: Mapping[str, Json] = field(default_factory=dict)
    time_limit_s: float = 0.0
    safety_failure: str = ""
    weaker: tuple[str, ...] = ()
    weakens: str = ""

    def told(self, ends: bool) -> str:
        """In a few words, to be said before an attempt: what is otherwise.

        `ends`: an unsafe act ends this one, whoever set it so.
        """
        parts = []
        if "ready-from" in self.values:
            parts.append(f"ready is from {100 * or_zero(self.values['ready-from']):.0f} percent")
        if ends:
            parts.append("an unsafe act ends the attempt at once")
        if any(name in self.values for name in OF_RULE if name != "ready-from"):
            parts.append("points count its own way")
        return " and ".join(parts[-2:]) if len(parts) < 3 else ", ".join(parts)

    def lines(self) -> Iterator[str]:
        """For print: each value, then the reasons."""
        yield from (f"{name}: {_shown(value)}" for name, value in self.values.items())
        if self.time_limit_s:
            yield f"time-limit: {self.time_limit_s:g} seconds"
        if self.safety_failure:
            yield f"safety-failure: {self.safety_failure}"
        yield f"because: {self.because}"


def scoring_change(
    written: Mapping[str, Json], published: Mapping[str, Json]
) -> ScoringChange | None:
    """The change of a file that has passed every check; None where it has none."""
    if not written:
        return None
    return ScoringChange(
        because=str(written["because"]),
        values={name: written[name] for name in OF_RULE if name in written},
        time_limit_s=or_zero(written.get("time-limit")),
        safety_failure=str(written.get("safety-failure", "")),
        weaker=tuple(_weaker(written, published)),
        weakens=str(written.get("weakens", "")),
    )


def scoring_mistakes(
    written: Mapping[str, Json], published: Mapping[str, Json]
) -> Iterator[Mistake]:
    """What the schema cannot see: nothing changed, or a rule weakened without its reason."""
    if not written:
        return
    if not written.keys() & {*OF_RULE, "time-limit", "safety-failure"}:
        yield HERE, "'scoring' changes nothing: add what your program scores otherwise, or drop it."
        return
    weaker = "; ".join(_weaker(written, published))
    yield from weakening_mistakes(HERE, "'scoring'", written, weaker, "the published rule")


def _weaker(written: Mapping[str, Json], published: Mapping[str, Json]) -> Iterator[str]:
    """Each value by which an attempt passes more easily than by the published rule."""
    merged = {**published, **{name: written[name] for name in OF_RULE if name in written}}
    if or_zero(merged.get("ready-from")) < or_zero(published.get("ready-from")):
        yield _instead("ready-from", merged, published)
    for name in KEPT_SHARES:
        if or_zero(merged.get(name)) > or_zero(published.get(name)):
            yield _instead(name, merged, published)
    pairs = zip(listed(merged.get("hints")), listed(published.get("hints")), strict=False)
    if any(or_zero(mine) > or_zero(theirs) for mine, theirs in pairs):
        yield _instead("hints", merged, published)
    if _safety_weight(merged) < _safety_weight(published):
        yield "a safety step counts less against another step than published"


def _safety_weight(rule: Mapping[str, Json]) -> float:
    plain = or_zero(rule.get("step-points"))
    return or_zero(rule.get("safety-points")) / plain if plain else 0.0


def _instead(name: str, mine: Mapping[str, Json], theirs: Mapping[str, Json]) -> str:
    return f"{name} {_shown(mine[name])} instead of {_shown(theirs[name])}"


def _shown(value: Json) -> str:
    if isinstance(value, Sequence) and not isinstance(value, str):
        return ", ".join(map(_shown, value))
    return f"{or_zero(value):g}"


def scoring_of(root: Mapping[str, Json]) -> Mapping[str, Json]:
    """What a program's file has of it."""
    return mapping(root.get("scoring"))
