"""The ways a unit is said, spelled and misheard."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from coach.core.units import Unit

_LETTERS: dict[str, tuple[str, ...]] = {
    "a": ("a", "ay", "eh"),
    "b": ("b", "be", "bee"),
    "g": ("g", "gee"),
    "h": ("h", "aitch", "haitch"),
    "i": ("i", "eye", "aye", "ai", "y", "high"),
    "k": ("k", "kay"),
    "l": ("l", "el", "ell"),
    "m": ("m", "em"),
    "o": ("o", "oh"),
    "p": ("p", "pee", "pea", "pe"),
    "s": ("s", "ess", "es"),
    "2": ("two", "2", "to", "too"),
}
"""Letter names as recognisers write them."""

_PER = ("a", "per", "each", "the", "every")
_MINUTE = ("minute", "minutes", "min")
_LITRES = ("liters", "liter", "litres", "litre", "leaders", "leader", "l")
_LITRE_TAILS = ("", " of oxygen", " of o2", " of o two", " oxygen", " of flow", " flow")


def _spelled(word: str) -> Iterator[str]:
    """All spellings of an abbreviation: in one word, and letter by letter with their names."""
    yield word
    for letters in product(*(_LETTERS[letter] for letter in word)):
        yield " ".join(letters)


def _litres() -> Iterator[str]:
    for litre, tail in product(_LITRES, _LITRE_TAILS):
        yield litre + tail
        for per, minute in product(_PER, _MINUTE):
            yield f"{litre}{tail} {per} {minute}"
        yield f"{litre}{tail} minute"
        yield f"{litre}{tail} min"
    yield from _spelled("lpm")


def _rates() -> Iterator[str]:
    for per, minute in product(_PER[:3], _MINUTE):
        for counted in (
            "breaths",
            "breath",
            "breathes",
            "beats",
            "beat",
            "compressions",
            "respirations",
            "times",
            "ventilations",
            "",
        ):
            yield f"{counted} {per} {minute}".strip()
    yield from ("breaths", "beats", "respirations")
    yield from _spelled("bpm")


_MILLIGRAMS = (
    *("milligrams", "milligram", "milligrammes", "milligramme", "milli grams", "milli gram"),
    *("mg", "mgs", "m g", "em g", "em gee", "m gee"),
)
_MILLIMOLES = ("millimoles", "millimole", "millimols", "milli moles", "milli mole", "mmol", "mmols")


def _in_volumes(amounts: tuple[str, ...], volumes: tuple[str, ...]) -> Iterator[str]:
    """ "milligrams per deciliter", "milligrams a deciliter", "mg dl"."""
    for amount, volume in product(amounts, volumes):
        yield f"{amount} {volume}"
        for per in _PER[:2]:
            yield f"{amount} {per} {volume}"


_CENTIMETRES = (
    *("centimeters", "centimeter", "centimetres", "centimetre", "cm", "cms"),
    *("centi meters", "centi meter", "c m"),
)
KILOGRAMS = ("kilograms", "kilogram", "kilos", "kilo", "kgs", "kg", "k g")


def _of_water() -> Iterator[str]:
    """ "centimeters of water", "cm H two O", "of water"; the first half is often left out."""
    yield from ("cmh2o", "of water", "of peep", "of cpap")
    for length in _CENTIMETRES:
        yield from (f"{length} of water", f"{length} water", f"{length} h2o", f"{length} of h2o")
        yield from (f"{length} h two o", f"{length} of h two o", f"{length} aitch two o")


def _pulled(weights: tuple[str, ...], alone: tuple[str, ...]) -> Iterator[str]:
    """ "fifteen pounds of pull"; `alone` are the names that need nothing more."""
    yield from alone
    for weight, pull in product(weights, ("pull", "traction", "force", "tension")):
        yield from (f"{weight} of {pull}", f"{weight} {pull}")


def _of_the_weight() -> Iterator[str]:
    for percent, whose, weight in product(
        ("percent", "per cent", "purcent"),
        ("his", "her", "the", "their", "the patient's", "patient's", ""),
        ("body weight", "bodyweight", "body's weight", "weight"),
    ):
        yield f"{percent} of {whose} {weight}".replace("  ", " ")


_SAID: dict[Unit, tuple[str, ...]] = {
    Unit.PSI: (
        *_spelled("psi"),
        *(
            "psig",
            "p s i g",
            "psy",
            "si",
            "s i",
            "ps i",
            "ps eye",
            "p si",
            "psi eye",
            "p sigh",
            "p s sigh",
        ),
        *("pounds", "pound", "lbs", "lb", "pounds of pressure", "pounds pressure"),
        *("pounds per square inch", "pound per square inch", "pounds a square inch"),
        *("pounds per square inch gauge", "pounds square inch"),
    ),
    Unit.BAR: ("bar", "bars", "barr"),
    Unit.KILOPASCAL: (
        *_spelled("kpa"),
        *("kilopascals", "kilopascal", "kilo pascals", "kilo pascal", "k pascals", "k pascal"),
    ),
    Unit.MEGAPASCAL: (
        *_spelled("mpa"),
        *("megapascals", "megapascal", "mega pascals", "mega pascal"),
    ),
    Unit.LITRES_PER_MINUTE: tuple(_litres()),
    Unit.PERCENT: ("percent", "per cent", "purcent", "percents"),
    Unit.PER_MINUTE: tuple(_rates()),
    Unit.SECONDS: ("seconds", "second", "secs", "sec", "s"),
    Unit.MINUTES: ("minutes", "minute", "mins", "min"),
    Unit.MILLIMETRES: (
        *("millimeters", "millimeter", "millimetres", "millimetre", "mm", "m m", "em em"),
        *("mil", "mils", "mill", "mills", "millis", "milli meters", "milli meter"),
    ),
    Unit.INCHES: ("inches", "inch"),
    Unit.FRENCH: ("french", "fr", "frenches"),
    Unit.MILLIMETRES_OF_MERCURY: (
        *_spelled("mmhg"),
        *("mm hg", "millimeters of mercury", "millimetres of mercury", "millimeter of mercury"),
        *("millimetre of mercury", "mm of mercury", "m m of mercury", "mils of mercury"),
        *("mil of mercury", "millimeters mercury", "millimetres mercury", "of mercury"),
    ),
    Unit.MILLIGRAMS_PER_DECILITRE: tuple(
        _in_volumes(
            _MILLIGRAMS,
            (
                *("deciliter", "deciliters", "decilitre", "decilitres", "deci liter", "dl", "d l"),
                "perdeciliter",  # as the recogniser may write it
            ),
        )
    ),
    Unit.MILLIMOLES_PER_LITRE: (
        *_in_volumes(_MILLIMOLES, ("liter", "litre", "l", "el")),
        *_MILLIMOLES,
    ),
    Unit.MILLIGRAMS: (*_MILLIGRAMS, *(f"of a {one}" for one in ("milligram", "mg", "milli gram"))),
    Unit.COUNTED: ("counted", "points"),
    Unit.CENTIMETRES_OF_WATER: tuple(_of_water()),
    Unit.HECTOPASCAL: (
        *("hectopascals", "hectopascal", "hecto pascals", "hecto pascal", "hpa"),
        *("millibars", "millibar", "milli bars", "milli bar", "mbar"),
    ),
    Unit.POUNDS_FORCE: tuple(_pulled(("pounds", "pound", "lbs", "lb"), ("lbf", "pound force"))),
    Unit.NEWTONS: tuple(_pulled(("newtons", "newton"), ("newtons", "newton"))),
    Unit.KILOGRAMS_FORCE: tuple(
        _pulled((*KILOGRAMS, "kilo grams"), (*KILOGRAMS, "kgf", "kilogram force", "kiloponds"))
    ),
    Unit.PERCENT_OF_WEIGHT: tuple(_of_the_weight()),
    Unit.GRAMS: ("grams", "gram", "grammes", "gramme", "gm", "gms", "g"),
}

CENTIMETRES: frozenset[tuple[str, ...]] = frozenset(tuple(said.split()) for said in _CENTIMETRES)
"""No unit of any reading, but a length may be told in them: ten millimetres each."""

POUNDS: frozenset[tuple[str, ...]] = frozenset(
    tuple(said.split()) for said in ("pounds", "pound", "lbs", "lb")
)
"""Of a cylinder's pressure, but of a pull where one is asked for."""

