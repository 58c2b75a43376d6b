"""The typed parts of a skill from checked content, with the chosen options filled in."""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.units import Quantity, Unit
from coach.procedure.build_score import score_from
from coach.procedure.build_timing import (
    clock_from,
    count_from,
    pace_from,
    reading_of,
    since_from,
)
from coach.procedure.filler import Filler, texts
from coach.procedure.model import (
    AlsoIn,
    AlsoSaid,
    Complication,
    Forbidden,
    Option,
    Partner,
    Prerequisite,
    ReadingSpec,
    Setting,
    Step,
    TakenBy,
    Wrong,
)
from coach.procedure.resolve import facts_of, listed, mapping
from coach.procedure.yaml_tree import Json
from coach.trade.amounts import parse_pressure


def whole(value: Json) -> int:
    """A whole number, which may be written 5.0 (JSON Schema takes that for an integer)."""
    return int(float(str(value)))


def setting_from(name: str, value: Json) -> Setting:
    """A setting as written."""
    written = mapping(value)
    facts = facts_of({name: value})[name]
    as_written = Filler({}, {})
    return Setting(
        name=name,
        asks=str(written["asks"]),
        default=str(written["default"]),
        because=str(written["because"]),
        options={
            option: Option(
                says=str(mapping(content)["says"]),
                facts={key: value for key, value in facts[option].items() if key},
                heard_as=as_written.heard_as(mapping(content).get("heard-as")),
                sources=texts(mapping(content).get("sources")),
            )
            for option, content in mapping(written["options"]).items()
        },
        asks_first=str(written.get("asks-first", "")),
    )


def complication_from(written: Mapping[str, Json]) -> Complication:
    """A complication as written."""
    return Complication(
        id=str(written["id"]),
        after=str(written["after"]),
        announce=str(written["announce"]),
        reopens=texts(written.get("reopens")),
        sets={name: str(option) for name, option in mapping(written.get("sets")).items()},
        sources=texts(written.get("sources")),
    )


def forbidden_from(
    written: Mapping[str, Json], present: frozenset[str], filler: Filler
) -> Forbidden:
    """An act that must not happen; what it says of steps that are not `present` vanishes."""
    begins, ends = (str(written.get(key, "")) for key in ("from", "until"))
    return Forbidden(
        id=str(written["id"]),
        name=filler.text(written["name"]),
        say=filler.sentence(written["say"]),
        because=filler.text(written["because"]),
        heard_as=filler.heard_as(written["heard-as"]),
        begins=begins if begins in present else "",
        ends=ends if ends in present else "",
        sources=texts(written.get("sources")),
    )


def _also_said(written: Mapping[str, Json]) -> AlsoSaid:
    return AlsoSaid(str(written["what"]), texts(written["words"]))


def step_from(
    step_id: str, content: Mapping[str, Json], present: frozenset[str], filler: Filler
) -> Step:
    """A step from its standing keys; prerequisites on steps that are not `present` vanish."""
    clock, partner = content.get("clock"), content.get("partner")
    count = count_from(mapping(content["count"]), filler) if "count" in content else None
    return Step(
        id=step_id,
        name=filler.text(content["name"]),
        say=filler.sentence(content["say"]),
        why=filler.sentence(content["why"]),
        how=filler.sentence(content["how"]),
        heard_as=filler.heard_as(content["heard-as"]),
        aloud=filler.sentence(content.get("aloud")),
        also_said=_also_said(mapping(content["also-said"])) if "also-said" in content else None,
        found=filler.sentence(content.get("found")),
        cue=filler.sentence(content.get("cue")),
        unsafe_left_out=filler.text(content.get("unsafe-left-out")),
        after=tuple(
            Prerequisite(
                step=str(first["step"]),
                because=filler.text(first["because"]),
                safety=bool(first.get("safety", False)),
            )
            for first in map(mapping, listed(content.get("after")))
            if first["step"] in present
        ),
        readings=(
            *(_reading(mapping(reading), filler) for reading in listed(content.get("readings"))),
            *((reading_of(count),) if count else ()),
        ),
        clock=clock_from(mapping(clock), filler) if clock is not None else None,
        count=count,
        pace=pace_from(mapping(content["pace"]), filler) if "pace" in content else None,
        score=score_from(step_id, mapping(content["score"]), present, filler)
        if "score" in content
        else None,
        since=since_from(mapping(content["since"]), present, filler)
        if "since" in content
        else None,
        partner=_partner(mapping(partner), filler) if partner is not None else None,
        chooses=str(content.get("chooses", "")),
        complication=str(content.get("complication", "")),
        brings=str(content.get("brings", "")),
        history=content.get("history") is True,
        thermometer=content.get("thermometer") is True,
        wrong=tuple(
            _wrong(mapping(wrong), present, filler) for wrong in listed(content.get("wrong"))
        ),
        cautions=filler.texts(content.get("cautions")),
        sources=texts(content.get("sources")),
    )


def _reading(written: Mapping[str, Json], filler: Filler) -> ReadingSpec:
    return ReadingSpec(
        name=str(written["name"]),
        quantity=Quantity(str(written["quantity"])),
        unit=Unit(str(written["unit"])),
        low=filler.number(written["low"]),
        high=filler.number(written["high"]),
        ask=filler.sentence(written["ask"]),
        outside=filler.sentence(written.get("outside")),
        sources=texts(written.get("sources")),
        by=TakenBy(str(written.get("by", ""))),
        lower=(filler.number(written["lower-low"]), filler.number(written["lower-high"]))
        if "lower-low" in written
        else None,
        assumed=parse_pressure(filler.text(written["assumed"]), "assumed")
        if "assumed" in written
        else None,
        chosen=written["chosen"] is True if "chosen" in written else None,
        bad_below=filler.number(written["bad-below"]) if "bad-below" in written else None,
        bad_above=filler.number(written["bad-above"]) if "bad-above" in written else None,
        also=tuple(
            AlsoIn(Unit(str(one["unit"])), filler.number(one["low"]), filler.number(one["high"]))
            for one in map(mapping, listed(written.get("also")))
        ),
        ahead=written["ahead"] is True if "ahead" in written else None,
        sums=written.get("sums") is True,
        scale=written.get("scale") is True,
        burned_age_years=filler.number(mapping(written["burned"])["age-years"])
        if "burned" in written
        else None,
    )


def _wrong(written: Mapping[str, Json], present: frozenset[str], filler: Filler) -> Wrong:
    begins, ends = (str(written.get(key, "")) for key in ("from", "until"))
    return Wrong(
        words=filler.texts(written["words"]),
        begins=begins if begins in present else "",
        ends=ends if ends in present else "",
    )


def _partner(written: Mapping[str, Json], filler: Filler) -> Partner:
    return Partner(filler.text(written["who"]), filler.heard_as(written.get("heard-as")))
