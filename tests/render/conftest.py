"""What the renderers' tests share: the shipped style."""

import pytest

from docgen.render.style import Style, read_style
from docgen.shipped import shipped_folder


@pytest.fixture(scope="session")
def style() -> Style:
    """Give the house style as shipped."""
    return read_style(shipped_folder("templates") / "_house")