UNITS_SAID: dict[tuple[str, ...], Unit] = {
    tuple(phrase.split()): unit for unit, phrases in _SAID.items() for phrase in phrases
}
_LONGEST = max(map(len, UNITS_SAID))
UNIT_WORDS = frozenset(word for phrase in UNITS_SAID for word in phrase)

_FOLDED: dict[tuple[str, ...], str] = {
    tuple(spelling.split()): word
    for word in ("psi", "kpa", "mpa", "lpm", "bpm", "mmhg", "spo2")
    for spelling in _spelled(word)
} | {("spo", "two"): "spo2", ("sp", "o2"): "spo2", ("sp", "o", "two"): "spo2"}


def unit_at(words: Sequence[str], at: int) -> tuple[int, Unit] | None:
    """The unit that begins at a word, and how many words it takes; the longest wins."""
    for length in range(min(_LONGEST, len(words) - at), 0, -1):
        unit = UNITS_SAID.get(tuple(words[at : at + length]))
        if unit is not None:
            return length, unit
    return None


def spelled_unit(words: Sequence[str], at: int) -> tuple[int, str] | None:
    """A unit spelled by its letters, or "spo2", beginning at a word: its length and its one word.

    Letters that are words of their own ("a", "i") need their neighbours, so nothing is lost.
    """
    for length in range(min(4, len(words) - at), 0, -1):
        word = _FOLDED.get(tuple(words[at : at + length]))
        if word is not None:
            return length, word
    return None


def centimetres_at(words: Sequence[str], at: int) -> int:
    """How many words "centimeters" takes where it begins at a word; 0 where it does not."""
    return max((n for n in (1, 2) if tuple(words[at : at + n]) in CENTIMETRES), default=0)
