"""The report of the benchmark of hearing as markdown, and its place in the README."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import fill
from typing import Any

from .accents import SPEAKERS
from .clips import never_trained_on
from .cost import HANGOVERS_S
from .rows import ROWS, Row

BEGIN, END = "<!-- hearing: begin -->", "<!-- hearing: end -->"
WIDTH = 150
Report = Mapping[str, Any]


def result_table(report: Report) -> str:
    """The rows: floor, goal, each engine's figure with its interval; and where they come from."""
    engines = list(dict.fromkeys(name for row in report["rows"] for name in row["figures"]))
    lines = [
        f"| | floor | goal | {' | '.join(engines)} |",
        "|---|---|---|" + "---|" * len(engines),
    ]
    for row, told in zip(ROWS, report["rows"], strict=True):
        if told["figures"]:
            cells = [_cell(row, told["figures"].get(engine)) for engine in engines]
            lines.append(
                f"| {row.title} | {_limit(row, row.floor)} | {_limit(row, row.goal)} "
                f"| {' | '.join(cells)} |"
            )
    lines += ["", fill(_about(report), WIDTH)]
    lines += [
        fill(f"No figures of {name}: {why}.", WIDTH) for name, why in report["left_out"].items()
    ]
    return "\n".join(lines)


def _about(report: Report) -> str:
    phrase, number = HANGOVERS_S
    plan, parts = report["plan"], []
    if "talk" in plan["rows"]:
        others = plan["minutes"] // 10
        parts.append(f"{plan['minutes']} minutes of talk ({others} for engines but our own)")
    if report["dialogues"]:
        parts.append(f"{plan['dialogues']} dialogues")
    return (
        "In brackets: 95 % bootstrap interval (one-sided exact bound where nothing, or all, was "
        "counted). Bold: reaches the goal; †: short of the floor. "
        f"Before a segment is closed lie {phrase:g} s of silence, {number:g} s where a number is "
        f"awaited. {' and '.join(parts)}{'. ' if parts else ''}"
        f"Commit {report['commit']}; {report['machine']}; Python {report['python']}, "
        f"onnxruntime {report['onnxruntime']}."
    )


def _limit(row: Row, limit: float) -> str:
    return f"{limit:g} {row.unit}".strip()


def _cell(row: Row, figure: Mapping[str, float] | None) -> str:
    if figure is None:
        return "-"
    places = 3 if row.unit == "s" or row.key == "calibration" else 1
    if row.key in {"memory", "standing"}:
        places = 0
    value = f"{figure['value']:.{places}f}"
    shown = f"**{value}**" if row.reaches(figure["value"], row.goal) else value
    if not row.reaches(figure["value"], row.floor):
        shown += "†"
    if row.key == "memory":
        return shown
    return f"{shown} ({figure['low']:.{places}f} to {figure['high']:.{places}f})"


def full_report(report: Report) -> str:
    """The result table, then how it comes apart."""
    parts = [result_table(report)]
    if report["dialogues"]:
        parts.append(_dialogues(report["dialogues"]))
    parts.append(_details(report["details"]))
    parts += [_reliability(name, bins) for name, bins in report["reliability"].items() if bins]
    parts += [
        f"Calibration error against words heard exactly ({engine}): {figure['value']:.3f}."
        for engine, figure in report["calibration_by_words"].items()
    ]
    parts.append(_false_actions(report["false_actions"]))
    parts += [
        f"With `--wake` ({engine}): {figure['value']:.1f} an hour "
        f"({figure['low']:.1f} to {figure['high']:.1f})."
        for engine, figure in report["false_actions_with_wake_word"].items()
    ]
    parts += [
        f"Questions put to talk ({engine}): {figure['value']:.0f} an hour "
        f"({figure['low']:.0f} to {figure['high']:.0f})."
        for engine, figure in report["questions_put_to_talk"].items()
    ]
    parts.append("Seconds: " + ", ".join(f"{k} {v:g}" for k, v in report["seconds"].items()))
    return "\n\n".join(part for part in parts if part)


def _dialogues(row: Report) -> str:
    names = ("stands_right", "stands_wrong", "never_stood", "first_read_back_wrong")
    told = ", ".join(f"{n.replace('_', ' ')} {row[n]['count']} of {row[n]['of']}" for n in names)
    return f"Dialogues (own): {told}."


def _details(found: Sequence[Report]) -> str:
    lines = [
        "| engine | what | who | noise | said | right | something else | asked again | as |",
        "|---|---|---|---|---|---|---|---|---|",
    ]
    for one in found:
        noise = "-" if one["noise_db"] is None else f"{one['noise_db']:g} dB"
        taken = "; ".join(one["taken_for"][:3])
        lines.append(
            f"| {one['engine']} | {one['row']} | {_who(one['group'])} | {noise} | {one['of']} "
            f"| {one['right']} | {one['wrong']} | {one['asked']} | {taken} |"
        )
    return "\n".join(lines)


def _who(group: str) -> str:
    """A speaker of the digits with his accent, and whether he was kept from the network."""
    if group not in SPEAKERS:
        return group
    kept = "never trained on" if group in never_trained_on() else "other takes may be in training"
    return f"{group} ({SPEAKERS[group]}; {kept})"


def _reliability(engine: str, bins: Sequence[Report]) -> str:
    lines = [
        f"| {engine}: probability | utterances | mean probability | right |",
        "|---|---|---|---|",
    ]
    lines += [
        f"| {one['begin']:.1f} to {one['end']:.1f} | {one['count']} "
        f"| {one['mean_probability']:.2f} | {one['share_right']:.2f} |"
        for one in bins
    ]
    return "\n".join(lines)


def _false_actions(found: Sequence[Report]) -> str:
    lines = [f"- {t['engine']}, {t['kind']}: {t['text']!r}: {', '.join(t['acts'])}" for t in found]
    return "\n".join(["False actions:", *lines]) if lines else ""


def written(text: str, table: str) -> str:
    """The text with the part between the two markers replaced; ValueError without them."""
    head, begin, rest = text.partition(BEGIN)
    _, end, tail = rest.partition(END)
    if not begin or not end:
        raise ValueError(f"put {BEGIN} and {END} on lines of their own where the table belongs")
    return f"{head}{BEGIN}\n{table}\n{END}{tail}"
