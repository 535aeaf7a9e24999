"""Time stamps checked by rfc3161-client: one outside library, asked for only when a stamp is checked.

It follows the certificates to the authority that the reader chose, at the moment of the stamp, so that a stamp outlives
the certificate it was made with. That the signature holds at all is seen without any authority.

Source: RFC 3161 sections 2.3 and 2.4.2; RFC 5652 section 5.4; RFC 5280 section 4.2.1.12.
"""

from collections.abc import Sequence
from hashlib import sha256
from typing import TYPE_CHECKING, Final

from ledger.proof.der import OBJECT, OCTETS, SEQUENCE
from ledger.proof.report import MalformedError
from ledger.proof.stamped import StampError, StampSaid, answer_of, need_imprint
from ledger.proof.token import CONTENT_TYPE, MESSAGE_DIGEST, TST_INFO, Token, at_least, read_token

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.hashes import HashAlgorithm
    from cryptography.x509 import Certificate

__all__ = ["Authorities", "Rfc3161Stamps"]

_CHECKPOINT: Final = "this checkpoint"
_CERTIFICATE_1: Final = bytes.fromhex("2a864886f70d010910020c")
_CERTIFICATE_2: Final = bytes.fromhex("2a864886f70d010910022f")
_PSS: Final = bytes.fromhex("2a864886f70d01010a")
_CHANGED: Final = "The signature of the time stamp does not belong to it: it was changed. Ask for it again."


class Rfc3161Stamps:
    """As `handing.TimeStamps`."""

    def whole(self, token: bytes, stamped: bytes) -> StampSaid:
        """What it says, its signature made by the certificate in it, whoever that belongs to."""
        return _whole(read_token(token), stamped)

    def under(self, authority: bytes) -> "Authorities":
        """Checks with the certificates of a PEM file as the ends of every way."""
        return Authorities(authority)


class Authorities:
    """As `stamped.StampCheck`: a stamp holds when its certificate leads to one of these."""

    def __init__(self, pem: bytes) -> None:
        """Raises: MalformedError."""
        from cryptography import x509  # noqa: PLC0415 - only who has a stamp needs it

        try:
            self._roots = x509.load_pem_x509_certificates(pem)
        except ValueError as error:
            raise MalformedError(
                what="The authority's file",
                problem="there is no certificate in it",
                mend="Take the authority's own certificate as PEM, from where you trust it.",
            ) from error

    def __call__(self, token: bytes, stamped: bytes) -> StampSaid:
        """What the stamp says, on the word of one of these."""
        from rfc3161_client import VerificationError, VerifierBuilder, decode_timestamp_response  # noqa: PLC0415

        said = _whole(read_token(token), stamped)
        try:
            answer = decode_timestamp_response(answer_of(token))
            VerifierBuilder(roots=self._roots).build().verify(answer, sha256(stamped).digest())
        except (VerificationError, ValueError) as error:
            sentence = (
                f"The certificate of {said.by} does not lead to the authority that was named, so its time stamp proves "
                "nothing to you. Name another authority if you trust one."
            )
            raise StampError(sentence=sentence) from error
        return StampSaid(time=said.time, by=said.by, under=True)


def _whole(token: Token, stamped: bytes) -> StampSaid:
    """Everything that needs no authority.

    Raises: StampError, MalformedError.
    """
    from cryptography import x509  # noqa: PLC0415
    from cryptography.exceptions import UnsupportedAlgorithm  # noqa: PLC0415

    need_imprint(token, stamped, _CHECKPOINT)
    try:
        return _looked_at(token, _signer(token))
    except (ValueError, TypeError, UnsupportedAlgorithm, x509.InvalidVersion) as error:
        raise StampError(sentence=_CHANGED) from error


def _looked_at(token: Token, certificate: "Certificate") -> StampSaid:
    """The signature, and whether this certificate can give one."""
    _need_signature(token, certificate)
    _need_this_certificate(token, certificate)
    by = _name(certificate)
    _need_purpose(certificate, by)
    first, last = certificate.not_valid_before_utc, certificate.not_valid_after_utc
    # Whole seconds, as certificates have them: one is good to the end of its last.
    if not first <= token.time.replace(microsecond=0) <= last:
        sentence = (
            f"The certificate of {by} was not in force when the stamp was given, at {token.time.isoformat()}: "
            f"it runs from {first.isoformat()} to {last.isoformat()}."
        )
        raise StampError(sentence=sentence)
    return StampSaid(time=token.time, by=by)


def _signer(token: Token) -> "Certificate":
    """The certificate that the signature names."""
    from cryptography import x509  # noqa: PLC0415

    for data in token.certificates:
        found = x509.load_der_x509_certificate(data)
        if found.issuer.public_bytes() == token.signer.issuer and found.serial_number == token.signer.serial:
            return found
    sentence = "The certificate of whoever gave the time stamp is not in it. Ask with a request of this program."
    raise StampError(sentence=sentence)


