"""Words > lines of glyphs: direction, breaks, fonts and shaping of one paragraph."""
