"""The class table in words and rows: for the terminal, for paper and for other programs."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from coach.core.plain import Fields
from coach.records.class_table import Cell, ClassTable, Pair, StepCounts
from coach.records.statistics import Agreement
from coach.rehearsal.outlook import Standing

SIGNS = {Standing.READY: "R", Standing.FADING: "F", Standing.NOT_YET: "n", Standing.NEVER: "-"}
"""What stands for a state in a narrow table."""

NAMES = {
    Standing.READY: "ready",
    Standing.FADING: "fading",
    Standing.NOT_YET: "not yet",
    Standing.NEVER: "never tried",
}

MEANINGS = (
    "Ready: done alone, clean and without a hint, and not failed since. Fading: so it was, but the "
    "chance has fallen below what is aimed at. Not yet: tried, and not clean, or not the last time."
)

AFTER_NOW = "Dated after now, so not counted: is the clock of this machine right?"

NOBODY = (
    "Nobody is in the register yet: coach records roster FILE.csv takes a class in, and a name "
    "given to coach practice by --learner is added."
)
MOST_STEPS, MOST_PAIRS = 12, 12
"""As many as are looked at; the CSV has all."""

NO_WIDTH = 1e-6
"""Below this the interval of kappa is none: where all agree, or one of the two gave only one mark,
the large-sample error is nought, however few the marks."""

COLUMNS = ("learner", "skill", "state", "started", "way", "share", "attempts", "chance")
"""Of the CSV: one row a learner and skill; the share (0 to 1) is that of the attempt which speaks
for the state, and `chance` (0 to 1) is empty where it is not known."""


def page_text(table: ClassTable) -> str:
    """The whole on a terminal."""
    return "\n\n".join(
        part
        for part in (
            f"A class of {len(table.people)}, {table.made[:10]}.",
            "" if table.people else NOBODY,
            _skills(table),
            _grid(table),
            titled(AFTER_NOW, after_now_lines(table)),
            titled("Missed most, in each learner's last attempt alone:", steps_lines(table)),
            titled("Who could practise with whom:", pair_lines(table)),
            agreement_words(table),
        )
        if part
    )


def titled(title: str, lines: list[str]) -> str:
    """A title over its lines; nothing where there are none."""
    return "\n".join([title, *(f"  {line}" for line in lines)]) if lines else ""


def skill_words(table: ClassTable, skill: str) -> str:
    """How many of the class are what in a skill."""
    counts = ((table.count(skill, state), NAMES[state]) for state in Standing)
    return ", ".join(f"{count} {name}" for count, name in counts if count)


def cell_words(cell: Cell) -> str:
    """What speaks for a cell: day, way and share; "" for nothing."""
    if cell.evidence is None:
        return ""
    return f"{cell.evidence.started[:10]}, {cell.evidence.way}, {100 * cell.evidence.share:.0f} %"


def after_now_lines(table: ClassTable, shown: Callable[[str], str] = str) -> list[str]:
    """Whose last attempt at what is dated after now; names as they are `shown`."""
    return [
        f"{shown(person.called)}, {skill}: {cell_words(cell)}"
        for person in table.people
        for skill in table.skills
        if (cell := table.cells[person.id, skill]).after_now
    ]


def steps_lines(table: ClassTable) -> list[str]:
    """The steps that are missed most, with counts and intervals."""
    return [step_words(one) for one in table.steps[:MOST_STEPS]]


def step_words(one: StepCounts) -> str:
    """How the class does a step."""
    low, high = 100 * one.interval.low, 100 * one.interval.high
    told = f"{one.skill}, {one.name}: missed {one.missed} of {one.of} ({low:.0f} to {high:.0f} %)"
    if one.wrong:
        told += f", late or out of order {one.wrong}"
    return f"{told}, unclear {one.unclear}" if one.unclear else told


def pair_lines(table: ClassTable, shown: Callable[[str], str] = str) -> list[str]:
    """Who could help whom, in what; names as they are `shown`."""
    called = {person.id: shown(person.called) for person in table.people}
    return [_pair_words(pair, called) for pair in table.pairs[:MOST_PAIRS]]


def _pair_words(pair: Pair, called: dict[str, str]) -> str:
    helps = [
        f"{called[who]} helps in {_few(skills)}"
        for who, skills in ((pair.one, pair.one_helps_in), (pair.other, pair.other_helps_in))
        if skills
    ]
    return f"{called[pair.one]} and {called[pair.other]}: {'; '.join(helps)}."


def _few(skills: tuple[str, ...]) -> str:
    more = f" and {len(skills) - 3} more" if len(skills) > 3 else ""
    return ", ".join(skills[:3]) + more


def agreement_words(table: ClassTable) -> str:
    """How far the coach and people agree, on the steps that both marked."""
    found = table.agreement
    marks = "1 mark" if table.settled == 1 else f"{table.settled} marks"
    settled = f" People settled {marks} that the coach had left unclear." if table.settled else ""
    if not found.of:
        nobody = "Nobody has judged an attempt beside the coach yet (coach judge)."
        return settled.lstrip() or nobody
    attempts = "1 attempt" if table.judged == 1 else f"{table.judged} attempts"
    told = f"Coach and people gave {found.same} of {found.of} marks alike, in {attempts}"
    return f"{told}{_kappa(found)}{settled}"


def _kappa(found: Agreement) -> str:
    if found.kappa is None or found.interval is None:
        return "; all were one and the same mark, so kappa cannot be told."
    low, high = found.interval.low, found.interval.high
    if high - low < NO_WIDTH:
        return f": kappa {found.kappa:.2f}, and these marks cannot tell how surely."
    return f": kappa {found.kappa:.2f} ({low:.2f} to {high:.2f})."


def csv_rows(table: ClassTable) -> Iterator[tuple[str, ...]]:
    """The rows of the CSV, by learner and skill."""
    for person in table.people:
        for skill in table.skills:
            cell = table.cells[person.id, skill]
            evidence = cell.evidence
            yield (
                person.called,
                skill,
                cell.state.value,
                evidence.started if evidence else "",
                evidence.way if evidence else "",
                f"{evidence.share:.4f}" if evidence else "",
                str(cell.attempts),
                "" if cell.chance is None else f"{cell.chance:.4f}",
            )


def as_json(table: ClassTable) -> Fields:
    """Everything by its name."""
    return {
        "made": table.made,
        "cells": [dict(zip(COLUMNS, row, strict=True)) for row in csv_rows(table)],
        "steps": [
            {
                "skill": one.skill,
                "step": one.step,
                "name": one.name,
                "missed": one.missed,
                "late_or_out_of_order": one.wrong,
                "of": one.of,
                "unclear": one.unclear,
                "low": round(one.interval.low, 4),
                "high": round(one.interval.high, 4),
            }
            for one in table.steps
        ],
        "pairs": [
            {
                "one": table.called(pair.one),
                "other": table.called(pair.other),
                "one_helps_in": list(pair.one_helps_in),
                "other_helps_in": list(pair.other_helps_in),
            }
            for pair in table.pairs
        ],
        "agreement": {
            "attempts": table.judged,
            "same": table.agreement.same,
            "of": table.agreement.of,
            "kappa": table.agreement.kappa,
            "low": table.agreement.interval.low if table.agreement.interval else None,
            "high": table.agreement.interval.high if table.agreement.interval else None,
            "settled": table.settled,
        },
    }


def _skills(table: ClassTable) -> str:
    width = max(map(len, table.skills), default=0)
    return "\n".join(
        f"{number:3} {skill:{width}}  {skill_words(table, skill)}"
        for number, skill in enumerate(table.skills, start=1)
    )


def _grid(table: ClassTable) -> str:
    if not table.skills or not table.people:
        return ""
    width = min(max(len(person.called) for person in table.people), 40)
    heads = " ".join(f"{number:2}" for number in range(1, len(table.skills) + 1))
    lines = [f"{'':{width}}  {heads}"]
    for person in table.people:
        cells = (SIGNS[table.cells[person.id, skill].state] for skill in table.skills)
        name = person.called if len(person.called) <= width else f"{person.called[: width - 3]}..."
        lines.append(f"{name:{width}}  " + " ".join(f"{sign:>2}" for sign in cells))
    told = ", ".join(f"{SIGNS[state]} {NAMES[state]}" for state in Standing)
    return "\n".join([*lines, f"{told}."])
