"""The oxygen cylinder that the settings name, among those that are known by the rules in force."""

from __future__ import annotations

from coach.app.local_rules import program_in_force
from coach.core.errors import InputError
from coach.edges.settings import Settings
from coach.edges.shared_files import facts_for, program_facts
from coach.edges.skill_folders import procedure_folders
from coach.edges.skill_text import shown
from coach.procedure.facts import FactTable
from coach.procedure.local_facts import LocalProgram
from coach.procedure.oxygen_numbers import OxygenNumbers, oxygen_numbers
from coach.trade.cylinders import Cylinder, Cylinders


def cylinders_known(program: LocalProgram | None) -> Cylinders:
    """The cylinders of the program's table, those of the user's own folder, and what a local
    program has of its own."""
    return table_in_force(program).oxygen_cylinders()


def numbers_known(program: LocalProgram | None) -> OxygenNumbers:
    """What is known besides of oxygen, as `cylinders_known`; InputError for a number that the table
    lacks."""
    return oxygen_numbers(table_in_force(program), shown(program_facts()))


def table_in_force(program: LocalProgram | None) -> FactTable:
    """The program's table, that of the user's own folder added, as a local program has it."""
    table = facts_for(procedure_folders()[0])
    return program.over(table) if program else table


def cylinder_in_use(settings: Settings, cylinders: Cylinders) -> Cylinder:
    """The cylinder of the settings; InputError, with where they come from, for one that there is
    not."""
    try:
        return cylinders.find(settings.cylinder, settings.region)
    except InputError as error:
        raise InputError(
            f"{settings.origin('cylinder')}: {error} (The region {settings.region} is from: "
            f"{settings.origin('region')}.)"
        ) from error


def cylinder_remark(settings: Settings) -> tuple[str, ...]:
    """What is wrong with the cylinder of the settings, or with the local program that may have it;
    empty if nothing is."""
    try:
        cylinder_in_use(settings, cylinders_known(program_in_force(settings)))
    except InputError as error:
        return (str(error),)
    return ()
