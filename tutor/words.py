"""The tutor's own sentences, by key, from ``words.toml`` beside this module."""

from __future__ import annotations

from os.path import dirname, join

from problems.words import Catalogue

_tutor = Catalogue(join(dirname(__file__), "words.toml"))
has = _tutor.has
say = _tutor.say
