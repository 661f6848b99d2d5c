"""Set hpelec up, and run it. Standard library only; everything it installs goes into the folder .venv beside it.

    python3 start.py             set up if needed, design the demo house, write its report into out/
    python3 start.py lab         set up if needed, open the workbook in JupyterLab
    python3 start.py test        run every check: style, types, tests, notebooks (adds .venv-independent once)
    python3 start.py notebooks   run the workbook's notebooks anew and store their outputs
    python3 start.py bench       run the benchmarks
    python3 start.py ledger      write the ledger of rules and checks anew

The packages are those of requirements.lock, each file checked against the hash written there. A second start installs
nothing: a stamp in .venv says which lock, which Python and which folder it was made for.
"""
# This file must also be readable by an old Python, so that it can say that it is too old: no newer syntax here.

import hashlib
import json
import os
import platform
import re
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
LOCK = HERE / "requirements.lock"
SECOND = HERE / ".venv-independent"
SECOND_LOCK = HERE / "tests" / "independent.lock"
"""A network calculation that checks ours needs older packages: it has an environment of its own, for tests only."""
WORKBOOK = HERE / "workbook"
DEMO = Path("data") / "houses" / "wintermoss-hill"
LOWEST, HIGHEST = (3, 11), (3, 13)
NEEDED_MB = 800
"""Room that the packages take, with something to spare."""
BEAT_S = 2.0
"""Seconds between two lines of progress."""
SIDE_BY_SIDE = ("-n", "auto", "--dist", "loadfile")
"""Test files run beside each other, one to a core; each file stays in one process."""
FAILED, WRONG_CALL, STOPPED = 1, 2, 130
NO_NETWORK = (
    "Failed to establish a new connection",
    "Temporary failure in name resolution",
    "Name or service not known",
    "Connection refused",
    "Network is unreachable",
    "ConnectTimeout",
    "ReadTimeout",
    "ProxyError",
    "Max retries exceeded",
    "Retrying (Retry(",
)
NO_CERTIFICATE = ("CERTIFICATE_VERIFY_FAILED", "SSLError", "SSLCertVerificationError")
WRONG_HASH = ("DO NOT MATCH THE HASHES", "Hashes are required", "HashMismatch")
DISK_FULL = ("No space left on device", "Errno 28", "Disk quota exceeded")
NOT_OFFERED = ("No matching distribution found", "Could not find a version")


class SetupError(Exception):
    """Something stands in the way; the text says what, and what helps."""


# ---------------------------------------------------------------- what is needed before anything is made


def version_problem(version: tuple) -> str:
    """What is wrong with this Python (major, minor), or an empty text."""
    if LOWEST <= version <= HIGHEST:
        return ""
    wanted = ["python{}.{}".format(*v) for v in [(3, n) for n in range(HIGHEST[1], LOWEST[1] - 1, -1)]]
    found = [name for name in wanted if answers(name)]
    help_text = f"try: {found[0]} start.py" if found else f"install one of {', '.join(wanted)} and start again with it"
    return (
        f"this is Python {version[0]}.{version[1]}; hpelec needs {LOWEST[0]}.{LOWEST[1]} to {HIGHEST[0]}.{HIGHEST[1]} "
        f"({help_text})"
    )


def answers(name: str) -> bool:
    """True when a command of that name is there and really starts a Python."""
    place = shutil.which(name)
    return place is not None and subprocess.call([place, "-c", ""], stderr=subprocess.DEVNULL) == 0


def venv_problem() -> str:
    """What keeps this Python from making a virtual environment, or an empty text."""
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError as error:
        package = f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"
        return (
            f"this Python lacks the module {error.name}, so it cannot make a virtual environment; "
            f"on Debian or Ubuntu: sudo apt install {package}"
        )
    return ""


