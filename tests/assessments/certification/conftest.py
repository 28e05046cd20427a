"""Keys made once for all tests, smaller than a school gets: making them is most of the time."""

from types import SimpleNamespace

import pytest
from cryptography.hazmat.primitives.asymmetric import rsa

from assessments.certification import keys

_made: list[rsa.RSAPrivateKey] = []


@pytest.fixture(autouse=True)
def keys_made_before(monkeypatch):
    """Each key of one test is another one; the next test gets the same ones again."""
    given = []

    def next_key(*, public_exponent: int, key_size: int) -> rsa.RSAPrivateKey:
        if len(given) == len(_made):
            _made.append(
                rsa.generate_private_key(public_exponent=public_exponent, key_size=key_size)
            )
        given.append(_made[len(given)])
        return given[-1]

    monkeypatch.setattr(keys, "BITS", 2048)
    monkeypatch.setattr(
        keys,
        "rsa",
        SimpleNamespace(generate_private_key=next_key, RSAPrivateKey=rsa.RSAPrivateKey),
    )
