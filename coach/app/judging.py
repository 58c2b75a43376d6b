"""An attempt and what it is judged by: kept when it begins, found again when it is scored."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from uuid import uuid4

from coach.assessment.rule import NEWEST_METHOD, Rule, rule_from, rule_of_text, rule_text
from coach.assessment.scoring import score
from coach.core.errors import InputError
from coach.edges.folders import kept_skills_folder
from coach.edges.journal_file import JudgedBy, read_journal
from coach.edges.kept_skills import keep_skill, kept_skill
from coach.edges.scoring_file import scoring_in_force
from coach.edges.skill_files import load_skill
from coach.procedure.in_force import InForce
from coach.procedure.skill_file import SkillFile
from coach.report.attempt import Result
from coach.session.journal_contents import JournalContents


def rule_in_force(rules: InForce | None = None) -> Rule:
    """The rule of scoring that new attempts are judged by, as a local program has it.

    Its name then tells whose it is, and of when.
    """
    rule = scoring_in_force()
    if rules is not None and rules.scoring is not None and rules.scoring.values:
        named = f"{rule['name']} by {rules.key}"
        rule = {**rule, **rules.scoring.values, "name": named}
    return replace(rule_from(rule), method=NEWEST_METHOD)


def judged_by(skill_file: SkillFile, environ: Mapping[str, str]) -> JudgedBy:
    """What a new attempt is judged by; the skill is kept as it is now."""
    kept = keep_skill(kept_skills_folder(environ), skill_file)
    return JudgedBy(uuid4().hex, kept, rule_text(rule_in_force(skill_file.in_force)))


def scorer(environ: Mapping[str, str]) -> Callable[[JournalContents], Result]:
    """What scores journals of this data folder, by the skill and the rule kept with each.

    Journals of before these were kept are scored by today's.
    """
    folder = kept_skills_folder(environ)
    known: dict[str, SkillFile] = {}

    def scored(contents: JournalContents) -> Result:
        header = contents.header
        if header is None:
            raise InputError("The journal broke off before its first line was whole.")
        name = header.skill_sha256 or header.skill
        if name not in known:
            kept = bool(header.skill_sha256)
            known[name] = kept_skill(folder, name) if kept else load_skill(header.skill)
        rule = rule_of_text(header.rule) if header.rule else rule_in_force()
        return score(contents, known[name], rule)

    return scored


def result_of(journal: Path) -> Result:
    """The result of a journal file; InputError that names the file if there is none."""
    contents = read_journal(journal)
    if contents.problems:
        found = "\n".join(map(str, contents.problems))
        raise InputError(f"{found}\nThe attempt cannot be scored; the file is left as it is.")
    try:
        return scorer(os.environ)(contents)
    except InputError as error:
        raise InputError(f"{journal}: {error}") from error
