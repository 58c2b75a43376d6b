"""`coach judge`: a person's mark beside the coach's."""

from __future__ import annotations

import os
from collections.abc import Sequence

import click

from coach.app.judging import scorer
from coach.app.records import scorer_by_hand
from coach.app.reporting import journal_named
from coach.cli.records_now import records_now
from coach.core.errors import InputError
from coach.edges.folders import sessions_folder
from coach.edges.journal_file import read_journal
from coach.edges.register_file import RegisterFile
from coach.procedure.wording import did_you_mean
from coach.records.names import name_key, tidy_name, tidy_note
from coach.records.register import Register
from coach.records.register_lines import MarkSet, RegisterRecord
from coach.records.rows import instant_s
from coach.records.scoring import refusal_of
from coach.report.attempt import Mark, Result
from coach.report.by_hand import THE_LEARNER


@click.command(
    epilog='Example: coach judge 3f0c2a4e seal done --by "J. Doe" --because "I saw it"',
    short_help="Set the mark of a step by hand, beside the coach's.",
)
@click.argument("attempt")
@click.argument("step", required=False)
@click.argument("mark", required=False, type=click.Choice([mark.value for mark in Mark]))
@click.option("--by", metavar="NAME", required=True, help="Who judges.")
@click.option("--because", metavar="TEXT", default="", help="Why.")
@click.option(
    "--agreed",
    is_flag=True,
    help="Judge all steps that you have not judged yet as the coach did.",
)
def command(
    attempt: str, step: str | None, mark: str | None, by: str, because: str, agreed: bool
) -> None:
    """Set the MARK of a STEP of ATTEMPT by hand: done, late, out-of-order, missed or unclear.

    The coach's own mark is kept beside yours, with who set it, when and why; the verdict goes by
    yours. What must not happen and was heard can be judged as well: missed, if it did not happen.
    What the learner answered in the debrief is shown as a hint. With --agreed, beside a STEP
    or alone, you say that the coach is right in all the rest, so that `coach class` can tell how
    far you two agree.
    """
    if (step is None) is not (mark is None) or (step is None and not agreed):
        raise InputError("Say a step and its mark, or --agreed: coach judge ATTEMPT STEP MARK.")
    judge, reason = tidy_name(by, "The name of who judges"), tidy_note(because, "The reason")
    if name_key(judge) == name_key(THE_LEARNER):
        raise InputError(f'"{judge}" stands for what learners say of themselves: give a name.')
    path = journal_named(attempt, sessions_folder(os.environ))
    contents = read_journal(path)
    if wrong := refusal_of(contents):
        raise InputError(f"{path} cannot be judged: {wrong}")
    coachs, judged = scorer(os.environ)(contents), contents.attempt
    marks = [] if step is None or mark is None else [(_known(coachs, step, Mark(mark)), Mark(mark))]
    register = RegisterFile.of(os.environ)

    def told(known: Register) -> Sequence[RegisterRecord]:
        # The last mark counts, even if a clock went back since the one before.
        at = max((register.now(), *(one.at for one in known.marks_of(judged))), key=instant_s)
        before = {one.step for one in known.marks_of(judged) if one.by == judge}
        before |= {name for name, _ in marks}
        rest = [(one.step, one.mark) for one in coachs.steps if one.step not in before]
        return [
            MarkSet(at, judged, name, new, judge, reason if name == step else "")
            for name, new in [*marks, *(rest if agreed else [])]
        ]

    for word in (one for one in register.read().marks_of(judged) if one.own_word):
        click.echo(own_word(coachs, word))
    after = register.add(told)
    result = scorer_by_hand(os.environ)(contents, after.marks_of(judged))
    click.echo(f"The coach: {coachs.why}")
    click.echo(f"By {result.judged_by}: {result.why}")
    records_now()


def own_word(result: Result, word: MarkSet) -> str:
    """A learner's answer as a hint for who judges: it decides nothing."""
    name = next((one.name for one in result.steps if one.step == word.step), word.step)
    said = f'"{word.because}", so {word.mark.value}'
    return f"The learner said of {name} ({word.step}): {said} ({word.at}); no verdict goes by it."


def _known(result: Result, step: str, mark: Mark) -> str:
    """The id of a step, or of an act that must not happen; InputError with the one that was
    probably meant, and for a mark that an act cannot have."""
    if step in result.acts and mark not in {Mark.DONE, Mark.MISSED}:
        raise InputError(f"{step} must not happen: it was done, or missed if it did not happen.")
    known = [*(one.step for one in result.steps), *result.acts]
    if step not in known:
        advice = did_you_mean(step, known, "steps")
        raise InputError(f"The attempt has no step '{step}': {advice}")
    return step
