"""Hostile runs drawn from a seed: command lines, files and screens. A case is told by the seed and its number."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from hostile import Case, complaints

from turnstill.scenes import cli
from turnstill.scenes.setups.quantities import entries

TEXTS = (
    "", " ", "-", "--", "--json", "--help", "nan", "inf", "-inf", "1e999", "5e-324", "-5e-324", "1e308", "-0", "0", "1",
    "-1", "2", "41", "1.5", "1,5", "9" * 5000, "x" * 10_000, "a b " * 3000, "٣", "½", "0x10", "1_000", "null", "true",
    "\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\u202egnp.exe", "two\nlines", "tab\there", "\udcff\udcfe", "é", "😀",
    "../..", "/", "/dev/null", "/proc/self/mem", ".", "..", "~", "~nobody/x", "%s%n{0}", "a=b=c", "=", "[0]", "'", '"',
    "centred", "sway", "tilt", "hip_turn", "steady", "steady+10", "hip_turn=50", "tilt=steady-10", "sway=2in", "5ft10",
    "170lb", "12st4", "40°", "male", "female", "2024-02-29", "2023-02-29", "9999-12-31", "2025-W11-5", "1280x720",
    "0x0", "face-on", "face-on,down-the-line", "turn", "address", "none", "all", "[bold]rich[/bold]", "\u2028", "\x85",
    "\x9b31m", "head=1", "sway=5e-324", "thigh=0", "extension=1e308", "stature=1e-300", "lead_flare=nan",
)  # fmt: skip
"""Texts that somebody types, pastes or makes up to break a program."""
NAMES = (
    "mine.toml", "films.csv", "a.turnstill", "b.turnstill", "a.json", "a.csv", "\x1b[2J.toml", "\u202egpj.toml",
    "two\nlines.toml", "\udcff\udcfe.toml", "-x.toml", "--inches", "é.toml", "😀.toml", "n" * 200 + ".toml",
    "no suffix", "\x9b31m.turnstill", "\udcff.turnstill", "\udce9.csv", "steady", "a.glb", "a.bvh", "a.trc", "a.c3d",
)  # fmt: skip
SOUND_PRESETS = (
    '[pieces]\ntilt_deg = "steady+10"\n', 'extends = "sway"\n[address]\nlead_flare_deg = 10\n',
    '[body]\nstature_cm = 180\nsex = "female"\n[body.lengths_cm]\nthigh = 41\n'
    '[timing]\ntilt = [[0,0],[0.5,0.7],[1,1]]\n',
    'shows = "Mine."\n[body.ranges_deg]\ntrail_hip_internal_rotation = 25\n', "",
    '[timing]\ntilt = [["a","b"],["c","d"]]\n', '[timing]\ntilt = "steep"\n',
    '[timing]\ntilt = [["0","0"],["1","1"]]\n',
)  # fmt: skip
SOUND_TABLES = (
    "date,piece,felt,got,note\n2024-03-01,tilt,10,5,first\n2024-03-08,tilt,8,5,\n",
    "date;head_toward_target_cm;note\n01.03.2024;-6,5;\"=1+1\"\n", "date,note\n2024-03-01,\x1b[31mred\n",
)  # fmt: skip
CHEAP = (
    (("simulate",), 12), (("presets",), 3), (("presets", "show"), 5), (("presets", "settable"), 1),
    (("record", "add"), 8), (("record", "body"), 6), ((), 3), (("record",), 2),
)  # fmt: skip
COSTLY = (
    (("compare",), 2), (("diagnose",), 3), (("experiment",), 3), (("export",), 3), (("film",), 2), (("strip",), 2),
    (("sheet",), 2), (("map",), 3), (("shares",), 3), (("record", "show"), 5), (("record", "next"), 5),
)  # fmt: skip
"""Commands, and how often each is drawn. What is costly is mostly given something that it refuses."""
SCREENS = ("kept",) * 12 + ("terminal",) * 4 + ("full", "closed", "gone")


def damaged(rng: random.Random, content: bytes) -> bytes:
    """A file somebody's disk or editor has been at."""
    data = bytearray(content or b"\x00")
    for _ in range(rng.choice((1, 1, 2, 8))):
        at, kind = rng.randrange(len(data)), rng.randrange(5)
        if kind == 0:
            data[at] = rng.randrange(256)
        elif kind == 1:
            del data[at : at + rng.choice((1, 4, 100))]
        elif kind == 2:
            data[at:at] = rng.choice(TEXTS).encode("utf-8", "surrogateescape")
        elif kind == 3:
            data[at:at] = data[at : at + 40]
        else:
            data = data[: at + 1]
        data = data or bytearray(b"\n")
    return bytes(data)


