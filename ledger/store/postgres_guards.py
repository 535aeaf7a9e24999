"""Guards on PostgreSQL: what the application's role may not do, held by the server for whoever comes with that role.

Three of them, since each leaves a gap: grants let it add and read and change hardly anything, triggers hold each row to
what came before it, and row security shows a transaction the rows of its own collection and no others. The owner of the
tables could take all of them away, which is why the program never comes as the owner; it can still be seen afterwards.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from sqlalchemy import Connection, text

from ledger.store.account_tables import ACCOUNTS
from ledger.store.beside_tables import BESIDE
from ledger.store.row_tables import BOOK_ROW, BOOK_SEARCH, COST_ROW, PICTURE_ROW, WORD_ROW
from ledger.store.tables import KEPT

__all__ = ["BODIES", "SCHEMA", "SETTING", "make_guards", "missing_guards"]

SCHEMA: Final = "slipsheet"
SETTING: Final = "slipsheet.collection"
"""Names the collection that a transaction is about."""

_LISTS: Final = (BOOK_ROW, PICTURE_ROW, COST_ROW, WORD_ROW, BOOK_SEARCH)
TABLES: Final = tuple(table.name for table in (*KEPT, *ACCOUNTS, *BESIDE, *_LISTS))
READ_MODELS: Final = frozenset({"read_model", *(table.name for table in _LISTS)})
CHANGING: Final[Mapping[str, frozenset[str]]] = {
    "head": frozenset({"size", "books"}),
    "node": frozenset({"hash"}),
    "book_head": frozenset({"seq", "leaf"}),
    "sealed_value": frozenset({"salt", "value"}),
    "receipt": frozenset({"salt", "request"}),
    "token": frozenset({"revoked"}),
    "person": frozenset({"password", "preferences"}),
    "session": frozenset({"used"}),
}
"""The columns of each table that may be changed; a trigger says how."""
ENDING: Final = frozenset(
    {"node", "book_head", "session", "waiting_form", "load", "recipe", "tool", "feed", "link", "record"}
    | {"comparable", "prospect", "rate", "care", "rotation", "climate", "climate_part"}
)
"""Tables whose rows may be taken out: what is worked out from the entries, and what ends."""

_OURS: Final = f"(collection_id = current_setting('{SETTING}'::text, true))"
_OURS_OR_LISTED: Final = (
    f"(COALESCE(current_setting('{SETTING}'::text, true), ''::text) = ANY (ARRAY[''::text, collection_id]))"
)
_SAME: Final = "NEW.collection_id IS NOT DISTINCT FROM OLD.collection_id"
_THERE: Final = "EXISTS (SELECT 1 FROM entry WHERE collection_id = NEW.collection_id AND seq = NEW.size)"
_SIZE: Final = "(SELECT size FROM head WHERE collection_id = NEW.collection_id)"
_LAST: Final = "(SELECT {0} FROM checkpoint WHERE collection_id = NEW.collection_id ORDER BY no DESC LIMIT 1)"


def _same(*columns: str) -> str:
    return " AND ".join([_SAME, *(f"NEW.{name} IS NOT DISTINCT FROM OLD.{name}" for name in columns)])


_GUARDS: Final = {
    ("entry", "INSERT"): ("an entry follows the last one", f"NEW.seq IS DISTINCT FROM {_SIZE} + 1"),
    ("entry", "UPDATE"): ("an entry is never changed", "true"),
    ("entry", "DELETE"): ("an entry is never taken out", "true"),
    ("head", "INSERT"): ("a ledger begins empty", "NEW.size IS DISTINCT FROM 0 OR NEW.books IS DISTINCT FROM 0"),
    ("head", "UPDATE"): (
        "a head moves by one entry",
        f"NOT ({_SAME} AND NEW.size = OLD.size + 1 AND NEW.books - OLD.books IN (0, 1) AND {_THERE})",
    ),
    ("head", "DELETE"): ("a head is never taken out", "true"),
    ("collection", "UPDATE"): ("a collection keeps its name", "true"),
    ("collection", "DELETE"): ("a collection is never taken out", "true"),
    ("sealed_value", "UPDATE"): (
        "a sealed value is erased or stays",
        f"NOT ({_same('seq', 'name')} AND NEW.salt IS NULL AND NEW.value IS NULL)",
    ),
    ("sealed_value", "DELETE"): ("the row of a sealed value stays when it is erased", "true"),
    ("receipt", "UPDATE"): (
        "a receipt is only made to forget its request",
        f"NOT ({_same('key', 'first', 'count', 'warnings')} AND NEW.salt IS NULL AND NEW.request IS NULL)",
    ),
    ("receipt", "DELETE"): ("a receipt is never taken out", "true"),
    ("checkpoint", "INSERT"): (
        "a checkpoint covers no less than the one before it, and no more than there is",
        (
            f"NEW.no IS DISTINCT FROM coalesce({_LAST.format('no')}, 0) + 1"
            f" OR NEW.size < coalesce({_LAST.format('size')}, 0) OR NEW.size > {_SIZE}"
        ),
    ),
    ("checkpoint", "UPDATE"): ("a checkpoint is never changed", "true"),
    ("checkpoint", "DELETE"): ("a checkpoint is never taken out", "true"),
    ("token", "UPDATE"): (
        "a token is only revoked",
        (
            f"NOT ({_same('id', 'label', 'hashed', 'scopes', 'person', 'created', 'expires')}"
            " AND OLD.revoked IS NULL AND NEW.revoked IS NOT NULL)"
        ),
    ),
    ("token", "DELETE"): ("a token is never taken out", "true"),
}
"""By table and statement: what the guard says, and when it refuses a row."""

_EMPTYING: Final = "emptying"
"""Of the guard that refuses to empty a table at one stroke, which no guard of rows sees."""


def _body(says: str, refuses: str) -> str:
    row = "OLD" if refuses == "true" else "NEW"
    return (
        f"\nBEGIN\n  IF {refuses} THEN\n"
        f"    RAISE EXCEPTION '{says}' USING ERRCODE = 'integrity_constraint_violation';\n"
        f"  END IF;\n  RETURN {row};\nEND\n"
    )


def _guards() -> Iterator[tuple[str, str, str, str]]:
    """Name, table, moment and body of each."""
    for (table, statement), (says, refuses) in _GUARDS.items():
        yield f"{table}_{statement.lower()}", table, f"BEFORE {statement} ON {table} FOR EACH ROW", _body(says, refuses)
    for table in TABLES:
        if table not in READ_MODELS:
            says = "nothing kept is emptied"
            yield f"{table}_{_EMPTYING}", table, f"BEFORE TRUNCATE ON {table} FOR EACH STATEMENT", _body(says, "true")


BODIES: Final = {name: body for name, _, _, body in _guards()}


def grants(table: str) -> frozenset[str]:
    """What the application's role may do with a table as a whole."""
    given = {"SELECT", "INSERT"}
    if table in READ_MODELS:
        given |= {"UPDATE", "DELETE"}
    if table in ENDING:
        given.add("DELETE")
    return frozenset(given)


