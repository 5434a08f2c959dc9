"""An expression of a template > the words in which a translator's note names it; only names, no logic."""

from __future__ import annotations

from jinja2 import nodes


def expression(node: nodes.Node) -> str:
    """Write a value of a template as its author did: `row.tooth|tooth_full`."""
    match node:
        case nodes.Name():
            return node.name
        case nodes.Getattr():
            return f"{expression(node.node)}.{node.attr}"
        case nodes.Getitem():
            return f"{expression(node.node)}[{expression(node.arg)}]"
        case nodes.Filter():
            return f"{expression(node.node)}|{node.name}" if node.node else node.name
        case nodes.Const():
            return str(node.value)
        case nodes.Call():
            inside = ", ".join(expression(one) for one in node.args)
            return f"{expression(node.node)}({inside})"
        case nodes.CondExpr():
            other = f" or {expression(node.expr2)}" if node.expr2 else ""
            return f"{expression(node.expr1)}{other}"
        case _:
            return "…"
