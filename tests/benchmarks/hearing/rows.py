"""The rows of the table of hearing: what each must reach, and how it is counted."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from .clips import never_trained_on
from .judged_clips import RIGHT, WRONG, Outcome
from .scores import Figure, calibration_error, loss, share

KINDS = ("command", "reading", "step", "paraphrase")
LEVELS: dict[str, float | None] = {"clean": None, "10 dB": 10.0, "5 dB": 5.0}


@dataclass(frozen=True, slots=True)
class Row:
    """A row: its group (a name of --rows), what must hold, what is hoped for, and in which unit."""

    key: str
    group: str
    title: str
    floor: float
    goal: float
    unit: str = "%"
    more: bool = True

    def reaches(self, value: float, limit: float) -> bool:
        """Whether a value is at least as good as a limit."""
        return value >= limit if self.more else value <= limit


def _learner() -> list[Row]:
    wanted = {
        "clean": ((97, 99), (95, 98), (95, 98), (55, 80)),
        "10 dB": ((91, 97), (82, 94), (78, 92), (40, 65)),
        "5 dB": ((82, 92), (68, 85), (62, 82), (25, 50)),
    }
    names = ("commands", "readings", "step phrases", "paraphrases")
    return [
        Row(f"{kind} {level}", "learner", f"new synthetic voices, {level}: {name}", *limits)
        for level, several in wanted.items()
        for kind, name, limits in zip(KINDS, names, several, strict=True)
    ]


ROWS: tuple[Row, ...] = (
    Row("words right", "words", "yes, no, stop, go, on, off of real people: right", 95, 99),
    Row("words wrong", "words", "the same: taken for something else", 0.7, 0.2, more=False),
    Row("others", "others", "other words and noises: taken for anything", 1.5, 0.5, more=False),
    Row("digits", "digits", "four digits in a row, real people never trained on: exact", 95, 99),
    Row("digit readings", "digits", "the same, numbers that a gauge may show: read right", 95, 99),
    Row("standing", "dialogues", "wrong readings that stood after read-back", 2, 0, "", False),
    *_learner(),
    Row("wrong readings", "learner", "wrong readings before read-back, 10 dB", 4, 1, more=False),
    Row("kin", "kin", "fifteen, fifty and kin, 10 dB: wrong without doubt", 0.5, 0.1, more=False),
    Row("accents", "accents", "accents: loss against the rest", 6, 2, "points", False),
    Row("false actions", "talk", "talk, noise, a neighbour: false actions", 4, 1, "an hour", False),
    Row("seconds median", "speed", "segment closed to meaning, median", 0.15, 0.05, "s", False),
    Row("seconds p95", "speed", "the same: 95th percentile", 0.3, 0.1, "s", False),
    Row("memory", "memory", "memory of the whole listening program", 350, 200, "MB", False),
    Row(
        "calibration",
        "calibration",
        "calibration error of its probabilities",
        0.06,
        0.03,
        "",
        False,
    ),
)
"""From the project's own list of what hearing must reach, in its order. Any four digits are no
pressure: what no gauge may show must be heard more surely, so that row is the harder one."""

GROUPS = tuple(dict.fromkeys(row.group for row in ROWS))
CALIBRATED = frozenset({"words", "digits", "digit readings", *KINDS})
HOME = "home"


def clip_figures(found: Sequence[Outcome]) -> dict[str, Figure]:
    """The figures of one engine that come from clips, for the rows its clips allow."""
    rows: dict[str, list[Outcome]] = {}
    for one in found:
        rows.setdefault(one.row, []).append(one)
    figures: dict[str, Figure] = {}
    if words := rows.get("words"):
        figures["words right"] = _share(words, is_right)
        figures["words wrong"] = _share(words, is_wrong)
    if others := rows.get("others"):
        figures["others"] = _share(others, is_wrong)
    for row in ("digits", "digit readings"):
        if new := [o for o in rows.get(row, ()) if o.group in never_trained_on()]:
            figures[row] = _share(new, is_right)
    for kind in KINDS:
        for level, noise_db in LEVELS.items():
            if some := [o for o in rows.get(kind, ()) if o.noise_db == noise_db]:
                figures[f"{kind} {level}"] = _share(some, is_right)
    if numbers := [o for o in rows.get("reading", ()) if o.noise_db == LEVELS["10 dB"]]:
        figures["wrong readings"] = _share(numbers, lambda one: one.wrong_reading)
    if kin := rows.get("kin"):
        figures["kin"] = _share(kin, lambda one: one.wrong_sure)
    if accents := rows.get("accent"):
        figures["accents"] = accent_loss(accents)
    if sure := calibrated(found):
        figures["calibration"] = calibration_error(*sure)
    return figures


def calibrated(
    found: Sequence[Outcome], by_words: bool = False
) -> tuple[list[float], list[bool]] | None:
    """Probability and truth of each utterance in which words were heard and a meaning was due.

    True is what means the right thing, for that is what is acted on; `by_words`: only what was
    heard word for word.
    """
    heard = [o for o in found if o.row in CALIBRATED and o.probability is not None]
    if not heard:
        return None
    right = [o.words_right if by_words else o.meant_right for o in heard]
    return [o.probability or 0.0 for o in heard], right


def accent_loss(found: Sequence[Outcome]) -> Figure:
    """Regional accents and those of other first languages against the voices at home."""
    home = [o for o in found if o.group.startswith(HOME)]
    away = [o for o in found if not o.group.startswith(HOME)]
    right, rest = (sum(map(is_right, some)) for some in (away, home))
    return loss(right, len(away), rest, len(home))


def is_right(one: Outcome) -> bool:
    """What was said would be done, and nothing else."""
    return one.verdict == RIGHT


def is_wrong(one: Outcome) -> bool:
    """Something else would be done."""
    return one.verdict == WRONG


def _share(found: Sequence[Outcome], holds: Callable[[Outcome], bool]) -> Figure:
    return share(sum(map(holds, found)), len(found))


@dataclass(frozen=True, slots=True)
class Detail:
    """One group of clips of one engine at one noise: right, taken for something else, refused."""

    engine: str
    row: str
    group: str
    noise_db: float | None
    of: int
    right: int
    wrong: int
    asked: int
    taken_for: tuple[str, ...]


def details(found: Sequence[Outcome]) -> list[Detail]:
    """By word, speaker, voice, accent and noise, in the order of the clips."""
    groups: dict[tuple[str, str, str, float | None], list[Outcome]] = {}
    for one in found:
        groups.setdefault((one.engine, one.row, one.group, one.noise_db), []).append(one)
    return [
        Detail(
            *key,
            of=len(members),
            right=sum(map(is_right, members)),
            wrong=sum(map(is_wrong, members)),
            asked=sum(o.asks for o in members),
            taken_for=tuple(f"{o.said}: {o.text}" for o in members if is_wrong(o))[:6],
        )
        for key, members in groups.items()
    ]
