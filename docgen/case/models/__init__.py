"""The fields of a case, one module for each theme; who writes a field stands at it as a letter."""
