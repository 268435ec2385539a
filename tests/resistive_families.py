"""The families by what is in them: tests that put plain numbers everywhere leave out those with capacitors."""

from __future__ import annotations

from functools import cache

from problems.templates.library import Family, families


@cache
def resistive_families() -> tuple[Family, ...]:
    """Families without capacitors and inductors, in order."""
    return tuple(found for found in families() if found not in reactive_families())


@cache
def reactive_families() -> tuple[Family, ...]:
    """Families with capacitors or inductors, in order."""
    return tuple(found for found in families() if found.problem(seed=1).circuit.regime)
