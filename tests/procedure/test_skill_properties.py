"""Any lawful skill file is read and resolves; no text, however broken, does worse than problems."""

from __future__ import annotations

from copy import deepcopy
from itertools import product
from typing import Any

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from skill_samples import (
    DIALOGUES_SCHEMA,
    FACTS,
    LOCAL,
    LOCAL_SCHEMA,
    SAMPLE,
    TALK,
    parsed,
    parsed_facts,
    sample_table,
)

from coach.core.units import UNITS_OF, Quantity
from coach.procedure.bibliography import bibliography
from coach.procedure.dialogue_file import parse_dialogues
from coach.procedure.fact_references import FACT, NO_FACT
from coach.procedure.local_facts import parse_local_facts
from coach.procedure.plain_numbers import PLAIN_NUMBER
from coach.procedure.skill_file import SkillFile

NAMES = st.from_regex(r"\A[a-z][a-z0-9]{0,5}(-[a-z0-9]{1,4})?\Z").filter(
    lambda name: name not in (FACT, NO_FACT)
)
FEW = 4
"""Words of a text: a reason is told with the name of a step, and both may name settings."""

WORDS = (
    st.text(
        st.characters(codec="utf-8", categories=["L", "P", "Zs"], exclude_characters="{}"),
        min_size=1,
        max_size=30,
    )
    .map(lambda text: f"word {text}")
    .filter(lambda text: not PLAIN_NUMBER.search(text) and len(text.split()) <= FEW)
)


@st.composite
def references(draw: st.DrawFn, choices: dict[str, list[str]]) -> str:
    """A text that may name a setting or its fact."""
    text = draw(WORDS)
    if draw(st.booleans()) and choices:
        setting = draw(st.sampled_from(sorted(choices)))
        text += f" {{{setting}{draw(st.sampled_from(['', '.limit']))}}} "
    return text


@st.composite
def whens(draw: st.DrawFn, choices: dict[str, list[str]]) -> dict[str, Any]:
    """A condition on one or two settings."""
    names = draw(st.lists(st.sampled_from(sorted(choices)), min_size=1, max_size=2, unique=True))
    result: dict[str, Any] = {}
    for name in names:
        options = st.sampled_from(choices[name])
        result[name] = draw(options | st.lists(options, min_size=1, max_size=2, unique=True))
    return result


@st.composite
def readings(draw: st.DrawFn, name: str) -> dict[str, Any]:
    """A reading with a range that is one; that of a dose comes from the table of facts."""
    quantity = draw(st.sampled_from(list(Quantity)))
    low, high = sorted([draw(st.integers(0, 3000)), draw(st.integers(0, 3000))])
    unit = draw(st.sampled_from(UNITS_OF[quantity]))
    dose = quantity is Quantity.DOSE
    return {
        "name": name,
        "quantity": str(quantity),
        "unit": "mg" if dose else str(unit),
        "low": "{fact.sample-dose}" if dose else f"{{no-fact.{low}}}",
        "high": "{fact.sample-dose}" if dose else f"{{no-fact.{high}}}",
        "ask": draw(WORDS),
        "sources": ["book"],
    }


@st.composite
def steps(
    draw: st.DrawFn, step_id: str, earlier: list[str], choices: dict[str, list[str]]
) -> dict[str, Any]:
    """A step that may wait for any earlier one."""
    text = references(choices)
    step: dict[str, Any] = {
        "id": step_id,
        **{key: draw(text) for key in ("name", "say", "why", "how")},
        "heard-as": {"keys": [draw(NAMES)]},
        "sources": ["book"],
    }
    if earlier:
        firsts = draw(st.lists(st.sampled_from(earlier), max_size=2, unique=True))
        step["after"] = [{"step": first, "because": draw(text), "safety": True} for first in firsts]
    if draw(st.booleans()):
        step["readings"] = [draw(readings("one")), draw(readings("two"))]
    if draw(st.booleans()) and choices:
        setting = draw(st.sampled_from(sorted(choices)))
        step["clock"] = {
            "limit-s": f"{{{setting}.limit}}",
            "start": {"phrases": ["go"]},
            "end": {"phrases": ["out"]},
            "over": draw(text),
        }
    if draw(st.booleans()) and choices:
        step["when"] = draw(whens(choices))
    if draw(st.booleans()) and choices:
        # Where both name a setting they agree, else the variant would never stand.
        when = {**draw(whens(choices)), **deepcopy(step.get("when", {}))}
        step["variants"] = [{"when": when, "say": draw(text)}]
    return step


@st.composite
def skills(draw: st.DrawFn) -> dict[str, Any]:
    """A lawful skill file named sample-skill."""
    choices = draw(
        st.dictionaries(NAMES, st.lists(NAMES, min_size=1, max_size=3, unique=True), max_size=3)
    )
    step_ids = draw(st.lists(NAMES, min_size=1, max_size=5, unique=True))
    return {
        "id": "sample-skill",
        "title": draw(WORDS),
        "minutes": draw(st.integers(1, 120)),
        "table": [draw(references(choices))],
        "sources": {"book": "An invented book"},
        "settings": {
            name: {
                "asks": draw(WORDS),
                "default": draw(st.sampled_from(options)),
                "because": draw(WORDS),
                "options": {
                    option: {
                        "says": draw(WORDS),
                        "limit": f"{{no-fact.{draw(st.integers(1, 90))}}}",
                        "sources": ["book"],
                    }
                    for option in options
                },
            }
            for name, options in choices.items()
        },
        "steps": [
            draw(steps(step_id, step_ids[:number], choices))
            for number, step_id in enumerate(step_ids)
        ],
    }


