"""A composed document > the bytes of a file. Renderers know blocks and style, nothing clinical and no clock."""
