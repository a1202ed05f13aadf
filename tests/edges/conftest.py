"""Tests of files print the same papers again and again: each is drawn once a run (`tests/papers.py`)."""

from tests.papers import share_papers

__all__ = ["share_papers"]