def _stands(when: dict[str, Any], choices: dict[str, str]) -> bool:
    return all(
        choices[name] in ([*wanted] if isinstance(wanted, list) else [wanted])
        for name, wanted in when.items()
    )


def _seconds(option: dict[str, Any]) -> int:
    return int(option["limit"].removeprefix("{no-fact.").removesuffix("}"))


def _check_resolved(
    skill_file: SkillFile, written: dict[str, Any], choices: dict[str, str]
) -> None:
    skill = skill_file.chosen(choices)
    expected = [step for step in written["steps"] if _stands(step.get("when", {}), choices)]
    assert [step.id for step in skill.steps] == [step["id"] for step in expected]
    present = {step["id"] for step in expected}
    for step, source in zip(skill.steps, expected, strict=True):
        say = source["say"]
        for variant in source.get("variants", []):
            if _stands(variant["when"], choices):
                say = variant["say"]
        for name, setting in written["settings"].items():
            option = setting["options"][choices[name]]
            say = say.replace(f"{{{name}}}", option["says"])
            say = say.replace(f"{{{name}.limit}}", str(_seconds(option)))
        assert step.say == say[0].upper() + say[1:]
        assert [first.step for first in step.after] == [
            first["step"] for first in source.get("after", []) if first["step"] in present
        ]
        if "clock" in source:
            setting = source["clock"]["limit-s"].strip("{}").split(".")[0]
            limit = _seconds(written["settings"][setting]["options"][choices[setting]])
            assert step.clock
            assert step.clock.limit_s == limit


@settings(max_examples=60)
@given(skills())
def test_a_lawful_skill_is_read_and_resolves_with_every_choice(written: dict[str, Any]) -> None:
    text = yaml.safe_dump(written, allow_unicode=True, sort_keys=False)
    result = parsed(text)
    assert not result.problems, [str(problem) for problem in result.problems]
    assert result.skill_file
    options = [setting["options"] for setting in written["settings"].values()]
    for chosen in product(*options):
        choices = dict(zip(written["settings"], chosen, strict=True))
        _check_resolved(result.skill_file, written, choices)


def _places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    keys = (
        value if isinstance(value, dict) else range(len(value)) if isinstance(value, list) else ()
    )
    return [path, *(place for key in keys for place in _places(value[key], (*path, key)))]


JUNK = st.recursive(
    st.none()
    | st.sampled_from([True, 2.0, 0.5, 1e300])
    | st.integers(-9, 9)
    | st.sampled_from(["", "{", "{a.b}", "fit", "x"]),
    lambda inner: (
        st.lists(inner, max_size=2)
        | st.dictionaries(
            st.sampled_from(["id", "step", "says", "sources", "when"]), inner, max_size=2
        )
    ),
    max_leaves=4,
)


@settings(max_examples=300)
@given(st.data(), JUNK)
def test_junk_in_any_place_is_told_and_never_fails(data: st.DataObject, junk: Any) -> None:
    tree = yaml.safe_load(SAMPLE)
    place = data.draw(st.sampled_from(_places(tree)[1:]))
    inside = tree
    for key in place[:-1]:
        inside = inside[key]
    inside[place[-1]] = junk
    result = parsed(yaml.safe_dump(tree, sort_keys=False))
    if result.skill_file:
        result.skill_file.chosen({})
    else:
        assert all(problem.line >= 1 and problem.message for problem in result.problems)


@settings(max_examples=200)
@given(st.data())
def test_no_slip_of_the_pen_fails(data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(SAMPLE)))
    end = min(len(SAMPLE), start + data.draw(st.integers(0, 40)))
    slip = data.draw(st.text(max_size=4) | st.sampled_from(["\t", ": ", "- ", "&a ", "*a", "\n"]))
    result = parsed(SAMPLE[:start] + slip + SAMPLE[end:])
    assert (result.skill_file is None) == bool(result.problems)


@settings(max_examples=200)
@given(st.data(), JUNK)
def test_junk_in_a_dialogue_is_told_and_never_fails(data: st.DataObject, junk: Any) -> None:
    tree = yaml.safe_load(TALK)
    place = data.draw(st.sampled_from(_places(tree)[1:]))
    inside = tree
    for key in place[:-1]:
        inside = inside[key]
    inside[place[-1]] = junk
    text = yaml.safe_dump(tree, sort_keys=False)
    dialogues, problems = parse_dialogues(text, "a", DIALOGUES_SCHEMA, parsed().skill_file)
    assert bool(dialogues) != bool(problems)


@settings(max_examples=300)
@given(st.data(), st.sampled_from(["facts", "program"]))
def test_no_slip_of_the_pen_in_facts_or_a_program_s_numbers_fails(
    data: st.DataObject, kind: str
) -> None:
    text = FACTS if kind == "facts" else LOCAL
    start = data.draw(st.integers(0, len(text)))
    end = min(len(text), start + data.draw(st.integers(0, 40)))
    slip = data.draw(st.text(max_size=4) | st.sampled_from(["\t", ": ", "- ", "[", "{", "\n"]))
    broken = text[:start] + slip + text[end:]
    if kind == "facts":
        result = parsed_facts(broken)
        assert (result.table is None) == bool(result.problems)
        if result.table:
            assert list(bibliography(result.table, ()))
    else:
        program, problems = parse_local_facts(broken, "a", LOCAL_SCHEMA, sample_table())
        assert (program is None) == bool(problems)
        if program:
            assert program.over(sample_table())
