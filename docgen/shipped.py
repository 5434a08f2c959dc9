"""Finds the folders `templates` and `locales`: inside the package in a wheel, beside it in a checkout."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped_folder(name: str) -> Path:
    """
    Find a folder that is shipped with the program.

    Errors: FileNotFoundError if the installation lacks it.
    """
    for parent in (_PACKAGE, _PACKAGE.parent):
        folder = parent / name
        if folder.is_dir():
            return folder
    raise FileNotFoundError(name)
