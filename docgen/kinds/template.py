"""
A body template > what it reads: paths, facts, elements, and letters that no translator would see.

The tree is Jinja's own. Paths cannot be followed through macros or computed names, so both are refused.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import field
from pathlib import Path
from typing import Any

from jinja2 import BaseLoader, ChoiceLoader, FileSystemLoader, PrefixLoader, nodes
from jinja2.environment import Environment
from jinja2.exceptions import TemplateSyntaxError
from jinja2.sandbox import ImmutableSandboxedEnvironment

from docgen.values import dataclass

SECTION_START, SECTION_NAMED, SECTION_END = "\ue000", "\ue001", "\ue002"
"""Private-use marks around a block of the body; the case refuses such characters, so no value can forge them."""

MARKING = 1
"""Raised when what _parse does to a body changes, so that bodies compiled before are not used."""

ROOT_FILTERS = {"person": "practitioners[]", "tooth_item": "teeth[]"}
"""Filters that lead from an identifier to the item it names."""

PARENT_TEXT = "parent text"
"""Filter put around super() while parsing; its name cannot be written in a template."""


class BodyEnvironment(ImmutableSandboxedEnvironment):
    """Jinja's sandbox, with each block of a body marked as a section of the document."""

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        for block in tree.find_all(nodes.Block):
            start = f"\n\n{SECTION_START}{block.name}{SECTION_NAMED}\n\n"
            block.body = [_text(start), *block.body, _text(f"\n\n{SECTION_END}\n\n")]
        for output in tree.find_all(nodes.Output):
            output.nodes = [_marked_parent(node) for node in output.nodes]
        return tree


def _text(content: str) -> nodes.Node:
    return nodes.Output([nodes.TemplateData(content)])


def _marked_parent(node: nodes.Expr) -> nodes.Expr:
    is_super = isinstance(node, nodes.Call) and isinstance(node.node, nodes.Name) and node.node.name == "super"
    return nodes.Filter(node, PARENT_TEXT, [], [], None, None, lineno=node.lineno) if is_super else node


def template_loader(folders: tuple[Path, ...]) -> BaseLoader:
    """Look in the clinic's folder, then in the shipped one; `shipped/...` names the shipped one alone."""
    loaders: list[BaseLoader] = [FileSystemLoader(folder) for folder in folders]
    return ChoiceLoader([*loaders, PrefixLoader({"shipped": FileSystemLoader(folders[-1])})])


@dataclass
class Reads:
    """What a body and all it extends or includes reads."""

    paths: dict[str, tuple[str, int]] = field(default_factory=dict)
    """Pattern > template and line that reads it first."""
    facts: dict[str, tuple[str, int]] = field(default_factory=dict)
    elements: list[str] = field(default_factory=list)
    """Names of the blocks, one for each section."""
    loose: list[tuple[str, int, str]] = field(default_factory=list)
    """Template, line and what is not allowed there: letters outside a sentence, macros, computed names."""
    broken: tuple[str, int, str] | None = None


@dataclass
class _Walk:
    template: str
    reads: Reads
    roots: frozenset[str]
    scope: dict[str, str]


def read_body(environment: Environment, name: str, roots: frozenset[str]) -> Reads:
    """Follow a body through extends and include and list what it reads; `roots` are the groups of a case."""
    reads, todo, seen = Reads(), [name], set()
    while todo:
        current = todo.pop(0)
        if current in seen:
            continue
        seen.add(current)
        source = _source(environment, current)
        try:
            tree = environment.parse(source, current)
        except TemplateSyntaxError as error:
            reads.broken = (current, error.lineno, error.message or "")
            return reads
        extended = [node.template for node in tree.find_all(nodes.Extends)]
        named = [*extended, *(node.template for node in tree.find_all(nodes.Include))]
        todo += [template.value for template in named if isinstance(template, nodes.Const)]
        walk = _Walk(current, reads, roots, {})
        for child in tree.iter_child_nodes():
            _visit(child, walk)
    return reads


def _source(environment: Environment, name: str) -> str:
    if environment.loader is None:
        raise ValueError(name)
    return environment.loader.get_source(environment, name)[0]


def _visit(node: nodes.Node, walk: _Walk) -> None:
    """Note what one node reads, then go down."""
    if isinstance(node, nodes.For):
        _visit_for(node, walk)
        return
    if isinstance(node, nodes.Block) and node.name not in walk.reads.elements:
        walk.reads.elements.append(node.name)
    if isinstance(node, nodes.Assign) and isinstance(node.target, nodes.Name):
        walk.scope[node.target.name] = _path(node.node, walk) or "?"
    if isinstance(node, nodes.Macro | nodes.Getitem):
        walk.reads.loose.append((walk.template, node.lineno, "macro or computed name"))
    if isinstance(node, nodes.TemplateData) and any(c.isalpha() for c in _unmarked(node.data)):
        walk.reads.loose.append((walk.template, node.lineno, "letters outside a sentence"))
    if isinstance(node, nodes.Getattr | nodes.Name | nodes.Filter):
        path = _path(node, walk)
        if path is not None:
            _note(path, node.lineno, walk)
            for argument in _arguments(node):
                _visit(argument, walk)
            return
    for child in node.iter_child_nodes():
        _visit(child, walk)


def _unmarked(text: str) -> str:
    """Take out the section marks with the names between them."""
    kept, inside = [], False
    for character in text:
        if character == SECTION_START:
            inside = True
        if not inside:
            kept.append(character)
        if character == SECTION_NAMED:
            inside = False
    return "".join(kept)


def _arguments(node: nodes.Node) -> Iterator[nodes.Node]:
    while isinstance(node, nodes.Getattr | nodes.Filter):
        if isinstance(node, nodes.Filter):
            yield from node.args
        if node.node is None:
            return
        node = node.node


def _visit_for(node: nodes.For, walk: _Walk) -> None:
    _visit(node.iter, walk)
    path = _path(node.iter, walk)
    before = dict(walk.scope)
    if isinstance(node.target, nodes.Name):
        walk.scope[node.target.name] = f"{path}[]" if path else "?"
    for child in (*node.body, *node.else_, *([node.test] if node.test else [])):
        _visit(child, walk)
    walk.scope = before


def _path(node: nodes.Node, walk: _Walk) -> str | None:
    """Give the path an expression stands for, "facts.name" for a fact, "?" for a local value, None for none."""
    if isinstance(node, nodes.Name):
        return walk.scope.get(node.name) or (node.name if node.name in walk.roots or node.name == "facts" else None)
    if isinstance(node, nodes.Getattr):
        before = _path(node.node, walk)
        return before and (before if before == "?" else f"{before}.{node.attr}")
    if isinstance(node, nodes.Filter) and node.node is not None:
        inner = _path(node.node, walk)
        if inner is not None and inner != "?" and node.name in ROOT_FILTERS:
            _note(inner, node.lineno, walk)
        return ROOT_FILTERS.get(node.name, inner)
    return None


def _note(path: str, line: int, walk: _Walk) -> None:
    if path in ("?", "facts"):
        return
    if path.startswith("facts."):
        walk.reads.facts.setdefault(path.split(".")[1].removesuffix("[]"), (walk.template, line))
    else:
        walk.reads.paths.setdefault(path, (walk.template, line))


def bare_environment(folders: tuple[Path, ...], filters: Mapping[str, Callable[..., Any]]) -> BodyEnvironment:
    """Make the environment every body is parsed in; compose adds the values, lint needs the tree only."""
    environment = BodyEnvironment(loader=template_loader(folders), trim_blocks=True, lstrip_blocks=True)
    environment.filters.update(filters)
    return environment
