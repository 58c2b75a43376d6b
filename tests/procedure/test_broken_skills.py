"""Every mistake has one problem, on its own line, that says what to do."""

from __future__ import annotations

from itertools import product

import pytest
from skill_samples import SAMPLE, line_of, parsed

# Each case: what is replaced in the sample, by what, where the problem must lie, what it must say.
BROKEN = {
    # what the schema sees
    "no title": ("title: Sample skill\n", "", "id: sample-skill", "the file has no 'title': add"),
    "step without why": (
        "    why: They keep you and the manikin clean.\n",
        "",
        "- id: gloves",
        "step 'gloves' has no 'why': add one sentence that says why it is done.",
    ),
    "a chosen number on which nothing hangs": (
        "        quantity: flow\n",
        "        quantity: flow\n        chosen: true\n",
        "        chosen: true",
        "has a number that is 'chosen', but no step has to come after it for safety: take 'chosen'",
    ),
    "chosen that is no truth": (
        "        quantity: flow\n",
        "        quantity: flow\n        chosen: sometimes\n",
        "        chosen: sometimes",
        "'chosen' of",
    ),
    "misspelt required key": (
        "say: Put on",
        "sya: Put on",
        "sya: Put on",
        "step 'gloves' has an unknown key 'sya': did you mean 'say'?",
    ),
    "misspelt optional key": (
        "chooses: device",
        "choses: device",
        "choses: device",
        "step 'fit' has an unknown key 'choses': did you mean 'chooses'?",
    ),
    "misspelt key where own keys are allowed": (
        "cannula: {says: the",
        "cannula: {sais: the",
        "cannula: {sais",
        "option 'cannula' of setting 'device' has no 'says': add how the option is said",
    ),
    "key of another place": (
        "    aloud: Say what",
        "    default: x\n    aloud: Say what",
        "    default: x",
        "step 'calm' has an unknown key 'default': the keys are id, name, say,",
    ),
    "number as text": (
        "minutes: 5",
        "minutes: five",
        "minutes: five",
        "'minutes' must be a whole number, not text: give the minutes",
    ),
    "half minutes": ("minutes: 5", "minutes: 5.5", "minutes:", "not the number 5.5"),
    "no minutes": ("minutes: 5", "minutes: 0", "minutes: 0", "'minutes' is 0: give 1 or more."),
    "days": ("minutes: 5", "minutes: 500", "minutes: 500", "is 500: give 120 or less."),
    "text as number": (
        "title: Sample skill",
        "title: 12",
        "title: 12",
        "'title' must be text: put quotes around 12.",
    ),
    "truth as text": (
        "name: the gauge",
        "name: true",
        "name: true",
        "or put quotes around true.",
    ),
    "text as truth": (
        "safety: true",
        "safety: yes",
        "safety: yes",
        "'safety' of item 1 of 'after' of step 'gauge' must be true or false, not text",
    ),
    "empty text": (
        "how: Pull them over the cuffs.",
        "how:",
        "how:\n",
        "'how' of step 'gloves' is empty: give one or two sentences",
    ),
    "quoted empty text": ("how: Hold it for a moment.", 'how: ""', 'how: ""', "is empty: give"),
    "one text for a list": (
        'table: [an adult manikin, gloves, "a mask for {patient}"]',
        "table: a manikin",
        "table: a manikin",
        "'table' must be a list, not text: give a list of what to lay out",
    ),
    "empty list": (
        'table: [an adult manikin, gloves, "a mask for {patient}"]',
        "table: []",
        "table: []",
        "'table' is empty",
    ),
    "number among texts": (
        "phrases: [it fits]",
        "phrases: [it fits, 15]",
        "phrases: [it fits, 15]",
        "item 2 of 'phrases' of 'heard-as' of step 'fit' must be text: put quotes around 15.",
    ),
    "keys for a list": (
        "aloud: Say what you are doing.",
        "cautions: {a: b}",
        "cautions: {a: b}",
        "'cautions' of step 'calm' must be a list, not keys with values",
    ),
    "step that is a text": (
        "  - id: calm\n",
        "  - just text\n  - id: calm\n",
        "- just text",
        "step 5 must be keys with values, not text: give a step with id,",
    ),
    "capital in an id": (
        "- id: suction",
        "- id: Suction",
        "- id: Suction",
        "'id' of step 'Suction' is 'Suction': use small letters",
    ),
    "blank in a key": (
        '  common: "Common',
        '  a book: A book\n  common: "Common',
        "  a book: ",
        "'a book' is not a good name: use small letters",
    ),
    "unknown quantity": (
        "quantity: flow",
        "quantity: flows",
        "quantity: flows",
        "'quantity' of reading 'flow' of step 'gauge' cannot be 'flows': did you mean 'flow'?",
    ),
    "unit in the wrong case": ("unit: psi", "unit: PSI", "unit: PSI", "did you mean 'psi'?"),
    "brace without quotes": (
        'limit-s: "{patient.limit}"',
        "limit-s: {patient.limit}",
        "limit-s: {patient.limit}",
        "'limit-s' of 'clock' of step 'suction' begins with a brace: put quotes around "
        '"{patient.limit}".',
    ),
    "no end of the clock": (
        "      end: {phrases: [out]}\n",
        "",
        "    clock:",
        "'clock' of step 'suction' has no 'end': add the words that end the clock",
    ),
    "prerequisite without a reason": (
        ", because: you need oxygen first",
        "",
        "{step: gauge}",
        "item 1 of 'after' of step 'fit' has no 'because': add one clause",
    ),
    "variant without when": (
        "      - when: {patient: infant}\n        say: Fit",
        "      - say: Fit",
        "- say: Fit",
        "variant 1 of step 'fit' has no 'when'",
    ),
    "id in a variant": (
        "        cautions: [Be gentle.]",
        "        id: fit2",
        "id: fit2",
        "variant 1 of step 'fit' has an unknown key 'id'",
    ),
    "fact that is a list": (
        'most: "{no-fact.6}"',
        "most: [6]",
        "most: [6]",
        "'most' of option 'infant' of setting 'patient' must be text or a number, not a list",
    ),
    # names that stand for nothing
    "id unlike the file": (
        "id: sample-skill",
        "id: other-skill",
        "id: other-skill",
        "the id is 'other-skill', but the file is named 'sample-skill': make them the same.",
    ),
    "two steps of one id": (
        "- id: suction",
        "- id: fit",
        "- id: fit\n    name: the suction",
        "two steps have the id 'fit'",
    ),
    "two readings of one name": (
        "- name: flow\n        quantity: flow",
        "- name: pressure\n        quantity: flow",
        "- name: pressure\n        quantity: flow",
        "two readings of step 'gauge' have the name 'pressure'",
    ),
    "after an unknown step": (
        "step: gloves",
        "step: glove",
        "step: glove,",
        "step 'gauge' comes after 'glove', which is no step: did you mean 'gloves'?",
    ),
    "after itself": (
        "{step: gauge,",
        "{step: fit, ",
        "{step: fit,  because: you need",
        "step 'fit' comes after itself",
    ),
    "after a step twice": (
        "      - {step: gauge, because: you need oxygen first}",
        "      - {step: gauge, because: you need oxygen first}\n      - {step: gauge, because: so}",
        "because: so}",
        "step 'fit' comes after 'gauge' twice",
    ),
    "unknown setting in when": (
        "when: {patient: [adult, infant]}",
        "when: {patent: [adult, infant]}",
        "{patent:",
        "'when' of step 'suction' names 'patent', which is no setting: did you mean 'patient'?",
    ),
    "unknown option in when": (
        "when: {patient: [adult, infant]}",
        "when: {patient: [adult, child]}",
        "[adult, child]",
        "names 'child', which is no option of setting 'patient': the options are adult, infant.",
    ),
    "unknown option in a variant": (
        "when: {patient: infant}",
        "when: {patient: infants}",
        "when: {patient: infants}",
        "'when' of variant 1 of step 'fit' names 'infants', which is no option",
    ),
    "chooses no setting": (
        "chooses: device",
        "chooses: devices",
        "chooses: devices",
        "step 'fit' chooses 'devices', which is no setting: did you mean 'device'?",
    ),
    "unknown complication": (
        "complication: refused",
        "complication: refusal",
        "complication: refusal",
        "step 'calm' belongs to the complication 'refusal', which is not in the file: did you",
    ),
    "complication after no step": (
        "after: fit\n",
        "after: fitting-it\n",
        "after: fitting-it",
        "complication 'refused' names 'fitting-it', which is no step",
    ),
    "reopens no step": (
        "reopens: [fit]",
        "reopens: [fit, fot]",
        "reopens: [fit, fot]",
        "complication 'refused' names 'fot', which is no step: did you mean 'fit'?",
    ),
    "sets no setting": (
        "sets: {device: cannula}",
        "sets: {devise: cannula}",
        "sets: {devise:",
        "'sets' of complication 'refused' names 'devise', which is no setting",
    ),
    "sets no option": (
        "sets: {device: cannula}",
        "sets: {device: canula}",
        "sets: {device: canula}",
        "names 'canula', which is no option of setting 'device': did you mean 'cannula'?",
    ),
    "default is no option": (
        "default: adult",
        "default: adults",
        "default: adults",
        "the default of setting 'patient' is 'adults', which is not among its options: did you",
    ),
    "unknown source": (
        "    sources: [common]",
        "    sources: [comon]",
        "sources: [comon]",
        "complication 'refused' names the source 'comon', which is not among the top-level",
    ),
    "unit of another quantity": (
        "quantity: flow\n        unit: L/min",
        "quantity: flow\n        unit: psi",
        'unit: psi\n        low: "{no-fact.1}"',
        "reading 'flow' of step 'gauge' is in psi, which is no unit of flow: use L/min.",
    ),
    # texts
    "unknown setting in braces": (
        "left for {patient}",
        "left for {patiant}",
        "{patiant}",
        "'why' of step 'gauge' has {patiant}, but 'patiant' is no setting: did you mean 'patient'",
    ),
    "unknown fact in braces": (
        "At most {patient.limit} seconds",
        "At most {patient.limt} seconds",
        "{patient.limt}",
        "has {patient.limt}, but no option of setting 'patient' has a fact 'limt': did you mean "
        "'limit'?",
    ),
    "brace left open": (
        "how: Read the number aloud.",
        "how: Read {patient aloud.",
        "{patient aloud",
        "'how' of step 'gauge' has a brace without its partner",
    ),
    "brace in a setting": (
        "asks: Which device do you use?",
        "asks: Which device for {patient}?",
        "asks: Which device for",
        "'asks' of setting 'device' has braces, which are not filled in here",
    ),
    "long say": (
        "say: Clear the mouth.",
        "say: " + "word " * 21 + ".",
        "say: word",
        "the 'say' of step 'suction' has 22 words: keep to 20",
    ),
    "step without words": (
        "heard-as: {keys: [mouth clear]}",
        "heard-as: {}",
        "heard-as: {}",
        "no words can match step 'suction': give at least one line of 'phrases' or 'keys'.",
    ),
    "step with dots for words": (
        "heard-as: {keys: [mouth clear]}",
        "heard-as: {keys: [...]}",
        "heard-as: {keys: [...]}",
        "no words can match step 'suction'",
    ),
    "clock without words": (
        "start: {phrases: [suctioning]}",
        "start: {absent: [leak]}",
        "start: {absent",
        "no words can match 'start' of 'clock' of step 'suction'",
    ),
    "chosen option without words": (
        "mask: {says: the mask, heard-as: {phrases: [the mask], keys: [mask]}}",
        "mask: {says: the mask}",
        "mask: {says: the mask}",
        "no words can choose option 'mask' of setting 'device' in step 'fit'",
    ),
    "slash alone": (
        "keys: [cannula/prongs]",
        "keys: [cannula / prongs]",
        "cannula / prongs",
        "has a slash without a word on each side",
    ),
    "brings what is not there": (
        "    complication: refused\n",
        "    complication: refused\n    brings: refusd\n",
        "brings: refusd",
        "brings the complication 'refusd', which is not in the file: did you mean 'refused'?",
    ),
    # numbers
    "bad without what it brings": (
        'low: "{fact.sample-pressure.low}"',
        'bad-below: "{no-fact.600}"\n        low: "{fact.sample-pressure.low}"',
        "bad-below",
        "has 'bad-below', but its step brings nothing: add 'brings' with a complication",
    ),
    "bad beyond what stands": (
        "    readings:\n      - name: pressure\n",
        "    brings: refused\n    readings:\n      - name: pressure\n"
        '        bad-above: "{no-fact.5000}"\n',
        "bad-above",
        "has a bad-above of 5,000, which is not within 500 to 2,400, so no number that stands",
    ),
    "burned of what": (
        'low: "{fact.sample-pressure.low}"',
        'burned: {age-years: "{no-fact.5}"}\n        low: "{fact.sample-pressure.low}"',
        "burned",
        "reading 'pressure' of step 'gauge' has 'burned', but is no burned-area: take it out.",
    ),
    "burned at no age": (
        "      - name: flow\n",
        '      - name: area\n        quantity: burned-area\n        unit: "%"\n'
        '        burned: {age-years: "{no-fact.300}"}\n        low: "{no-fact.1}"\n'
        '        high: "{no-fact.9}"\n        ask: How much?\n        sources: [invented]\n'
        "      - name: flow\n",
        "no-fact.300",
        "is 300, which is no age of a patient: give years from 0 to 120.",
    ),
    "low above high": (
        'low: "{fact.sample-pressure.low}"',
        'low: "{no-fact.5000}"',
        "no-fact.5000",
        "reading 'pressure' of step 'gauge' has a low of 5,000 above its high of 2,400",
    ),
    "low above high for one option": (
        'low: "{no-fact.1}"',
        'low: "{no-fact.7}"',
        "no-fact.7",
        "reading 'flow' of step 'gauge' has a low of 7 above its high of 6",
    ),
    "limit that is no number": (
        'high: "{fact.sample-pressure.high}"',
        "high: lots",
        "high: lots",
        "'high' of reading 'pressure' of step 'gauge' is \"lots\", which is not a number",
    ),
    "fact that is no number": (
        'most: "{no-fact.6}"',
        "most: lots",
        'high: "{patient.most}',
        "'high' of reading 'flow' of step 'gauge' is \"{patient.most}\", which is not a number "
        "with every choice",
    ),
    "clock of half a second": (
        'limit: "{fact.sample-pass-infant}"',
        'limit: "{no-fact.0.5}"',
        "limit-s:",
        "'limit-s' of 'clock' of step 'suction' is \"{patient.limit}\", which is not whole seconds",
    ),
    "fact that one option lacks": (
        '        limit: "{fact.sample-pass-infant}"\n',
        "",
        "      infant:\n",
        "option 'infant' of setting 'patient' has no fact 'limit', but a text uses "
        "{patient.limit} with it: add the fact.",
    ),
    # numbers and the table of facts
    "limit from nowhere": (
        'low: "{fact.sample-pressure.low}"',
        "low: 500",
        "low: 500",
        "'low' of reading 'pressure' of step 'gauge' has the number 500 from nowhere: name a fact",
    ),
    "option with a number from nowhere": (
        'most: "{no-fact.15}"',
        "most: 15",
        "most: 15",
        "'most' of option 'adult' of setting 'patient' has the number 15 from nowhere",
    ),
    "clock from nowhere": (
        'limit-s: "{patient.limit}"',
        "limit-s: 10",
        "limit-s: 10",
        "'limit-s' of 'clock' of step 'suction' has the number 10 from nowhere",
    ),
    "spoken number from nowhere": (
        "how: Hold it for a moment.",
        "how: Hold it for 3 seconds.",
        "how: Hold it for 3 seconds.",
        "'how' of step 'fit' has the number 3 from nowhere: name a fact of the table, such as "
        "{fact.suction-pass-adult}, or write {no-fact.3} if it is none.",
    ),
    "number word from nowhere": (
        "how: Hold it for a moment.",
        "how: Hold it with Two hands.",
        "how: Hold it with Two hands.",
        "'how' of step 'fit' has the number Two from nowhere",
    ),
    "reason with a number from nowhere": (
        "because: The mask is on the table.",
        "because: Most of 12 courses do.",
        "because: Most of 12",
        "'because' of setting 'device' has the number 12 from nowhere",
    ),
    "announced number from nowhere": (
        "pulls {device} off.",
        "pulls {device} off at 88.",
        "announce:",
        "'announce' of complication 'refused' has the number 88 from nowhere",
    ),
    "unknown fact": (
        "how: Hold it for a moment.",
        'how: "Hold it for {fact.sample-pas-adult} seconds."',
        "sample-pas-adult",
        "'how' of step 'fit' has {fact.sample-pas-adult}, but the table of facts has no "
        "'sample-pas-adult': did you mean 'sample-pass-adult'?",
    ),
    "fact of another world": (
        'limit-s: "{patient.limit}"',
        'limit-s: "{fact.moon}"',
        "limit-s:",
        "the table of facts has no 'moon': add it there with its source.",
    ),
    "unknown fact at the end of a range": (
        'high: "{fact.sample-pressure.high}"',
        'high: "{fact.moon}"',
        'high: "{fact.moon}"',
        "the table of facts has no 'moon': add it there with its source.",
    ),
    "part that a fact lacks": (
        "how: Hold it for a moment.",
        'how: "Hold it for {fact.sample-pass-adult.low} seconds."',
        "sample-pass-adult.low",
        "which the fact does not have: write {fact.sample-pass-adult} or "
        "{fact.sample-pass-adult.longer}.",
    ),
    "half a range alone": (
        "how: Hold it for a moment.",
        'how: "Press {fact.sample-depth} centimeters."',
        "{fact.sample-depth}",
        "has {fact.sample-depth}, which the fact does not have: write {fact.sample-depth.low}.",
    ),
    "no number that is no fact": (
        "how: Hold it for a moment.",
        'how: "Hold it {no-fact.}."',
        "{no-fact.}",
        "has {no-fact.} without a number: write {no-fact.5}.",
    ),
    "setting named like the table": (
        "  device:\n",
        "  fact: {asks: Which?, default: a, because: So., options: {a: {says: a}}}\n  device:\n",
        "  fact: {",
        "'fact' is kept for the table of facts: give the setting another name.",
    ),
    "fact in another unit": (
        'low: "{fact.sample-pressure.low}"',
        'low: "{fact.sample-pass-adult}"',
        'low: "{fact.sample-pass-adult}"',
        "'low' of reading 'pressure' of step 'gauge' is in psi, but the fact 'sample-pass-adult' "
        "is in s: use a fact in psi.",
    ),
    "option that passes on a fact in another unit": (
        'limit: "{fact.sample-pass-infant}"',
        'limit: "{fact.sample-pressure.low}"',
        "limit-s:",
        "'limit-s' of 'clock' of step 'suction' is in s, but the fact 'sample-pressure' is in psi",
    ),
    "fact in a unit that can be turned": (
        'limit-s: "{patient.limit}"',
        'limit-s: "{fact.sample-wait}"',
        "limit-s:",
        "but the fact 'sample-wait' is in min: use a fact in s, or write {fact.sample-wait.in-s}.",
    ),
    "fact turned into a unit of something else": (
        "how: Hold it for a moment.",
        'how: "Press {fact.sample-depth.low.in-psi}."',
        "{fact.sample-depth",
        "but cm cannot be told in psi; in mm it can: take the unit out or name another.",
    ),
    "dose told": (
        "how: Hold it for a moment.",
        'how: "Give {fact.sample-dose} milligrams."',
        "{fact.sample-dose}",
        "'how' of step 'fit' tells {fact.sample-dose}, which is a dose: the coach never tells one, "
        "so use it only as 'low' or 'high' of a reading.",
    ),
    "dose told of a number out of range": (
        "outside: Change the cylinder.",
        'outside: "It is {fact.sample-dose}."',
        "{fact.sample-dose}",
        "'outside' of reading 'pressure' of step 'gauge' tells {fact.sample-dose}, which is a dose",
    ),
    "size told unasked": (
        "why: It brings the oxygen.",
        'why: "It is {fact.sample-size} long."',
        "{fact.sample-size}",
        "which is a size: the coach tells none before the learner has, so use it only as 'low' or "
        "'high' or 'outside' of a reading.",
    ),
    "dose told in what a setting says": (
        "cannula: {says: the cannula,",
        'cannula: {says: "{fact.sample-dose} milligrams",',
        "{fact.sample-dose}",
        "'says' of option 'cannula' of setting 'device' tells {fact.sample-dose}",
    ),
    # circles
    "circle of two": (
        "      - {step: gloves, because: grease and oxygen do not mix, safety: true}",
        "      - {step: fit, because: so}",
        "{step: fit, because: so}",
        "the steps wait for one another in a circle ('gauge' comes after 'fit', 'fit' comes after "
        "'gauge'): take one 'after' out.",
    ),
    "circle with one option": (
        "        cautions: [Be gentle.]",
        "        after: [{step: calm, because: so}]",
        "{step: calm, because: so}",
        "('fit' comes after 'calm', 'calm' comes after 'fit')",
    ),
    # YAML
    "key twice": (
        "minutes: 5\n",
        "minutes: 5\ntitle: Again\n",
        "title: Again",
        "'title' is here twice (first on line 2): take one out.",
    ),
    "second document": ("steps:\n", "---\nsteps:\n", "---", "a second document begins here"),
    "alias": (
        "name: the fit",
        "name: *fit",
        "name: *fit",
        "'*fit' is an alias, which these files do not use",
    ),
    "tag": ("title: Sample skill", "title: !!python/name:os.system", "title: !!", "is a tag"),
    "tab": ("    name: the fit", "\tname: the fit", "\tname", "indented by a tab: use spaces"),
    "colon in a text": (
        "say: Read the gauge.",
        "say: Read: the gauge.",
        "say: Read: the",
        "put quotes around a text that holds a colon and a space",
    ),
    "control character": (
        "Read the gauge.",
        "Read the\x07 gauge.",
        "Read the\x07",
        "a character here that is no text",
    ),
}