def room_problem() -> str:
    """What is wrong with the room on the disk, or an empty text."""
    free_MB = shutil.disk_usage(str(HERE)).free // 10**6
    return "" if free_MB >= NEEDED_MB else f"the disk has {free_MB} MB free; the packages need about {NEEDED_MB} MB"


def system_problem() -> str:
    """The lock is made for Linux (and has the files for macOS); other systems are refused."""
    if os.name == "posix":
        return ""
    return "requirements.lock is not made for this system; on Windows use its Linux subsystem (WSL)"


def lock_digest(lock: Path = LOCK) -> str:
    """What an environment must have been made for: this lock, this Python, this folder."""
    made_for = f"{sys.version_info[0]}.{sys.version_info[1]} {sys.platform} {platform.machine()} {HERE}"
    return hashlib.sha256(lock.read_bytes() + made_for.encode()).hexdigest()


def stamp(venv: Path = VENV) -> Path:
    """The file in an environment that says what it was made for."""
    return venv / "hpelec.stamp"


def python(venv: Path = VENV) -> Path:
    """The Python of an environment."""
    return venv / "bin" / "python"


def is_ready(venv: Path = VENV, lock: Path = LOCK) -> bool:
    """True when an environment stands and was made for this lock, this Python and this folder."""
    made_for = stamp(venv).read_text(encoding="utf-8").strip() if stamp(venv).is_file() else ""
    return python(venv).exists() and made_for == lock_digest(lock)


# ---------------------------------------------------------------- making .venv


def ensure() -> None:
    """Make .venv if it is not there or does not match. Raises SetupError, and then leaves no half-made .venv."""
    if not LOCK.is_file():
        raise SetupError("requirements.lock is missing beside start.py; fetch the project again")
    if not is_ready():
        make(VENV, LOCK, link_project, quiet_lab)


def ensure_second() -> str:
    """Make the environment of the independent check if it does not match; says what kept it from that, or nothing."""
    if not SECOND_LOCK.is_file():
        return f"{SECOND_LOCK.name} is missing; fetch the project again"
    try:
        if not is_ready(SECOND, SECOND_LOCK):
            make(SECOND, SECOND_LOCK)
    except SetupError as error:
        return str(error)
    return ""


def make(venv: Path, lock: Path, *then: object) -> None:
    """Make an environment from a lock, then do what belongs to it. Raises SetupError; leaves no half-made one."""
    for problem in (system_problem(), venv_problem(), room_problem()):
        if problem:
            raise SetupError(problem)
    if venv.exists():
        print(f"{venv.name} does not match {lock.name}, this Python or this folder: it is made anew", flush=True)
        shutil.rmtree(str(venv))
    began = time.monotonic()
    try:
        made = watched([sys.executable, "-m", "venv", str(venv)], lambda _lines: f"making {venv.name}")
        if made.code:
            raise SetupError("the virtual environment could not be made:\n" + tail(made.lines))
        install_packages(venv, lock)
        for step in then:
            step()
        stamp(venv).write_text(lock_digest(lock) + "\n", encoding="utf-8")
    except BaseException as error:
        shutil.rmtree(str(venv), ignore_errors=True)
        if isinstance(error, OSError) and error.errno == 28:
            raise SetupError(f"the disk is full; {venv.name} was removed") from error
        raise
    print(f"set up in {time.monotonic() - began:.0f} s", flush=True)


def locked_names(lock: Path = LOCK) -> list:
    """Names of the packages in a lock, in its order."""
    return re.findall(r"^([A-Za-z0-9][A-Za-z0-9._-]*)==", lock.read_text(encoding="utf-8"), flags=re.MULTILINE)


