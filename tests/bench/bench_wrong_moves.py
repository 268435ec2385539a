"""How much of the catalogue of wrong moves is covered, printed: python tests/bench/bench_wrong_moves.py"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from wrong_move_coverage import all_found, table

if __name__ == "__main__":
    print(table(all_found()))
