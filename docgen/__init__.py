"""Fills the paper around an oral-surgery operation from one case record."""
