"""A skill's content as bytes that are always the same, the name they have, and the skill again.

An attempt is judged for ever by the skill as it was then: its content is kept beside the journals
under this name.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, replace
from typing import Any

from coach.procedure.chart_section import SECTION as CHART
from coach.procedure.chart_section import chart_from, chart_written
from coach.procedure.earlier_numbers import EARLIER, EARLIER_CHART
from coach.procedure.facts import Amount
from coach.procedure.in_force import InForce
from coach.procedure.local_scoring import ScoringChange
from coach.procedure.numbers import Numbers
from coach.procedure.scenario_file import scenario_from
from coach.procedure.skill_file import SkillFile, skill_file_from
from coach.procedure.worked_out import facts_worked_with, has_burned_area


def content_bytes(skill_file: SkillFile) -> bytes:
    """The checked content, the rules in force, the scenario and the numbers that are worked with,
    in the order written: UTF-8."""
    rules = asdict(skill_file.in_force) if skill_file.in_force else None
    scenario = skill_file.scenario.written if skill_file.scenario else None
    kept = {"written": skill_file.written, "in_force": rules, "scenario": scenario}
    numbers = skill_file.numbers
    if numbers.amounts:
        kept["numbers"] = {name: asdict(amount) for name, amount in numbers.amounts.items()}
    if numbers.chart is not None:
        kept[CHART] = chart_written(numbers.chart)
    text = json.dumps(kept, ensure_ascii=False, separators=(",", ":"))
    return f"{text}\n".encode()


def content_name(content: bytes) -> str:
    """The SHA-256 of a skill's content, in 64 hex digits."""
    return hashlib.sha256(content).hexdigest()


def skill_file_of(content: bytes) -> SkillFile:
    """The skill of bytes that `content_bytes` gave; its `file` is their name."""
    kept = json.loads(content)
    skill_file = skill_file_from(kept["written"], content_name(content))
    skill_file = replace(skill_file, numbers=_numbers_of(kept))
    if kept.get("scenario") is not None:
        skill_file = replace(skill_file, scenario=scenario_from(kept["scenario"]))
    rules = kept["in_force"]
    if rules is None:
        return skill_file
    weaker = tuple((what, reason) for what, reason in rules["weaker"])
    scoring = rules.get("scoring")  # contents of before programs could have their own have none
    if scoring is not None:
        scoring = ScoringChange(**{**scoring, "weaker": tuple(scoring["weaker"])})
    in_force = InForce(**{**rules, "weaker": weaker, "scoring": scoring})
    return replace(skill_file, in_force=in_force)


def _numbers_of(kept: dict[str, Any]) -> Numbers:
    """What was kept of the numbers; contents of before any were kept have those of then."""
    names = facts_worked_with(kept["written"])
    amounts = {name: EARLIER[name] for name in names if name in EARLIER}
    amounts |= {name: Amount(**amount) for name, amount in kept.get("numbers", {}).items()}
    if not has_burned_area(kept["written"]):
        return Numbers(amounts)
    return Numbers(amounts, chart_from(kept.get(CHART, EARLIER_CHART)))
