"""What holds for every test: the terminal at hand is one with UTF-8, unless a test says otherwise."""

from __future__ import annotations

import os

os.environ["LC_ALL"] = "C.UTF-8"