class Hostility:
    """Draws hostile runs.

    Args:
        seed: of everything.
        record: a sound student's record, which is damaged in many ways.
        costly: the share of the costly commands that are given nothing wrong on purpose.
    """

    def __init__(self, seed: int, record: bytes, costly: float = 0.02) -> None:
        self._seed, self.record, self._costly = seed, record, costly
        self._whole = cli._whole()

    def case(self, number: int) -> Case:
        """The case of a number, the same whatever was drawn before."""
        rng = random.Random(f"{self._seed} {number}")
        words, weights = zip(*CHEAP, *COSTLY, strict=True)
        path = rng.choices(words, weights)[0]
        files = self._files(rng)
        spoilt = (path, 0) in [(one, 0) for one, _ in COSTLY] and rng.random() > self._costly
        arguments = [*path, *self._arguments(rng, path, list(files), spoilt)]
        if rng.random() < 0.03:
            rng.shuffle(arguments)
        return Case(tuple(arguments), files, rng.choice(SCREENS))

    def _files(self, rng: random.Random) -> dict[str, bytes]:
        files = {}
        for name in rng.sample(NAMES, rng.choice((0, 1, 1, 2, 3))):
            kind = self.record if name.endswith(".turnstill") else None
            pool = SOUND_TABLES if name.endswith(".csv") else SOUND_PRESETS
            content = kind if kind is not None else rng.choice(pool).encode()
            files[name] = damaged(rng, content) if rng.random() < 0.4 else content
            if rng.random() < 0.05:
                files[name] = rng.randbytes(rng.choice((0, 3, 300)))
        return files

    def _arguments(self, rng: random.Random, path: Sequence[str], files: list[str], spoilt: bool) -> Iterator[str]:
        command = self._whole
        for word in path:
            command = command.commands[word]
        options = [one for one in command.params if one.param_type_name == "option" and "--help" not in one.opts]
        needed = [one for one in options if one.required]
        some = rng.sample(options, min(len(options), rng.choice((0, 0, 1, 1, 1, 2, 3))))
        for one in command.params:
            if one.param_type_name == "argument" and rng.random() < 0.95:
                for _ in range(rng.choice((1, 2, 2, 3, 7)) if one.nargs == -1 else 1):
                    yield self._argument(rng, path, files)
        if path and path[0] in ("simulate", "shares", "export", "compare"):
            yield from ("--frames", rng.choice(("2", "2", "3")))
        if path == ("film",):
            yield from ("--seconds", "0.5", "--size", "160x160")
        if path == ("record", "add") and rng.random() < 0.7:
            yield from (
                "--piece",
                rng.choice(("tilt", "sway", "hip turn")),
                "--felt",
                rng.choice(("10", "1in", "5e-324")),
            )
        for one in {id(one): one for one in (*needed, *some)}.values():
            option = rng.choice(one.opts)
            value = [] if one.is_flag else [self._value(rng, option, files)]
            yield from [f"{option}={value[0]}"] if value and rng.random() < 0.2 else [option, *value]
        if spoilt:
            yield from rng.choice((("--set", "nobody=1"), ("--nothing",), ("--set", "tilt=much"), ("--mass", "heavy")))

    def _argument(self, rng: random.Random, path: Sequence[str], files: list[str]) -> str:
        if files and rng.random() < 0.6:
            name = rng.choice(files)
            return f"./{name}" if rng.random() < 0.3 else name
        usual = NAMES if path[:1] == ("record",) else ("centred", "sway", "straight-toes", "too-much-tilt")
        return rng.choice(usual) if rng.random() < 0.8 else rng.choice(TEXTS)

    def _value(self, rng: random.Random, option: str, files: list[str]) -> str:
        if option in ("--json", "--csv", "--out", "--glb", "--trc", "--c3d", "--bvh") and rng.random() < 0.7:
            return rng.choice(("-", "a.json", "out", f"a.{option[2:]}", "no/such/a.json", *NAMES[:3], *files))
        if option == "--student" and rng.random() < 0.7:
            return rng.choice(files or ["a.turnstill"])
        if option == "--set" and rng.random() < 0.6:
            known = rng.choice(entries())
            within = known.quantity and f"{rng.triangular(known.quantity.low, known.quantity.high):.4g}"
            return f"{known.name}={within if within and rng.random() < 0.7 else rng.choice(TEXTS)}"
        if option.endswith(("-cm", "-deg", "-kg", "--felt", "--got", "--got-sd", "--missing")) and rng.random() < 0.6:
            plain, inches = rng.gauss(0, 10), rng.uniform(0, 4)
            return rng.choice((f"{plain:.3g}", f"{inches:.2g}in", f"{abs(plain):.3g}", "5e-324"))
        if option == "--piece" and rng.random() < 0.6:
            return rng.choice(("tilt", "sway", "hip turn", "extension"))
        return rng.choice(TEXTS)


def failures(hostility: Hostility, numbers: Sequence[int], make_folder: Callable[[], Path],
             command: Callable[[list[str]], int] = cli.command_line) -> list[str]:  # fmt: skip
    """What is wrong in a row of cases, each told with its number and command line."""
    found = []
    for number in numbers:
        case = hostility.case(number)
        for complaint in complaints(case, make_folder(), command):
            told = [one if len(one) < 60 else f"{one[:30]}...({len(one)})" for one in case.arguments]
            found.append(f"case {number}, {case.screen}, {told}, {list(case.files)}: {complaint}")
    return found
