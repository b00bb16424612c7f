"""The house: data flows one way, the time-step core knows nothing of the rooms around it."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import sim

ROOT = Path(sim.__file__).parent
COMMANDS = {"sim.cli", "sim.__main__"}
SCREENS = ("sim.show", "sim.commands")
THRUST = {"sim.roll.thrust", "sim.roll.thrust_points"}
PLAIN = {"sim.roll.aero_table", "sim.roll.parameters", "sim.range"}
"""Plain data: the border of the core, that the rooms before it fill in, and ranges."""
OUTER = {"pydantic", "pydantic_core", "rich", "pint", "matplotlib", "typer"}
SCIENCE = {"numpy", "scipy"}


def name_of(path: Path) -> str:
    """Dotted name of a module file."""
    parts = ("sim", *path.relative_to(ROOT).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {name_of(path): path for path in sorted(ROOT.rglob("*.py"))}


def imports(path: Path) -> Iterator[str]:
    """Every module a file imports, inside functions too, without what is for type checks only."""
    tree = ast.parse(path.read_text())
    skipped = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in skipped:
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports by full name are easier to find"
            base = str(node.module)
            inner = [f"{base}.{alias.name}" for alias in node.names]
            yield from (full if full in MODULES else base for full in inner)


IMPORTS = {name: set(imports(path)) for name, path in MODULES.items()}


def room_of(module: str) -> str:
    """`sim.roll` of `sim.roll.engine`; a single file stands for itself."""
    return ".".join(module.split(".")[:2])


def inside(module: str) -> set[str]:
    """Modules of this project that a module imports."""
    return {name for name in IMPORTS[module] if name.split(".")[0] == "sim"}


def outside(module: str) -> set[str]:
    """Third parties a module imports."""
    tops = {name.split(".")[0] for name in IMPORTS[module]}
    return tops - {"sim"} - set(sys.stdlib_module_names)


def members(room: str) -> list[str]:
    """Modules of a room."""
    return [name for name in MODULES if name == room or name.startswith(room + ".")]


def test_rooms_are_found() -> None:
    rooms = {
        "roll",
        "aeroplane",
        "power",
        "strip",
        "scenario",
        "prepare",
        "study",
        "checks",
        "show",
        "commands",
        "ask",
    }
    for room in rooms:
        assert len(members(f"sim.{room}")) > 1
    assert inside("sim.prepare.scenario") and "numpy" in outside("sim.roll.forces")


def test_a_range_knows_nothing_of_the_house() -> None:
    assert not inside("sim.range") and not outside("sim.range")


@pytest.mark.parametrize("module", members("sim.roll"))
def test_the_core_imports_only_numbers_and_itself(module: str) -> None:
    assert outside(module) <= SCIENCE
    assert {room_of(name) for name in inside(module)} <= {"sim.roll"}


@pytest.mark.parametrize(
    "module", [m for r in ("aeroplane", "power", "strip") for m in members(f"sim.{r}")]
)
def test_rooms_before_the_core_know_only_its_plain_data(module: str) -> None:
    assert outside(module) <= SCIENCE
    strangers = {name for name in inside(module) if room_of(name) != room_of(module)}
    allowed = PLAIN | THRUST if module.startswith("sim.power") else PLAIN
    assert strangers <= allowed


@pytest.mark.parametrize("module", [m for r in ("checks", "study") for m in members(f"sim.{r}")])
def test_checks_and_studies_do_without_file_models_and_screens(module: str) -> None:
    assert not outside(module) & OUTER
    assert {room_of(name) for name in inside(module)} <= {
        "sim.roll", "sim.checks", "sim.study", "sim.prepare", "sim.aeroplane", "sim.strip",
        "sim.power", "sim.report", "sim.scenario", "sim.range",
    }  # fmt: skip


@pytest.mark.parametrize("module", members("sim.checks"))
def test_checks_know_nothing_of_studies_and_files(module: str) -> None:
    assert {room_of(name) for name in inside(module)} <= {"sim.checks", "sim.roll", "sim.range"}


@pytest.mark.parametrize("module", members("sim.ask"))
def test_questions_know_files_and_what_they_stand_for_no_screens(module: str) -> None:
    assert outside(module) <= {"pydantic_core"}
    assert {room_of(name) for name in inside(module)} <= {
        "sim.ask", "sim.scenario", "sim.checks", "sim.strip", "sim.prepare",
    }  # fmt: skip


@pytest.mark.parametrize("module", [m for m in MODULES if m not in COMMANDS])
def test_only_commands_know_commands(module: str) -> None:
    assert not [name for name in inside(module) if room_of(name) == "sim.cli"]
    if not module.startswith("sim.commands") and module not in COMMANDS:
        assert "sim.commands" not in {room_of(name) for name in inside(module)}
    if not module.startswith(SCREENS):
        assert not outside(module) & {"rich", "matplotlib", "typer"}
        assert "sim.show" not in {room_of(name) for name in inside(module)}


def test_no_circles_between_rooms() -> None:
    rooms = sorted({room_of(module) for module in MODULES})
    knows = {
        room: {room_of(n) for m in members(room) for n in inside(m)} - {room, "sim"}
        for room in rooms
        if room != "sim"
    }
    finished: list[str] = []
    while len(finished) < len(knows):
        ready = [r for r, others in knows.items() if r not in finished and others <= set(finished)]
        assert ready, f"a circle among {sorted(set(knows) - set(finished))}"
        finished += ready
    print({room: sorted(others) for room, others in knows.items()})


def test_no_circles_between_modules() -> None:
    """The package files that only gather names are left out."""
    left = {m: {n for n in inside(m) if n in MODULES and n != m} for m in MODULES}
    packages = {m for m, path in MODULES.items() if path.name == "__init__.py"}
    left = {m: others - packages for m, others in left.items() if m not in packages}
    while left:
        free = [m for m, others in left.items() if not others & set(left)]
        assert free, f"a circle among {sorted(left)}"
        for m in free:
            del left[m]


@pytest.mark.parametrize("first", ["import sim", "import sim.roll.result", "import sim.prepare"])
def test_screens_are_not_loaded_before_they_are_needed(first: str) -> None:
    code = f"{first}; import sys; print(*[m for m in {sorted(OUTER)!r} if m in sys.modules])"
    shown = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT.parent
    )
    loaded = set(shown.stdout.split())
    assert not loaded & {"matplotlib", "rich", "typer"}
    assert "pint" not in loaded or first == "import sim.prepare"
    if first != "import sim.prepare":
        assert not loaded


def public(tree: ast.Module) -> Iterator[ast.FunctionDef | ast.ClassDef]:
    """Public functions, classes and their public methods."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
                        yield inner


