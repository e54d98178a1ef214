"""The audit chain: each row carries the SHA-256 of the row before it and of its own content."""

from __future__ import annotations

from dataclasses import astuple, dataclass
from datetime import UTC, datetime
from hashlib import sha256
from typing import Literal, get_args

from sinewright.errors import InputError
from sinewright.store.flat import canonical_json

Role = Literal["surgeon", "therapist", "orthotist", "nurse", "assistant", "program"]
ROLES: tuple[Role, ...] = get_args(Role)
CLINICIANS: tuple[Role, ...] = ROLES[:4]


def as_role(text: str) -> Role:
    """The role that `text` names. Raises InputError for anything else: names of people are not kept."""
    for role in ROLES:
        if text == role:
            return role
    raise InputError("--role", text, ", ".join(ROLES), "say who makes the change, as a role")


@dataclass(frozen=True)
class Link:
    """What one audit row says, in the order in which it is hashed. `changes` is canonical JSON text."""

    seq: int
    at: str
    role: str
    action: str
    kind: str
    case_name: str | None
    number: int
    version: int
    changes: str
    state: str


def start_of_chain(store_id: str) -> str:
    """The hash before the first row: SHA-256 of the random name of the store."""
    return sha256(f"sinewright store {store_id}".encode("ascii")).hexdigest()


def hash_of(previous: str, link: Link) -> str:
    """SHA-256 (64 hex digits) over the previous hash, a line end and the canonical JSON of `link`."""
    return sha256(f"{previous}\n{canonical_json(astuple(link))}".encode("ascii")).hexdigest()


def digest_of(*parts: str | bytes) -> str:
    """SHA-256 (64 hex digits) over `parts`, each preceded by its length, so that borders cannot move."""
    whole = sha256()
    for part in parts:
        data = part.encode("utf-8") if isinstance(part, str) else part
        whole.update(b"%d:" % len(data))
        whole.update(data)
    return whole.hexdigest()


def now_text() -> str:
    """This moment in UTC to the microsecond, as the store keeps it."""
    return datetime.now(UTC).isoformat(timespec="microseconds")
