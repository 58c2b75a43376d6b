"""The cylinder of the settings: found by the rules in force, or refused with its place."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from coach.app.beginning import first_event
from coach.app.cylinder_in_use import cylinder_in_use, cylinders_known
from coach.core.errors import InputError
from coach.core.units import Unit
from coach.dialogue.engine import advance, new_state
from coach.dialogue.moment import context_of
from coach.dialogue.state import State
from coach.edges.local_program_file import load_local_program
from coach.edges.settings import USUAL_RESERVE, load_settings
from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_files import load_skill
from coach.edges.skill_folders import FOLDER_VARIABLE, local_program_path
from coach.procedure.in_force import RESERVE
from coach.procedure.skill_content import content_bytes, skill_file_of
from coach.trade.amounts import WrittenPressure
from coach.trade.cylinders import Region


def in_use(environ: Mapping[str, str], program: str = "") -> str:
    """The cylinder of settings in the environment, by the rules of a program."""
    local = load_local_program(local_program_path(program)) if program else None
    return cylinder_in_use(load_settings({}, environ), cylinders_known(local)).name


@pytest.mark.parametrize(
    ("letter", "wrong"), [("Q", "There is no US cylinder"), ("CD", "CD is listed for uk")]
)
def test_a_letter_that_the_region_lacks_is_told_with_its_place(letter: str, wrong: str) -> None:
    with pytest.raises(InputError) as caught:
        in_use({"COACH_CYLINDER": letter})
    assert str(caught.value).startswith("COACH_CYLINDER: ")
    assert wrong in str(caught.value)
    assert str(caught.value).endswith("(The region us is from: default.)")


def test_a_size_of_a_program_is_known_by_its_rules_alone() -> None:
    environ = {"COACH_REGION": "uk", "COACH_CYLINDER": "pd"}
    assert in_use(environ, "northharbor") == "UK cylinder PD"
    with pytest.raises(InputError, match='no UK cylinder "PD"'):
        in_use(environ)


def test_a_size_in_the_user_s_own_table_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    (tmp_path / "facts.yaml").write_text(
        "sources:\n  label: {name: The label of ours, year: 2026, standing: label}\n"
        "cylinders:\n  us:\n    JD: {contents: 640, full: 2216, unit: psi, sources: [label]}\n",
        "utf-8",
    )
    assert in_use({"COACH_CYLINDER": "jd"}) == "US cylinder JD"
    (tmp_path / "facts.yaml").write_text(
        "cylinders:\n  us:\n    D: {contents: 640, full: 2216, unit: psi, sources: [common]}\n",
        "utf-8",
    )
    with pytest.raises(InputError, match="US cylinder D is in the program's table already"):
        in_use({})


def begun(program: str = "") -> tuple[bytes, State]:
    """The content that is kept of a skill, and a session begun with an M."""
    local = load_local_program(local_program_path(program)) if program else None
    skill_file = load_skill("oxygen-delivery", local)
    event = first_event(skill_file, load_settings({"cylinder": "M"}, {}), {}, ())
    content = content_bytes(skill_file)
    return content, advance(new_state(skill_file_of(content)), event)[0]


@pytest.mark.parametrize(("program", "factor"), [("", 1.36), ("riverside", 1.56)])
def test_an_attempt_keeps_the_numbers_it_began_with(program: str, factor: float) -> None:
    """They stand in the journal, and its skill is read again without any table of cylinders."""
    content, state = begun(program)
    assert skill_file_of(content).cylinders.listed == {}
    assert state.account is not None
    assert state.account.supply.litres_per_psi == factor


def test_the_gauge_of_a_program_s_size_is_believed_as_far_as_it_is_filled() -> None:
    local = load_local_program(local_program_path("northharbor"))
    settings = load_settings({"region": "uk", "cylinder": "PD"}, {})
    event = first_event(load_skill("oxygen-cylinder", local), settings, {}, ())
    filled = WrittenPressure(200, Unit.BAR).pressure
    assert (event.cylinder, event.region) == ("PD", Region.UK)
    assert event.highest_psi == pytest.approx(filled.psi)


def test_how_far_a_gauge_may_stand_above_the_fill_is_a_fact(tmp_path: Path) -> None:
    """2,437.6 psi is 2,216 and ten percent: what the plus mark of US cylinders allows."""
    path = tmp_path / "tight.local.yaml"
    path.write_text(
        "program: Tight\ndate: 2026-01-02\napproved-by: nobody real\nfacts:\n"
        '  cylinder-overfill: {value: 5, unit: "%", because: Ours bear no plus mark.}\n',
        "utf-8",
    )
    for local, highest in ((None, 2437.6), (load_local_program(path), 2326.8)):
        skill_file = load_skill("oxygen-cylinder", local)
        event = first_event(skill_file, load_settings({}, {}), {}, ())
        state, _ = advance(new_state(skill_file), event)
        assert context_of(state).highest_psi == pytest.approx(highest)
        known = cylinders_known(local)
        assert known.highest_plausible(known.find("D").highest_fill).psi == pytest.approx(highest)


def test_a_gauge_that_is_believed_further_is_said_aloud(tmp_path: Path) -> None:
    path = tmp_path / "wide.local.yaml"
    path.write_text(
        "program: Wide\ndate: 2026-01-02\napproved-by: nobody real\nfacts:\n"
        '  cylinder-overfill: {value: 20, unit: "%", because: So., weakens: Gauges read high.}\n',
        "utf-8",
    )
    told = load_skill("oxygen-delivery", load_local_program(path)).in_force
    assert told is not None
    assert told.weaker == (
        (
            "Weaker than published: how far a gauge may stand above the fill before it counts as "
            "misread, 20 percent instead of 10 percent.",
            "Gauges read high.",
        ),
    )


def test_what_is_kept_back_by_default_is_the_fact() -> None:
    table = facts_for(program_facts().parent)
    assert table.facts[RESERVE].amount.value == USUAL_RESERVE.pressure.psi
