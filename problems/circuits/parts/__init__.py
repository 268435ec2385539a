"""All of one part in one file; ``registry`` finds the files of this folder."""

from problems.circuits.parts.base import Branch, Equation, Parameter, Part, branch_equation
from problems.circuits.parts.registry import by_letter, part_types

__all__ = ["Branch", "Equation", "Parameter", "Part", "branch_equation", "by_letter", "part_types"]