@pytest.mark.parametrize("module", MODULES)
def test_public_names_are_documented_and_annotated(module: str) -> None:
    tree = ast.parse(MODULES[module].read_text())
    if tree.body:
        assert ast.get_docstring(tree), "a module without a docstring"
    for node in public(tree):
        assert ast.get_docstring(node), f"{module}.{node.name} has no docstring"
        if isinstance(node, ast.FunctionDef):
            bare = [a.arg for a in _arguments(node) if a.annotation is None]
            assert not bare, f"{module}.{node.name}: {bare} not annotated"
            assert node.returns is not None, f"{module}.{node.name} has no return annotation"


def _arguments(node: ast.FunctionDef) -> list[ast.arg]:
    a = node.args
    every = [*a.posonlyargs, *a.args, *a.kwonlyargs, *filter(None, (a.vararg, a.kwarg))]
    return [arg for arg in every if arg.arg not in ("self", "cls")]


@pytest.mark.parametrize("module", MODULES)
def test_files_and_functions_stay_readable(module: str) -> None:
    text = MODULES[module].read_text()
    assert len(text.splitlines()) <= 350
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef):
            assert len(_arguments(node)) <= 8, node.name
            assert _body_lines(node) <= 40, node.name


def _body_lines(node: ast.FunctionDef) -> int:
    """Lines after signature and docstring."""
    first = node.body[1 if ast.get_docstring(node) and len(node.body) > 1 else 0]
    return (node.end_lineno or 0) - first.lineno + 1


def test_answers_in_text_and_data_wait_for_no_pictures() -> None:
    """Matplotlib takes more than half a second to import."""
    names = [
        name
        for name in members("sim.show")
        if name.startswith("sim.show.terminal") or name.endswith("_document")
    ]
    assert len(names) > 15
    code = f"import sys, {', '.join(names)}; sys.exit('matplotlib' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
