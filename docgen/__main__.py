"""Runs `python -m docgen`."""

from docgen.cli import main

raise SystemExit(main())
