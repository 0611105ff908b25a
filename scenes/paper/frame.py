"""Every page is one template of its room inside one frame: head, style, what is said in short, notes and cautions."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ... import __version__
from ..words import cautions
from ..words.cautions import capital

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

_ROOMS = Path(__file__).parents[1]
_MINUS = re.compile(r"(?<![\w.\-])-(?=\.?\d)")


def rendered(template: str, **shown: Any) -> str:
    """A page that needs no network and no second file.

    Args:
        template: of a room, for example ``compare/page.html``; it extends ``paper/frame.html``.
        shown: what the template names. Text is escaped; only ``Markup`` (charts, legends' keys) is taken as it is.
            ``title``, ``sentences`` and ``notes`` are the frame's own; ``scripts`` names the files that the page runs
            by ``script``, ``talks`` says whether they ask the server; ``first_cautions`` come before the usual ones.
    """
    told = {
        "sentences": (), "notes": (), "scripts": (), "talks": False, "version": __version__,
        "sources": cautions.SOURCES, "angle_order": cautions.ANGLE_ORDER,
        "cautions": (*shown.pop("first_cautions", ()), *cautions.CAUTIONS),
    }  # fmt: skip
    return _environment().get_template(template).render(told | shown)


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(_ROOMS),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=with_minus,
    )
    made.filters |= {"data_url": data_url, "capital": capital, "code": code}
    made.globals |= {"policy": policy, "script": script}
    made.globals["parts"] = made.get_template("paper/parts.html").module
    return made


def policy(scripts: Sequence[str], talks: bool = False) -> str:
    """A page's Content-Security-Policy: nothing from elsewhere, and no script but these files of ours.

    Args:
        scripts: of a room, for example ``compare/figure.js``.
        talks: whether the page asks the server that it came from.
    """
    asks = "connect-src 'self'; " if talks else ""
    own = [f"'sha256-{b64encode(sha256(_source(name).encode()).digest()).decode()}'" for name in scripts] or ["'none'"]
    return (
        f"default-src 'none'; script-src {' '.join(own)}; style-src 'unsafe-inline'; img-src data:; media-src data:; "
        f"{asks}base-uri 'none'; form-action 'none'"
    )


def script(name: str) -> Markup:
    """A script of a room as an element; the page's ``scripts`` must name it too.

    One that imports is a module, and what it imports stands before it.
    """
    from markupsafe import Markup

    kind = ' type="module"' if _is_module(name) else ""
    return Markup(f"<script{kind}>{_source(name)}</script>")


def _source(name: str) -> str:
    # The policy holds to the letter, so both take the text from here.
    from ...render.web.module import bundled

    return f"\n{bundled(_ROOMS / name)}"


def _is_module(name: str) -> bool:
    return "\nimport " in (_ROOMS / name).read_text(encoding="utf-8")


def with_minus(value: Any) -> Any:
    """Text with a minus sign before a negative number instead of a hyphen; anything else as it is."""
    if isinstance(value, str) and not hasattr(value, "__html__"):
        return _MINUS.sub("\N{MINUS SIGN}", value)
    return value


def data_url(data: bytes, kind: str) -> str:
    """A file's content inside a page, for example of ``image/png``."""
    return f"data:{kind};base64,{b64encode(data).decode('ascii')}"


def code(text: str) -> Markup:
    """A command to be copied, letter by letter: hyphens stay hyphens, and no line ends within an option."""
    from markupsafe import Markup, escape

    return Markup(f"<code>{' '.join(f'<span>{escape(part)}</span>' for part in re.split(' (?=--)', text))}</code>")
