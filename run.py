#!/usr/bin/env python3
"""The front door: `python3 run.py demo` and `python3 run.py test`.

Uses the standard library alone, so it starts on any machine that has Python 3.11 or newer with venv.
It makes `.venv` beside itself, installs the pinned and hashed requirements, then acts. Doing it twice
costs nothing: what is in place is left alone.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import subprocess
import sys
import time
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
SUFFIX = ".exe" if os.name == "nt" else ""
DEMO = ROOT / "demo-shop"
FIRST_BUILD = "flood-support-van"

# Programs the tests drive, and the Debian package each comes in.
SYSTEM_PROGRAMS = {
    "chromium": "chromium",
    "ngspice": "ngspice",
    "pdftotext": "poppler-utils",
}


def say(text: str) -> None:
    """Print a line of progress at once."""
    print(f"rigbook: {text}", flush=True)


def stop(text: str, status: int = 2) -> None:
    """Say what is wrong and leave."""
    print(f"rigbook: {text}", file=sys.stderr, flush=True)
    raise SystemExit(status)


def call(arguments: list[str], *, check: bool = True, quiet: bool = False) -> int:
    """Run a program in the repository's folder; leave with its status when it fails."""
    environment = dict(os.environ, PIP_DISABLE_PIP_VERSION_CHECK="1", PYTHONUTF8="1")
    environment.pop("PYTHONDONTWRITEBYTECODE", None)  # without compiled files every start costs a second more
    output = subprocess.DEVNULL if quiet else None
    status = subprocess.run(arguments, cwd=ROOT, env=environment, stdout=output).returncode
    if check and status:
        stop(f"this failed with status {status}: {' '.join(arguments)}", status if status > 0 else 1)
    return status


def wanted(name: str) -> tuple[Path, str]:
    """The requirement file of a name and a digest of all that decides what is installed."""
    path = ROOT / "requirements" / f"{name}.txt"
    digest = hashlib.sha256(sys.version.encode())
    for file in (path, ROOT / "pyproject.toml"):
        digest.update(file.read_bytes())
    return path, digest.hexdigest()


def ensure_environment(name: str) -> None:
    """Make `.venv` and install one requirement file and the package, unless that has been done."""
    if sys.version_info < (3, 11):  # noqa: UP036 (whoever starts this may have an older one)
        stop(f"Python 3.11 or newer is needed, this is {sys.version.split()[0]}")
    requirements, digest = wanted(name)
    stamp = VENV / f"installed-{name}"
    python = BIN / f"python{SUFFIX}"
    if stamp.is_file() and stamp.read_text() == digest and python.exists():
        return
    if not python.exists():
        say("making the virtual environment .venv")
        try:
            venv.create(VENV, with_pip=True)
        except (OSError, subprocess.CalledProcessError) as trouble:
            shutil.rmtree(VENV, ignore_errors=True)
            stop(f"cannot make a virtual environment ({trouble}); on Debian: apt install python3-venv", 3)
    count = sum(1 for line in requirements.read_text().splitlines() if "==" in line)
    say(f"installing {count} pinned packages of requirements/{name}.txt (once; a minute or two)")
    started = time.monotonic()
    pip = [str(python), "-m", "pip", "install", "--quiet", "--progress-bar", "off"]
    call([*pip, "--require-hashes", "--requirement", str(requirements)])
    call([*pip, "--no-deps", "--no-build-isolation", "--editable", "."])
    stamp.write_text(digest)
    say(f"installed in {time.monotonic() - started:.0f} s")


def find_missing() -> list[str]:
    """Programs the tests need that are not on this machine."""
    found_elsewhere = {"chromium": ("chromium-browser", "google-chrome")}
    return [
        program
        for program in SYSTEM_PROGRAMS
        if not any(shutil.which(name) for name in (program, *found_elsewhere.get(program, ())))
    ]


def ensure_system_programs() -> None:
    """Install what the tests drive through apt where that is possible, else say what to install."""
    missing = find_missing()
    if not missing:
        return
    packages = [SYSTEM_PROGRAMS[program] for program in missing]
    by_hand = f"apt-get install {' '.join(packages)} (or your system's packages for {', '.join(missing)})"
    apt = shutil.which("apt-get")
    if apt is None:
        stop(f"the tests need {', '.join(missing)}; install them: {by_hand}", 3)
    prefix: list[str] = []
    if os.name == "posix" and os.geteuid() != 0:
        sudo = shutil.which("sudo")
        if sudo is None or subprocess.run([sudo, "-n", "true"], capture_output=True).returncode:
            stop(f"the tests need {', '.join(missing)} and this account may not install them; as root: {by_hand}", 3)
        prefix = [str(sudo)]
    say(f"installing through apt: {', '.join(packages)}")
    environment = [*prefix, "env", "DEBIAN_FRONTEND=noninteractive", str(apt), "-qq"]
    call([*environment, "update"], quiet=True)
    call([*environment, "install", "--yes", "--no-install-recommends", *packages], quiet=True)
    still = find_missing()
    if still:
        stop(f"still missing after the installation: {', '.join(still)}; as root: {by_hand}", 3)


