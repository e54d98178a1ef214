"""What was probably meant by an entry that does not exist: wrong unit, side, section, short form or slip."""

from __future__ import annotations

import re
from difflib import get_close_matches

from sinewright.case.fields import unit_of
from sinewright.case.muscles import MUSCLES
from sinewright.case.paths import all_fields, field_at, fields_inside, section_at
from sinewright.errors import InputError

_UNITS = (
    "m", "cm", "mm", "in", "inch", "inches", "ft", "deg",
    "degree", "degrees", "rad", "kg", "g", "lb", "lbs", "N",
    "kN", "n", "kgf", "Nm", "Nmm", "Ncm", "nm", "years", "year", "months", "month", "weeks", "days", "h", "s",
)  # fmt: skip
_UNIT_END = re.compile(rf"_({'|'.join(sorted(_UNITS, key=len, reverse=True))})$")
_SIDES = {"right", "left", "r", "l", "rechts", "links", "healthy", "sound", "unaffected", "contralateral"}
_SHORT_FORMS = {
    "ta": "tibialis_anterior",
    "ehl": "extensor_hallucis_longus",
    "edl": "extensor_digitorum_longus",
    "pt": "peroneus_tertius",
    "pl": "peroneus_longus",
    "pb": "peroneus_brevis",
    "tp": "tibialis_posterior",
    "fdl": "flexor_digitorum_longus",
    "fhl": "flexor_hallucis_longus",
    "gastrocnemius": "gastrocnemius_medial or muscles.gastrocnemius_lateral",
}
Loc = tuple[int | str, ...]
OVERRIDES: Loc = ("plan", "overrides")  # its names are codes of rules, so all of them are listed


def unknown_field(loc: Loc, path: str, given: str) -> InputError:
    """The problem of an entry that no section knows, with what was probably meant."""
    name, parent = str(loc[-1]), loc[:-1]
    inside = section_at(parent)
    known = fields_inside(inside) if inside else []
    advice = (
        _side_hint(name, parent)
        or _muscle_hint(name, parent)
        or _unit_hint(name, parent, known)
        or _near_hint(name, known)
        or _elsewhere_hint(name)
        or "remove it, or see docs/case-file.md for the entries of this section"
    )
    shown = known if parent == OVERRIDES else known[:8]
    allowed = f"{', '.join(shown)}{', ...' if len(known) > len(shown) else ''}" if known else "no entries here"
    return InputError(path, f"{given} in an entry of unknown name", allowed, advice)


def _side_hint(name: str, parent: Loc) -> str:
    if parent[:1] in (("range",), ("torque",)) and name.lower() in _SIDES:
        return (
            f"sides are written once, as side at the top; write [{parent[0]}.affected] for the leg to be "
            f"operated on and [{parent[0]}.other] for the other one"
        )
    return ""


def _muscle_hint(name: str, parent: Loc) -> str:
    if parent != ("muscles",):
        return ""
    if name in ("grade", "state", "force_N"):
        return f"it belongs to one muscle, for instance {name} below [muscles.tibialis_posterior]"
    plain = re.sub(r"_(r|l|right|left)$", "", name.lower().replace(" ", "_"))
    meant = _SHORT_FORMS.get(plain) or (plain if plain in MUSCLES else "")
    if not meant:
        return ""
    return f"write the name in full and without a side: muscles.{meant}; the leg is given by side at the top"


def _unit_hint(name: str, parent: Loc, known: list[str]) -> str:
    """A known name with another unit at its end, or with none."""
    stem = _UNIT_END.sub("", name)
    for meant in known:
        field = field_at((*parent, meant))
        unit = unit_of(field) if field else ""
        if unit and meant != name and _UNIT_END.sub("", meant) == stem:
            return f"{meant} is probably meant, in {unit}: convert the number too, do not only rename the entry"
    return ""


def _near_hint(name: str, known: list[str]) -> str:
    near = get_close_matches(name[:80], known, n=1, cutoff=0.6)
    return f"{near[0]} is probably meant" if near else ""


def _elsewhere_hint(name: str) -> str:
    """A name that is right, but belongs to another section."""
    places = [path for path, _ in all_fields() if path.rpartition(".")[2] == name]
    if not places:
        return ""
    if places[0] == name:
        return f"{name} belongs at the top of the file, before the first [heading]"
    sections = " or ".join(f"[{path.rpartition('.')[0]}]" for path in places[:2])
    return f"{name} belongs below {sections}"
