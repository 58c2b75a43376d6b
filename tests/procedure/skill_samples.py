"""An invented skill that uses everything a skill file may hold, and how to read it in tests."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

from coach.edges.shared_files import facts_for, program_facts
from coach.procedure.fact_file import parse_facts
from coach.procedure.facts import FactTable, ParsedFacts
from coach.procedure.fragments import Fragments, ParsedFragments, parse_fragments
from coach.procedure.numbers import FACTS_OF
from coach.procedure.parse import ParsedSkill, parse_skill

PROCEDURES = Path(__file__).parents[2] / "procedures"
SKILL_SCHEMA: dict[str, Any] = json.loads((PROCEDURES / "skill.schema.json").read_text("utf-8"))
FACTS_SCHEMA: dict[str, Any] = json.loads((PROCEDURES / "facts.schema.json").read_text("utf-8"))
LOCAL_SCHEMA: dict[str, Any] = json.loads((PROCEDURES / "local.schema.json").read_text("utf-8"))
FRAGMENTS_SCHEMA: dict[str, Any] = json.loads(
    (PROCEDURES / "fragments.schema.json").read_text("utf-8")
)
DIALOGUES_SCHEMA: dict[str, Any] = json.loads(
    (PROCEDURES / "dialogues.schema.json").read_text("utf-8")
)

SAMPLE = """\
id: sample-skill
title: Sample skill
minutes: 5
table: [an adult manikin, gloves, "a mask for {patient}"]
cautions: [Practice on a manikin only.]
sources:
  invented: "An invented table, first edition"
  common: "Common practice, no source"
settings:
  patient:
    asks: Which patient are you practising for?
    default: adult
    because: Most crews meet adults first.
    options:
      adult:
        says: an adult
        limit: "{fact.sample-pass-adult}"
        most: "{no-fact.15}"
        sources: [invented]
      infant:
        says: an infant
        limit: "{fact.sample-pass-infant}"
        most: "{no-fact.6}"
        sources: [invented]
  device:
    asks: Which device do you use?
    default: mask
    because: The mask is on the table.
    options:
      mask: {says: the mask, heard-as: {phrases: [the mask], keys: [mask]}}
      cannula: {says: the cannula, heard-as: {keys: [cannula/prongs]}}
steps:
  - id: gloves
    name: your gloves
    say: Put on your gloves.
    why: They keep you and the manikin clean.
    how: Pull them over the cuffs.
    heard-as: {phrases: [my gloves are on], keys: [glove on/wearing]}
  - id: gauge
    name: the gauge
    say: Read the gauge.
    why: It tells what is left for {patient}.
    how: Read the number aloud.
    heard-as: {keys: [gauge]}
    after:
      - {step: gloves, because: grease and oxygen do not mix, safety: true}
    readings:
      - name: pressure
        quantity: pressure
        unit: psi
        low: "{fact.sample-pressure.low}"
        high: "{fact.sample-pressure.high}"
        ask: What does the gauge read?
        outside: Change the cylinder.
        sources: [invented]
      - name: flow
        quantity: flow
        unit: L/min
        low: "{no-fact.1}"
        high: "{patient.most}"
        ask: What flow?
    sources: [invented]
  - id: fit
    name: the fit
    say: Fit {device} on {patient}.
    why: It brings the oxygen.
    how: Hold it for a moment.
    heard-as: {phrases: [it fits], keys: [fit], absent: [leak]}
    chooses: device
    after:
      - {step: gauge, because: you need oxygen first}
    variants:
      - when: {patient: infant}
        say: Fit {device} gently on {patient}.
        cautions: [Be gentle.]
  - id: suction
    name: the suction
    say: Clear the mouth.
    why: Nothing may block it.
    how: At most {patient.limit} seconds.
    heard-as: {keys: [mouth clear]}
    when: {patient: [adult, infant]}
    clock:
      limit-s: "{patient.limit}"
      start: {phrases: [suctioning]}
      end: {phrases: [out]}
      over: Come out now.
    sources: [invented]
  - id: calm
    name: a calm word
    say: Calm the patient.
    why: Fear makes it worse.
    how: Speak slowly.
    aloud: Say what you are doing.
    heard-as: {phrases: [I calm them]}
    complication: refused
    after: [{step: fit, because: you tried it}]
complications:
  - id: refused
    after: fit
    announce: "{patient} pulls {device} off."
    reopens: [fit]
    sets: {device: cannula}
    sources: [common]
"""

FACTS = """\
sources:
  booklet: {name: "An invented booklet, second edition", year: 2020, standing: textbook}
  sheet: {name: An invented sheet, year: undated, standing: page, weak: true, from-memory: true}