def install_packages(venv: Path, lock: Path) -> None:
    """Install a lock with pip: hashes required, ready-made wheels only, nothing that the lock does not name."""
    names = locked_names(lock)
    before = len(installed(venv))
    command = [str(python(venv)), "-m", "pip", "install", "--require-hashes", "--no-deps", "--only-binary", ":all:"]
    command += ["--no-compile", "--no-input", "--no-color", "--progress-bar", "off", "--retries", "3"]
    command += ["--disable-pip-version-check", "--requirement", str(lock)]
    print(f"{len(names)} packages to fetch and install", flush=True)
    done = watched(command, lambda lines: progress(lines, len(names), installed(venv)[before:]))
    if done.code:
        raise SetupError(why_pip_failed(done.lines) + f"\nNothing was kept: {venv.name} was removed.")
    print(f"  installed {len(installed(venv)) - before} of {len(names)}  ({done.seconds:.0f} s)", flush=True)


def installed(venv: Path = VENV) -> list:
    """Folders that tell of an installed package, the newest last."""
    found = venv.glob("lib/python*/site-packages/*.dist-info")
    return sorted(found, key=lambda p: p.stat().st_mtime if p.exists() else 0.0)


def progress(lines: list, count: int, done: list) -> str:
    """What pip is at, from what it has printed and what is installed by now."""
    if done:
        return f"installing {min(len(done), count)} of {count}: {done[-1].name.split('-')[0]}"
    # "Collecting name==1.0 ..." for a file that is fetched, "Processing .../name-1.0-....whl ..." for one at hand.
    fetched = [line.split()[1] for line in lines if line.startswith(("Collecting ", "Processing "))]
    latest = re.split("==|-[0-9]", fetched[-1].split("/")[-1])[0] if fetched else "asking"
    return f"fetching {len(fetched)} of {count}: {latest}"


def why_pip_failed(lines: list) -> str:
    """The likely reason in plain words, with the last lines of pip where none is known."""
    text = "\n".join(lines)
    about = re.findall(r"(?:requirement|distribution found for) ([A-Za-z0-9._-]+==[^\s(]+)", text)
    name = about[0] if about else "a package"
    reasons = (
        (DISK_FULL, "the disk is full"),
        (WRONG_HASH, "a downloaded file does not match its hash in requirements.lock: the install was refused"),
        (NO_CERTIFICATE, "the package registry's certificate was not accepted (a company proxy? a wrong clock?)"),
        (NO_NETWORK, "the package registry could not be reached: is there a network connection?"),
        (NOT_OFFERED, f"{name} is not offered for this Python and system ({platform.machine()})"),
    )
    for marks, reason in reasons:
        if any(mark in text for mark in marks):
            return reason
    return "pip stopped:\n" + tail(lines)


def tail(lines: list, count: int = 12) -> str:
    """The last lines, addresses taken out (pip's messages can name an account's registry)."""
    return "\n".join("  " + re.sub(r"\S+://\S+", "<address>", line) for line in lines[-count:])


class Watched:
    """A finished command: its exit code, its lines and the seconds it took."""

    def __init__(self, code: int, lines: list, seconds: float) -> None:
        self.code, self.lines, self.seconds = code, lines, seconds


def watched(command: list, doing: object) -> Watched:
    """Run a command without its output; every two seconds one line says what it is at (`doing(lines)`)."""
    began = time.monotonic()
    lines: list = []
    process = subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        env=clean_environment(),
        encoding="utf-8",
        errors="replace",
    )
    reader = threading.Thread(target=collect, args=(process.stdout, lines), daemon=True)
    reader.start()
    try:
        reader.join(BEAT_S)
        while reader.is_alive():
            print(f"  {doing(list(lines))}  ({time.monotonic() - began:.0f} s)", flush=True)
            reader.join(BEAT_S)
    except BaseException:
        process.kill()
        raise
    finally:
        code = process.wait()
        process.stdout.close()
    return Watched(code, lines, time.monotonic() - began)


def collect(stream: object, lines: list) -> None:
    """Read a stream line by line into a list."""
    for line in stream:
        lines.append(line.rstrip("\n"))