def make_guards(connection: Connection, role: str) -> None:
    """Grants, row security and triggers anew, and none beside them.

    Requires: a connection as the owner of the tables.
    """
    quoted = connection.dialect.identifier_preparer.quote(role)
    run = connection.exec_driver_sql
    run(f"GRANT USAGE ON SCHEMA {SCHEMA} TO {quoted}")
    run("REVOKE ALL ON alembic_version FROM PUBLIC")
    run(f"REVOKE ALL ON alembic_version FROM {quoted}")
    run(f"GRANT SELECT ON alembic_version TO {quoted}")
    for name, table in connection.execute(_TRIGGERS, {"schema": SCHEMA}).all():
        run(f"DROP TRIGGER {connection.dialect.identifier_preparer.quote(name)} ON {table}")
    for table in TABLES:
        for statement in _table_guards(table, quoted):
            run(statement)
    for name, table, moment, body in _guards():
        run(
            f"CREATE OR REPLACE FUNCTION {SCHEMA}.{name}() RETURNS trigger LANGUAGE plpgsql"
            f" SET search_path = {SCHEMA}, pg_temp AS $guard${body}$guard$"
        )
        run(f"CREATE TRIGGER {name} {moment} EXECUTE FUNCTION {SCHEMA}.{name}()")
        # Also where somebody tells the server that he replays what was checked elsewhere.
        run(f"ALTER TABLE {table} ENABLE ALWAYS TRIGGER {name}")


