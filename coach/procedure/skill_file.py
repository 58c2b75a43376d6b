"""A whole skill file that is known to be right, before its settings are chosen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from coach.core.errors import InputError
from coach.procedure.build import (
    complication_from,
    forbidden_from,
    setting_from,
    step_from,
    whole,
)
from coach.procedure.build_timing import repeat_from
from coach.procedure.filler import Filler, texts
from coach.procedure.in_force import InForce
from coach.procedure.model import Complication, Setting, Skill
from coach.procedure.numbers import Numbers
from coach.procedure.resolve import (
    Choices,
    applies,
    facts_of,
    listed,
    mapping,
    written_fields,
)
from coach.procedure.scenario import Scenario
from coach.procedure.wording import did_you_mean
from coach.procedure.yaml_tree import Json
from coach.trade.cylinders import NO_CYLINDERS, Cylinders


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class SkillFile:
    """A skill with every setting still open.

    `settings` and `complications` are as written, with braces; `sources` maps a key to the
    published name. `file` is the name it was read under. `written` is the checked content of the
    file. `in_force` names the local program by whose rules it is practised, if there is one,
    `scenario` is the one that is played with it, `hides` whether it stands in place of a skill
    that comes with the program. `cylinders` are those that may be in use; an attempt that is judged
    again has none, for it keeps what it was begun with. `numbers` are those that it works with.
    Two files are equal only if they are the same object.
    """

    id: str
    title: str
    minutes: int
    table: tuple[str, ...]
    cautions: tuple[str, ...]
    settings: Mapping[str, Setting]
    complications: tuple[Complication, ...]
    sources: Mapping[str, str]
    step_ids: tuple[str, ...]
    file: str
    written: Mapping[str, Json] = field(repr=False)
    in_force: InForce | None = None
    scenario: Scenario | None = None
    hides: bool = False
    cylinders: Cylinders = field(default=NO_CYLINDERS, repr=False)
    numbers: Numbers = field(default=Numbers(), repr=False)

    @property
    def act_ids(self) -> tuple[str, ...]:
        """The ids of the acts that must not happen, with any choice."""
        return tuple(str(mapping(act)["id"]) for act in listed(self.written.get("never")))

    def default_choices(self) -> dict[str, str]:
        """The option of each setting that is taken unless another is chosen."""
        return {name: setting.default for name, setting in self.settings.items()}

    def chosen(
        self,
        choices: Choices,
        complications: frozenset[str] = frozenset(),
        without: frozenset[str] = frozenset(),
    ) -> Skill:
        """The skill with these options, defaults for the rest, and the complications that came.

        Steps that do not exist with the choices, or whose complication has not come, are left out,
        as are those named in `without`, and so are prerequisites on them. InputError for an unknown
        setting, option or complication. The same choices give the same object.
        """
        return _chosen(self, tuple(choices.items()), complications, without)

    def _checked_choices(self, choices: Choices, complications: frozenset[str]) -> Choices:
        for name, option in choices.items():
            self._check_choice(name, option)
        known = [complication.id for complication in self.complications]
        for complication in sorted(complications):
            if complication not in known:
                advice = did_you_mean(complication, known, "complications")
                raise InputError(f"{self.id} has no complication '{complication}': {advice}")
        return {**self.default_choices(), **choices}

    def _check_choice(self, name: str, option: str) -> None:
        if name not in self.settings:
            advice = did_you_mean(name, self.settings, "settings")
            raise InputError(f"{self.id} has no setting '{name}': {advice}")
        if option not in self.settings[name].options:
            advice = did_you_mean(option, self.settings[name].options, "options")
            raise InputError(f"setting '{name}' of {self.id} has no option '{option}': {advice}")


def skill_file_from(written: Mapping[str, Json], file: str) -> SkillFile:
    """The skill file of a content that has passed every check; `file` is the name it has."""
    return SkillFile(
        id=str(written["id"]),
        title=str(written["title"]),
        minutes=whole(written["minutes"]),
        table=texts(written.get("table")),
        cautions=texts(written.get("cautions")),
        settings={
            name: setting_from(name, value)
            for name, value in mapping(written.get("settings")).items()
        },
        complications=tuple(
            complication_from(mapping(value)) for value in listed(written.get("complications"))
        ),
        sources={key: str(name) for key, name in mapping(written.get("sources")).items()},
        step_ids=tuple(str(mapping(step)["id"]) for step in listed(written["steps"])),
        file=file,
        written=written,
    )


@lru_cache(maxsize=256)
def _chosen(
    skill_file: SkillFile,
    choices: tuple[tuple[str, str], ...],
    complications: frozenset[str],
    without: frozenset[str],
) -> Skill:
    """The choices are looked at once: a conversation asks for the same skill thousands of times."""
    full = skill_file._checked_choices(dict(choices), complications)
    return _resolved(skill_file, tuple(sorted(full.items())), complications, without)


@lru_cache(maxsize=256)
def _resolved(
    skill_file: SkillFile,
    chosen: tuple[tuple[str, str], ...],
    complications: frozenset[str],
    without: frozenset[str],
) -> Skill:
    choices = dict(chosen)
    written = skill_file.written
    filler = Filler(choices, facts_of(written.get("settings")))
    present: list[tuple[str, dict[str, Json]]] = []
    for step in listed(written["steps"]):
        fields = written_fields(step, choices)
        if fields is None or mapping(step)["id"] in without:
            continue
        content = {key: value for key, (_, value) in fields.items()}
        if "complication" not in content or content["complication"] in complications:
            present.append((str(mapping(step)["id"]), content))
    ids = frozenset(step_id for step_id, _ in present)
    return Skill(
        id=skill_file.id,
        title=skill_file.title,
        minutes=skill_file.minutes,
        table=filler.texts(written.get("table")),
        steps=tuple(step_from(step_id, content, ids, filler) for step_id, content in present),
        settings=skill_file.settings,
        choices=choices,
        complications=tuple(
            replace(complication, announce=filler.sentence(complication.announce))
            for complication in skill_file.complications
            if complication.after in ids
        ),
        forbidden=tuple(
            forbidden_from(act, ids, filler)
            for act in map(mapping, listed(written.get("never")))
            if applies(act.get("when"), choices)
        ),
        repeats=tuple(
            repeat_from(repeat, ids, filler)
            for repeat in map(mapping, listed(written.get("repeats")))
            if applies(repeat.get("when"), choices)
        ),
        cautions=filler.texts(written.get("cautions")),
        sources=tuple(skill_file.sources.values()),
        bibliography=skill_file.sources,
    )
