"""The program's walks of 31 circuits against derivations written by hand from the circuits."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from published_cases import MAKERS

from problems import Circuit, ask
from problems.circuits.netlist import Netlist
from problems.circuits.parts import Part
from problems.circuits.parts.opamp import OpAmp
from problems.circuits.parts.potentiometer import Potentiometer
from problems.derivation.lesson import Lesson
from problems.derivation.step import Step
from problems.quantities import Quantity, canonical

TABLES: dict[str, Any] = tomllib.loads(Path(__file__).with_name("by_hand_circuits.toml").read_text(encoding="utf-8"))
LAWS = {
    "inputs": {"equal-inputs"},
    "junction": {"same-current", "kcl"},
    "path": {"hop"},
    "divider": {"divider"},
    "ohm": {"ohm"},
    "series": {"chain-current"},
    "no input current": {"no-current"},
    "difference": {"drop", "between"},
    "source": {"source"},
    "side by side": {"parallel"},
    "in line": {"series"},
    "open voltage": {"thevenin"},
    "source resistance": {"thevenin"},
    "call it x": {"carry"},
    "call it y": {"carry"},
}
"""The word on the board, and the laws of the program that it stands for."""
ROLES = {"call it x": "assume", "call it y": "assume", "closes": "close", "put in": "back"}
NAME = re.compile(r"\b[VIR]_[\w.,]*\*?")
CIRCUITS = pytest.mark.parametrize("name", TABLES)
Line = tuple[str, str, frozenset[str]]
"""Quantity, role of the step, what it rests on."""


def part_of(text: str) -> Part:
    letter, name, *fields = text.split()
    if letter == "U":
        return OpAmp(name, plus=fields[0], minus=fields[1], out=fields[2])
    if letter == "P":
        return Potentiometer(name, fields[0], fields[1], fields[2], fields[3], fields[4])
    return MAKERS[letter](name, *fields)


def circuit(name: str) -> Netlist:
    return Netlist(part_of(row) for row in TABLES[name]["net"].split(" | "))


def walk(name: str) -> tuple[Step, ...]:
    netlist = circuit(name)
    return Lesson.of(netlist).walk((netlist.names.read(TABLES[name]["find"]),))


def on_the_board(name: str, givens: set[str]) -> list[Line]:
    found = []
    for quantity, word, relation in TABLES[name]["steps"]:
        rests = frozenset(NAME.findall(relation)) - givens
        found.append((quantity, ROLES.get(word, "law"), rests if word != "put in" else frozenset()))
    return found


def letters_of(name: str) -> dict[str, str]:
    """What the program calls composites, to what the board does: in the order of the working."""
    found: dict[str, str] = {}
    for step in walk(name):
        for quantity in (step.target, *step.rule.tails):
            if re.fullmatch(r"[A-Z]+\*", quantity.of):
                found.setdefault(quantity.of, f"{chr(65 + len(found))}*")
    return found


def by_the_program(name: str, givens: set[str]) -> list[Line]:
    """The steps, with composites named as on the board."""
    letters = letters_of(name)

    def named(quantity: Quantity) -> str:
        return canonical(quantity._replace(of=letters.get(quantity.of, quantity.of)))

    found = []
    for step in walk(name):
        rests = [] if step.role == "back" else [*step.rule.tails]
        rests += [step.rule.head] if step.role == "close" else []
        found.append((named(step.target), step.role, frozenset(map(named, rests)) - givens))
    return found


def givens_of(name: str) -> set[str]:
    return {canonical(quantity) for quantity in Lesson.of(circuit(name)).givens} | {"V_0"}


def test_there_are_31_circuits() -> None:
    assert len(TABLES) == 31


@CIRCUITS
def test_the_walk_has_the_lines_of_the_board_unless_the_difference_is_defended(name: str) -> None:
    givens = givens_of(name)
    board, program = on_the_board(name, givens), by_the_program(name, givens)
    if "instead" in TABLES[name]:
        assert set(program) != set(board)
        assert len(program) <= len(board)
    else:
        assert set(program) == set(board)
        assert (program != board) == ("order" in TABLES[name])


@CIRCUITS
def test_each_step_uses_the_law_of_the_board(name: str) -> None:
    letters = letters_of(name)
    words = {(quantity, ROLES.get(word, "law")): word for quantity, word, _ in TABLES[name]["steps"]}
    for step in walk(name) if "instead" not in TABLES[name] else ():
        quantity = canonical(step.target._replace(of=letters.get(step.target.of, step.target.of)))
        if step.role in ("law", "assume"):
            assert step.law in LAWS[words[quantity, step.role]]


@CIRCUITS
def test_every_line_of_the_board_is_taken_as_right(name: str) -> None:
    problem = ask(Circuit(circuit(name).parts), TABLES[name]["find"])
    back = {ours: theirs for theirs, ours in letters_of(name).items()}
    for quantity, word, relation in TABLES[name]["steps"]:
        if ROLES.get(word, "law") == "law":
            own, text = (re.sub(r"(?<=[RI]_)[A-Z]\*", lambda found: back[found[0]], t) for t in (quantity, relation))
            verdict = problem.check(own, text)
            assert verdict.kind == "right", (quantity, relation, verdict.message)


@pytest.mark.parametrize("name", [name for name in TABLES if {"order", "instead"} & set(TABLES[name])])
def test_a_difference_says_why(name: str) -> None:
    assert len(TABLES[name].get("order", TABLES[name].get("instead")).split()) > 5