def _need_signature(token: Token, certificate: "Certificate") -> None:
    """The signature is over what is signed with it, and that over the time stamp. Source: RFC 5652 section 5.4."""
    from cryptography.exceptions import InvalidSignature  # noqa: PLC0415

    signer = token.signer
    how = _hash(signer.digest)
    kind, digest = signer.attributes.get(CONTENT_TYPE), signer.attributes.get(MESSAGE_DIGEST)
    if kind is None or digest is None or kind.need(OBJECT) != TST_INFO:
        raise StampError(sentence=_CHANGED)
    if digest.need(OCTETS) != _digest(how, token.content):
        raise StampError(sentence=_CHANGED)
    try:
        _verify(certificate, token, how)
    except InvalidSignature as error:
        raise StampError(sentence=_CHANGED) from error


def _need_this_certificate(token: Token, certificate: "Certificate") -> None:
    """The certificate is the very one whose digest was signed too: no other with the same key takes its place.

    Source: RFC 5035 sections 3 and 4; RFC 5816 section 2.2.1; RFC 2634 section 5.4 for SHA-1.
    """
    from cryptography.hazmat.primitives.hashes import SHA1, SHA256  # noqa: PLC0415

    attributes = token.signer.attributes
    said = attributes.get(_CERTIFICATE_2) or attributes.get(_CERTIFICATE_1)
    if said is None:
        raise StampError(sentence="The time stamp does not say which certificate it was made with. Ask for it again.")
    parts = at_least(at_least(at_least(said, 1)[0], 1)[0], 1)
    how: HashAlgorithm = SHA256() if _CERTIFICATE_2 in attributes else SHA1()  # noqa: S303 - it signs nothing here
    if parts[0].tag == SEQUENCE:
        how = _hash(at_least(parts.pop(0), 1)[0].need(OBJECT))
    if [each.content for each in parts[:1] if each.tag == OCTETS] != [certificate.fingerprint(how)]:
        raise StampError(sentence=_CHANGED)


def _verify(certificate: "Certificate", token: Token, how: "HashAlgorithm") -> None:
    from cryptography.hazmat.primitives.asymmetric import ec, ed25519, padding, rsa  # noqa: PLC0415

    key, signer = certificate.public_key(), token.signer
    if isinstance(key, ec.EllipticCurvePublicKey):
        key.verify(signer.signature, signer.signed, ec.ECDSA(how))
    elif isinstance(key, ed25519.Ed25519PublicKey):
        key.verify(signer.signature, signer.signed)
    elif isinstance(key, rsa.RSAPublicKey):
        of_pss = padding.PSS(mgf=padding.MGF1(how), salt_length=padding.PSS.AUTO)
        key.verify(signer.signature, signer.signed, of_pss if signer.algorithm == _PSS else padding.PKCS1v15(), how)
    else:
        raise TypeError(type(key).__name__)  # no other kind of key signs


def _hash(identifier: bytes) -> "HashAlgorithm":
    """Source: NIST, Computer Security Objects Register: the SHA-2 family."""
    from cryptography.hazmat.primitives import hashes  # noqa: PLC0415

    family: Sequence[HashAlgorithm] = (hashes.SHA256(), hashes.SHA384(), hashes.SHA512())
    prefix = bytes.fromhex("6086480165030402")
    known = {prefix + bytes([place]): each for place, each in enumerate(family, 1)}
    if identifier not in known:
        sentence = (
            "The time stamp is signed over another digest than SHA-256, SHA-384 or SHA-512, and is not relied on."
        )
        raise StampError(sentence=sentence)
    return known[identifier]


def _digest(how: "HashAlgorithm", data: bytes) -> bytes:
    from cryptography.hazmat.primitives.hashes import Hash  # noqa: PLC0415

    made = Hash(how)
    made.update(data)
    return made.finalize()


def _need_purpose(certificate: "Certificate", by: str) -> None:
    """Made for time stamps and for nothing else, and said to be so critically. Source: RFC 3161 section 2.3."""
    from cryptography import x509  # noqa: PLC0415
    from cryptography.x509.oid import ExtendedKeyUsageOID  # noqa: PLC0415

    try:
        found = certificate.extensions.get_extension_for_class(x509.ExtendedKeyUsage)
    except (x509.ExtensionNotFound, x509.DuplicateExtension, ValueError):
        found = None
    if found is None or not found.critical or list(found.value) != [ExtendedKeyUsageOID.TIME_STAMPING]:
        sentence = f"The certificate of {by} is not made for time stamps and nothing else, so its stamp does not count."
        raise StampError(sentence=sentence)


def _name(certificate: "Certificate") -> str:
    """What people call it: its common name, or all of its name where it has none."""
    from cryptography.x509 import NameOID  # noqa: PLC0415

    common = certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)
    name = str(common[0].value) if common else certificate.subject.rfc4514_string()
    return "".join(letter if letter.isprintable() else "?" for letter in name)
