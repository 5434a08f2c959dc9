"""One module a step; a step that was released never changes."""
