"""Why a circuit has no walk: one class for each cause."""

from __future__ import annotations

from problems.derivation.methods.registry import methods
from problems.words import say


class NoWalk(ValueError):
    """No laws lead to a quantity: the circuit does not determine it, or a part has no law that speaks of it.

    quantity: its name.
    """

    def __init__(self, quantity: str):
        self.quantity = quantity
        super().__init__(say("walk.no-walk", quantity=quantity))


class NoNegativeFeedback(ValueError):
    """The two rules do not hold: an op-amp is not under negative feedback. opamps: their names.

    stuck: whether their outputs move nothing between their inputs, rather than moving them the wrong way.
    """

    def __init__(self, opamps: tuple[str, ...], stuck: bool = False):
        self.opamps, self.stuck = opamps, stuck
        super().__init__(say(f"walk.{'no' if stuck else 'no-negative'}-feedback", parts=", ".join(opamps)))


class MethodNotBuilt(ValueError):
    """A method of analysis that this version does not teach. method: its name."""

    def __init__(self, method: str):
        self.method = method
        super().__init__(say("walk.no-method", method=method, known=", ".join(methods())))
