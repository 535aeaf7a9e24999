"""The `slipsheet` command: what it can do, and how it ends."""

import sys

import typer

from ledger.errors import LedgerError
from web.commands.anchoring import cosign, cosign_key, key_chain, stamp
from web.commands.archive import bring, take
from web.commands.checking import FINDING, rebuild, verify
from web.commands.keeping import backup, drill, move, prepare, restore
from web.commands.options import NAME
from web.commands.records import check
from web.commands.serving import demo, serve

__all__ = ["FINDING", "NAME", "USAGE", "app", "main"]

USAGE = 2

app = typer.Typer(
    name=NAME,
    help="A collection catalogue and provenance ledger for vintage comic books.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
for each in (demo, serve, verify, check, rebuild, backup, restore, drill, move, prepare):
    app.command()(each)
app.command("export")(take)
app.command("import")(bring)
app.add_typer(stamp, name="stamp")
app.command()(cosign)
app.command()(cosign_key)
app.command()(key_chain)


def main() -> None:
    """The command, with what the ledger refuses told in one sentence.

    Exits 0 when all is well, 1 for a finding or a refusal, 2 for wrong usage.
    """
    try:
        app(prog_name=NAME)
    except LedgerError as error:
        sys.stderr.write(f"{NAME}: {error}\n")
        sys.exit(FINDING)
    except OSError as error:
        sys.stderr.write(f"{NAME}: {error.filename or 'a file'}: {error.strerror or error}\n")
        sys.exit(FINDING)
    except ValueError as error:
        sys.stderr.write(f"{NAME}: {error}\n")
        sys.exit(USAGE)


if __name__ == "__main__":
    main()
