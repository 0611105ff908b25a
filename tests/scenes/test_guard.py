"""The outermost guard, by the interpreter's own start: whatever happens, a sentence and no traceback."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from turnstill.scenes.delivery import written
from turnstill.scenes.delivery.guard import STOPS, Stops, run
from turnstill.scenes.delivery.outcome import outcome

START = "from turnstill.scenes.start import main; main()"
FAULT = """
import turnstill.scenes.listing.table as table
def broken(presets):
    raise {error}
table.preset_table = broken
"""
SIMULATE = ("simulate", "centred", "--frames", "3")


def started(
    *arguments: str | bytes, shell: str = "", before: str = "", environment: dict[str, str] | None = None,
    folder: Path | None = None,
) -> subprocess.CompletedProcess[str]:  # fmt: skip
    """A command started by the interpreter, its streams as a shell would arrange them."""
    command = [sys.executable, "-c", f"{before}\n{START}", *arguments]
    if shell:
        command = ["sh", "-c", f'exec "$@" {shell}', "sh", *command]  # type: ignore[list-item]
    return subprocess.run(
        command, capture_output=True, text=True, errors="surrogateescape", timeout=120, check=False, cwd=folder,
        env={**os.environ, **(environment or {})},
    )  # fmt: skip


def sentence(done: subprocess.CompletedProcess[str]) -> str:
    """The only line on standard error."""
    (line,) = done.stderr.splitlines()
    assert line.startswith("turnstill: ") and line.isprintable() and len(line) <= 300
    return line


@pytest.mark.parametrize("arguments", [("--help",), ("--version",), ("presets",), ("simulate", "--help")])
@pytest.mark.parametrize(("screen", "reason"), [(">/dev/full", "no space left on device"), (">&-", "it is closed")])
def test_a_screen_that_takes_nothing_is_told(arguments: tuple[str, ...], screen: str, reason: str) -> None:
    done = started(*arguments, shell=screen)
    assert done.returncode == 2
    assert sentence(done) == f"turnstill: Standard output cannot be written ({reason}); nothing was written."


def test_what_was_written_is_told_where_the_screen_takes_nothing(tmp_path: Path) -> None:
    done = started(*SIMULATE, "--json", "a.json", "--csv", "b.csv", shell=">/dev/full", folder=tmp_path)
    assert done.returncode == 2 and "written before that, and whole: a.json, b.csv." in sentence(done)
    assert json.loads((tmp_path / "a.json").read_text("utf-8"))["preset"] == "centred" and (tmp_path / "b.csv").exists()
    done = started(*SIMULATE, "--json", "-", "--csv", "c.csv", shell=">/dev/full", folder=tmp_path)
    assert "nothing was written" in sentence(done) and not (tmp_path / "c.csv").exists()
    done = started("shares", "centred", "--frames", "2", "--out", "page", shell=">&-", folder=tmp_path)
    assert "whole: page." in sentence(done) and (tmp_path / "page" / "index.html").exists()


def test_a_file_never_takes_the_place_of_a_closed_stream(tmp_path: Path) -> None:
    # Without care the file would be opened as number 1 or 2, and get whatever is meant for the screen.
    code = "import os; os.write(1, b'for the screen'); os.write(2, b'for the screen')"
    before = f"import atexit\natexit.register(lambda: exec({code!r}))"
    started(*SIMULATE, "--json", "a.json", shell="<&- >&- 2>&-", before=before, folder=tmp_path)
    assert json.loads((tmp_path / "a.json").read_text("utf-8"))["preset"] == "centred"


@pytest.mark.parametrize("shell", ["2>&-", "2>/dev/full", "<&-"])
def test_nobody_has_to_listen(shell: str) -> None:
    done = started("--version", shell=shell)
    assert done.returncode == 0 and done.stderr == ""
    assert started("nothing", shell=shell).returncode == 2


def test_names_that_are_no_text(tmp_path: Path) -> None:
    name = os.fsdecode(b"\xff\xfe.toml")
    (tmp_path / name).write_text('extends = "centred"\n', "utf-8")
    done = started("simulate", name, "--frames", "2", "--json", "a.json", folder=tmp_path)
    assert done.returncode == 0 and done.stderr == ""
    assert json.loads((tmp_path / "a.json").read_text("utf-8"))["preset"] == "\ufffd\ufffd"
    done = started("shares", name, "--frames", "2", "--out", "page", folder=tmp_path)
    assert done.returncode == 0 and "\ufffd\ufffd" in (tmp_path / "page" / "index.html").read_text("utf-8")
    done = started("simulate", os.fsdecode(b"\xfd.toml"), folder=tmp_path)
    assert done.returncode == 2 and 'no file "?.toml"' in sentence(done)
    done = started("simulate", "centred", "--json", os.fsdecode(b"no\xff/a.json"), folder=tmp_path)
    assert done.returncode == 2 and "no?/a.json" in sentence(done)


@pytest.mark.parametrize("backend", ["module://matplotlib_inline.backend_inline", "nobody"])
def test_charts_do_not_depend_on_a_notebook(backend: str) -> None:
    drawing = FAULT.format(error="SystemExit(0)").replace(
        "raise",
        """
    import matplotlib
    from matplotlib.figure import Figure
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    print(matplotlib.get_backend())
    raise""",
    )
    done = started("presets", before=drawing, environment={"MPLBACKEND": backend})
    assert (done.returncode, done.stderr) == (0, "") and backend not in done.stdout


def test_a_fault_of_the_program_is_told_as_one(tmp_path: Path) -> None:
    broken = FAULT.format(error="ZeroDivisionError('by \\x1b nothing')")
    done = started("presets", before=broken)
    told = sentence(done)
    assert done.returncode == 70 and done.stdout == ""
    assert (
        "fault of turnstill" in told and "TURNSTILL_TRACEBACK=1" in told and "ZeroDivisionError: by ? nothing" in told
    )
    shown = started("presets", before=broken, environment={"TURNSTILL_TRACEBACK": "1"})
    assert shown.returncode == 70 and "Traceback" in shown.stderr and "in broken" in shown.stderr


@pytest.mark.parametrize("error", ["MemoryError", "RecursionError", "OSError(5, 'Input/output error')"])
def test_what_a_machine_cannot_do_is_one_sentence(error: str) -> None:
    done = started("presets", before=FAULT.format(error=error))
    assert done.returncode == 2 and sentence(done)


def test_warnings_of_libraries_stay_unseen() -> None:
    broken = FAULT.format(error="SystemExit(0)").replace("raise", "import warnings; warnings.warn('of scipy'); raise")
    assert started("presets", before=broken).stderr == ""
    assert "of scipy" in started("presets", before=broken, environment={"PYTHONWARNINGS": "default"}).stderr


# Signals ------------------------------------------------------------------------------------------------------------

AT_IMPORT = """
import os, signal, sys
class Stopping:
    "Sends a signal when the import of a number begins, counted from when the guard has taken the signals."
    seen = 0
    def find_spec(self, name, path=None, target=None):
        if signal.getsignal(signal.SIGTERM) is not signal.SIG_DFL:
            Stopping.seen += 1
            if Stopping.seen == {number}:
                os.kill(os.getpid(), {signal})
