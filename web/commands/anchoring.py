"""stamp, cosign, cosign-key and key-chain: a checkpoint seen by somebody else, asked for by a file and taken in from one."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from web.commands.options import Collection, Database, Folder, Keys, settings_of

__all__ = ["cosign", "cosign_key", "key_chain", "stamp"]

Out = Annotated[Path, typer.Option("--out", help="File to write.")]
Name = Annotated[str, typer.Option("--name", help="Name of whoever cosigns, without spaces.")]
Given = Annotated[Path, typer.Argument(help="What came back.", exists=True, dir_okay=False)]
Shown = Annotated[Path, typer.Argument(metavar="NOTE", help="The owner's request.", exists=True, dir_okay=False)]
Asked = Annotated[
    Path | None, typer.Option("--request", help="The request that it answers.", exists=True, dir_okay=False)
]
Since = Annotated[
    int | None,
    typer.Option("--since", min=0, help="For a cosigner, who saw so many entries last; 0 for the first time."),
]
ByKey = Annotated[str, typer.Option("--key", help="Verifier key of the cosigner; needed once.")]
OwnKey = Annotated[Path, typer.Option("--key", help="File of your cosigning key.", exists=True, dir_okay=False)]
Of = Annotated[str, typer.Option("--of", help="Verifier key of that ledger, from its owner; needed once.")]

stamp = typer.Typer(help="Have somebody else say when a checkpoint existed.", no_args_is_help=True)


@stamp.command("request")
def stamp_request(
    out: Out,
    since: Since = None,
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
) -> None:
    """Write what to send out for the newest checkpoint.

    For a time stamp authority a digest; with --since, for a person who cosigns, the checkpoint and how it came about.
    """
    from ledger.adapters.whole_files import write_whole  # noqa: PLC0415  (a start loads what it needs)
    from ledger.bootstrap import OWNER, open_to_read  # noqa: PLC0415
    from ledger.usecases.stamps import cosignature_wanted, stamp_wanted  # noqa: PLC0415

    with open_to_read(settings_of(folder, keys, database=database, collection=collection)) as ledger:
        wanted = stamp_wanted(ledger, OWNER) if since is None else cosignature_wanted(ledger, OWNER, since)
        with ledger.log.read() as reader:
            later = reader.head().size - wanted.size
    write_whole(out, wanted.data, mode=0o644)
    sys.stdout.write(f"{out} is for the checkpoint over {wanted.size} entries.\n")
    if later:
        sys.stdout.write(f"Entries written since: {later}. Sign a checkpoint first if they should be stamped too.\n")


@stamp.command("take")
def stamp_take(
    file: Given,
    request: Asked = None,
    key: ByKey = "",
    folder: Folder = None,
    keys: Keys = None,
    database: Database = None,
    collection: Collection = None,
) -> None:
    """Take in a time stamp or cosignatures.

    What does not belong to a checkpoint of this ledger is refused. No server may have it open.
    """
    from ledger.bootstrap import OWNER, open_ledger  # noqa: PLC0415
    from ledger.usecases.stamps import take  # noqa: PLC0415

    asked = request.read_bytes() if request else None
    settings = settings_of(folder, keys, database=database, collection=collection)
    with open_ledger(settings, make=False) as ledger:
        taken = take(ledger, OWNER, file.read_bytes(), request=asked, key=key)
    for each in taken.stamps:
        sys.stdout.write(f"Over {each.stamp.size} entries: {each.sentence}\n")
        if each.stamp.size < taken.newest:
            sys.stdout.write(f"The newest checkpoint is over {taken.newest}; this says nothing about it.\n")


def key_chain(
    out: Out, folder: Folder = None, keys: Keys = None, database: Database = None, collection: Collection = None
) -> None:
    """Write which keys signed, one after another.

    Whoever holds a record under an earlier key checks it with this file and the key of today.
    """
    from ledger.adapters.whole_files import write_whole  # noqa: PLC0415
    from ledger.bootstrap import OWNER, open_to_read  # noqa: PLC0415
    from ledger.usecases.keys_given import keys_file  # noqa: PLC0415

    with open_to_read(settings_of(folder, keys, database=database, collection=collection)) as ledger:
        data = keys_file(ledger, OWNER)
    write_whole(out, data, mode=0o644)
    sys.stdout.write(f"{out} has the chain of keys.\n")


def cosign_key(name: Name, out: Out) -> None:
    """Make a key to cosign with."""
    from ledger.adapters.clock import SystemChance  # noqa: PLC0415
    from ledger.adapters.cosigner import make_key  # noqa: PLC0415
    from ledger.adapters.keys import SEED_BYTES  # noqa: PLC0415

    key = make_key(out, name, SystemChance().bytes(SEED_BYTES))
    sys.stdout.write(f"{key.verifier.vkey}\n")
    sys.stderr.write(
        f"That line checks what you cosign: give it away. The key itself is in {out}: keep it to yourself.\n"
    )


def cosign(note: Shown, key: OwnKey, name: Name, out: Out, of: Of = "") -> None:
    """Say of somebody else's ledger that you saw it so.

    What was cosigned last is kept beside your key; a ledger that did not only grow since then is refused.
    """
    from ledger.adapters.clock import SystemClock  # noqa: PLC0415
    from ledger.adapters.cosigner import keep_seen, read_cosigning_key, read_seen  # noqa: PLC0415
    from ledger.adapters.whole_files import write_whole  # noqa: PLC0415
    from ledger.errors import ConflictError  # noqa: PLC0415
    from ledger.proof.cosigned import Seen  # noqa: PLC0415
    from ledger.proof.cosigning import cosign as cosigned  # noqa: PLC0415
    from ledger.proof.cosigning import line_text, read_shown  # noqa: PLC0415
    from ledger.proof.signature import parse_vkey  # noqa: PLC0415

    own, shown = read_cosigning_key(key, name), read_shown(note.read_bytes())
    origin = shown.note.split("\n", 1)[0]
    seen, state = read_seen(key).of(origin), read_seen(key)
    owner = tuple(dict.fromkeys([*seen.keys, *([parse_vkey(of.strip())] if of.strip() else [])]))
    if not owner:
        sentence = (
            f"Whether {origin} signed this cannot be seen. Give its verifier key once, as its owner told you: --of."
        )
        raise ConflictError(sentence=sentence)
    now = SystemClock().now()
    line = cosigned(shown, owner, seen.note, own, int(now.timestamp()))
    keep_seen(key, state.with_one(origin, Seen(note=shown.note, keys=owner)))
    write_whole(out, line_text(line).encode("utf-8"), mode=0o644)
    sys.stdout.write(f"{out} says that {name} saw {origin} so on {now.isoformat(timespec='seconds')}.\n")
