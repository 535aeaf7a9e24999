"""An invented authority that stamps time with `openssl ts`: its root, its certificate, and stamps of every bad kind."""

import subprocess
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

NAME = "Paper Lantern Time"
TSA = "1.2.840.113549.1.9.16.1.4"
"""What a signed time stamp is. Source: RFC 3161 section 2.4.2, id-ct-TSTInfo."""
CONFIGURATION = """
[tsa]
default_tsa = lantern
[lantern]
serial = {folder}/serial
crypto_device = builtin
signer_cert = {folder}/tsa.pem
signer_key = {folder}/tsa.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384
accuracy = secs:1
ess_cert_id_alg = sha256
"""


def openssl(*arguments: object, given: bytes | None = None) -> bytes:
    """What the command prints; it must go well."""
    ran = subprocess.run(["openssl", *map(str, arguments)], input=given, capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr.decode()
    return ran.stdout


def a_name(common: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, common)])


@dataclass(frozen=True)
class Signer:
    """A certificate with its key; who issued it, if somebody else did."""

    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def pem(self) -> bytes:
        return self.certificate.public_bytes(Encoding.PEM)

    def written(self, folder: Path, stem: str) -> None:
        (folder / f"{stem}.pem").write_bytes(self.pem)
        secret = self.key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
        (folder / f"{stem}.key").write_bytes(secret)


def made(
    common: str,
    issuer: Signer | None = None,
    *,
    purposes: Sequence[x509.ObjectIdentifier] = (ExtendedKeyUsageOID.TIME_STAMPING,),
    critical: bool = True,
    begins: datetime | None = None,
    lasts: timedelta = timedelta(days=3650),
) -> Signer:
    """A root where there is no issuer, else a certificate of that issuer, with these purposes."""
    key = ec.generate_private_key(ec.SECP256R1())
    begins = begins or datetime.now(UTC) - timedelta(days=30)
    builder = (
        x509.CertificateBuilder()
        .subject_name(a_name(common))
        .issuer_name(issuer.certificate.subject if issuer else a_name(common))
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + lasts)
        .add_extension(x509.BasicConstraints(ca=issuer is None, path_length=None), critical=True)
    )
    if issuer is not None and purposes:
        builder = builder.add_extension(x509.ExtendedKeyUsage(purposes), critical=critical)
    return Signer(builder.sign(issuer.key if issuer else key, SHA256()), key)


@dataclass(frozen=True)
class Authority:
    """Who stamps time: its folder, its root, and the certificate that it signs with."""

    folder: Path
    root: Signer
    signer: Signer

    @classmethod
    def at(cls, folder: Path, name: str = NAME) -> "Authority":
        """A new one, as `openssl ts` works with it."""
        folder.mkdir()
        root = made(f"{name} Root")
        signer = made(name, root)
        root.written(folder, "root")
        signer.written(folder, "tsa")
        (folder / "serial").write_text("01\n")
        (folder / "tsa.cnf").write_text(CONFIGURATION.format(folder=folder))
        return cls(folder, root, signer)

    def answer(self, request: bytes) -> bytes:
        """What it answers to a request."""
        asked, answered = self.folder / "asked.tsq", self.folder / "answered.tsr"
        asked.write_bytes(request)
        openssl("ts", "-reply", "-config", self.folder / "tsa.cnf", "-queryfile", asked, "-out", answered)
        return answered.read_bytes()

    def verified(self, stamp: bytes, data: bytes, *, token: bool, root: Signer | None = None, at: int = 0) -> bool:
        """Whether openssl says that it holds: the check from outside this project."""
        (self.folder / "stamp").write_bytes(stamp)
        (self.folder / "data").write_bytes(data)
        (self.folder / "trusted.pem").write_bytes((root or self.root).pem)
        arguments = ["ts", "-verify", "-in", "stamp", "-data", "data", "-CAfile", "trusted.pem"]
        arguments += (["-token_in"] if token else []) + (["-attime", str(at)] if at else [])
        ran = subprocess.run(["openssl", *arguments], cwd=self.folder, capture_output=True, check=False)
        return ran.returncode == 0 and b"Verification: OK" in ran.stdout + ran.stderr

    def signed(self, content: bytes, signer: Signer) -> bytes:
        """A token over any content, by any certificate: what no authority gives."""
        signer.written(self.folder, "odd")
        (self.folder / "content").write_bytes(content)
        how = ["-econtent_type", TSA, "-cades", "-binary", "-nodetach", "-nosmimecap", "-md", "sha256"]
        files = ["-in", self.folder / "content", "-signer", self.folder / "odd.pem", "-inkey", self.folder / "odd.key"]
        return openssl("cms", "-sign", *how, *files, "-outform", "DER")
