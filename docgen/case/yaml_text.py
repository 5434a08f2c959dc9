"""
YAML bytes > tree, read literally: no type is guessed, nothing is referred to, nothing is built.

PyYAML gives the events only; its loaders turn `no` into False, `9:30` into 570 and keep the last of two equal keys.
"""

from __future__ import annotations

import re

import yaml

from docgen.case.tree import Grouping, Listing, Scalar, TreeBuilder, UnreadableError
from docgen.problem import Place, say

_SHIFT = 0xF0000
_REFUSED_BY_YAML = {
    *range(0x09),
    0x0B,
    0x0C,
    *range(0x0E, 0x20),
    *range(0x7F, 0xA0),
    0x2028,
    0x2029,
    0xFEFF,
    0xFFFE,
    0xFFFF,
}
# YAML takes a lone - or ? after a colon for syntax; here it is an answer, and an unclear one
_LONE_SIGN = re.compile(r"(:[ \t]+)([-?])(?=[ \t]*(?:[,\]}]|[ \t]#|\r?$))", re.MULTILINE)
_SIGNS = {_SHIFT + ord(sign): ord(sign) for sign in "-?"}
_HIDE = {code: _SHIFT + code for code in _REFUSED_BY_YAML}
_SHOW = {**{_SHIFT + code: code for code in _REFUSED_BY_YAML}, **_SIGNS}
_SPOIL = dict.fromkeys(_SIGNS, 0xF0FFF)
"""A private-use character that would turn into a sign becomes another one, which its field refuses as well."""


def read_yaml(text: str, name: str, builder: TreeBuilder) -> None:
    """
    Feed a YAML text to the builder.

    Errors: UnreadableError, once the reason is reported.
    """
    # libyaml stops at control characters or takes them for line ends; hidden in plane 15 they reach their field,
    # which refuses them by name and place.
    text = text.removeprefix("\ufeff").translate(_HIDE)
    text = _LONE_SIGN.sub(lambda found: found[1] + chr(_SHIFT + ord(found[2])), text.translate(_SPOIL))
    try:
        _read_events(text, name, builder)
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name, 1, 1)
        if "nesting depth" in (error.problem or ""):  # libyaml has a limit of its own and may look ahead that far
            builder.refuse_depth(place)
        _report_broken(builder, place)
        raise UnreadableError from None
    except (yaml.YAMLError, ValueError, OverflowError):
        _report_broken(builder, Place(name, 1, 1))
        raise UnreadableError from None


def _report_broken(builder: TreeBuilder, place: Place) -> None:
    builder.report(
        "yaml-broken",
        say("the file is not well-formed YAML from here on"),
        say("look at indents, colons and quotes on this line and the one before"),
        place,
        "",
    )


def _read_events(text: str, name: str, builder: TreeBuilder) -> None:
    documents = 0
    for event in yaml.parse(text, Loader=yaml.CSafeLoader):
        mark = event.start_mark
        place = Place(name, mark.line + 1, mark.column + 1) if mark else Place(name, 1, 1)
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            _check_document(event, documents, place, builder)
        elif isinstance(event, yaml.NodeEvent):
            _read_node(event, place, builder)
        elif isinstance(event, yaml.SequenceEndEvent | yaml.MappingEndEvent):
            builder.close()


def _check_document(event: yaml.DocumentStartEvent, number: int, place: Place, builder: TreeBuilder) -> None:
    if event.version or event.tags:
        builder.report(
            "yaml-not-plain",
            say("the file has a YAML directive"),
            say("take the line out"),
            place,
            "",
        )
    if number > 1:
        builder.report(
            "yaml-not-plain",
            say("a second record starts here; a file holds one"),
            say("put it into a file of its own"),
            place,
            "",
        )
        raise UnreadableError


def _read_node(event: yaml.NodeEvent, place: Place, builder: TreeBuilder) -> None:
    if isinstance(event, yaml.AliasEvent):
        _refuse(builder, place)
        builder.skip(place)
        return
    tag = getattr(event, "tag", None)
    if event.anchor is not None or tag is not None:
        _refuse(builder, place)
    if isinstance(event, yaml.ScalarEvent):
        if tag is not None:
            builder.skip(place)
            return
        builder.scalar(Scalar(event.value.translate(_SHOW), event.style not in (None, ""), place))
    elif isinstance(event, yaml.SequenceStartEvent):
        builder.open(Listing(place))
    else:
        builder.open(Grouping(place))


def _refuse(builder: TreeBuilder, place: Place) -> None:
    builder.report(
        "yaml-not-plain",
        say("anchors (&), references (*) and tags (!) are not read"),
        say("write the value out; text that begins with one of these signs goes in quotes"),
        place,
        None if builder.path else "",
    )