def clean_environment(**more: str) -> dict:
    """The environment without what would send Python or pip elsewhere."""
    away = ("PYTHONPATH", "PYTHONHOME", "PIP_USER", "PIP_TARGET", "PIP_PREFIX", "PIP_ROOT", "PIP_LOG", "PIP_QUIET")
    kept = {k: v for k, v in os.environ.items() if k not in away}
    path = os.pathsep.join([str(VENV / "bin"), os.environ.get("PATH", os.defpath)])
    return dict(kept, VIRTUAL_ENV=str(VENV), PATH=path, **more)


def link_project() -> None:
    """Let .venv's Python see the project where it stands, and make the command `hpelec`. Needs no network."""
    site = next(VENV.glob("lib/python*/site-packages"))
    (site / "hpelec.pth").write_text(str(HERE) + "\n", encoding="utf-8")
    command = VENV / "bin" / "hpelec"
    # A path in a #! line may hold no blank and must be short; the shell has neither limit.
    command.write_text('#!/bin/sh\nexec "$(dirname "$0")/python" -m hpelec.cli "$@"\n', encoding="utf-8")
    command.chmod(0o755)


def quiet_lab() -> None:
    """No news prompt, no look for updates; a folder for settings that is not the account's."""
    (VENV / "jupyter").mkdir(exist_ok=True)
    target = VENV / "share" / "jupyter" / "lab" / "settings" / "overrides.json"
    target.parent.mkdir(parents=True, exist_ok=True)
    quiet = {"@jupyterlab/apputils-extension:notification": {"fetchNews": "false", "checkForUpdates": False}}
    target.write_text(json.dumps(quiet, indent=1) + "\n", encoding="utf-8")


def jupyter_environment() -> dict:
    """The environment in which Jupyter reads and writes its settings inside .venv only."""
    own = VENV / "jupyter"
    places = {f"JUPYTER_{k}_DIR": str(own / k.lower()) for k in ("CONFIG", "DATA", "RUNTIME")}
    places["JUPYTERLAB_SETTINGS_DIR"] = str(own / "settings")
    places["JUPYTERLAB_WORKSPACES_DIR"] = str(own / "workspaces")
    places["IPYTHONDIR"] = str(own / "ipython")
    return clean_environment(JUPYTER_PREFER_ENV_PATH="1", **places)


# ---------------------------------------------------------------- the commands


def run(*command: str) -> int:
    """Run a command of .venv's Python in the project folder, output shown; returns its exit code."""
    sys.stdout.flush()
    return subprocess.call([str(python()), *command], cwd=str(HERE), env=jupyter_environment())


def demo(_more: list) -> int:
    """Design the demo house, write its report, say what next."""
    for command in (["plan", str(DEMO)], ["report", str(DEMO), "--output", "out"]):
        print(flush=True)
        code = subprocess.call([str(VENV / "bin" / "hpelec"), *command], cwd=str(HERE), env=clean_environment())
        if code:
            return code
    others = [p.name for p in sorted((HERE / DEMO.parent).iterdir()) if p.is_dir() and p.name != DEMO.name]
    print(
        "\nThe workbook:     python3 start.py lab"
        "\nYour own house:   .venv/bin/hpelec new my-house    then .venv/bin/hpelec plan my-house"
        f"\nOther examples:   {', '.join(others)} in {DEMO.parent}"
    )
    return 0


def lab(more: list) -> None:
    """Open JupyterLab on the workbook; further words go to JupyterLab."""
    first = [p.name for p in sorted(WORKBOOK.glob("*start*.ipynb"))[:1]]
    url = "/".join(["/lab/tree", WORKBOOK.name, *first])
    rootly = ["--allow-root"] if os.geteuid() == 0 else []
    settings = [f"--ServerApp.root_dir={HERE}", f"--LabApp.default_url={url}", "--LabApp.extension_manager=readonly"]
    print("JupyterLab opens in the browser; stop it here with Ctrl-C.", flush=True)
    os.chdir(str(HERE))
    # JupyterLab takes this process's place, so that Ctrl-C reaches it and it can end its kernels.
    os.execve(str(python()), [str(python()), "-m", "jupyterlab", *settings, *rootly, *more], jupyter_environment())


