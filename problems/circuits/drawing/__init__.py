"""Schematics drawn in text: read, and shown again."""

from problems.circuits.drawing.drawing import Drawing
from problems.circuits.drawing.faults import DrawingError, Fault
from problems.circuits.drawing.reader import read_drawing

__all__ = ["Drawing", "DrawingError", "Fault", "read_drawing"]
