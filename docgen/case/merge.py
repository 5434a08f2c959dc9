"""The case's tree and the clinic's tree > one tree; what both give is believed in neither."""

from __future__ import annotations

from collections.abc import Mapping

from docgen.case.read_file import ReadFile
from docgen.case.tree import Entry, Grouping, Scalar, TakenOut, join
from docgen.problem import Place, Problem, Problems, say

CLINIC_KEYS = ("clinic", "practitioners", "letterhead", "settings")


def as_group(read: ReadFile, problems: Problems) -> Grouping:
    """Take the file's top level, which must be a group; anything else is reported and gives an empty one."""
    top = Place(read.name, 1, 1)
    if isinstance(read.root, Grouping):
        return read.root
    if read.readable and not isinstance(read.root, TakenOut):
        what = say("the file is empty") if read.root is None else say("the file is not a group of fields")
        code = "empty-field" if read.root is None else "bad-value"
        problems.add(Problem(code, "", what, say("begin it with record: or clinic:"), top))
    return Grouping(top)


def clinic_part(clinic: Grouping, problems: Problems, faulty: set[str]) -> Grouping:
    """Keep what a clinic's file may hold; report the rest."""
    kept = Grouping(clinic.place)
    for key, entry in clinic.entries.items():
        if key in CLINIC_KEYS:
            kept.entries[key] = entry
            continue
        path = join("", key)
        what = say("%(path)s does not belong in the clinic's file", path=path)
        fix = say("move it to the case; the clinic's file holds only: %(keys)s", keys=", ".join(CLINIC_KEYS))
        problems.add(Problem("unknown-field", path, what, fix, entry.place))
        faulty.add(path)
    return kept


def merge(case: Grouping, clinic: Grouping, problems: Problems, faulty: set[str], path: str = "") -> Grouping:
    """Join two groups; groups both have are joined in turn, anything else both give is reported and taken out."""
    joined = Grouping(case.place, dict(case.entries))
    for key, theirs in clinic.entries.items():
        ours = case.entries.get(key)
        here = join(path, key)
        if ours is None:
            joined.entries[key] = theirs
        elif isinstance(ours.node, Grouping) and isinstance(theirs.node, Grouping) and path != "settings":
            # a setting is given whole, with its approver
            joined.entries[key] = Entry(ours.place, merge(ours.node, theirs.node, problems, faulty, here))
        else:
            what = say("%(path)s is given twice: here and in %(other)s", path=here, other=theirs.place)
            problems.add(Problem("given-twice", here, what, say("take it out of one of the two files"), ours.place))
            faulty.add(here)
            joined.entries[key] = Entry(ours.place, TakenOut(ours.place))
    return joined


def grown(leaves: Mapping[str, str], name: str) -> Grouping:
    """Make a tree of leaves that stand in no file, by path (groups only, no lists); `name` is their place."""
    place = Place(name, 1, 1)
    root = Grouping(place)
    for path, text in leaves.items():
        *groups, last = path.split(".")
        here = root
        for group in groups:
            below = here.entries.setdefault(group, Entry(place, Grouping(place))).node
            assert isinstance(below, Grouping)  # noqa: S101 (a leaf above a leaf is an error of ours)
            here = below
        here.entries[last] = Entry(place, Scalar(text, quoted=True, place=place))
    return root
