"""What goes on in a practice, printed as it happens: as lines for people or as JSON."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

import click

from coach.app.meaning_told import meaning_fields
from coach.core.meaning import Expectation, Meaning
from coach.core.plain import Fields, Plain
from coach.dialogue.ending import summary_of
from coach.dialogue.state import State
from coach.report.attempt_text import JUDGED
from coach.session.journal_contents import TORN


class JsonObserver:
    """One JSON object a line, flushed at once."""

    def said(self, text: str) -> None:
        """The coach speaks a line."""
        self._print({"type": "said", "text": text})

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """The coach listens."""
        self._print({"type": "listening", "step": step, "expect": str(expect) if expect else None})

    def heard(self, meaning: Meaning) -> None:
        """An utterance was understood."""
        self._print({"type": "heard", **meaning_fields(meaning)})

    def noted(self, name: str, data: Fields) -> None:
        """Something worth keeping happened."""
        if name == JUDGED and isinstance(data["result"], Mapping):
            self._print({"type": "result", **data["result"]})
            return
        rest = {key: value for key, value in data.items() if key not in ("type", "name")}
        self._print({"type": "event", "name": name, **rest})

    def _print(self, row: Fields) -> None:
        click.echo(json.dumps(row, ensure_ascii=False))


TOLD_BESIDE = frozenset(
    {
        "earlier-session-unreadable",
        "register-unreadable",
        "second-ear-missing",
        "settings-not-remembered",
    }
)
"""Notes whose message is printed beside the conversation."""


class TextObserver:
    """The conversation as captions; the learner's words too where they were not typed."""

    def __init__(self, show_learner: bool) -> None:
        self._show_learner = show_learner

    def said(self, text: str) -> None:
        """The coach speaks a line."""
        click.echo(f"Coach: {text}")

    def listening(self, step: str | None, expect: Expectation | None) -> None:
        """Nothing to print."""

    def heard(self, meaning: Meaning) -> None:
        """An utterance was understood."""
        if self._show_learner:
            click.echo(f"You:   {meaning.text}")

    def noted(self, name: str, data: Fields) -> None:
        """Only what a person must know of the record itself."""
        if name == "torn-line-dropped":
            click.echo(f"coach: {TORN}", err=True)
        elif name in TOLD_BESIDE:
            click.echo(f"coach: {data['message']}", err=True)
        elif name == "help":
            _show_words(data["words"])
        elif name == JUDGED:
            click.echo(f"\n{data['text']}")
            result = data["result"]
            if isinstance(result, Mapping):
                shown = str(result["attempt"])[:8]
                click.echo(f"The whole report: coach report {shown}\n")


def tell_beside(said: str) -> None:
    """Print what one should know beside what was asked for."""
    click.echo(f"coach: {said}", err=True)


def _show_words(words: Plain) -> None:
    """The commands and how they may be said; `words` has a list of phrases for each."""
    if not isinstance(words, Mapping):
        return
    for command, phrases in words.items():
        said = phrases if isinstance(phrases, Sequence) else ()
        click.echo(f"  {command:8} {'; '.join(map(str, said))}")


def show_end(state: State, as_json: bool) -> None:
    """What a led practice came to, at its end."""
    summary = summary_of(state)
    if as_json:
        click.echo(json.dumps(summary.as_json(), ensure_ascii=False))
    else:
        click.echo(f"\n{summary.as_text()}\n")
