"""Random attempts: any text a person could write, any order, any number."""

from __future__ import annotations

from hypothesis import strategies as st

from coach.report.attempt import (
    Evidence,
    Mark,
    NumberResult,
    Result,
    SafetyFailure,
    Spoken,
    StepResult,
    Tells,
    Timed,
    Verdict,
    Way,
)
from coach.report.by_hand import SetByHand

NASTY = (
    "<script>document.title='ran'</script>",
    "</svg></style></script><img src=x onerror=\"document.title='ran'\">",
    '" onmouseover="document.title=\'ran\'" x="',
    "javascript:alert(1)",
    "--><script>document.title='ran'</script><!--",
    "]]><script>document.title='ran'</script>",
    "&lt;b&gt; &amp; &#x3c;",
    'O\'Neil "quoted"',
    '=HYPERLINK("http://example.invalid")',
    "+1+1",
    "-1+1",
    "@SUM(A1:A9)",
    "\t=1+1",
    " =1+1",
    r"$\frac{1}{0}$",
    "$a_b^c$ and $",
    r"\$x$",
    "\u0645\u062d\u0645\u062f \u0627\u0644\u0637\u0627\u0644\u0628",
    "\u05e9\u05dc\u05d5\u05dd (abc) 12",
    "\u202egnp.exe",
    "\u4e2d\u6587\u59d3\u540d",
    "\U0001f600 e\u0301\u0301\u0301",
    "N" * 300,
    "W W " * 400,
    "a\0b\x1b[31m\x7f\ufffe",
    "line\nbreak\r\nand\u2028more",
    "<para>&nbsp;<font name='no'>",
    "",
)
"""Texts that something in a report could take for more than text."""

TEXTS = st.one_of(st.sampled_from(NASTY), st.text(max_size=60))
SECONDS = st.floats(0, 5000, allow_nan=False).map(lambda value: round(value, 2))
POINTS = st.floats(0, 20, allow_nan=False).map(lambda value: round(value, 2))
NUMBERS = st.floats(-1e12, 1e12, allow_nan=False)
SHARES = st.floats(0, 1, allow_nan=False)

EVIDENCE = st.builds(Evidence, SECONDS, st.sampled_from(Tells), TEXTS, SHARES)


def lists(of: st.SearchStrategy[object], most: int) -> st.SearchStrategy[tuple[object, ...]]:
    """Tuples of at most so many."""
    return st.lists(of, max_size=most).map(tuple)


STEPS = st.builds(
    StepResult,
    step=TEXTS,
    name=TEXTS,
    mark=st.sampled_from(Mark),
    points=POINTS,
    out_of=POINTS,
    at_s=st.none() | SECONDS,
    why=TEXTS,
    safety=st.booleans(),
    hints=st.integers(0, 9),
    evidence=lists(EVIDENCE, 7),
)

VALUES = st.lists(NUMBERS, min_size=1, max_size=2).map(tuple)

RESULTS = st.builds(
    Result,
    attempt=TEXTS,
    learner=TEXTS,
    skill=TEXTS,
    title=TEXTS,
    skill_sha256=TEXTS,
    choices=st.dictionaries(TEXTS, TEXTS, max_size=3),
    way=st.sampled_from(Way),
    scenario=TEXTS,
    program=TEXTS,
    started=st.datetimes(timezones=st.timezones()).map(lambda when: when.isoformat()) | TEXTS,
    seconds=SECONDS,
    limit_s=st.just(0.0) | SECONDS,
    rule=TEXTS,
    verdict=st.sampled_from(Verdict),
    why=TEXTS,
    points=POINTS,
    out_of=POINTS,
    passed_from=SHARES,
    hints=st.integers(0, 99),
    steps=lists(STEPS, 6),
    numbers=lists(
        st.builds(
            NumberResult,
            step=TEXTS,
            name=TEXTS,
            values=VALUES,
            unit=TEXTS | st.just("counted"),
            low=NUMBERS,
            high=NUMBERS,
            in_range=st.booleans(),
            corrected=st.booleans(),
            at_s=SECONDS,
        ),
        4,
    ),
    failures=lists(st.builds(SafetyFailure, TEXTS, TEXTS, TEXTS, SECONDS, st.booleans()), 3),
    timed=lists(st.builds(Timed, TEXTS, SECONDS, st.integers(0, 99), st.integers(0, 99)), 3),
    oxygen_minutes=st.none() | st.integers(0, 999),
    spoken=lists(st.builds(Spoken, SECONDS, st.booleans(), TEXTS), 8),
    cautions=lists(TEXTS, 3),
    weaker=lists(TEXTS, 2),
    judged_by=st.just("coach") | TEXTS,
)

MARKS_BY_HAND = lists(
    st.builds(
        SetByHand,
        step=TEXTS,
        mark=st.sampled_from(Mark),
        coachs_mark=st.sampled_from(Mark),
        by=TEXTS,
        when=TEXTS,
        because=TEXTS,
    ),
    3,
)
