"""The certificate with which this machine speaks to telephones nearby, and the authority behind it, made once.

In: the folder of what nobody else may read, the names of this machine. Out: files for the server, and the authority's certificate
for the telephone. Not here: serving.

The authority vouches for machines of a home network alone: it is no use to anybody who would
speak for another site.
"""

from __future__ import annotations

import ipaddress
import os
import uuid
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from reasoner.frozen import frozen
from reasoner.page.doors.kept import own_folder
from reasoner.problems import BadInput, Problem, register

if TYPE_CHECKING:
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec

register({"PG10": "certificates that cannot be made or read"})

#: Networks that no site of the internet is in (RFC 1918, 3927, 4193, 4291 and the machine itself), and names of such networks.
HOME_NETWORKS = (
    "10.0.0.0/8",
    "172.16.0.0/12",
    "192.168.0.0/16",
    "169.254.0.0/16",
    "127.0.0.0/8",
    "fc00::/7",
    "fe80::/10",
    "::1/128",
)
HOME_NAMES = ("local", "localhost")
_AUTHORITY_LASTS = timedelta(days=3650)
#: No longer than browsers accept of a certificate.
_LASTS, _RENEWED = timedelta(days=397), timedelta(days=30)
_SLOW_CLOCK = timedelta(days=1)


@frozen(kw_only=True)
class Papers:
    """Files: the authority's certificate (for telephones), this machine's certificate and its key (for the server).
    `fingerprint`: SHA-256 of the authority's certificate, in pairs, to be compared by eye."""

    authority: Path
    certificate: Path
    key: Path
    fingerprint: str


def is_home(address: str) -> bool:
    """Whether an address is one of a home network."""
    found = ipaddress.ip_address(address)
    return any(found in net for net in map(ipaddress.ip_network, HOME_NETWORKS) if net.version == found.version)


def papers(folder: Path, names: Sequence[str], now: datetime) -> Papers:
    """What is kept, made where it is missing: the authority once, this machine's own again for other names or in good time.
    Raises BadInput (PG10)."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    paths = Papers(
        authority=folder / "authority.pem",
        certificate=folder / "machine.pem",
        key=folder / "machine.key",
        fingerprint="",
    )
    try:
        own_folder(folder)
        if not paths.authority.exists():
            _make_authority(folder, paths.authority, now)
        authority = x509.load_pem_x509_certificate(paths.authority.read_bytes())
        if not _fits(paths, authority, names, now):
            _make_own(folder, paths, authority, names, now)
    except (OSError, ValueError, TypeError) as fault:
        why = (getattr(fault, "strerror", None) or str(fault) or "no reason given").lower()
        raise BadInput([Problem(str(folder), 0, "PG10", f"the certificates for --lan cannot be made or read: {why}.",
                                "Take the .pem and .key files there away and they are made anew; telephones then need the new "
                                "certificate.")]) from None  # fmt: skip
    sha = authority.fingerprint(hashes.SHA256()).hex().upper()
    pairs = ":".join(sha[at : at + 2] for at in range(0, len(sha), 2))
    return Papers(authority=paths.authority, certificate=paths.certificate, key=paths.key, fingerprint=pairs)


def for_a_telephone(authority: Path) -> bytes:
    """The authority's certificate as telephones take it (DER). Raises OSError."""
    from cryptography import x509
    from cryptography.hazmat.primitives.serialization import Encoding

    return x509.load_pem_x509_certificate(authority.read_bytes()).public_bytes(Encoding.DER)


def _fits(paths: Papers, authority: x509.Certificate, names: Sequence[str], now: datetime) -> bool:
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature

    if not paths.certificate.exists() or not paths.key.exists():
        return False
    own = x509.load_pem_x509_certificate(paths.certificate.read_bytes())
    try:
        own.verify_directly_issued_by(authority)
    except (InvalidSignature, ValueError):
        return False
    held = own.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return set(held) == set(_alternatives(names)) and own.not_valid_after_utc - _RENEWED > now


def _make_authority(folder: Path, to: Path, now: datetime) -> None:
    """A fresh authority, of no use outside home networks."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    key = _new_key()
    name = x509.Name(
        [x509.NameAttribute(x509.NameOID.COMMON_NAME, f"Sore horse reasoner {uuid.uuid4().hex[:6]}, this machine only")]
    )
    nets = [x509.IPAddress(ipaddress.ip_network(net)) for net in HOME_NETWORKS]
    made = (
        _begun(name, name, key, now, _AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_may(key_cert_sign=True), critical=True)
        .add_extension(x509.NameConstraints([*nets, *map(x509.DNSName, HOME_NAMES)], None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    _write_key(folder / "authority.key", key)
    _write(to, _pem(made))


def _make_own(folder: Path, paths: Papers, authority: x509.Certificate, names: Sequence[str], now: datetime) -> None:
    """This machine's own certificate, signed by the authority."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.serialization import load_pem_private_key
    from cryptography.x509.oid import ExtendedKeyUsageOID

    signer = load_pem_private_key((folder / "authority.key").read_bytes(), None)
    assert isinstance(signer, ec.EllipticCurvePrivateKey)
    key = _new_key()
    own = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "Sore horse reasoner")])
    made = (
        _begun(own, authority.subject, key, now, _LASTS)
        .add_extension(x509.SubjectAlternativeName(_alternatives(names)), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_may(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False)
        .sign(signer, hashes.SHA256())
    )
    _write_key(paths.key, key)
    _write(paths.certificate, _pem(made))


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, now: datetime, lasts: timedelta
) -> x509.CertificateBuilder:
    from cryptography import x509

    begun = x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
    return (
        begun.serial_number(x509.random_serial_number())
        .not_valid_before(now - _SLOW_CLOCK)
        .not_valid_after(now + lasts)
    )


def _may(*, key_cert_sign: bool = False, digital_signature: bool = False) -> x509.KeyUsage:
    from cryptography import x509

    return x509.KeyUsage(
        digital_signature=digital_signature, key_cert_sign=key_cert_sign, crl_sign=key_cert_sign, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _alternatives(names: Sequence[str]) -> list[x509.GeneralName]:
    from cryptography import x509

    found: list[x509.GeneralName] = []
    for name in names:
        try:
            found.append(x509.IPAddress(ipaddress.ip_address(name)))
        except ValueError:
            found.append(x509.DNSName(name))
    return found


def _new_key() -> ec.EllipticCurvePrivateKey:
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _pem(certificate: x509.Certificate) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding

    return certificate.public_bytes(Encoding.PEM)


def _write_key(path: Path, key: ec.EllipticCurvePrivateKey) -> None:
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    _write(path, key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))


def _write(path: Path, data: bytes) -> None:
    """Whole or not at all, readable by this account alone from its first byte on. Raises OSError."""
    part = path.with_name(f".{uuid.uuid4().hex}")
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as out:
        out.write(data)
    os.replace(part, path)
