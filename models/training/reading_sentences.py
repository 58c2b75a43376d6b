"""Numbers as they are said at a gauge, a flowmeter or a monitor."""

from __future__ import annotations

import random

_ONES = "zero one two three four five six seven eight nine".split()
_TEENS = "ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
_TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()


def small_number(value: int) -> str:
    """Words for 0 <= value < 100, hundreds and thousands as usually counted."""
    if value < 10:
        return _ONES[value]
    if value < 20:
        return _TEENS[value - 10]
    if value < 100:
        return _TENS[value // 10] + ("" if value % 10 == 0 else " " + _ONES[value % 10])
    if value < 1000:
        rest = "" if value % 100 == 0 else " " + small_number(value % 100)
        return _ONES[value // 100] + " hundred" + rest
    rest = "" if value % 1000 == 0 else " " + small_number(value % 1000)
    return small_number(value // 1000) + " thousand" + rest


def digits(value: str, rng: random.Random) -> str:
    """A number spoken digit by digit, zero as "zero" or "oh"."""
    zero = rng.choice(("zero", "zero", "oh"))
    return " ".join(zero if d == "0" else "point" if d == "." else _ONES[int(d)] for d in value)


def spoken_number(value: int, rng: random.Random) -> str:
    """One of the usual spoken forms of a whole number below 10,000."""
    forms = [small_number(value), small_number(value)]
    if value >= 1000 and value % 100 == 0 and value % 1000 != 0:
        forms += [small_number(value // 100) + " hundred"] * 3
        forms.append(small_number(value // 100) + " double oh")
    if value >= 1000 and value % 100 >= 10:
        forms += [small_number(value // 100) + " " + small_number(value % 100)] * 2
        forms.append(small_number(value // 100) + " hundred " + small_number(value % 100))
        forms.append(small_number(value // 100) + " hundred and " + small_number(value % 100))
    if 100 <= value < 1000:
        if value % 100 >= 10:
            forms.append(_ONES[value // 100] + " " + small_number(value % 100))
            forms.append(_ONES[value // 100] + " hundred and " + small_number(value % 100))
        elif value % 100 > 0:
            forms.append(_ONES[value // 100] + " oh " + _ONES[value % 10])
        if value < 200:
            forms.append(small_number(value).replace("one hundred", "a hundred", 1))
    if value >= 10:
        forms.append(digits(str(value), rng))
    return rng.choice(forms)


def teen_or_ten(rng: random.Random) -> int:
    """Teens and tens in equal measure: the pairs that are mixed up."""
    unit = rng.randint(3, 9)
    return rng.choice((10 + unit, 10 * unit))


def reading(rng: random.Random) -> str:
    """A number with or without unit, as said at a gauge, a flowmeter or a monitor."""
    kind = rng.choices(
        (
            "psi",
            "flow",
            "percent",
            "bar",
            "kpa",
            "bp",
            "size",
            "time",
            "plain",
            "serial",
            "teens",
            "rate",
            "vacuum",
            "fix",
            "clock",
            "decimal",
            "length",
        ),
        (16, 10, 8, 5, 3, 6, 7, 8, 10, 10, 12, 4, 4, 8, 3, 5, 3),
    )[0]

    def say(n: int) -> str:
        return spoken_number(n, rng)

    if kind == "psi":
        value = rng.choice(
            (rng.randrange(1, 45) * 50, rng.randrange(2, 25) * 100, rng.randrange(100, 3000))
        )
        core = say(value) + rng.choice(
            ("", " psi", " psi", " pounds", " psi", " pounds per square inch")
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "",
                    "it's at ",
                    "it reads ",
                    "reading ",
                    "the gauge reads ",
                    "i have ",
                    "i've got ",
                    "pressure is ",
                    "about ",
                    "around ",
                    "just under ",
                    "it says ",
                    "that's ",
                    "um ",
                    "looks like ",
                )
            )
            + core
        )
    if kind == "flow":
        value = rng.choice(
            (rng.randint(1, 15), rng.choice((2, 4, 6, 10, 12, 15, 25)), rng.randint(1, 25))
        )
        unit = rng.choice(
            (
                " liters",
                " liters a minute",
                " liters per minute",
                "",
                " lpm",
                " liter",
                " liters of oxygen",
            )
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "flow is ",
                    "set to ",
                    "set at ",
                    "i set it to ",
                    "running at ",
                    "at ",
                    "on ",
                )
            )
            + small_number(value)
            + unit
            + rng.choice(
                ("", "", "", " by non rebreather", " by mask", " by cannula", " by nasal cannula")
            )
        )
    if kind == "percent":
        value = rng.choice((rng.randint(80, 100), rng.randint(85, 99), rng.randint(21, 100)))
        core = rng.choice(
            (small_number(value), digits(str(value), rng))
            if value < 100
            else ("one hundred", "a hundred")
        )
        return (
            rng.choice(
                (
                    "",
                    "",
                    "sat ",
                    "sats ",
                    "sat is ",
                    "spo two ",
                    "spo two is ",
                    "oxygen is at ",
                    "saturation ",
                )
            )
            + core
            + rng.choice((" percent", " percent", "", " on room air", " percent on room air"))
        )
    if kind == "bar":
        return say(rng.choice((rng.randrange(1, 24) * 10, rng.randint(5, 230)))) + " bar"
    if kind == "kpa":
        return say(
            rng.choice((rng.randrange(1, 25) * 10, rng.randrange(1, 20) * 100))
        ) + rng.choice((" kpa", " kilopascals", " kilopascal"))
    if kind == "bp":
        high, low = rng.randrange(80, 200, 2), rng.randrange(40, 110, 2)

        def spoken(n: int) -> str:
            tens = small_number(n % 100) if n % 100 >= 10 else "oh " + _ONES[n % 10]
            parts = f"{_ONES[n // 100]} {tens}" if n > 100 else small_number(n)
            return rng.choice((small_number(n), parts))

        return rng.choice(
            ("", "", "bp ", "bp is ", "pressure is ", "blood pressure ")
        ) + rng.choice(
            (
                spoken(high) + " over " + small_number(low),
                spoken(high) + " over " + small_number(low),
                spoken(high) + " by palp",
            )
        )
    if kind == "size":
        return rng.choice(
            (
                rng.choice(("size ", "a size ", "number ")) + small_number(rng.randint(0, 12)),
                small_number(rng.randrange(40, 121, 10))
                + rng.choice((" millimeters", " millimeter", " mil")),
                small_number(rng.randrange(6, 37, 2)) + " french",
                "a " + small_number(rng.randrange(12, 37, 2)) + " french",
                rng.choice(("size ", ""))
                + _ONES[rng.randint(5, 9)]
                + " point "
                + _ONES[rng.choice((0, 5))],
            )
        )
    if kind == "time":
        value = rng.choice((rng.randint(1, 20), teen_or_ten(rng), rng.randint(1, 60)))
        unit = rng.choice((" seconds", " minutes", " minutes left", " hours", " second", " minute"))
        return rng.choice(
            (
                small_number(value) + unit,
                small_number(value) + unit,
                "an hour and a half",
                "half an hour",
                "a minute and a half",
                small_number(rng.randint(2, 9)) + " and a half minutes",
                "about " + small_number(value) + unit,
                small_number(rng.randint(1, 5))
                + " minutes "
                + small_number(rng.choice((10, 15, 20, 30, 40, 45, 50)))
                + " seconds",
            )
        )
    if kind == "plain":
        return spoken_number(
            rng.choice(
                (
                    rng.randint(0, 30),
                    rng.randint(0, 100),
                    rng.randint(0, 999),
                    rng.randint(100, 3000),
                )
            ),
            rng,
        )
    if kind == "serial":
        return digits(
            "".join(str(rng.randint(0, 9)) for _ in range(rng.choice((1, 2, 3, 3, 4, 4, 4, 5)))),
            rng,
        )
    if kind == "teens":
        value = teen_or_ten(rng)
        return rng.choice(
            (
                small_number(value),
                small_number(value),
                small_number(value) + " hundred",
                small_number(value)
                + rng.choice(
                    (" psi", " liters", " percent", " seconds", " minutes", " bar", " millimeters")
                ),
                small_number(value) + " " + digits(str(value), rng),
                small_number(teen_or_ten(rng)) + " " + small_number(teen_or_ten(rng)),
                small_number(value) + " hundred psi",
            )
        )
    if kind == "rate":
        value = rng.choice((rng.randint(8, 40), rng.randint(40, 160)))
        return rng.choice(
            (
                small_number(value) + " a minute",
                small_number(value) + " breaths a minute",
                "respirations " + small_number(value),
                "rate of " + small_number(value),
                "pulse is " + small_number(value),
                "heart rate " + small_number(value),
                "one every " + small_number(rng.randint(3, 10)) + " seconds",
            )
        )
    if kind == "vacuum":
        return (
            rng.choice(("", "vacuum is ", "it pulls ", "set to ", "negative "))
            + say(rng.choice((rng.randrange(80, 600, 20), 300, 120, 80)))
            + rng.choice((" mmhg", " millimeters of mercury", " millimeters"))
        )
    if kind == "fix":
        a, b = teen_or_ten(rng), teen_or_ten(rng)
        if rng.random() < 0.5:
            a, b = rng.randrange(2, 25) * 100, rng.randrange(2, 25) * 100
        join = rng.choice(
            (
                " no ",
                " no wait ",
                " sorry ",
                " i mean ",
                " correction ",
                " no make that ",
                " not ",
                " no i said ",
                " wait ",
                " or ",
            )
        )
        unit = rng.choice(("", "", " psi", " liters", " percent"))
        return rng.choice(
            (
                say(a) + join + say(b) + unit,
                "no " + say(b) + unit,
                "i said " + say(b) + unit,
                "not " + say(a) + " " + say(b),
                "it's " + say(b) + " not " + say(a),
            )
        )
    if kind == "clock":
        return (
            small_number(rng.randint(10, 23))
            + " "
            + rng.choice(
                (
                    small_number(rng.randint(10, 59)),
                    "oh " + _ONES[rng.randint(1, 9)],
                    "hundred hours",
                )
            )
        )
    if kind == "decimal":
        return rng.choice(
            (
                "point five",
                "zero point five",
                "half a liter",
                "a half",
                "half",
                "a quarter",
                "three quarters",
                "two and a half",
                "one and a half",
                "wide open",
                "full flow",
                "a quarter full",
                "half full",
                _ONES[rng.randint(0, 9)] + " point " + _ONES[rng.randint(0, 9)],
                small_number(rng.randint(10, 99)) + " point " + _ONES[rng.randint(0, 9)],
            )
        ) + rng.choice(("", " liters", "", " percent"))
    return (
        rng.choice(("at least ", "about ", "", ""))
        + small_number(rng.randint(1, 24))
        + rng.choice((" inches", " inch", " centimeters", " feet"))
    )
