"""Tests of the figures: their geometry against the page design, their words, and their pictures."""