def notebook_paths() -> list:
    """The notebooks of the workbook, in order."""
    return [str(p.relative_to(HERE)) for p in sorted(WORKBOOK.glob("*.ipynb"))]


def test(more: list) -> int:
    """Every check; further words go to pytest. Goes on after a failure and sums up at the end."""
    missing = ensure_second()
    if missing:
        print(f"NOTE: the independent network check is skipped, its environment is missing: {missing}", flush=True)
    code = [name for name in ("hpelec", "tests", "start.py") if (HERE / name).exists()]
    checks = [
        ("style", ["-m", "ruff", "check", *code]),
        ("format", ["-m", "ruff", "format", "--check", *code]),
        ("types", ["-m", "mypy"]),
        ("tests", ["-m", "pytest", "tests", *SIDE_BY_SIDE, *more]),
    ]
    books = notebook_paths()
    if books:
        sanitize = sorted(WORKBOOK.glob("*sanitize*.cfg"))[:1]
        rules = [f"--nbval-sanitize-with={p}" for p in sanitize]
        checks.append(
            ("notebooks", ["-m", "pytest", "--nbval", "-p", "no:cacheprovider", *SIDE_BY_SIDE, *rules, *books])
        )
    results = []
    for name, command in checks:
        print(f"\n=== {name}: {' '.join(command[1:4])}", flush=True)
        began = time.monotonic()
        results.append((name, run(*command), time.monotonic() - began))
    print("\n=== summary", flush=True)
    for name, code_, seconds in results:
        print(f"  {name:<10} {'passed' if code_ == 0 else f'FAILED (exit {code_})':<18} {seconds:6.1f} s")
    if not books:
        print("  notebooks  NOT RUN: there is no notebook in workbook/")
    failed = [name for name, code_, _ in results if code_]
    print(f"failed: {', '.join(failed)}" if failed else "all passed")
    return FAILED if failed else 0


def notebooks(_more: list) -> int:
    """Run every notebook in place, then take out what changes from run to run."""
    books = notebook_paths()
    if not books:
        print("there is no notebook in workbook/", file=sys.stderr)
        return FAILED
    executed = run("-m", "jupyter", "nbconvert", "--to", "notebook", "--execute", "--inplace", *books)
    extra = "cell.metadata.execution metadata.language_info metadata.widgets"
    stripped = run("-m", "nbstripout", "--keep-output", "--keep-count", "--extra-keys", extra, *books)
    return executed or stripped


def bench(more: list) -> int:
    """Run the benchmarks."""
    if not (HERE / "tests" / "bench.py").is_file():
        print("there is no tests/bench.py", file=sys.stderr)
        return FAILED
    return run("-m", "tests.bench", *more)


def ledger(_more: list) -> int:
    """Write the ledger of rules."""
    return run("-m", "tests.test_ledger")


COMMANDS = {"demo": demo, "lab": lab, "test": test, "notebooks": notebooks, "bench": bench, "ledger": ledger}


def main(words: list) -> int:
    """Run one command; returns the exit code."""
    name, more = (words[0], words[1:]) if words else ("demo", [])
    if name in ("-h", "--help", "help"):
        print(__doc__)
        return 0
    if name not in COMMANDS:
        print(f"start.py: no command {name!r}; commands: {', '.join(COMMANDS)} (or --help)", file=sys.stderr)
        return WRONG_CALL
    problem = version_problem(tuple(sys.version_info[:2]))
    if problem:
        print(f"start.py: {problem}", file=sys.stderr)
        return FAILED
    try:
        ensure()
        return COMMANDS[name](more)
    except SetupError as error:
        print(f"start.py: {error}", file=sys.stderr)
        return FAILED
    except KeyboardInterrupt:
        print("\nstart.py: stopped", file=sys.stderr)
        return STOPPED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
