"""What is said in a skill file: braces, length, and words to be heard."""

from __future__ import annotations

import re
from collections.abc import Iterator

from coach.procedure.resolve import BRACES, listed, mapping
from coach.procedure.wording import Mistake, did_you_mean, place
from coach.procedure.yaml_tree import Json, Path
from coach.trade.wording import counted

LONGEST_SAY = 20
"""Words a step's `say` may have; 15 are advised."""

_WORD = re.compile(r"\w")
_GIVE_WORDS = "give at least one line of 'phrases' or 'keys'."
_SPOKEN_ONCE = ("title", "minutes", "id", "sources", "settings")
"""Top-level keys whose texts are not filled in."""


def text_mistakes(root: dict[str, Json]) -> Iterator[Mistake]:
    """Every text that cannot be spoken, filled in or heard, with its path."""
    for path, text in every_text(root, ()):
        if path[0] in _SPOKEN_ONCE:
            yield from _no_braces(root, path, text)
        else:
            yield from _braces(root, path, text)
    for path, part in _step_parts(root):
        yield from _say(root, path, part)
        yield from _heard(root, path, part)
    for number, act in enumerate(listed(root.get("never"))):
        yield from _say(root, ("never", number), mapping(act))
        yield from _heard(root, ("never", number), mapping(act))
    yield from _chosen_unheard(root)
    for path, option in _options(root):
        yield from _broken_keys(root, (*path, "heard-as"), mapping(option.get("heard-as")))


def every_text(value: Json, path: Path) -> Iterator[tuple[Path, str]]:
    """Each text in a value with its path."""
    found: list[tuple[Path, str]] = []
    _gather(value, path, found)
    return iter(found)


def _gather(value: Json, path: Path, found: list[tuple[Path, str]]) -> None:
    # A list that is handed down: generators within generators took a tenth of all checking.
    if isinstance(value, str):
        found.append((path, value))
    elif isinstance(value, dict):
        for key, child in value.items():
            _gather(child, (*path, key), found)
    elif isinstance(value, list):
        for number, child in enumerate(value):
            _gather(child, (*path, number), found)


def _step_parts(root: dict[str, Json]) -> Iterator[tuple[Path, dict[str, Json]]]:
    for number, step in enumerate(listed(root.get("steps"))):
        yield ("steps", number), mapping(step)
        for position, variant in enumerate(listed(mapping(step).get("variants"))):
            yield ("steps", number, "variants", position), mapping(variant)


def _options(root: dict[str, Json]) -> Iterator[tuple[Path, dict[str, Json]]]:
    for name, setting in mapping(root.get("settings")).items():
        for option, written in mapping(mapping(setting).get("options")).items():
            yield ("settings", name, "options", option), mapping(written)


def _no_braces(root: dict[str, Json], path: Path, text: str) -> Iterator[Mistake]:
    if "{" in text or "}" in text:
        yield path, f"{place(root, path)} has braces, which are not filled in here: write words."


def _braces(root: dict[str, Json], path: Path, text: str) -> Iterator[Mistake]:
    if "{" not in text and "}" not in text:
        return
    where, settings = place(root, path), mapping(root.get("settings"))
    rest = BRACES.sub("", text)
    if "{" in rest or "}" in rest:
        yield path, f"{where} has a brace without its partner: write {{setting}} or no brace."
    for reference in BRACES.findall(text):
        name, _, fact = reference.partition(".")
        if name not in settings:
            yield (
                path,
                f"{where} has {{{reference}}}, but '{name}' is no setting: "
                f"{did_you_mean(name, settings, 'settings')}",
            )
            continue
        options = mapping(mapping(settings[name]).get("options"))
        facts = {key for option in options.values() for key in mapping(option)}
        facts -= {"says", "heard-as", "sources"}
        if "." in reference and fact not in facts:
            yield (
                path,
                f"{where} has {{{reference}}}, but no option of setting '{name}' has a fact "
                f"'{fact}': {did_you_mean(fact, sorted(facts), 'facts')}",
            )


def _say(root: dict[str, Json], path: Path, part: dict[str, Json]) -> Iterator[Mistake]:
    say = part.get("say")
    words = len(say.split()) if isinstance(say, str) else 0
    if words > LONGEST_SAY:
        yield (
            (*path, "say"),
            f"the 'say' of {place(root, path)} has {counted(words, 'word')}: keep to "
            f"{LONGEST_SAY}, better 15, and move the rest to 'how'.",
        )


def _heard(root: dict[str, Json], path: Path, part: dict[str, Json]) -> Iterator[Mistake]:
    clock = mapping(part.get("clock"))
    heard: list[tuple[Path, Json]] = [
        ((*path, "heard-as"), part.get("heard-as")),
        ((*path, "clock", "start"), clock.get("start")),
        ((*path, "clock", "end"), clock.get("end")),
        ((*path, "pace", "start"), mapping(part.get("pace")).get("start")),
        ((*path, "pace", "end"), mapping(part.get("pace")).get("end")),
        ((*path, "count", "start"), mapping(part.get("count")).get("start")),
        ((*path, "partner", "heard-as"), mapping(part.get("partner")).get("heard-as")),
    ]
    for here, words in heard:
        if isinstance(words, dict):
            if not _has_words(words):
                own = here == (*path, "heard-as")
                where = place(root, path if own else here)
                yield here, f"no words can match {where}: {_GIVE_WORDS}"
            yield from _broken_keys(root, here, words)
    for number in range(len(listed(part.get("wrong")))):
        written = mapping(listed(part["wrong"])[number])
        yield from _broken_keys(root, (*path, "wrong", number), written, "words")


def _has_words(words: dict[str, Json]) -> bool:
    lines = (*listed(words.get("phrases")), *listed(words.get("keys")))
    return any(_WORD.search(str(line)) for line in lines)


def _broken_keys(
    root: dict[str, Json], path: Path, words: dict[str, Json], key: str = "keys"
) -> Iterator[Mistake]:
    for number, line in enumerate(listed(words.get(key))):
        if isinstance(line, str) and any(
            not alternative for word in line.split() for alternative in word.split("/")
        ):
            here = (*path, key, number)
            yield (
                here,
                f"{place(root, here)} has a slash without a word on each side: write 'lips/teeth' "
                "without spaces.",
            )


def _chosen_unheard(root: dict[str, Json]) -> Iterator[Mistake]:
    choosing = {
        str(part["chooses"]): place(root, path)
        for path, part in _step_parts(root)
        if "chooses" in part
    }
    for path, option in _options(root):
        step = choosing.get(str(path[1]))
        heard = option.get("heard-as")
        if step and (heard is None or isinstance(heard, dict)) and not _has_words(mapping(heard)):
            yield path, f"no words can choose {place(root, path)} in {step}: {_GIVE_WORDS}"
