"""Figures, each in a module of its own: numbers > shapes in mm. `docgen.render.figures` is their one face."""
