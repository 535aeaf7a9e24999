"""Time stamps of an invented authority: what holds for openssl holds here, and each bad one is refused for its reason."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.utils import CryptographyDeprecationWarning
from cryptography.x509.oid import ExtendedKeyUsageOID

from ledger.adapters.timestamps import Authorities, Rfc3161Stamps
from ledger.proof.report import LedgerError, MalformedError
from ledger.proof.stamped import StampError, a_request, read_request, token_of
from ledger.proof.token import Token
from tests.stamping import NAME, Authority, made, openssl

STAMPED = b"A checkpoint of an invented ledger.\n"
NONCE = 2**63 + 5


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority.at(tmp_path_factory.mktemp("authority") / "lantern")


@pytest.fixture(scope="module")
def token(authority: Authority) -> Token:
    return token_of(authority.answer(a_request(STAMPED, NONCE)))


def refused(token: bytes, stamped: bytes = STAMPED, under: bytes | None = None) -> str:
    with pytest.raises(StampError) as caught:
        Authorities(under)(token, stamped) if under else Rfc3161Stamps().whole(token, stamped)
    return str(caught.value)


def test_a_stamp_holds_here_and_for_openssl(authority: Authority, token: Token) -> None:
    assert authority.verified(token.data, STAMPED, token=True)
    alone = Rfc3161Stamps().whole(token.data, STAMPED)
    assert (alone.by, alone.time, alone.under) == (NAME, token.time, False)
    assert abs(alone.time - datetime.now(UTC)) < timedelta(minutes=5)
    under = Rfc3161Stamps().under(authority.root.pem)(token.data, STAMPED)
    assert (under.by, under.time, under.under) == (NAME, token.time, True)
    assert under.sentence == f"This checkpoint existed at {token.time.isoformat()}, says {NAME}."
    assert token.nonce == NONCE


def test_the_request_is_one_that_openssl_reads(authority: Authority) -> None:
    request = a_request(STAMPED, NONCE)
    (authority.folder / "own.tsq").write_bytes(request)
    told = openssl("ts", "-query", "-in", authority.folder / "own.tsq", "-text").decode()
    assert "Hash Algorithm: sha256" in told
    assert "Nonce: 0x8000000000000005" in told
    assert "Certificate required: yes" in told
    digest = openssl("dgst", "-sha256", "-binary", given=STAMPED)
    assert read_request(request).imprint == digest
    (authority.folder / "data").write_bytes(STAMPED)
    theirs = openssl("ts", "-query", "-data", authority.folder / "data", "-sha256", "-cert", "-no_nonce")
    assert read_request(theirs).imprint == digest
    assert read_request(theirs).nonce is None


def test_a_stamp_of_something_else_is_refused_by_openssl_too(authority: Authority, token: Token) -> None:
    other = STAMPED + b"x"
    assert not authority.verified(token.data, other, token=True)
    assert refused(token.data, other) == "The time stamp is of something else than this checkpoint."


def test_an_authority_that_was_not_named_proves_nothing(authority: Authority, token: Token) -> None:
    other = made("Another Root")
    assert not authority.verified(token.data, STAMPED, token=True, root=other)
    assert "does not lead to the authority that was named" in refused(token.data, under=other.pem)
    # A root of the same name is another root.
    namesake = made(f"{NAME} Root")
    assert not authority.verified(token.data, STAMPED, token=True, root=namesake)
    assert "does not lead to the authority that was named" in refused(token.data, under=namesake.pem)


def test_a_stamp_that_was_changed_anywhere_in_what_is_signed_is_refused(authority: Authority, token: Token) -> None:
    later = token.content.replace(token.time.strftime("%Y%m%d%H%M%S").encode(), b"20010101000000")
    assert later != token.content
    changed = token.data.replace(token.content, later)
    assert not authority.verified(changed, STAMPED, token=True)
    assert "does not belong to it: it was changed" in refused(changed)
    assert "does not belong to it: it was changed" in refused(changed, under=authority.root.pem)


@pytest.mark.filterwarnings(f"ignore::{CryptographyDeprecationWarning.__module__}.CryptographyDeprecationWarning")
@pytest.mark.filterwarnings("ignore:The parsed certificate")
def test_no_changed_byte_lets_a_stamp_say_something_else(token: Token) -> None:
    good = Rfc3161Stamps().whole(token.data, STAMPED)
    passed = []
    for place in range(len(token.data)):
        changed = bytearray(token.data)
        changed[place] ^= 0x01
        try:
            said = Rfc3161Stamps().whole(bytes(changed), STAMPED)
        except LedgerError:
            continue
        assert said == good
        passed.append(place)
    # What may change is what nothing is signed over: version numbers and the lists of algorithms beside the signature.
    assert len(passed) < 60


@pytest.mark.parametrize("share", [0, 1, 50, 99])
def test_a_stamp_that_is_cut_off_is_none(token: Token, share: int) -> None:
    with pytest.raises(MalformedError):
        Rfc3161Stamps().whole(token.data[: len(token.data) * share // 100], STAMPED)


def test_a_certificate_that_was_not_in_force_when_the_stamp_was_given_is_told(
    authority: Authority, token: Token
) -> None:
    expired = made(NAME, authority.root, begins=datetime.now(UTC) - timedelta(days=20), lasts=timedelta(days=10))
    bad = authority.signed(token.content, expired)
    assert not authority.verified(bad, STAMPED, token=True)
    sentence = refused(bad)
    assert sentence.startswith(f"The certificate of {NAME} was not in force when the stamp was given, at ")
    assert expired.certificate.not_valid_after_utc.isoformat() in sentence
    coming = made(NAME, authority.root, begins=datetime.now(UTC) + timedelta(days=1))
    assert "was not in force" in refused(authority.signed(token.content, coming))


def test_a_stamp_outlives_the_certificate_that_it_was_made_with(authority: Authority, token: Token) -> None:
    begins = datetime.now(UTC).replace(microsecond=0) - timedelta(days=20)
    then = begins + timedelta(days=5)
    expired = made(NAME, authority.root, begins=begins, lasts=timedelta(days=10))
    spelt = then.strftime("%Y%m%d%H%M%S").encode()
    content = token.content.replace(token.time.strftime("%Y%m%d%H%M%S").encode(), spelt)
    old = authority.signed(content, expired)
    assert authority.verified(old, STAMPED, token=True, at=int(then.timestamp()))
    assert Authorities(authority.root.pem)(old, STAMPED).time == then


@pytest.mark.parametrize(
    ("purposes", "critical"),
    [
        ((), True),
        ((ExtendedKeyUsageOID.CODE_SIGNING,), True),
        ((ExtendedKeyUsageOID.TIME_STAMPING, ExtendedKeyUsageOID.CODE_SIGNING), True),
        ((ExtendedKeyUsageOID.TIME_STAMPING,), False),
    ],
    ids=["none", "another", "another beside it", "not critical"],
)
def test_a_certificate_that_is_not_for_time_stamps_alone_gives_none(
    authority: Authority, token: Token, purposes: tuple[x509.ObjectIdentifier, ...], *, critical: bool
) -> None:
    odd = made(NAME, authority.root, purposes=purposes, critical=critical)
    bad = authority.signed(token.content, odd)
    assert not authority.verified(bad, STAMPED, token=True)
    expected = f"The certificate of {NAME} is not made for time stamps and nothing else, so its stamp does not count."
    assert refused(bad) == refused(bad, under=authority.root.pem) == expected


def test_another_certificate_for_the_same_key_does_not_take_its_place(authority: Authority, token: Token) -> None:
    """Only the digest of the certificate, which is signed too, tells them apart. Source: RFC 5035 section 2."""
    own = authority.signer.certificate
    twin = (
        x509.CertificateBuilder()
        .subject_name(own.subject)
        .issuer_name(own.issuer)
        .public_key(own.public_key())
        .serial_number(own.serial_number)
        .not_valid_before(own.not_valid_before_utc)
        .not_valid_after(own.not_valid_after_utc)
    )
    for extension in own.extensions:
        twin = twin.add_extension(extension.value, critical=extension.critical)
    # The same spelling but for its own signature, which is of another length now and then.
    (inside,) = token.certificates
    for _ in range(200):
        swapped = token.data.replace(inside, twin.sign(authority.root.key, SHA256()).public_bytes(Encoding.DER))
        if len(swapped) == len(token.data) and swapped != token.data:
            break
    assert swapped != token.data
    assert "does not belong to it: it was changed" in refused(swapped)


def test_a_refusal_of_the_authority_is_told_with_its_words(authority: Authority) -> None:
    (authority.folder / "data").write_bytes(STAMPED)
    request = openssl("ts", "-query", "-data", authority.folder / "data", "-sha1", "-cert")
    with pytest.raises(StampError) as caught:
        token_of(authority.answer(request))
    assert str(caught.value).startswith("The authority gave no time stamp: its answer has status 2.")
    with pytest.raises(MalformedError, match="over another digest than SHA-256"):
        read_request(request)


def test_a_stamp_over_another_digest_is_not_taken_for_one_of_ours(authority: Authority) -> None:
    (authority.folder / "data").write_bytes(STAMPED)
    request = openssl("ts", "-query", "-data", authority.folder / "data", "-sha384", "-cert")
    stamped = token_of(authority.answer(request))
    with pytest.raises(MalformedError, match="it is over another digest than SHA-256"):
        Rfc3161Stamps().whole(stamped.data, STAMPED)


def test_a_stamp_without_its_certificate_says_how_to_ask(authority: Authority) -> None:
    (authority.folder / "data").write_bytes(STAMPED)
    request = openssl("ts", "-query", "-data", authority.folder / "data", "-sha256")
    sentence = refused(token_of(authority.answer(request)).data)
    assert sentence.endswith("is not in it. Ask with a request of this program.")


def test_certificates_in_any_order_are_followed(authority: Authority, tmp_path: Path) -> None:
    """Authorities send their chain as they like; DER wants it sorted, and the library insists on that."""
    in_order = []
    for name in ("A", "A name that is a good deal longer, so that it sorts behind"):
        (tmp_path / "chain.pem").write_bytes(made(name).pem)
        text = (authority.folder / "tsa.cnf").read_text()
        (tmp_path / "chain.cnf").write_text(f"{text}certs = {tmp_path / 'chain.pem'}\n")
        (tmp_path / "asked.tsq").write_bytes(a_request(STAMPED, NONCE))
        how = ["-config", tmp_path / "chain.cnf", "-queryfile", tmp_path / "asked.tsq"]
        openssl("ts", "-reply", *how, "-out", tmp_path / "answer.tsr")
        token = token_of((tmp_path / "answer.tsr").read_bytes())
        assert len(token.certificates) == 2
        in_order.append(sorted(token.certificates) == list(token.certificates))
        assert Authorities(authority.root.pem)(token.data, STAMPED).under
    assert in_order == [False, True]


def test_a_file_without_a_certificate_is_no_authority() -> None:
    with pytest.raises(MalformedError, match="there is no certificate in it"):
        Authorities(b"not a certificate")