@pytest.mark.parametrize(("old", "new", "place", "says"), BROKEN.values(), ids=BROKEN.keys())
def test_one_mistake_is_one_problem_on_its_line(old: str, new: str, place: str, says: str) -> None:
    assert SAMPLE.count(old) == 1, "the case must change one place of the sample"
    broken = SAMPLE.replace(old, new)
    problems = parsed(broken).problems
    assert len(problems) == 1, [str(problem) for problem in problems]
    assert problems[0].file == "folder/sample-skill.yaml"
    assert problems[0].line == line_of(place, broken)
    assert says in problems[0].message
    assert parsed(broken).skill_file is None


def test_five_mistakes_are_five_lines_in_order() -> None:
    names = ("low above high", "no title", "misspelt required key", "reopens no step", "long say")
    broken = SAMPLE
    for name in names:
        old, new, _, _ = BROKEN[name]
        broken = broken.replace(old, new)
    problems = parsed(broken).problems
    assert [problem.line for problem in problems] == sorted(
        line_of(BROKEN[name][2], broken) for name in names
    )
    assert {says for name in names for says in [BROKEN[name][3]]} == {
        says
        for name in names
        for says in [BROKEN[name][3]]
        if any(says in problem.message for problem in problems)
    }


def test_every_sentence_ends_and_none_speaks_of_the_schema() -> None:
    for old, new, _, _ in BROKEN.values():
        for problem in parsed(SAMPLE.replace(old, new)).problems:
            assert problem.message[-1] in ".?"
            for word in ("schema", "$ref", "property", "instance", "NoneType", "oneOf", "array"):
                assert word not in problem.message


