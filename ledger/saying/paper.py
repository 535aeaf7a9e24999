"""What stands on a printed record beside its words: its digest in two forms, the key's name, how it is checked."""

from ledger.proof.eight import STRENGTH, eight_words
from ledger.saying.wording import t

__all__ = ["GROUP", "code_text", "paper_words"]

GROUP = 8
"""Digits of a digest that stand together."""


def paper_words(title: str, digest: str, key: str) -> dict[str, str]:
    """The words of the sheet under the names that it asks for; `key` is the name of the key that signed."""
    return {
        "eight_title": t("paper.eight"),
        "eight": eight_words(digest),
        "strength": t("paper.strength", bits=STRENGTH),
        "digest_title": t("paper.digest"),
        "digest": " ".join(digest[at : at + GROUP] for at in range(0, len(digest), GROUP)),
        "key_title": t("paper.key"),
        "key": key,
        "how": t("paper.how"),
        "code_alt": t("paper.code"),
        "attached": t("paper.attached"),
        "running": t("paper.running", title=title, start=digest[:GROUP]),
        "page": t("paper.page"),
        "page_of": t("paper.page_of"),
        "letters": t("paper.letters"),
    }


def code_text(record_format: str, digest: str, key: str) -> str:
    """What the code on the sheet holds: the form of the record, its digest, the name of the key; and no address."""
    return f"{record_format}\nsha256 {digest}\n{key}\n"
