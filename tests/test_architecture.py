"""The floors of the package: imports run only towards the ground."""

import ast
import subprocess
import sys
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import installgen

PACKAGE = Path(installgen.__file__).parent
FLOORS = {
    "errors": 0,
    "collector": 0,
    "memo": 0,
    "beside": 0,
    "units": 0,
    "tables": 0,
    "calc": 0,
    "spec": 1,
    "analysis": 2,
    "findings": 3,
    "drawings": 4,
    "manual": 4,
    "plugin": 5,
    "cli": 5,
    "__main__": 6,
}
# What each place of the ground floor may use of ours; it uses nothing above.
GROUND = {
    "errors": {"errors"},
    "collector": {"collector"},
    "memo": {"memo"},
    "beside": {"beside"},
    "units": {"units", "errors"},
    "tables": {"tables", "errors"},
    "calc": {"calc", "tables", "errors"},
}
# Libraries that belong to one place.
HOMES = {
    "mkdocs": {"plugin"},
    "material": {"plugin"},
    "click": {"cli"},
    "rich": {"cli"},
    "pint": {"units"},
    "yaml": {"spec"},
    "graphviz": {"drawings"},
    "weasyprint": {"manual"},
    "markdown_it": {"manual"},
    "PIL": {"manual"},
}
# `calc` is usable by someone with a notebook and no files.
NOT_IN_CALC = {"pathlib", "os", "io", "pydantic", "logging", "datetime"}
# pint imports the bare `scipy` package, which is quick; its numerical parts are not.
SLOW_TO_IMPORT = {"CoolProp", "PIL", "weasyprint", "matplotlib", "scipy.optimize", "fluids"}

MODULES = {
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts).removesuffix(".__init__"): path
    for path in sorted(PACKAGE.rglob("*.py"))
    if "theme" not in path.parts
}


def place(module: str) -> str:
    """The floor's folder or file that a module of ours belongs to; empty for the package itself."""
    return module.split(".")[1] if "." in module else ""


@cache
def imports(module: str, *, late: bool = True) -> frozenset[str]:
    """The modules that one of ours imports; without `late` not those imported within a function."""
    tree = ast.parse(MODULES[module].read_text("utf-8"))
    found = set()
    for node in ast.walk(tree) if late else tree.body:
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module}:{node.lineno} imports relatively"
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                found.add(inner if inner in MODULES else str(node.module))
    return frozenset(found)


def ours(module: str) -> set[str]:
    """Places of ours that a module imports."""
    return {place(name) for name in imports(module) if name.split(".")[0] == "installgen"} - {""}


def test_every_place_has_a_floor() -> None:
    places = {place(module) for module in MODULES} - {""}
    assert places <= set(FLOORS)


@pytest.mark.parametrize("module", [name for name in MODULES if place(name)])
def test_imports_run_towards_the_ground(module: str) -> None:
    here = FLOORS[place(module)]
    upward = {name for name in ours(module) if FLOORS[name] > here}
    assert not upward, f"{module} imports from above: {sorted(upward)}"


@pytest.mark.parametrize("module", [name for name in MODULES if place(name) in GROUND])
def test_the_ground_floor_keeps_to_itself(module: str) -> None:
    assert ours(module) <= GROUND[place(module)]


@pytest.mark.parametrize("library", sorted(HOMES))
def test_a_library_lives_in_one_place(library: str) -> None:
    users = {
        place(module)
        for module in MODULES
        if library in {name.split(".")[0] for name in imports(module)}
    }
    assert users <= HOMES[library]


@pytest.mark.parametrize("module", [name for name in MODULES if place(name) == "calc"])
def test_calculations_touch_no_files(module: str) -> None:
    tops = {name.split(".")[0] for name in imports(module)}
    assert not tops & NOT_IN_CALC
    calls = {
        node.func.id
        for node in ast.walk(ast.parse(MODULES[module].read_text("utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert "open" not in calls
    assert "print" not in calls


def test_no_modules_import_each_other() -> None:
    graph = {name: imports(name, late=False) & set(MODULES) - {name} for name in MODULES}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        pytest.fail(f"modules import each other: {' -> '.join(error.args[1])}")


def test_slow_libraries_wait_until_they_are_used() -> None:
    script = "import sys, installgen.plugin; print(*sys.modules)"
    loaded = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    ).stdout.split()
    assert "mkdocs" in loaded
    assert not set(loaded) & SLOW_TO_IMPORT