facts:
  sample-pass-adult:
    about: longest pass
    population: adult
    value: 10
    unit: s
    safer: lower
    sources: [booklet]
    because: The shorter limit is the safer one.
    differs:
      longer: {value: 15, sources: [sheet], note: Custom.}
  sample-pass-infant:
    about: longest pass
    population: infant
    value: 5
    unit: s
    sources: [booklet]
  sample-pressure:
    about: pressure of a full cylinder
    population: equipment
    low: 500
    high: 2400
    unit: psi
    sources: [sheet]
  sample-pins:
    about: positions of the pins
    population: equipment
    value: two and five
    unit: positions
    sources: [booklet]
  sample-depth:
    about: how deep to press
    population: adult
    low: 5
    unit: cm
    sources: [booklet]
  sample-wait:
    about: how long to wait
    population: adult
    value: 2
    unit: min
    sources: [booklet]
  sample-dose:
    about: dose of an invented medicine
    population: adult
    value: 4
    unit: mg
    only-checked: dose
    sources: [booklet]
  sample-size:
    about: length of an invented tube
    population: adult
    low: 80
    high: 100
    unit: mm
    only-checked: size
    sources: [booklet]
cylinders:
  us:
    D: {contents: 350, full: 2200, unit: psi, sources: [booklet], factor: 0.16, usual: true}
    XL:
      contents: 3000
      full: 2200
      unit: psi
      factor: 1.36
      sources: [sheet]
      because: Many hold no more.
      differs:
        printed: {contents: 3450, factor: 1.56, sources: [booklet], note: Most courses.}
        brimful: {contents: 3100, full: 2216, sources: [sheet]}
  uk:
    CD: {contents: 460, full: 230, unit: bar, sources: [booklet]}
"""

FRAGMENTS = """\
sources:
  handbook: "An invented handbook, fifth edition"
steps:
  - id: wash
    name: your hands
    say: Wash your hands.
    why: They carry more than you see.
    how: At least {fact.sample-pass-adult} seconds.
    heard-as: {phrases: [my hands are clean], keys: [hands washed], absent: [dirt]}
    cautions: [Dry them well.]
    sources: [handbook, booklet]
"""

LOCAL = """\
program: Riverside evening course
date: 2026-09-01
approved-by: the medical director of the invented county
facts:
  sample-pass-adult:
    value: 15
    unit: s
    because: The county teaches one limit for everybody.
    weakens: The county's manikins need the longer pass.
  sample-pressure:
    low: 700
    high: 2400
    unit: psi
    because: The county keeps more in reserve.
"""

TALK = """\
- name: suggested order
  settings: {patient: infant}
  seed: 3.0
  region: uk
  cylinder: CD
  reserve: 150.5
  turns:
    - learner: I'm ready.
      means: {command: resume}
      coach: gloves
      step: gloves
    - silence: 2.5
      coach: [gloves, put on]
      never: done
    - key: yes
    - learner: no
      means: {kind: answer, answer: no, steps: [], negated: [fit], value: 15, unit: L/min}
  ends:
    done: [gloves]
    missed: []
    oxygen_minutes: 16
- name: nothing but a key
  turns:
    - key: next
"""


def parsed_facts(text: str = FACTS, file: str = "folder/facts.yaml") -> ParsedFacts:
    """The sample's facts, or another text, read under a name."""
    return parse_facts(text, file, FACTS_SCHEMA)


@cache
def sample_table() -> FactTable:
    """The sample's facts."""
    table = parsed_facts().table
    assert table
    return table


def parsed_fragments(text: str = FRAGMENTS, file: str = "folder/fragments.yaml") -> ParsedFragments:
    """The sample's shared steps, or another text, read under a name, with the sample's facts."""
    return parse_fragments(text, file, FRAGMENTS_SCHEMA, sample_table())


@cache
def sample_fragments() -> Fragments:
    """The sample's shared steps."""
    fragments = parsed_fragments().fragments
    assert fragments
    return fragments


def parsed(text: str = SAMPLE, file: str = "folder/sample-skill.yaml") -> ParsedSkill:
    """The sample, or another text, read under a name, with the sample's facts and shared steps.

    What is worked out goes by the program's numbers.
    """
    table = sample_table().with_more(_worked_with())
    return parse_skill(text, file, SKILL_SCHEMA, table, sample_fragments())


@cache
def _worked_with() -> FactTable:
    table = facts_for(program_facts().parent)
    facts = {name: table.facts[name] for names in FACTS_OF.values() for name in names}
    return FactTable(facts, chart=table.chart)


def line_of(snippet: str, text: str) -> int:
    """The line (from 1) on which a snippet begins; it must occur exactly once."""
    assert text.count(snippet) == 1, f"{snippet!r} occurs {text.count(snippet)} times"
    return text.count("\n", 0, text.index(snippet)) + 1