@pytest.mark.parametrize(
    ("text", "line", "says"),
    [
        ("", 1, "the file is empty"),
        ("# only a remark\n", 1, "the file is empty"),
        ("just words\n", 1, "the file must be keys with values, not text"),
        ("\n- id: a\n", 2, "this is a list, as in a dialogue file"),
        ("id: [a\n", 1, "the quotes or brackets that open here"),
        ('id: "a\nb: c\n', 1, "the quotes or brackets that open here"),
        ("? [a, b]\n: c\n", 1, "a key must be a plain word"),
        ("a: " + "[" * 30 + "]" * 30, 1, "more than 20 levels are nested here"),
        ("a: " + "[" * 9000 + "]" * 9000, 1, "20 levels"),
        ("a: &a [b]\nc: *a\n", 2, "is an alias"),
        ("a: &a\n  b: *a\n", 2, "is an alias"),
        ("a: " + "x" * 1_000_001, 1, "the file has more than 1,000,000 characters"),
    ],
)
def test_what_is_no_skill_file_at_all(text: str, line: int, says: str) -> None:
    problem = parsed(text).problems[0]
    assert says in problem.message
    assert problem.line == line


def test_too_many_ways_to_choose_are_refused() -> None:
    settings = "".join(
        f"  extra-{number}:\n    asks: Which?\n    default: a\n    because: So it is.\n"
        "    options: {a: {says: a}, b: {says: b}, c: {says: c}, d: {says: d}}\n"
        for number in range(4)
    )
    broken = SAMPLE.replace("steps:\n", settings + "steps:\n")
    (problem,) = parsed(broken).problems
    assert problem.line == line_of("settings:\n", broken)
    assert "1024 ways" in problem.message


