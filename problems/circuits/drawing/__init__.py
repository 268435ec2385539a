"""Schematics drawn in text: read, and shown again."""

from problems.circuits.describe import describe
from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.faults import DrawingError, Fault
from problems.circuits.drawing.legend import legend
from problems.circuits.drawing.marks import Marks, Row, Span, plain
from problems.circuits.drawing.reader import read_drawing
from problems.circuits.drawing.render import render

__all__ = [
    "Drawing",
    "DrawingError",
    "Fault",
    "Marks",
    "Row",
    "Span",
    "describe",
    "legend",
    "plain",
    "read_drawing",
    "render",
]