sys.meta_path.insert(0, Stopping())
"""
IN_A_RUN = ("simulate", "centred", "--frames", "2")


def stopped(number: int, signal_: int, *arguments: str) -> subprocess.CompletedProcess[str]:
    """A command that gets a signal in the middle of its imports."""
    return started(*arguments, before=AT_IMPORT.format(number=number, signal=int(signal_)))


@pytest.mark.parametrize("number", [1, 30, 350])
def test_an_interruption_during_the_imports_is_an_interruption(number: int) -> None:
    done = stopped(number, signal.SIGINT, *IN_A_RUN)
    assert (done.returncode, done.stdout) == (130, "")
    assert sentence(done) == "turnstill: Interrupted; nothing was left half-written."


def test_an_interruption_before_all_is_ready_is_told_too() -> None:
    early = """
from turnstill.scenes.delivery import guard
def slow():
    raise KeyboardInterrupt
guard._make_ready = slow
"""
    done = started("presets", before=early)
    assert done.returncode == 130 and sentence(done) == "turnstill: Interrupted; nothing was left half-written."


@pytest.mark.heavy
@pytest.mark.parametrize("number", range(1, 700, 7))
def test_an_interruption_at_any_import(number: int) -> None:
    done = stopped(number, signal.SIGINT, *IN_A_RUN)
    if done.returncode != 0:  # There may not be so many imports.
        assert done.returncode == 130 and sentence(done) == "turnstill: Interrupted; nothing was left half-written."


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_termination_and_a_closed_terminal_end_in_order_and_silence(number: int) -> None:
    done = stopped(40, number, *IN_A_RUN)
    assert (done.returncode, done.stdout, done.stderr) == (128 + number, "", "")


def test_what_nohup_ignores_stays_ignored() -> None:
    ignoring = "import signal\nsignal.signal(signal.SIGHUP, signal.SIG_IGN)\n"
    code = AT_IMPORT.format(number=40, signal=int(signal.SIGHUP))
    done = started(*IN_A_RUN, before=ignoring + code)
    assert done.returncode == 0 and done.stdout


def test_an_interruption_that_python_drops_comes_again() -> None:
    # In a finaliser nothing can be raised; the interruption must not be lost there, nor shown.
    broken = FAULT.format(error="AssertionError('the interruption was lost')").replace(
        "raise",
        """
    import os, signal, time
    class Last:
        def __del__(self):
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(0.01)
    Last()
    time.sleep(5)
    raise""",
    )
    done = started("presets", before=broken)
    assert done.returncode == 130 and sentence(done) == "turnstill: Interrupted; nothing was left half-written."


def test_an_error_that_an_interruption_led_to_is_the_interruption() -> None:
    broken = FAULT.format(error="ImportError('of a module that was interrupted')").replace(
        "raise",
        """
    import os, signal
    try:
        os.kill(os.getpid(), signal.SIGINT)
    except BaseException:
        pass
    raise""",
    )
    done = started("presets", before=broken)
    assert done.returncode == 130 and sentence(done) == "turnstill: Interrupted; nothing was left half-written."


def test_a_second_interruption_acts_at_once_even_during_an_import() -> None:
    taken = {number: signal.getsignal(number) for number in (*STOPS, signal.SIGALRM)}
    try:
        stops, importing = Stops(), compile("raise_it()", "<frozen importlib._bootstrap>", "exec")
        for number in (signal.SIGINT, signal.SIGTERM):
            stops.arrived = None
            exec(importing, {"raise_it": lambda: signal.raise_signal(signal.SIGINT)})
            with pytest.raises(KeyboardInterrupt if number == signal.SIGINT else SystemExit):
                exec(importing, {"raise_it": lambda number=number: signal.raise_signal(number)})
            signal.setitimer(signal.ITIMER_REAL, 0)
    finally:
        for number, handler in taken.items():
            signal.signal(number, handler)


def test_what_comes_after_the_last_words_ends_the_process_with_its_own_status(monkeypatch: pytest.MonkeyPatch) -> None:
    ended: list[int] = []
    taken = {number: signal.getsignal(number) for number in (*STOPS, signal.SIGALRM)}
    try:
        stops = Stops()
        stops.arrived, stops.over = signal.SIGTERM, True
        monkeypatch.setattr(os, "_exit", lambda status: ended.append(status) or sys.exit(status))
        for number in (signal.SIGINT, signal.SIGTERM):
            with pytest.raises(SystemExit):
                signal.raise_signal(number)
        assert ended == [130, 143]  # As a shell tells it: 128 and the signal's number.
        # No interruption that waits for the end of an import comes after that.
        signal.setitimer(signal.ITIMER_REAL, 60.0)
        stops.let_go()
        assert signal.getitimer(signal.ITIMER_REAL)[0] == 0.0
        ignored = {number for number, handler in taken.items() if handler == signal.SIG_IGN}
        assert {signal.getsignal(number) for number in STOPS if number not in ignored} == {signal.SIG_DFL}
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0.0)
        for number, handler in taken.items():
            signal.signal(number, handler)


# What is told -------------------------------------------------------------------------------------------------------


def test_every_ending_has_its_status(capsys: pytest.CaptureFixture[str]) -> None:
    def ending(error: BaseException) -> int:
        def work() -> int:
            raise error

        return run(work)

    endings = {
        SystemExit(3): 3, SystemExit(None): 0, SystemExit("why"): 1, KeyboardInterrupt(): 130, BrokenPipeError(): 1,
        MemoryError(): 2, RecursionError(): 2, OSError(5, "Odd"): 2, ZeroDivisionError(): 70, ValueError(): 70,
    }  # fmt: skip
    written.begin()
    assert {type(error).__name__ + str(error): ending(error) for error in endings} == {
        type(error).__name__ + str(error): status for error, status in endings.items()
    }
    assert "Traceback" not in capsys.readouterr().err


def test_of_many_files_the_first_are_named_and_the_rest_counted() -> None:
    written.begin()
    for name in ("a.json", "b.csv", "b.csv", "x" * 100, "d", "e"):
        written.keep(name)
    known = outcome(KeyboardInterrupt())
    written.begin()
    assert known is not None
    assert known[1] == (
        "Interrupted; nothing was left half-written; written before that, and whole: a.json, b.csv, "
        f"{'x' * 20}...{'x' * 25} and 2 more."
    )
