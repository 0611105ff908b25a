"""What a command says of a mistake that its user can mend."""

from __future__ import annotations

from typer.testing import CliRunner

from turnstill.scenes.cli import app


def refused_by(command: str, *arguments: str, status: int = 2) -> str:
    """The one sentence of a command that cannot do what it was asked."""
    result = CliRunner().invoke(app, [command, *arguments])
    assert result.exit_code == status, (result.exit_code, result.output, result.exception)
    assert isinstance(result.exception, SystemExit) and result.stdout == ""
    assert len(result.stderr.splitlines()) == 1 and result.stderr.startswith("turnstill: ")
    return result.stderr
