"""Short records for the tests of the case, and a reader that keeps the problems."""

from docgen.case import Case, Source, field_specs, read_case
from docgen.problem import Problem, Problems

LEAVES = tuple(spec for spec in field_specs().values() if spec.type not in ("group", "list", "code list"))
LISTS = tuple(spec for spec in field_specs().values() if spec.type in ("list", "code list"))
GROUPS = tuple(spec for spec in field_specs().values() if spec.type == "group")
PROSE = ("line", "text")
WORDS = ("none", "not_applicable", "not_known")


def read(text: str | bytes, clinic: str | None = None, *, is_json: bool = False) -> tuple[Case, tuple[Problem, ...]]:
    """Read a record named case.yaml, with or without a clinic.yaml."""
    problems = Problems()
    raw = text.encode() if isinstance(text, str) else text
    clinic_source = None if clinic is None else Source("clinic.yaml", clinic.encode())
    case = read_case(Source("case.yaml", raw, is_json), clinic_source, None, problems)
    return case, tuple(problems)


def first(pattern: str) -> str:
    """Name the first concrete path of a pattern."""
    return pattern.replace("[]", "[0]")


def record_with(pattern: str, value: str) -> str:
    """Write a record in block style that holds one value at the first path of a pattern, as the last line."""
    lines: list[str] = []
    indent = ""
    for step in pattern.split("."):
        name = step.rstrip("[]")
        lines.append(f"{indent}{name}:")
        if step.endswith("[]"):
            lines.append(f"{indent}  -")
            indent += "    "
        else:
            indent += "  "
    lines[-1] += f" {value}"
    return "\n".join(lines) + "\n"


def codes_at(problems: tuple[Problem, ...]) -> list[tuple[str, str]]:
    """Give code and path of each problem."""
    return [(problem.code, problem.path) for problem in problems]


def places(problems: tuple[Problem, ...]) -> list[tuple[str, str]]:
    """Give code and place of each problem."""
    return [(problem.code, str(problem.place)) for problem in problems]
