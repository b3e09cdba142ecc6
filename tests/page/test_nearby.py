"""The page listening, for this machine and for telephones nearby, as a process of its own; its certificate.

In: `reasoner serve` on free ports. Out: what it says, what answers, what does not.
Not here: routes.
"""

from __future__ import annotations

import http.client
import os
import re
import secrets
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from urllib.parse import urlencode

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

from reasoner.page.doors.certificates import for_a_telephone, is_home, papers
from reasoner.page.doors.nearby import own_address
from reasoner.problems import BadInput
from tests.page.serving import NOW

HOST = "127.0.0.1"


def two_free_ports() -> int:
    """A port that is free together with the one after it, below those that this machine hands out by itself: one of these may
    be the near end of somebody's connection by the time it is listened on."""
    for _ in range(200):
        port = 12_000 + 2 * secrets.randbelow(10_000)
        with closing(socket.socket()) as one, closing(socket.socket()) as other:
            try:
                one.bind((HOST, port))
                other.bind((HOST, port + 1))
            except OSError:
                continue
            return port
    raise RuntimeError("no two free ports beside each other")


class Running:
    """`reasoner serve` in a process of its own; what it has said so far."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.port, self.out = two_free_ports(), folder / "said"
        command = [
            sys.executable,
            "-m",
            "reasoner",
            "serve",
            "--store",
            str(folder / "practice.db"),
            "--port",
            str(self.port),
        ]
        with self.out.open("wb") as out:
            self.process = subprocess.Popen(
                [*command, *words], stdout=out, stderr=subprocess.STDOUT, env={**os.environ, "PYTHONUNBUFFERED": "1"}
            )

    def said(self, sign: str) -> str:
        """What it said, once it said this."""
        until = time.monotonic() + 120
        while sign not in (said := self.out.read_text()):
            if time.monotonic() > until or self.process.poll() is not None:
                raise AssertionError(f"not said: {sign}\n{said}")
            time.sleep(0.1)
        return said

    def stop(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(timeout=90)


@pytest.fixture(scope="module")
def lan(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    running = Running(tmp_path_factory.mktemp("lan"), "--lan", "--address", HOST)
    try:
        yield running
    finally:
        if running.process.poll() is None:
            running.process.kill()
            running.process.wait()


def trusting(authority: Path) -> ssl.SSLContext:
    """A telephone that was given the certificate."""
    return ssl.create_default_context(cafile=str(authority))


@dataclass
class Got:
    """An answer, read whole."""

    status: int
    headers: dict[str, str]
    body: bytes


def ask(connection: http.client.HTTPConnection, method: str, path: str, body: str = "", **headers: str) -> Got:
    """Ask once, and let go."""
    with closing(connection):
        connection.request(
            method, path, body or None, {name.replace("_", "-"): value for name, value in headers.items()}
        )
        answer = connection.getresponse()
        return Got(answer.status, {name.lower(): value for name, value in answer.getheaders()}, answer.read())


def own(running: Running) -> http.client.HTTPConnection:
    return http.client.HTTPConnection(HOST, running.port, timeout=90)


def near(running: Running, context: ssl.SSLContext) -> http.client.HTTPSConnection:
    return http.client.HTTPSConnection(HOST, running.port + 1, context=context, timeout=90)


def test_it_says_where_it_is_how_to_come_in_and_how_the_warning_stops(lan: Running) -> None:
    said = lan.said("/telephones")
    url = f"https://{HOST}:{lan.port + 1}"
    assert f"http://127.0.0.1:{lan.port}/" in said
    assert f"{url}/certificate says how" in said
    assert "works\n  while its tab stays open" in said
    assert re.search(r"once, until \d\d:\d\d: [0-9A-Z]{4}-[0-9A-Z]{4}", said)
    assert said.count("█") > 100, "a picture for the camera"
    assert re.search(r"([0-9A-F]{2}:){15}[0-9A-F]{2}\n", said)


def test_a_telephone_with_the_certificate_comes_in_by_the_code(lan: Running, tmp_path: Path) -> None:
    said = lan.said("/telephones")
    code = re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", said)[-1]
    authority = lan.out.parent / "practice.db.access" / "authority.pem"
    trust = trusting(authority)
    stranger = ask(near(lan, trust), "GET", "/horses")
    assert (stranger.status, stranger.body) == (401, b'{"says":"Say who you are first."}')
    given = ask(near(lan, trust), "GET", "/certificate/authority.crt")
    assert x509.load_der_x509_certificate(given.body) == x509.load_pem_x509_certificate(authority.read_bytes())
    form = {
        "Content_Type": "application/x-www-form-urlencoded",
        "X_From_Page": "1",
        "Origin": f"https://{HOST}:{lan.port + 1}",
    }
    answer = ask(near(lan, trust), "POST", "/pair", urlencode({"code": code}), **form)
    assert answer.status == 303
    inside = ask(near(lan, trust), "GET", "/", Cookie=answer.headers["set-cookie"].partition(";")[0])
    assert inside.status == 200
    assert "server" not in inside.headers
    until = time.monotonic() + 60
    while code == re.findall(r"[0-9A-Z]{4}-[0-9A-Z]{4}", lan.out.read_text())[-1]:
        assert time.monotonic() < until, "a used code is replaced, and the new one told"
        time.sleep(0.2)


def test_without_it_a_telephone_is_warned_and_nothing_is_sent_in_the_clear(lan: Running) -> None:
    lan.said("/telephones")
    with pytest.raises(ssl.SSLCertVerificationError):
        ask(near(lan, ssl.create_default_context()), "GET", "/")
    clear = http.client.HTTPConnection(HOST, lan.port + 1, timeout=30)
    with pytest.raises((http.client.HTTPException, ConnectionError)):
        ask(clear, "GET", "/")


def test_the_own_machine_is_asked_nothing_and_goes_by_no_other_name(lan: Running) -> None:
    lan.said("/telephones")
    assert ask(own(lan), "GET", "/").status == 200
    strange = ask(own(lan), "GET", "/", Host="evil.example")
    assert (strange.status, strange.headers["x-frame-options"]) == (421, "DENY")


def test_a_second_one_on_the_same_port_is_told_so(lan: Running) -> None:
    lan.said("/telephones")
    command = [
        sys.executable,
        "-m",
        "reasoner",
        "serve",
        "--store",
        str(lan.out.parent / "other.db"),
        "--port",
        str(lan.port),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 2
    assert "PG12" in done.stderr
    assert "--port" in done.stderr
    assert not (lan.out.parent / "other.db").exists()


def test_it_stops_when_asked(tmp_path: Path) -> None:
    running = Running(tmp_path)
    running.said("Ctrl-C")
    until = time.monotonic() + 30
    while True:
        try:
            assert ask(own(running), "GET", "/").status == 200
            break
        except ConnectionError:
            assert time.monotonic() < until
            time.sleep(0.1)
    assert not (tmp_path / "practice.db.access").exists(), "without --lan nothing of people is made"
    with pytest.raises(ConnectionError):
        ask(http.client.HTTPConnection(HOST, running.port + 1, timeout=5), "GET", "/")
    assert running.stop() == 0
    assert "Traceback" not in running.out.read_text()


# -- the certificate ---------------------------------------------------------------------------------------------------


def test_the_authority_is_made_once_and_the_machine_s_own_again_in_time(tmp_path: Path) -> None:
    first = papers(tmp_path, ("192.168.7.20", "larkhope.local"), NOW)
    kept = {f.name: f.read_bytes() for f in tmp_path.iterdir()}
    assert papers(tmp_path, ("192.168.7.20", "larkhope.local"), NOW + timedelta(days=300)) == first
    assert {f.name: f.read_bytes() for f in tmp_path.iterdir()} == kept
    for names, later in ((("192.168.7.21",), 0), (("192.168.7.21",), 370)):
        before = first.certificate.read_bytes()
        again = papers(tmp_path, names, NOW + timedelta(days=later))
        assert again.fingerprint == first.fingerprint, "telephones need nothing new"
        assert first.certificate.read_bytes() != before
    machine = x509.load_pem_x509_certificate(first.certificate.read_bytes())
    assert machine.not_valid_after_utc - machine.not_valid_before_utc < timedelta(days=400), (
        "browsers take no longer ones"
    )
    assert first.fingerprint.replace(":", "").lower() == x509.load_der_x509_certificate(
        for_a_telephone(first.authority)).fingerprint(hashes.SHA256()).hex()  # fmt: skip


def test_the_authority_is_of_no_use_for_another_site(tmp_path: Path) -> None:
    """Whoever stole its key could not speak for a site of the internet to a telephone that trusts it."""
    held = papers(tmp_path, (HOST,), datetime.now(UTC))
    authority = x509.load_pem_x509_certificate(held.authority.read_bytes())
    signer = serialization.load_pem_private_key((tmp_path / "authority.key").read_bytes(), None)
    assert isinstance(signer, ec.EllipticCurvePrivateKey)
    for name, good in ((x509.DNSName("larkhope.local"), True), (x509.DNSName("bank.example"), False)):
        key = ec.generate_private_key(ec.SECP256R1())
        now = datetime.now(UTC)
        forged = (
            x509.CertificateBuilder().subject_name(x509.Name([])).issuer_name(authority.subject).public_key(key.public_key())
            .serial_number(7).not_valid_before(now - timedelta(days=1)).not_valid_after(now + timedelta(days=9))
            .add_extension(x509.SubjectAlternativeName([name]), critical=True).sign(signer, hashes.SHA256())
        )  # fmt: skip
        pem = tmp_path / "forged.pem"
        pem.write_bytes(forged.public_bytes(serialization.Encoding.PEM) + key.private_bytes(
            serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()))  # fmt: skip
        assert _accepted(pem, trusting(held.authority), str(name.value)) is good


def _accepted(pem: Path, context: ssl.SSLContext, name: str) -> bool:
    """Whether a telephone would take this certificate for that name; both ends stand in memory."""
    server_side = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    server_side.load_cert_chain(pem)
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    phone = context.wrap_bio(there, back, server_hostname=name)
    server = server_side.wrap_bio(back, there, server_side=True)
    for _ in range(6):
        for end in (phone, server):
            try:
                end.do_handshake()
            except ssl.SSLWantReadError:
                continue
            except ssl.SSLCertVerificationError:
                return False
            except ssl.SSLError:
                return False
    return True


def test_damaged_papers_are_told_in_words(tmp_path: Path) -> None:
    held = papers(tmp_path, (HOST,), NOW)
    held.authority.write_text("-----BEGIN CERTIFICATE-----\nnone\n-----END CERTIFICATE-----\n")
    with pytest.raises(BadInput, match=r"PG10.*made anew"):
        papers(tmp_path, (HOST,), NOW)


@pytest.mark.parametrize(
    ("address", "home"),
    [("192.168.1.20", True), ("10.1.2.3", True), ("172.31.0.1", True), ("172.32.0.1", False), ("8.8.8.8", False),
     ("fd00::2", True), ("2001:db8::1", False), ("127.0.0.1", True)],
)  # fmt: skip
def test_what_a_home_network_is(address: str, home: bool) -> None:
    assert is_home(address) is home


@pytest.mark.parametrize("wanted", ["203.0.113.7", "larkhope", "192.168.1", "0.0.0.0", "::"])
def test_the_page_is_not_for_the_internet(wanted: str) -> None:
    with pytest.raises(BadInput, match="PG11"):
        own_address(wanted)
