"""What a newcomer runs first: the constraints file and the script that looks for programs."""

import os
import re
import shutil
import stat
import subprocess
import tomllib
from glob import glob
from importlib.metadata import distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.conftest import PROJECT

SCRIPT = PROJECT / "tools" / "system-packages.sh"


@pytest.fixture(scope="module")
def pinned() -> dict[str, Version]:
    """The versions of the constraints file."""
    lines = (PROJECT / "constraints.txt").read_text("utf-8").splitlines()
    found = (re.fullmatch(r"([\w.-]+)==([\w.]+)", line) for line in lines if line[:1] != "#")
    return {canonicalize_name(match[1]): Version(match[2]) for match in found if match}


def test_the_constraints_name_versions_and_nothing_else() -> None:
    lines = (PROJECT / "constraints.txt").read_text("utf-8").splitlines()
    odd = [line for line in lines if not re.fullmatch(r"[\w.-]+==[\w.]+|# .*", line)]
    assert odd == []


def test_every_requirement_has_a_tested_version(pinned: dict[str, Version]) -> None:
    project = tomllib.loads((PROJECT / "pyproject.toml").read_text("utf-8"))["project"]
    optional = [line for group in project["optional-dependencies"].values() for line in group]
    for line in [*project["dependencies"], *optional]:
        requirement = Requirement(line)
        version = pinned[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), line


@pytest.mark.skipif(not os.environ.get("CI"), reason="a developer may try other versions")
def test_the_tests_run_on_the_tested_versions(pinned: dict[str, Version]) -> None:
    for name in ("mkdocs", "mkdocs-material", "pydantic", "numpy", "scipy", "pint"):
        assert Version(distribution(name).version) == pinned[name]


def test_every_data_file_is_packed() -> None:
    package = PROJECT / "installgen"
    tool = tomllib.loads((PROJECT / "pyproject.toml").read_text("utf-8"))["tool"]
    patterns = tool["setuptools"]["package-data"]["installgen"]
    # As in setuptools, a double star does not enter a folder whose name begins with a dot.
    packed = {
        name
        for pattern in patterns
        for name in glob(pattern, root_dir=package, recursive=True)  # noqa: PTH207 the same rule
    }
    data = {
        path.relative_to(package).as_posix()
        for path in package.rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc")
    }
    assert sorted(data - packed) == []


@pytest.fixture
def bare_path(tmp_path: Path) -> Path:
    """A folder of programs that holds a shell and little else."""
    for name in ("sh", "echo", "env", "mktemp", "rm", "cat"):
        if found := shutil.which(name):
            (tmp_path / name).symlink_to(found)
    return tmp_path


def program(folder: Path, name: str, text: str = "exit 0") -> None:
    """A stand-in for a program of the system."""
    path = folder / name
    path.write_text(f"#!/bin/sh\n{text}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)


def run_script(folder: Path, *pairs: str) -> subprocess.CompletedProcess[str]:
    """The script on a machine that has only the programs of the folder."""
    return subprocess.run(
        ["/bin/sh", str(SCRIPT), *pairs],
        env={"PATH": str(folder)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_program_that_is_there_is_left_alone(bare_path: Path) -> None:
    program(bare_path, "dot")
    done = run_script(bare_path, "dot=graphviz")
    assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_who_may_not_install_is_told_what_to_install(bare_path: Path) -> None:
    program(bare_path, "apt-get")
    program(bare_path, "id", "echo 1000")
    program(bare_path, "sudo", "exit 1")
    done = run_script(bare_path, "dot=graphviz", "ngspice=ngspice")
    assert done.returncode == 1
    assert "sudo apt-get install graphviz ngspice" in done.stderr


def test_another_system_is_told_what_is_missing(bare_path: Path) -> None:
    done = run_script(bare_path, "dot=graphviz")
    assert done.returncode == 1
    assert "graphviz" in done.stderr


def test_root_gets_what_is_missing(bare_path: Path) -> None:
    program(bare_path, "id", "echo 0")
    program(bare_path, "apt-get", f'echo "$@" >> {bare_path}/said')
    done = run_script(bare_path, "dot=graphviz")
    assert done.returncode == 0, done.stderr
    assert "install -y --no-install-recommends graphviz" in (bare_path / "said").read_text()


def test_stale_package_lists_are_renewed_once(bare_path: Path) -> None:
    program(bare_path, "id", "echo 0")
    fails_first = f'echo "$1" >> {bare_path}/said; [ "$1" = update ] || [ -e {bare_path}/fresh ]'
    program(bare_path, "apt-get", f"{fails_first} || {{ : > {bare_path}/fresh; exit 1; }}")
    done = run_script(bare_path, "dot=graphviz")
    assert done.returncode == 0, done.stderr
    assert (bare_path / "said").read_text().split() == ["install", "update", "install"]


@pytest.mark.xdist_group("told apart")
def test_a_group_of_tests_stays_with_one_worker(request: pytest.FixtureRequest) -> None:
    """Else what takes a minute to make, such as the site, is made by each worker."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        pytest.skip("there is one worker")
    if request.config.getoption("loadgroup", default=False):
        assert request.node.nodeid.endswith("@told apart")