def _table_guards(table: str, role: str) -> Iterator[str]:
    yield f"REVOKE ALL ON {table} FROM PUBLIC"
    yield f"REVOKE ALL ON {table} FROM {role}"
    yield f"GRANT {', '.join(sorted(grants(table)))} ON {table} TO {role}"
    if columns := CHANGING.get(table):
        yield f"GRANT UPDATE ({', '.join(sorted(columns))}) ON {table} TO {role}"
    yield f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY"
    # Without it the owner would be shown everything.
    yield f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY"
    yield f"DROP POLICY IF EXISTS ours ON {table}"
    yield f"CREATE POLICY ours ON {table} TO {role} USING {_shown(table)} WITH CHECK {_OURS}"


def _shown(table: str) -> str:
    """Which rows are shown; the names of the collections also to a transaction that is about none of them."""
    return _OURS_OR_LISTED if table == "collection" else _OURS


_TRIGGERS: Final = text(
    "SELECT tgname, relname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE relnamespace = to_regnamespace(:schema) AND NOT tgisinternal"
)
_FOUND: Final = text(
    """
    SELECT tgname AS name, relname AS place, tgenabled AS enabled, prosrc AS body,
      pg_get_triggerdef(pg_trigger.oid) AS says
    FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid JOIN pg_proc ON pg_proc.oid = tgfoid
    WHERE relnamespace = to_regnamespace(:schema) AND NOT tgisinternal
    """
)
_SECURED: Final = text(
    """
    SELECT relname AS place, relrowsecurity AND relforcerowsecurity AS held,
      array(SELECT concat_ws('|', polname, polcmd, polpermissive, pg_get_expr(polqual, polrelid),
          pg_get_expr(polwithcheck, polrelid))
        FROM pg_policy WHERE polrelid = pg_class.oid AND (polroles @> ARRAY[0::oid] OR EXISTS (
          SELECT 1 FROM unnest(polroles) AS of_role WHERE pg_has_role(current_user, of_role, 'MEMBER')))
        ORDER BY polname) AS policies,
      array(SELECT kind FROM unnest(ARRAY['SELECT', 'INSERT', 'UPDATE', 'DELETE', 'TRUNCATE', 'REFERENCES', 'TRIGGER'])
        AS kind WHERE has_table_privilege(current_user, pg_class.oid, kind)) AS granted,
      array(SELECT attname::text FROM pg_attribute WHERE attrelid = pg_class.oid AND attnum > 0 AND NOT attisdropped
        AND has_column_privilege(current_user, pg_class.oid, attnum, 'UPDATE')) AS changing
    FROM pg_class WHERE relnamespace = to_regnamespace(:schema) AND relkind = 'r' AND relname <> 'alembic_version'
    """
)


def missing_guards(connection: Connection) -> list[str]:
    """Guards that are not as they were made, as seen by the role of the connection."""
    wrong = set(_wrong_triggers(connection))
    found = {row.place: row for row in connection.execute(_SECURED, {"schema": SCHEMA})}
    for table in TABLES:
        row = found.get(table)
        if row is None:
            wrong.add(f"{table}, the whole table")
            continue
        if not row.held:
            wrong.add(f"{table}, row security")
        if list(row.policies) != [f"ours|*|t|{_shown(table)}|{_OURS}"]:
            wrong.add(f"{table}, the rows it shows")
        if frozenset(row.granted) != grants(table):
            wrong.add(f"{table}, what the role may do")
        if table not in READ_MODELS and frozenset(row.changing) != CHANGING.get(table, frozenset()):
            wrong.add(f"{table}, what the role may change")
    return sorted(wrong)


def _wrong_triggers(connection: Connection) -> Iterator[str]:
    expected = {name: (table, moment, body) for name, table, moment, body in _guards()}
    found = {row.name: row for row in connection.execute(_FOUND, {"schema": SCHEMA})}
    for name, (table, moment, body) in expected.items():
        row = found.get(name)
        says = f"CREATE TRIGGER {name} {moment.replace(f' ON {table}', f' ON {SCHEMA}.{table}')} EXECUTE FUNCTION {{}}{name}()"
        if (
            row is None
            or row.enabled not in ("A", b"A")
            or row.body != body
            or row.says not in (says.format(""), says.format(f"{SCHEMA}."))
        ):
            yield name
