"""Whether dialogues notice a changed number: python -m tests.benchmarks.changed_facts [SKILL]...

Each fact that a skill names is changed by itself (a number by a third, both ends of a range
inward), and the skill's dialogues are played until one falls short. A fact that changes nothing of
what a session can tell or compare, with any choice, is named as such: it stands only in cautions
or in the texts of settings. About a second a fact. The exit code is 1 if a fact goes unnoticed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace

from coach.app.script import shortfalls
from coach.app.scripted_practice import practise_script
from coach.edges.shared_files import facts_for, fragments_for, program_facts
from coach.edges.skill_files import load_dialogues
from coach.edges.skill_folders import skill_ids, skill_path
from coach.edges.skill_text import published_schema, read_text
from coach.procedure.fact_references import facts_named
from coach.procedure.facts import Amount, FactTable
from coach.procedure.model import Skill
from coach.procedure.parse import parse_skill
from coach.procedure.resolve import every_choice, facts_of
from coach.procedure.skill_file import SkillFile
from coach.procedure.yaml_tree import read_tree


def main(skills: Sequence[str]) -> int:
    """Print what each skill's dialogues do not notice, and the sums."""
    table = facts_for(program_facts().parent)
    sums = {"noticed": 0, "unnoticed": 0, "never told": 0}
    for skill in skills or skill_ids():
        text = read_text(skill_path(skill))
        tree, _ = read_tree(text, skill)
        for name in facts_named(tree.value if tree else None):
            found = _outcome(skill, text, table, name)
            sums[found] += 1
            if found != "noticed":
                sys.stdout.write(f"{skill}: {name}: {found}\n")
    sys.stdout.write(", ".join(f"{count} {what}" for what, count in sums.items()) + "\n")
    return 1 if sums["unnoticed"] else 0


def _outcome(skill: str, text: str, table: FactTable, name: str) -> str:
    fact = table.facts[name]
    changed = table.with_more(FactTable({name: replace(fact, amount=_changed(fact.amount))}))
    as_written, other = _read(skill, text, table), _read(skill, text, changed)
    if other is None:
        return "noticed"  # the checks refuse it
    if as_written and told(as_written) == told(other):
        return "never told"
    path = skill_path(skill)
    for dialogue in load_dialogues(path.with_name(f"{skill}.dialogues.yaml"), other):
        if list(shortfalls(practise_script(other, dialogue))):
            return "noticed"
    return "unnoticed"


def facts_changed(skill: str) -> Iterator[tuple[str, SkillFile]]:
    """Each fact that a skill names, changed by itself, with the skill as it is then; a change that
    the checks refuse is left out."""
    table = facts_for(program_facts().parent)
    text = read_text(skill_path(skill))
    tree, _ = read_tree(text, skill)
    for name in facts_named(tree.value if tree else None):
        fact = table.facts[name]
        changed = FactTable({name: replace(fact, amount=_changed(fact.amount))})
        other = _read(skill, text, table.with_more(changed))
        if other is not None:
            yield name, other


def _read(skill: str, text: str, table: FactTable) -> SkillFile | None:
    schema, path = published_schema("skill.schema.json"), skill_path(skill)
    return parse_skill(text, str(path), schema, table, fragments_for(path.parent)).skill_file


def told(skill_file: SkillFile) -> list[Skill]:
    """The skill with every choice, as far as a session can tell, compare or hear it."""
    complications = frozenset(complication.id for complication in skill_file.complications)
    return [
        replace(
            skill,
            steps=tuple(replace(step, cautions=(), sources=()) for step in skill.steps),
            settings={},
            cautions=(),
            table=(),
            sources=(),
            bibliography={},
        )
        for skill in (
            skill_file.chosen(choices, complications)
            for choices in every_choice(facts_of(skill_file.written.get("settings")))
        )
    ]


def _changed(amount: Amount) -> Amount:
    if amount.value is not None:
        return Amount(_more(amount.value))
    if amount.low is not None and amount.high is not None:
        inward = 0.3 * (amount.high - amount.low)
        return Amount(low=amount.low + inward, high=amount.high - inward)
    bounds = (None if end is None else float(_more(end)) for end in (amount.low, amount.high))
    low, high = bounds
    return Amount(low=low, high=high)


def _more(value: str | float) -> str | float:
    return f"{value} and more" if isinstance(value, str) else round(1.3 * value + 1)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
