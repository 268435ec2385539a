"""Good drawings, each with the circuit it must give."""

from __future__ import annotations

from typing import NamedTuple


class Drawn(NamedTuple):
    """A drawing and its parts' nodes, first terminal first; an op-amp's are +, - and output."""

    text: str
    parts: dict[str, tuple[str, ...]]
    driven: tuple[str, ...] = ("Vin",)


POLARITY = {
    "Vin": ("in", "0"),
    "Ri": ("in", "2"),
    "Rf": ("2", "out"),
    "Rp": ("in", "0", "3"),
    "U1": ("3", "2", "out"),
}
INVERTING = {"Vin": ("in", "0"), "Ri": ("in", "2"), "Rf": ("2", "out"), "U1": ("0", "2", "out")}

GOOD: dict[str, Drawn] = {
    "adjustable polarity": Drawn(
        r"""
 Vin o--+---[Ri]----+----[Rf]----+--o Vout
        |           |            |
        |           |    |\      |
        |           +----|-\     |
       [Rp]<---+         |U1>----+
        |      +---------|+/
       GND               |/
""",
        POLARITY,
    ),
    "adjustable polarity in box characters": Drawn(
        """
 Vin o──┬───[Ri]────┬────[Rf]────┬──o Vout
        │           │            │
        │           │    │╲      │
        │           └────│−╲     │
       [Rp]◂───┐         │U1>────┘
        │      └─────────│+╱
       GND               │╱
""",
        POLARITY,
    ),
    "wiper from the left, plus on top": Drawn(
        r"""
           o Vin                 o Vout
           |                     |
    +------+---[Ri]---+---[Rf]---+
    |                 |          |
    +-------+         |          |
            |         |          |
    +-->[Rp 10k]      |   |\     |
    |       |     +---|---|+\    |
    |      GND    |   |   |U1>---+
    |             |   +---|-/
    +-------------+       |/
""",
        POLARITY,
    ),
    "wiper from below": Drawn(
        r"""
          o Vin
          |
 +--------+----[Ri]---+---[Rf]---+--o Vout
 |                    |   |\     |
 |                    +---|-\    |
 +--[Rp=10k]--GND         |U1>---+
       ^         +--------|+/
       |         |        |/
       +---------+
""",
        POLARITY,
    ),
    "wiper from above": Drawn(
        r"""
 Vin o---+----------------[Ri]---+---[Rf]---+
         |                       |          |
         |  +---------+          |   |\     |
         |  |         |          +---|-\    |
         |  v         |              |U1>---+--o Vout
         +-[Rp]--GND  +--------------|+/
                                     |/
""",
        POLARITY,
    ),
    "mirrored": Drawn(
        r"""
  Vout o--+-----[Rf]-----+---[Ri]---o Vin
          |      /|      |
          |     /-|------+
          +----<U1|
                \+|---GND
                 \|
""",
        {"Vin": ("in", "0"), "Ri": ("2", "in"), "Rf": ("out", "2"), "U1": ("0", "2", "out")},
    ),
    "instrumentation amplifier": Drawn(
        r"""
               |\
 Va o----------|+\
               |U1>--+------[R2]---+---[R3]----+
          +----|-/   |             |           |
          |    |/   [R1]           |  |\       |
          |          |             +--|-\      |
          +----------+                |U3>-----+--o Vout
          |                        +--|+/
         [Rg]                      |  |/
          |                        |
          +----------+             |
          |          |             |
          |    |\   [R4]           |
          +----|-\   |             |
               |U2>--+------[R5]---+---[R6]---GND
 Vb o----------|+/
               |/
""",
        {
            "Va": ("a", "0"),
            "Vb": ("b", "0"),
            "R1": ("U1.6", "U1.2"),
            "R2": ("U1.6", "U3.2"),
            "R3": ("U3.2", "out"),
            "R4": ("U2.2", "U2.6"),
            "R5": ("U2.6", "U3.3"),
            "R6": ("U3.3", "0"),
            "Rg": ("U1.2", "U2.2"),
            "U1": ("a", "U1.2", "U1.6"),
            "U2": ("b", "U2.2", "U2.6"),
            "U3": ("U3.3", "U3.2", "out"),
        },
        ("Va", "Vb"),
    ),
    "bridge with a crossing": Drawn(
        r"""
   Vs o---+-------+
          |       |
         [R1]    [R3]
          |       |   |\
          +-------|---|+\
          |       |   |U1>--o Vout
          |       +---|-/
          |       |   |/
         [R2]    [R4]
          |       |
          +--GND--+
""",
        {
            "Vs": ("s", "0"),
            "R1": ("s", "3"),
            "R3": ("s", "2"),
            "R2": ("3", "0"),
            "R4": ("2", "0"),
            "U1": ("3", "2", "out"),
        },
        ("Vs",),
    ),
    "bridge with a source and terminals on its arm": Drawn(
        """
        +------+-------+
        |      |       |
       (V1)   [R1]    [R3]
        |      |       |
        |   A o+--[Rd]-+o B
        |      |       |
       GND    [R2]    [R4]
               |       |
              GND     GND
""",
        {
            "V1": ("n1", "0"),
            "R1": ("n1", "A"),
            "R3": ("n1", "B"),
            "Rd": ("A", "B"),
            "R2": ("A", "0"),
            "R4": ("B", "0"),
        },
        (),
    ),
    "as tight as can be": Drawn(
        r"""
Vin o-[Ri]-+-[Rf]-+-o Vout
           |  |\  |
           +--|-\ |
              |U1>+
         GND--|+/
              |/
""",
        INVERTING,
    ),
    "wire going on beside the flat side": Drawn(
        r"""
 Vin o---[Ri]---+---[Rf]---+
                |          |
                ||\        |
                ||-\       |
                 |U1>------+--o Vout
             GND-|+/
                 |/
""",
        INVERTING,
    ),
    "joints right at the pins": Drawn(
        r"""
 Vin o---[Ri]--+--[Rf]--+
               ||\      |
               +|-\     |
                |U1>----+--o Vout
               +|+/
               ||/
              GND
""",
        INVERTING,
    ),
    "nothing between things": Drawn(
        """
Vin o[R1]+[R2]o Vout
         |
        [R3]
        GND
""",
        {"Vin": ("in", "0"), "R1": ("in", "n1"), "R2": ("n1", "out"), "R3": ("n1", "0")},
    ),
    "ground from every side": Drawn(
        """
 GND--[R1]--+--[R2]--GND
            |
        GND-|-[R3]--+
            |       |
      Vx o--+      GND
            |       |
           [R4]     o GND
            |
           GND--[R5]--o Vx
""",
        {"R1": ("0", "x"), "R2": ("x", "0"), "R3": ("0", "0"), "R4": ("x", "0"), "R5": ("0", "x")},
        (),
    ),
    "one name at two places": Drawn(
        """
 Vin o--[R1]--o A     A o--[R2]--GND
""",
        {"Vin": ("in", "0"), "R1": ("in", "A"), "R2": ("A", "0")},
    ),
    "a rheostat": Drawn(
        """
 Vin o---+-----+
         |     |
       [Rp]<---+
         |
         +---o Vout
         |
        [R1]
         |
        GND
""",
        {"Vin": ("in", "0"), "Rp": ("in", "out", "in"), "R1": ("out", "0")},
    ),
    "sources lying and standing": Drawn(
        """
 GND---(V1 5V)---+---[R1 10 kΩ]---+
                 |                |
               (I1=2.5mA)        GND
                 |
                GND
""",
        {"V1": ("0", "n1"), "I1": ("n1", "0"), "R1": ("n1", "0")},
        (),
    ),
    "terminals on upright wires": Drawn(
        """
  o Vin     Vout o
  |              |
  +---[R1]--*----+
            |    |
           [C1] [L1 10mH]
            |    |
            o Va |
                GND
""",
        {"Vin": ("in", "0"), "R1": ("in", "out"), "C1": ("out", "a"), "L1": ("out", "0")},
    ),
}
