"""Solving an equation for one name in it, as one would by hand; where it is linear in the name."""

from __future__ import annotations

from collections.abc import Hashable

from problems.formulas.expression import (
    ONE,
    ZERO,
    Expression,
    Name,
    Negative,
    Number,
    Product,
    Quotient,
    Sum,
    keys,
    nodes,
    substitute,
    total,
)


def isolated(left: Expression, right: Expression, key: Hashable) -> Expression | None:
    """What ``key`` equals by ``left = right``; None where that is not linear in it, or does not name it.

    A name that stands once is freed by turning round what stands about it; else its terms are gathered.
    """
    times = sum(node == Name(key) for side in (left, right) for node in nodes(side))
    if times == 1:
        found = _freed(left, right, key) if key in keys(left) else _freed(right, left, key)
    else:
        found = _gathered(left - right, key) if times else None
    return None if found is None else tidy(found)


def _freed(side: Expression, other: Expression, key: Hashable) -> Expression | None:
    """``side = other`` turned round until the name stands alone."""
    while not isinstance(side, Name):
        turned = _turned(side, other, key)
        if turned is None:
            return None
        side, other = turned
    return other


def _turned(side: Expression, other: Expression, key: Hashable) -> tuple[Expression, Expression] | None:
    """One operation moved to the other side."""
    inner = next(child for child in side.children if key in keys(child))
    rest = tuple(child for child in side.children if child is not inner)
    if isinstance(side, Negative):
        return inner, negative(other)
    if isinstance(side, Sum):
        if isinstance(inner, Negative):
            return inner.operand, _less(total(rest), other)
        return inner, _less(other, total(rest))
    if isinstance(side, Product):
        return inner, other / (rest[0] if len(rest) == 1 else Product(rest))
    if isinstance(side, Quotient):
        return (inner, other * side.bottom) if inner is side.top else (inner, side.top / other)
    return None


def _gathered(residual: Expression, key: Hashable) -> Expression | None:
    slope = _slope(residual, key)
    if slope is None or slope == ZERO:
        return None
    return substitute(residual, {key: ZERO}) / negative(slope)


def _slope(expression: Expression, key: Hashable) -> Expression | None:
    """What a formula changes by with the name; None where it is not linear in it."""
    if key not in keys(expression):
        return ZERO
    if isinstance(expression, Name):
        return ONE
    below = [_slope(child, key) for child in expression.children]
    slopes = [slope for slope in below if slope is not None and key not in keys(slope)]
    return _joined(expression, slopes) if len(slopes) == len(below) else None


def _joined(expression: Expression, slopes: list[Expression]) -> Expression | None:
    """The slope of a formula from those of its pieces."""
    if isinstance(expression, Sum):
        return tidy(Sum(tuple(slopes)))
    if isinstance(expression, Negative):
        return negative(slopes[0])
    if isinstance(expression, Product) and sum(slope != ZERO for slope in slopes) == 1:
        factors = (child if slope == ZERO else slope for child, slope in zip(expression.factors, slopes, strict=True))
        return tidy(Product(tuple(factors)))
    return slopes[0] / expression.bottom if isinstance(expression, Quotient) and slopes[1] == ZERO else None


def _less(left: Expression, right: Expression) -> Expression:
    return Sum((left, negative(right)))


def negative(expression: Expression) -> Expression:
    """The formula with its sign, or all the signs of a sum, turned."""
    if isinstance(expression, Negative):
        return expression.operand
    if isinstance(expression, Sum):
        return Sum(tuple(negative(term) for term in expression.terms))
    return expression if expression == ZERO else Negative(expression)


def tidy(expression: Expression) -> Expression:
    """The formula without terms that are 0 and factors that are 1, its signs in front and what is added first."""
    children = tuple(map(tidy, expression.children))
    if isinstance(expression, Number) and not expression.value:
        return ZERO
    if isinstance(expression, Sum):
        flat = [term for child in children for term in (child.terms if isinstance(child, Sum) else (child,))]
        kept = sorted((term for term in flat if term != ZERO), key=lambda term: isinstance(term, Negative))
        return total(tuple(kept))
    if isinstance(expression, Negative):
        return negative(children[0])
    if isinstance(expression, Product):
        return _product(children)
    if isinstance(expression, Quotient):
        top, bottom = children
        whole = (_unsigned(top) / _unsigned(bottom)) if bottom != ONE else _unsigned(top)
        return ZERO if top == ZERO else negative(whole) if _is_negative(top) != _is_negative(bottom) else whole
    return expression.with_children(children) if children else expression


def _product(factors: tuple[Expression, ...]) -> Expression:
    kept = tuple(_unsigned(factor) for factor in factors if factor != ONE)
    if ZERO in kept:
        return ZERO
    whole = kept[0] if len(kept) == 1 else Product(kept) if kept else ONE
    return negative(whole) if sum(map(_is_negative, factors)) % 2 else whole


def _is_negative(expression: Expression) -> bool:
    """Whether it starts with a minus all through."""
    return isinstance(expression, Negative) or (
        isinstance(expression, Sum) and all(isinstance(term, Negative) for term in expression.terms)
    )


def _unsigned(expression: Expression) -> Expression:
    return negative(expression) if _is_negative(expression) else expression
