from __future__ import annotations

import pytest
from django.test import Client

from tests.cast import Cast, gather


@pytest.fixture
def cast(db: None) -> Cast:
    return gather()


@pytest.fixture
def as_therapist(cast: Cast, client: Client) -> Client:
    client.force_login(cast.therapist)
    return client


@pytest.fixture
def as_stranger(cast: Cast, client: Client) -> Client:
    client.force_login(cast.stranger)
    return client