def tool(name: str) -> str:
    """Path of a program of the virtual environment."""
    return str(BIN / f"{name}{SUFFIX}")


def demo(options: argparse.Namespace) -> None:
    """Make the demo shop, check its builds, write what papers exist, serve."""
    ensure_environment("run")
    rigbook = tool("rigbook")
    if DEMO.exists():
        say("using demo-shop/ as it is (delete it for a fresh one)")
    else:
        call([rigbook, "new", str(DEMO)])
    builds = sorted((DEMO / "builds").glob("*.yaml"))
    if not builds:
        stop(f"{DEMO.name}/builds holds no build; delete {DEMO.name} and run this again")
    say(f"checking {len(builds)} builds")
    status = call([rigbook, "check", *map(str, builds)], check=False)
    if status > 1:
        stop("a build of the demo shop cannot be read (see above)", status)
    first = DEMO / "builds" / f"{FIRST_BUILD}.yaml"
    first = first if first.exists() else builds[0]
    papers = DEMO / "papers"
    papers.mkdir(exist_ok=True)
    made = [
        (papers / f"{first.stem}-book.pdf", [rigbook, "book", str(first)]),
        (papers / f"{first.stem}-lamp-map.svg", [rigbook, "draw", str(first), "lamp-map"]),
        (papers / f"{first.stem}-equipment.xlsx", [rigbook, "sheet", str(first), "equipment"]),
    ]
    for target, command in made:
        call([*command, "-o", str(target)])
    say("the demo shop is ready:")
    for label, path in [("shop folder", DEMO), ("first build", first), *(("paper", target) for target, _ in made)]:
        print(f"    {label:12} {path.relative_to(ROOT)}")
    print("    try          " + str(Path(rigbook).relative_to(ROOT)) + f" check {first.relative_to(ROOT)}", flush=True)
    if options.serve:
        call([rigbook, "serve", str(DEMO), "--port", str(options.port)], check=False)


def lint(_: argparse.Namespace) -> None:
    """Style, types, the direction of imports, declared dependencies."""
    ensure_environment("test")
    for name, command in (
        ("style", [tool("ruff"), "check", "src", "tests", "tools", "benchmarks", "run.py"]),
        ("layout", [tool("ruff"), "format", "--check", "src", "tests", "tools", "benchmarks", "run.py"]),
        ("types", [tool("mypy")]),
        ("imports point inward", [tool("lint-imports"), "--no-cache"]),
        ("dependencies", [tool("deptry"), "src"]),
    ):
        say(name)
        call(command)


def test(options: argparse.Namespace) -> None:
    """Everything that must hold: lint, types, imports, docs, tests."""
    ensure_environment("test")
    ensure_system_programs()
    if not options.only and not options.arguments:
        lint(options)
    say("tests")
    arguments = list(options.arguments)
    if not arguments:
        arguments = ["--numprocesses", "2", "--cov", "rigbook", "--cov-report", "term:skip-covered"]
    if not options.long:
        arguments += ["-m", "not long"]
    call([tool("python"), "-m", "pytest", *arguments])


def docs(options: argparse.Namespace) -> None:
    """Write the generated pages of docs/ anew."""
    ensure_environment("test")
    call([tool("python"), "tools/generate_docs.py", *(["--check"] if options.check else [])])


def bench(options: argparse.Namespace) -> None:
    """Measure; seconds are reported, never judged."""
    ensure_environment("test")
    for script in sorted((ROOT / "benchmarks").glob("*_speed.py")):
        say(script.name)
        call([tool("python"), str(script), *options.arguments])


def main() -> None:
    """Read the words of the call and act."""
    parser = argparse.ArgumentParser(prog="run.py", description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    commands = parser.add_subparsers(dest="command", required=True)
    one = commands.add_parser("demo", help="set up, make the demo shop, check its builds, write papers, serve")
    one.add_argument("--no-serve", dest="serve", action="store_false", help="stop before serving")
    one.add_argument("--port", type=int, default=8080, help="port on the loopback address (default 8080)")
    one.set_defaults(act=demo)
    one = commands.add_parser("test", help="set up and run all tests, lint and docs checks")
    one.add_argument("--long", action="store_true", help="also what takes longer than the everyday run allows")
    one.add_argument("--only", action="store_true", help="the tests without lint")
    one.add_argument("arguments", nargs="*", help="arguments for pytest, after --")
    one.set_defaults(act=test)
    for name, act, text in (
        ("lint", lint, "style, types, imports, dependencies"),
        ("bench", bench, "measure speed"),
    ):
        one = commands.add_parser(name, help=text)
        one.add_argument("arguments", nargs="*")
        one.set_defaults(act=act)
    one = commands.add_parser("docs", help="write the generated pages of docs/")
    one.add_argument("--check", action="store_true", help="only say whether they are stale")
    one.set_defaults(act=docs)
    options = parser.parse_args()
    options.act(options)


if __name__ == "__main__":
    try:
        main()
    except KeyboardInterrupt:
        stop("stopped", 130)