def test_two_circles_are_two_problems() -> None:
    broken = SAMPLE.replace(
        "      - {step: gloves, because: grease and oxygen do not mix, safety: true}",
        "      - {step: fit, because: so}\n      - {step: calm, because: thus}",
    )
    assert [problem.line for problem in parsed(broken).problems] == [
        line_of("because: so}", broken),
        line_of("because: thus}", broken),
    ]


def test_truth_is_only_true_and_false() -> None:
    # YAML 1.1 takes these words for truth values; in YAML 1.2 (section 10.3.2) they are text.
    for word, key in product(("yes", "no", "on", "off"), ("name: the fit", "title: Sample skill")):
        renamed = SAMPLE.replace(key, f"{key.split(':')[0]}: {word}")
        assert not parsed(renamed).problems


def test_a_dose_that_an_option_passes_on_is_not_told_either() -> None:
    passed_on = SAMPLE.replace(
        '        most: "{no-fact.6}"\n',
        '        most: "{no-fact.6}"\n        drug: "{fact.sample-dose}"\n',
    ).replace(
        '        most: "{no-fact.15}"\n',
        '        most: "{no-fact.15}"\n        drug: "{fact.sample-dose}"\n',
    )
    assert parsed(passed_on).problems == ()
    told = passed_on.replace("why: It brings the oxygen.", 'why: "It is {patient.drug}."')
    (problem,) = parsed(told).problems
    assert problem.line == line_of("{patient.drug}", told)
    assert "tells {patient.drug}, which is a dose: the coach never tells one" in problem.message


def test_a_size_may_be_told_of_a_number_that_was_wrong() -> None:
    told = SAMPLE.replace(
        "outside: Change the cylinder.", 'outside: "They are {fact.sample-size} long."'
    )
    skill_file = parsed(told).skill_file
    assert skill_file
    assert skill_file.chosen({}).step("gauge").readings[0].outside == "They are 80 to 100 long."
