"""The engine: circuits, exact solutions, derivations, verdicts and families. Knows nothing of terminals.

Each name is loaded when it is first used, so that a list of families costs no circuit solver.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from problems.answers.verdict import Verdict
    from problems.circuits.drawing import DrawingError
    from problems.circuits.faults import ManySolutions, NoSolution
    from problems.circuits.parts.capacitor import Capacitor
    from problems.circuits.parts.current_source import CurrentSource
    from problems.circuits.parts.inductor import Inductor
    from problems.circuits.parts.opamp import OpAmp
    from problems.circuits.parts.potentiometer import Potentiometer
    from problems.circuits.parts.resistor import Resistor
    from problems.circuits.parts.voltage_source import VoltageSource
    from problems.derivation.faults import NoNegativeFeedback, NoWalk
    from problems.derivation.step import Step
    from problems.problem import Attempt, Circuit, Problem, ask
    from problems.templates.library import Family, families, family

_HOMES = {
    "problems.answers.verdict": ("Verdict",),
    "problems.circuits.drawing": ("DrawingError",),
    "problems.circuits.faults": ("ManySolutions", "NoSolution"),
    "problems.circuits.parts.capacitor": ("Capacitor",),
    "problems.circuits.parts.current_source": ("CurrentSource",),
    "problems.circuits.parts.inductor": ("Inductor",),
    "problems.circuits.parts.opamp": ("OpAmp",),
    "problems.circuits.parts.potentiometer": ("Potentiometer",),
    "problems.circuits.parts.resistor": ("Resistor",),
    "problems.circuits.parts.voltage_source": ("VoltageSource",),
    "problems.derivation.faults": ("NoNegativeFeedback", "NoWalk"),
    "problems.derivation.step": ("Step",),
    "problems.problem": ("Attempt", "Circuit", "Problem", "ask"),
    "problems.templates.library": ("Family", "families", "family"),
}
_HOME = {name: module for module, names in _HOMES.items() for name in names}

__all__ = [
    "Attempt",
    "Capacitor",
    "Circuit",
    "CurrentSource",
    "DrawingError",
    "Family",
    "Inductor",
    "ManySolutions",
    "NoNegativeFeedback",
    "NoSolution",
    "NoWalk",
    "OpAmp",
    "Potentiometer",
    "Problem",
    "Resistor",
    "Step",
    "Verdict",
    "VoltageSource",
    "ask",
    "families",
    "family",
]


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'problems' has no attribute {name!r}")
    found = getattr(import_module(_HOME[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    return sorted(__all__)
